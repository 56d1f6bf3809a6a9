//! From floor and hold to the verdict.

use findings::{
    BlankOffFindings, BlankOffNotice, BlankOffReason, Certainty, Estimate, Findings,
    IsolationBasis, Pulldown, Reason, RigFloor, RigHistory, RigRise, RiseKind, Verdict,
};
use run_memory::Outage;
use vacuum::ReadingState;

use crate::{floor::Floor, mean_rise::mean_rise, stretch::Stretch, test::BlankOff};

/// Fewest earlier tests that a test is compared with.
const FEWEST_RUNS: usize = 3;
/// Half of an interval, as a share of the floor, up to which the floor counts as known
/// (common practice, no source); a step of the gauge is forgiven.
const KNOWN: f64 = 0.12;
/// A floor that has grown by this factor on the same oil is worse than before, even where
/// each step was small (common practice, no source).
const GREW_TOO_MUCH: f64 = 1.5;
/// Share of a limit that rounding may take.
const ROUNDING: f64 = 1e-9;

impl BlankOff {
    /// What the readings so far show.
    #[must_use]
    pub fn findings(&self) -> BlankOffFindings {
        findings(self)
    }
}

fn findings(test: &BlankOff) -> BlankOffFindings {
    let setup = &test.setup;
    let held = test.hold.findings();
    let mut notices = Vec::new();
    let round = held.judged_round();
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let floor = pulldown.and_then(|p| floor(test, p, &mut notices));
    let rise = held.judged_hold().map(|hold| RigRise {
        micron_per_min: mean_rise(&test.blocks(), hold.settled_at_s, hold.end_s),
        hold: hold.clone(),
    });
    if let Some(hold) = held.judged_hold()
        && hold.basis == IsolationBasis::Curve
    {
        notices.push(BlankOffNotice::IsolationNotStamped {
            at_s: hold.isolated_at_s,
        });
    }
    match &setup.history {
        None => notices.push(BlankOffNotice::NoHistory),
        Some(h) if h.runs == 0 => notices.push(BlankOffNotice::NoHistory),
        Some(h) if h.runs < FEWEST_RUNS => {
            notices.push(BlankOffNotice::ShortHistory { runs: h.runs });
        }
        Some(_) => {}
    }
    let grew = setup.history.and_then(|h| h.floor_grew);
    notices.extend(grew.map(BlankOffNotice::FloorGrew));
    let mut answer = BlankOffFindings {
        verdict: Verdict::NotProven,
        reasons: Vec::new(),
        criteria: setup.criteria.clone(),
        allowed_rise_micron_per_min: setup.allowed_rise_micron_per_min,
        floor,
        rise,
        rig: setup.rig.clone(),
        history: setup.history,
        notices,
        data: held.data.clone(),
    };
    answer.reasons = reasons(&answer, &held);
    answer.verdict = verdict(&answer.reasons);
    answer
}

/// A rig that is not in order fails; what only is not shown does not.
fn verdict(reasons: &[BlankOffReason]) -> Verdict {
    let doubtful = |r: &BlankOffReason| *r == BlankOffReason::UnitDoubtful;
    if reasons.is_empty() {
        Verdict::Pass
    } else if reasons.iter().any(|r| r.is_of_the_rig()) && !reasons.iter().any(doubtful) {
        Verdict::Fail
    } else {
        Verdict::NotProven
    }
}

fn reasons(answer: &BlankOffFindings, held: &Findings) -> Vec<BlankOffReason> {
    if held.data.used == 0 && answer.floor.is_none() {
        return vec![BlankOffReason::NoReadings];
    }
    let mut reasons = Vec::new();
    floor_reasons(answer, &mut reasons);
    rise_reasons(answer, held, &mut reasons);
    if let Some(history) = answer.history
        && worse(answer, &history)
    {
        reasons.push(BlankOffReason::WorseThanBefore);
    }
    reasons.sort_unstable();
    reasons.dedup();
    reasons
}

fn floor_reasons(answer: &BlankOffFindings, reasons: &mut Vec<BlankOffReason>) {
    let limit = answer.criteria.target_micron * (1.0 + ROUNDING);
    match &answer.floor {
        None => reasons.push(BlankOffReason::NoPulldown),
        Some(floor) if floor.micron.high <= limit => {}
        Some(floor) if floor.reached_s.is_none() => reasons.push(BlankOffReason::FloorNotReached),
        Some(floor) if floor.micron.low > limit => reasons.push(BlankOffReason::FloorTooHigh),
        Some(_) => reasons.push(BlankOffReason::FloorNearLimit),
    }
}

fn rise_reasons(answer: &BlankOffFindings, held: &Findings, reasons: &mut Vec<BlankOffReason>) {
    let Some(rise) = &answer.rise else {
        reasons.push(BlankOffReason::NoIsolation);
        if held.reasons.contains(&Reason::PumpOpenAtStop) {
            reasons.push(BlankOffReason::PumpOpenAtStop);
        }
        return;
    };
    let cause = &rise.hold.rise;
    let wet = cause.kind == RiseKind::Moisture && matches!(cause.certainty(), Certainty::Stated(_));
    let not_kept = match wet {
        true => BlankOffReason::RigWet,
        false => BlankOffReason::RigLeaks,
    };
    for reason in &held.reasons {
        // what else there is to say of an evacuation does not count here
        let here = match reason {
            Reason::CeilingExceeded => not_kept,
            Reason::HoldTooShort => BlankOffReason::HoldTooShort,
            Reason::GapInHold => BlankOffReason::GapInHold,
            Reason::GaugeFault => BlankOffReason::GaugeFault,
            Reason::GaugeTooCoarse => BlankOffReason::GaugeTooCoarse,
            Reason::UnitDoubtful => BlankOffReason::UnitDoubtful,
            Reason::PumpOpenAtStop => BlankOffReason::PumpOpenAtStop,
            Reason::NoIsolation => BlankOffReason::NoIsolation,
            _ => continue,
        };
        // a floor above the ceiling is no rise
        let ended = answer.floor.map(|f| f.end_micron);
        let began_above = ended > Some(answer.criteria.ceiling_micron);
        if !(here == not_kept && began_above) {
            reasons.push(here);
        }
    }
    let Some(limit) = answer.allowed_rise_micron_per_min else {
        return;
    };
    match rise.micron_per_min {
        Some(found) if found.high <= limit => {}
        Some(found) if found.low > limit => reasons.push(not_kept),
        _ => reasons.push(BlankOffReason::HoldTooShort),
    }
}

/// Whether the rig is out of line with its own earlier tests.
fn worse(answer: &BlankOffFindings, history: &RigHistory) -> bool {
    let above = |found: Option<Estimate>, usual: Option<f64>| match (found, usual) {
        (Some(found), Some(usual)) => found.low > usual,
        _ => false,
    };
    let floor = answer.floor.filter(|f| f.reached_s.is_some());
    let rise = answer.rise.as_ref().and_then(|r| r.micron_per_min);
    let grew = history
        .floor_grew
        .is_some_and(|grew| grew.factor >= GREW_TOO_MUCH);
    above(floor.map(|f| f.micron), history.highest_usual_floor_micron)
        || above(rise, history.highest_usual_rise_micron_per_min)
        || grew
}

fn floor(
    test: &BlankOff,
    pulldown: &Pulldown,
    notices: &mut Vec<BlankOffNotice>,
) -> Option<RigFloor> {
    let stopped = test.pump_stopped(pulldown.start_s, pulldown.end_s);
    let pumped_s = (pulldown.start_s, stopped.unwrap_or(pulldown.end_s));
    if let Some(bound_micron) = ends_below_the_gauge(test, pumped_s.1) {
        notices.push(BlankOffNotice::GaugeEndsAt {
            micron: bound_micron,
        });
        return Some(RigFloor {
            micron: Estimate {
                value: bound_micron,
                low: 0.0,
                high: bound_micron,
            },
            is_bound: true,
            end_micron: bound_micron,
            reached_s: None,
            pump_longer_min: None,
            pumped_s,
        });
    }
    let blocks = test.blocks();
    let from = blocks.partition_point(|b| b.first_s < pumped_s.0);
    let to = blocks.partition_point(|b| b.last_s <= pumped_s.1);
    let stretch = Stretch::of(blocks.get(from..to)?, &blocks)?;
    let found = Floor::of(&stretch)?;
    let half = 0.5 * (found.micron.high - found.micron.low);
    let known = half <= KNOWN * found.micron.value + stretch.step_micron;
    Some(RigFloor {
        micron: found.micron,
        is_bound: false,
        end_micron: stretch.level_micron,
        reached_s: found.reached_s.filter(|_| known),
        pump_longer_min: found.longer_s.map(|s| s / 60.0),
        pumped_s,
    })
}

/// The lowest pressure that the gauge shows, micron, where it was below it when pumping
/// ended.
fn ends_below_the_gauge(test: &BlankOff, end_s: f64) -> Option<f64> {
    let under = |o: &&Outage| {
        o.state == ReadingState::Under && o.rows > 2 && o.start_s < end_s && o.end_s >= end_s - 5.0
    };
    let last = test.outages.all().iter().rfind(under)?;
    last.bound_micron
}
