//! What a pass is worth: the one place that decides whether it may be said without
//! reserve.
//!
//! The verdict is that of the rule (target, time, ceiling, sound data) and stays so. A
//! rule about pressure and time is met by a small leak as well, and a go-ahead to charge
//! must not be read out of it.

use findings::{Finding, Hold, LeakIndicated, RiseKind, Statement, Verdict};

use crate::{evacuation::hold::loss, settings::Settings};

/// Probability of a leak from which an unclear rise is said to indicate one (common
/// practice, no source: more likely than not).
const INDICATED: f64 = 0.5;

/// Says that a leak is indicated although the rule is met.
pub(crate) fn with_leak(
    verdict: Verdict,
    hold: Option<&Hold>,
    settings: &Settings,
    findings: &mut Vec<Finding>,
) {
    let passed = hold.filter(|_| verdict == Verdict::Pass);
    // gas behind the capillary tube looks like a leak, and nothing in the curve tells
    let blamed = !findings
        .iter()
        .any(|f| f.statement == Statement::OneSideEvacuated);
    if let Some(hold) = passed.filter(|hold| blamed && indicates(hold)) {
        let leak = size(hold, settings);
        findings.push(Finding::at(hold.end_s, Statement::PassWithLeak(leak)));
    }
}

fn indicates(hold: &Hold) -> bool {
    match hold.rise.kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => true,
        RiseKind::Unclear => hold.rise.leak_probability.is_some_and(|p| p >= INDICATED),
        RiseKind::None | RiseKind::Moisture => false,
    }
}

/// How large it is: the 95 % interval, and in grams with both flow laws.
fn size(hold: &Hold, settings: &Settings) -> LeakIndicated {
    let rate = hold.rise.leak_micron_per_min;
    let ends = rate.filter(|e| e.high.is_finite() && e.high > 0.0);
    let ends = ends.map(|e| (e.low.max(0.0), e.high));
    LeakIndicated {
        micron_per_min: ends,
        g_per_year: ends.and_then(|ends| loss::charged_g_per_year(ends, hold.end_micron, settings)),
    }
}

#[cfg(test)]
mod tests {
    use vacuum::Refrigerant;

    use super::*;
    use findings::{Estimate, IsolationBasis, Rise, Round};

    fn round(kind: RiseKind, leak_probability: Option<f64>) -> Round {
        let rise = Rise {
            kind,
            leak_micron_per_min: Some(Estimate {
                value: 3.0,
                low: -1.0,
                high: 7.0,
            }),
            plateau_micron: None,
            tau_s: None,
            detection_limit_micron_per_min: Some(0.5),
            decide_after_s: None,
            leak_probability,
            confidence: Some(0.1),
            curve: None,
            evidence: None,
        };
        let hold = Hold {
            isolated_at_s: 0.0,
            isolated_window_s: findings::TimeRange::at(0.0),
            basis: IsolationBasis::Mark,
            settled_at_s: 10.0,
            end_s: 600.0,
            duration_s: 600.0,
            start_micron: Some(200.0),
            end_micron: Some(230.0),
            highest_micron: Some(231.0),
            rise,
            early_answer: None,
            leak: None,
            operating_loss: None,
            smallest_leak: None,
            water_vapour_mg: None,
            water_ppm_of_charge: None,
        };
        Round {
            pulldown: None,
            hold: Some(hold),
        }
    }

    fn indicated(
        verdict: Verdict,
        rounds: &[Round],
        before: &[Statement],
    ) -> Option<LeakIndicated> {
        let settings = Settings {
            volume_l: Some(2.8),
            refrigerant: Refrigerant::named("R-600a"),
            ..Settings::default()
        };
        let mut findings: Vec<Finding> =
            before.iter().map(|s| Finding::at(0.0, s.clone())).collect();
        let hold = rounds.last().and_then(|round| round.hold.as_ref());
        with_leak(verdict, hold, &settings, &mut findings);
        findings
            .drain(before.len()..)
            .find_map(|f| match f.statement {
                Statement::PassWithLeak(leak) => Some(leak),
                _ => None,
            })
    }

    #[test]
    fn a_leak_is_indicated_by_its_kind_or_by_even_odds() {
        for (kind, probability, wanted) in [
            (RiseKind::Leak, None, true),
            (RiseKind::Leak, Some(0.1), true),
            (RiseKind::LeakAndMoisture, Some(0.1), true),
            (RiseKind::Unclear, Some(0.5), true),
            (RiseKind::Unclear, Some(0.499), false),
            (RiseKind::Unclear, None, false),
            (RiseKind::None, Some(0.9), false),
            (RiseKind::Moisture, Some(0.9), false),
        ] {
            let rounds = [round(kind, probability)];
            let found = indicated(Verdict::Pass, &rounds, &[]).is_some();
            assert_eq!(found, wanted, "{kind:?} {probability:?}");
            for verdict in [Verdict::Fail, Verdict::NotProven] {
                assert!(indicated(verdict, &rounds, &[]).is_none());
            }
        }
    }

    #[test]
    fn only_the_last_hold_counts_and_one_side_is_not_blamed() {
        let leak = || round(RiseKind::Leak, Some(0.99));
        let none = || round(RiseKind::None, Some(0.01));
        assert!(indicated(Verdict::Pass, &[leak(), none()], &[]).is_none());
        assert!(indicated(Verdict::Pass, &[none(), leak()], &[]).is_some());
        let one_side = [Statement::OneSideEvacuated];
        assert!(indicated(Verdict::Pass, &[leak()], &one_side).is_none());
    }

    /// 7 micron/min in 2.8 L is 4.36e-5 Pa m³/s of air; laminar 19.4 times that comes out
    /// of R-600a at 20 °C (fluids 1.3.1, CoolProp 8.0.0), at 1.329e-6 to the gram a year.
    #[test]
    fn the_size_is_not_below_nothing() {
        let leak = indicated(Verdict::Pass, &[round(RiseKind::Leak, None)], &[]);
        let leak = leak.expect("a leak");
        assert_eq!(leak.micron_per_min, Some((0.0, 7.0)));
        let (low, high) = leak.g_per_year.expect("grams");
        assert_eq!(low, 0.0);
        assert!(
            (high / (4.355e-5 * 19.44 / 1.329e-6) - 1.0).abs() < 0.01,
            "{high}"
        );
    }
}
