//! What a pass is worth: the one place that decides whether it may be said without
//! reserve.
//!
//! The verdict is that of the rule (target, time, ceiling, sound data) and stays so. A
//! rule about pressure and time is met by a small leak as well, and a go-ahead to charge
//! must not be read out of it.

use crate::{
    findings::{
        Certainty, Finding, Findings, Hold, LeakIndicated, PassWorth, RiseKind, Round, Said,
        Verdict,
    },
    loss,
    settings::Settings,
};

/// From this probability of a leak on an unclear rise is said to indicate one.
const INDICATED: f64 = 0.5;

/// Says that a leak is indicated although the rule is met.
pub(crate) fn with_leak(
    verdict: Verdict,
    rounds: &[Round],
    settings: &Settings,
    said: &mut Vec<Finding>,
) {
    let hold = rounds.iter().rev().find_map(|r| r.hold.as_ref());
    let passed = hold.filter(|_| verdict == Verdict::Pass);
    // gas behind the capillary tube looks like a leak, and nothing in the curve tells
    let blamed = !said.iter().any(|f| f.said == Said::OneSideEvacuated);
    if let Some(hold) = passed.filter(|hold| blamed && indicates(hold)) {
        let leak = size(hold, settings);
        said.push(Finding::at(hold.end_s, Said::PassWithLeak(leak)));
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

impl Findings {
    /// What a pass is worth; `None` where the verdict is another one.
    #[must_use]
    pub fn pass(&self) -> Option<PassWorth> {
        if self.verdict != Verdict::Pass {
            return None;
        }
        let leak = self.findings.iter().rev().find_map(|f| match &f.said {
            Said::PassWithLeak(leak) => Some(*leak),
            _ => None,
        });
        let rise = self.judged_hold().map(|hold| &hold.rise);
        Some(
            match (leak, rise.map(|rise| (rise.kind, rise.certainty()))) {
                (Some(leak), _) => PassWorth::WithLeak(leak),
                (None, Some((RiseKind::None | RiseKind::Moisture, Certainty::Stated(_)))) => {
                    PassWorth::Plain
                }
                (None, Some((RiseKind::None | RiseKind::Moisture, _))) => {
                    PassWorth::CauseNotCertain
                }
                (None, _) => PassWorth::CauseUnknown,
            },
        )
    }
}
