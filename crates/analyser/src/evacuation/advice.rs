//! What is said of holds, stalls and verdicts, as evidence.

use findings::{Ambient, Finding, Hold, IsolationBasis, Pulldown, Reason, RiseKind, Statement};
use vacuum::water;

use crate::{
    evacuation::{
        gauge_shut_off::gauge_shut_off,
        hold::{EXTRAPOLATED, JudgedHold},
    },
    run_view::RunView,
    settings::Settings,
};

/// A hold falls when its end is below this share of its start (common practice, no source).
const FALLS: f64 = 0.85;
/// Levels over the saturation pressure of free water between which a plateau may be free
/// water (common practice, no source: gauges and thermometers are off by that much).
const FREE_WATER: (f64, f64) = (0.7, 1.15);
/// Least that is said of a hold that is too short, min (common practice, no source).
const LEAST_LONGER_MIN: f64 = 0.1;

/// Says what a hold shows.
pub(crate) fn of_hold(held: &JudgedHold, settings: &Settings, findings: &mut Vec<Finding>) {
    let hold = &held.hold;
    match hold.basis {
        IsolationBasis::Curve => {
            let found = Statement::IsolationFromCurve {
                earlier_s: hold.isolated_at_s - hold.isolated_window_s.low_s,
                later_s: hold.isolated_window_s.high_s - hold.isolated_at_s,
            };
            findings.push(Finding::at(hold.isolated_at_s, found));
        }
        IsolationBasis::FromStart => {
            findings.push(Finding::at(hold.isolated_at_s, Statement::StartsIsolated));
        }
        IsolationBasis::Mark | IsolationBasis::Given => {}
    }
    if let (Some(from_micron), Some(to_micron)) = (hold.start_micron, hold.end_micron)
        && to_micron < FALLS * from_micron
    {
        let falls = Statement::PressureFalls {
            from_micron,
            to_micron,
        };
        findings.push(Finding::at(hold.end_s, falls));
    }
    if matches!(
        hold.rise.kind,
        RiseKind::Moisture | RiseKind::LeakAndMoisture
    ) {
        findings.extend(plateau(held, settings).map(|s| Finding::at(hold.settled_at_s, s)));
    }
    if let Some(early) = hold.early_answer {
        let fails = Statement::WillNotPass {
            ceiling_micron: settings.criteria.ceiling_micron,
            after_s: early.passes_ceiling_after_s,
            confidence: early.confidence,
            leak: early.leak,
        };
        findings.push(Finding::at(hold.end_s, fails));
    }
    let trouble = held.trouble.iter().cloned();
    findings.extend(trouble.map(|s| Finding::at(hold.settled_at_s, s)));
}

/// Says why the gauge does not prove the hold.
pub(crate) fn of_gauge(
    view: &RunView<'_>,
    reasons: &[Reason],
    held: &JudgedHold,
    findings: &mut Vec<Finding>,
) {
    if let Some(too_little) = held.too_little {
        findings.push(Finding::at(
            held.hold.settled_at_s,
            Statement::GaugeTooCoarse(too_little),
        ));
    }
    if let Some(at_s) =
        gauge_shut_off(view, held).filter(|_| reasons.contains(&Reason::GaugeShutOff))
    {
        let known = view.settings.gauge_open_to_system.is_some();
        findings.push(Finding::at(at_s, Statement::GaugeShutOff { known }));
    }
}

/// Says what is to be known of the unit and of the criteria.
pub(crate) fn of_unit(view: &RunView<'_>, doubt: Option<Statement>, findings: &mut Vec<Finding>) {
    let settings = view.settings;
    let assumed = settings.record_unit.filter(|u| u.basis.is_assumed());
    let softer = settings.criteria.is_softer_than_common_practice();
    let all = doubt
        .into_iter()
        .chain(assumed.map(Statement::UnitAssumed))
        .chain(softer.then_some(Statement::CriteriaSofter));
    findings.extend(all.map(|statement| Finding {
        at_s: None,
        statement,
    }));
}

/// What the level of a plateau says about where the vapour comes from.
fn plateau(held: &JudgedHold, settings: &Settings) -> Option<Statement> {
    let level = held.hold.rise.plateau_micron?;
    let c = settings.ambient_or_assumed_c();
    let saturation_micron = water::saturation_pressure(c)?.micron();
    let ambient = Ambient {
        c,
        assumed: settings.ambient_c.is_none(),
        saturation_micron,
    };
    let extrapolated = held
        .hold
        .end_micron
        .is_some_and(|end| level.value > EXTRAPOLATED * end);
    if extrapolated {
        (level.high > FREE_WATER.0 * saturation_micron)
            .then_some(Statement::FreeWaterAhead(ambient))
    } else if level.low < FREE_WATER.1 * saturation_micron
        && level.high > FREE_WATER.0 * saturation_micron
    {
        Some(Statement::FreeWater { level, ambient })
    } else if level.high < FREE_WATER.0 * saturation_micron {
        Some(Statement::BoundMoisture { level, ambient })
    } else {
        None
    }
}

/// Says what held a pull-down up.
pub(crate) fn of_stalls(pulldown: &Pulldown, findings: &mut Vec<Finding>) {
    let stalls = pulldown.stalls.iter();
    findings.extend(stalls.map(|stall| Finding::at(stall.start_s, Statement::Stalled(*stall))));
}

/// Says what would turn a doubtful verdict into a certain one.
pub(crate) fn of_verdict(
    reasons: &[Reason],
    hold: Option<&Hold>,
    settings: &Settings,
    findings: &mut Vec<Finding>,
) {
    if reasons.contains(&Reason::NoIsolation) {
        findings.push(Finding {
            at_s: None,
            statement: Statement::IsolationMarkMissing,
        });
    }
    // more of a hold that will not pass is not what is needed
    let short = |h: &&Hold| reasons.contains(&Reason::HoldTooShort) && h.early_answer.is_none();
    if let Some(hold) = hold.filter(short) {
        let left = settings.criteria.hold_min - hold.duration_s / 60.0;
        findings.push(Finding::at(
            hold.end_s,
            Statement::HoldLonger(left.max(LEAST_LONGER_MIN)),
        ));
    }
}
