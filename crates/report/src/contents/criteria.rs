//! Criteria and what was measured against each, side by side.

use findings::{Findings, FurtherCriterion, Reason};
use vacuum::{PressureUnit, UnitBasis};
use wording::{Voice, say};

use layout::parts::Table;

pub(super) fn table(voice: &Voice, findings: &Findings) -> Table {
    Table {
        title: say!(voice, "criteria-title"),
        head: ["criterion", "asked-for", "measured", "met"].map(|id| say!(voice, id)),
        rows: [
            target(voice, findings),
            hold_time(voice, findings),
            ceiling(voice, findings),
            record(voice, findings),
        ]
        .into_iter()
        .chain(findings.further.iter().map(|c| further(voice, c)))
        .chain(unit(voice, findings))
        .collect(),
    }
}

/// What is asked for besides.
fn further(voice: &Voice, criterion: &FurtherCriterion) -> [String; 4] {
    let words = wording::further_words(voice, criterion);
    let met = met(voice, words.is_met.is_some(), words.is_met == Some(false));
    [words.name, words.required, words.measured, met]
}

fn has(findings: &Findings, reason: Reason) -> bool {
    findings.reasons.contains(&reason)
}

fn met(voice: &Voice, known: bool, broken: bool) -> String {
    let id = match (known, broken) {
        (_, true) => "met-no",
        (true, false) => "met-yes",
        (false, false) => "met-not-shown",
    };
    say!(voice, id)
}

fn target(voice: &Voice, findings: &Findings) -> [String; 4] {
    let round = findings.judged_round();
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let lowest = pulldown.and_then(|p| p.lowest_micron);
    let start = round
        .and_then(|r| r.hold.as_ref())
        .and_then(|h| h.start_micron);
    let reached = pulldown
        .and_then(|p| p.reached_target_s)
        .map(|s| say!(voice, "target-reached-at", moment = voice.moment(s)));
    let measured = match (lowest, start) {
        (Some(p), _) => {
            let beside = voice.pressure_beside(p, findings.criteria.target_micron);
            let lowest = say!(voice, "lowest", pressure = beside);
            let parts: Vec<String> = [lowest].into_iter().chain(reached).collect();
            parts.join(", ")
        }
        (None, Some(p)) => {
            let beside = voice.pressure_beside(p, findings.criteria.target_micron);
            say!(voice, "hold-begins", pressure = beside)
        }
        (None, None) => say!(voice, "nothing-measured"),
    };
    [
        say!(voice, "criterion-pull-down"),
        say!(
            voice,
            "asked-target",
            target = voice.limit(findings.criteria.target_micron)
        ),
        measured,
        met(
            voice,
            lowest.or(start).is_some(),
            has(findings, Reason::TargetNotReached),
        ),
    ]
}

fn hold_time(voice: &Voice, findings: &Findings) -> [String; 4] {
    let hold = findings.judged_hold();
    [
        say!(voice, "criterion-hold"),
        say!(
            voice,
            "asked-hold",
            minutes = voice.plain(findings.criteria.hold_min, 4)
        ),
        hold.map_or_else(
            || say!(voice, "no-hold-found"),
            |h| {
                say!(
                    voice,
                    "held",
                    time = voice.held(h.duration_s),
                    moment = voice.moment(h.isolated_at_s),
                    basis = wording::basis_phrase(voice, h.basis)
                )
            },
        ),
        met(voice, hold.is_some(), has(findings, Reason::HoldTooShort)),
    ]
}

fn ceiling(voice: &Voice, findings: &Findings) -> [String; 4] {
    let hold = findings.judged_hold();
    let highest = hold.and_then(|h| h.highest_micron);
    let beside = |p| voice.pressure_beside(p, findings.criteria.ceiling_micron);
    let measured = match (highest, hold) {
        (Some(highest), Some(h)) => match (h.start_micron, h.end_micron) {
            (Some(start), Some(end)) => say!(
                voice,
                "highest-and-ends",
                highest = beside(highest),
                start = voice.pressure(start),
                end = beside(end)
            ),
            _ => say!(voice, "highest", pressure = beside(highest)),
        },
        _ => say!(voice, "nothing-measured"),
    };
    [
        say!(voice, "criterion-ceiling"),
        say!(
            voice,
            "asked-ceiling",
            ceiling = voice.limit(findings.criteria.ceiling_micron)
        ),
        measured,
        met(
            voice,
            highest.is_some(),
            has(findings, Reason::CeilingExceeded),
        ),
    ]
}

/// The unit of the readings, where the record does not state it or it is in doubt.
fn unit(voice: &Voice, findings: &Findings) -> Option<[String; 4]> {
    let doubtful = has(findings, Reason::UnitDoubtful);
    let unit = findings.data.unit;
    let assumed = unit.is_some_and(|u| u.basis.is_assumed());
    (doubtful || assumed).then(|| {
        let basis = unit.map_or(UnitBasis::Stated, |u| u.basis);
        let id = match basis {
            UnitBasis::Stated => "unit-stated",
            UnitBasis::Dialect => "unit-by-dialect",
            UnitBasis::Option => "unit-by-option",
        };
        let symbol = unit.map_or(PressureUnit::Micron, |u| u.unit).symbol();
        let mut measured = say!(voice, id, unit = symbol);
        if doubtful {
            let parts = [wording::reason_words(voice, Reason::UnitDoubtful), measured];
            measured = parts.join(&say!(voice, "clause-break"));
        }
        [
            say!(voice, "criterion-unit"),
            say!(voice, "asked-unit"),
            measured,
            met(voice, !assumed, doubtful),
        ]
    })
}

fn record(voice: &Voice, findings: &Findings) -> [String; 4] {
    let broken = [
        Reason::GapInHold,
        Reason::GaugeFault,
        Reason::NoIsolation,
        Reason::PumpOpenAtStop,
        Reason::NoReadings,
        Reason::GaugeTooCoarse,
        Reason::IcePossible,
        Reason::GaugeShutOff,
    ]
    .into_iter()
    .find(|r| has(findings, *r));
    let mut measured = wording::data_sentence(voice, findings);
    if let Some(reason) = broken {
        let parts = [wording::reason_words(voice, reason), measured];
        measured = parts.join(&say!(voice, "clause-break"));
    }
    [
        say!(voice, "criterion-record"),
        say!(voice, "asked-record"),
        measured,
        met(voice, findings.data.used > 0, broken.is_some()),
    ]
}
