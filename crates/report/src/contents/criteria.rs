//! Criteria and what was measured against each, side by side.

use analyser::{Findings, Reason};

use super::Table;
use crate::{
    figures::{clock, duration, limit, micron, plain},
    wording,
};

pub(super) fn table(findings: &Findings) -> Table {
    Table {
        title: "Criteria and what was measured",
        head: ["Criterion", "Asked for", "Measured", "Met"],
        rows: vec![
            target(findings),
            hold_time(findings),
            ceiling(findings),
            record(findings),
        ],
    }
}

fn has(findings: &Findings, reason: Reason) -> bool {
    findings.reasons.contains(&reason)
}

fn met(known: bool, broken: bool) -> String {
    match (known, broken) {
        (_, true) => "no",
        (true, false) => "yes",
        (false, false) => "not shown",
    }
    .to_owned()
}

fn target(findings: &Findings) -> [String; 4] {
    let round = wording::judged_round(findings);
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let lowest = pulldown.and_then(|p| p.lowest_micron);
    let start = round
        .and_then(|r| r.hold.as_ref())
        .and_then(|h| h.start_micron);
    let reached = pulldown
        .and_then(|p| Some(p.reached_target_s? - p.start_s))
        .map(|s| format!(", target reached after {}", duration(s)))
        .unwrap_or_default();
    let measured = match (lowest, start) {
        (Some(p), _) => format!("lowest {}{reached}", micron(p)),
        (None, Some(p)) => format!("hold begins at {}", micron(p)),
        (None, None) => "nothing measured".to_owned(),
    };
    [
        "Pull-down".to_owned(),
        format!("{} or lower", limit(findings.criteria.target_micron)),
        measured,
        met(
            lowest.or(start).is_some(),
            has(findings, Reason::TargetNotReached),
        ),
    ]
}

fn hold_time(findings: &Findings) -> [String; 4] {
    let hold = findings.judged_hold();
    [
        "Hold".to_owned(),
        format!("{} min or longer", plain(findings.criteria.hold_min, 4)),
        hold.map_or_else(
            || "no hold found".to_owned(),
            |h| {
                format!(
                    "{}, isolated at {} ({})",
                    duration(h.duration_s),
                    clock(h.isolated_at_s),
                    wording::basis_phrase(h.basis)
                )
            },
        ),
        met(hold.is_some(), has(findings, Reason::HoldTooShort)),
    ]
}

fn ceiling(findings: &Findings) -> [String; 4] {
    let hold = findings.judged_hold();
    let highest = hold.and_then(|h| h.highest_micron);
    let measured = match (highest, hold) {
        (Some(highest), Some(h)) => {
            let ends = match (h.start_micron, h.end_micron) {
                (Some(a), Some(b)) => {
                    format!(" ({} after settling, {} at the end)", micron(a), micron(b))
                }
                _ => String::new(),
            };
            format!("highest {}{ends}", micron(highest))
        }
        _ => "nothing measured".to_owned(),
    };
    [
        "Ceiling of the hold".to_owned(),
        format!("not above {}", limit(findings.criteria.ceiling_micron)),
        measured,
        met(highest.is_some(), has(findings, Reason::CeilingExceeded)),
    ]
}

fn record(findings: &Findings) -> [String; 4] {
    let broken = [
        Reason::GapInHold,
        Reason::GaugeFault,
        Reason::NoIsolation,
        Reason::PumpOpenAtStop,
        Reason::NoReadings,
        Reason::GaugeTooCoarse,
    ]
    .into_iter()
    .find(|r| has(findings, *r));
    let mut measured = wording::data_sentence(findings);
    if let Some(reason) = broken {
        measured = format!("{}; {measured}", reason.sentence());
    }
    [
        "Record".to_owned(),
        "isolation shown, hold without a gap".to_owned(),
        measured,
        met(findings.data.used > 0, broken.is_some()),
    ]
}
