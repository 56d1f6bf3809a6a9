//! What is to be looked at in one record by itself.

use run_record::{ClockStep, RunHeader};
use run_review::calibration_overdue;
use vacuum::{Criteria, Job, TestKind};
use wording::{Voice, finding_words};

use crate::{
    facts::criteria_line,
    flag::FlagCode,
    repair::{States, states},
    row::Row,
    rule::softer_words,
};

/// Rooms in which an appliance is repaired, °C (common practice, no source).
const AMBIENT_C: std::ops::RangeInclusive<f64> = -15.0..=50.0;
/// Inner volumes of sealed systems, from a water cooler to a display case with its piping, L
/// (common practice, no source).
const VOLUME_L: std::ops::RangeInclusive<f64> = 0.03..=200.0;
/// No liquid refrigerant that is charged is denser at room temperature, g/L (R-134a has about
/// 1,200 at 25 °C; common practice, no source for the bound).
const DENSEST_G_PER_L: f64 = 1_400.0;
/// A cause is held against a repair from this confidence on (common practice, no source).
const SURE: f64 = 0.8;

/// Flags of a record that says what it is of; `rule` is the desk's own.
pub(crate) fn of_header(row: &mut Row, header: &RunHeader, rule: &Criteria) {
    if header.job.invented {
        row.flag(
            FlagCode::Invented,
            "Demonstration data, marked as invented: no evidence of a repair.",
        );
    }
    for finding in calibration_overdue(header) {
        let words = finding_words(&Voice::default(), &finding);
        row.flag(FlagCode::CalibrationOverdue, words);
    }
    if header.test.kind == TestKind::Evacuation {
        let used = header.criteria.clone().unwrap_or_default();
        if let Some(softer) = softer_words(&used, rule) {
            let (used, rule) = (criteria_line(&used), criteria_line(rule));
            row.flag(
                FlagCode::CriteriaBelowRule,
                format!("Judged by criteria softer than the desk's: {softer} ({used}; the desk's: {rule})."),
            );
        }
    }
    implausible(row, &header.job);
}

fn implausible(row: &mut Row, job: &Job) {
    let mut odd = Vec::new();
    if let Some(c) = job.ambient_c.filter(|c| !AMBIENT_C.contains(c)) {
        odd.push(format!(
            "an ambient temperature of {c:.0} °C: nobody repairs an appliance in such a room"
        ));
    }
    if let Some(litres) = job.volume_l.filter(|l| !VOLUME_L.contains(l)) {
        odd.push(format!(
            "an inner volume of {litres} L: sealed systems have {} to {} L",
            VOLUME_L.start(),
            VOLUME_L.end()
        ));
    }
    let density = job.charge_g.zip(job.volume_l).map(|(g, l)| g / l);
    if let Some(density) = density.filter(|d| *d > DENSEST_G_PER_L) {
        odd.push(format!(
            "a charge that does not fit into the volume: {density:.0} g/L is denser than any \
             liquid refrigerant"
        ));
    }
    for what in odd {
        row.flag(FlagCode::ImplausibleJob, format!("The job states {what}."));
    }
}

/// Flags of what was found in it.
pub(crate) fn of_test(row: &mut Row) {
    let is_leak = matches!(row.cause.as_deref(), Some("leak" | "leak_and_moisture"));
    let confidence = row.confidence.unwrap_or(0.0);
    let stated = row.repair.clone().unwrap_or_default();
    if is_leak && confidence >= SURE && states(&stated) == States::OtherWork {
        row.flag(
            FlagCode::CauseDisagreesWithRepair,
            format!(
                "The hold shows a leak ({:.0} % sure), and no leak was repaired: stated is \
                 \"{stated}\".",
                100.0 * confidence
            ),
        );
    }
    match row.isolated_by.as_deref() {
        Some("curve") => row.flag(
            FlagCode::IsolationNotMarked,
            "Nobody marked when the system was shut off: it was found in the curve.",
        ),
        Some("from_start") => row.flag(
            FlagCode::IsolationNotMarked,
            "Nobody marked when the system was shut off: the record begins with it shut.",
        ),
        None if row.verdict.is_some() => row.flag(
            FlagCode::IsolationNotMarked,
            "Nobody marked when the system was shut off, and the curve does not show it.",
        ),
        _ => {}
    }
    if let (Some(said), Some(verdict)) = (row.said.clone(), row.verdict.clone())
        && said.verdict != verdict
    {
        let plain = |word: &str| word.replace('_', " ");
        row.flag(
            FlagCode::VerdictDiffers,
            format!(
                "The findings beside the record ({}, by {}) say {}; judged anew: {}.",
                said.made_by,
                said.criteria,
                plain(&said.verdict),
                plain(&verdict)
            ),
        );
    }
}

/// Flags of a clock that was set.
pub(crate) fn of_clock(row: &mut Row, steps: &[ClockStep]) {
    let by = |step: &ClockStep| step.by_s.abs();
    let Some(largest) = steps.iter().max_by(|a, b| by(a).total_cmp(&by(b))) else {
        return;
    };
    let way = if largest.by_s > 0.0 {
        "forward"
    } else {
        "back"
    };
    let times = match steps.len() {
        1 => "once".to_owned(),
        n => format!("{n} times, at most"),
    };
    row.flag(
        FlagCode::ClockStepped,
        format!(
            "The clock of the computer was set {times} {way} by {} during the record, at row {}.",
            duration(largest.by_s.abs()),
            largest.row
        ),
    );
}

/// "12 s", "25 min", "3.0 h", "2 days".
pub(crate) fn duration(seconds: f64) -> String {
    match seconds {
        s if s < 120.0 => format!("{s:.0} s"),
        s if s < 7_200.0 => format!("{:.0} min", s / 60.0),
        s if s < 172_800.0 => format!("{:.1} h", s / 3_600.0),
        s => format!("{:.0} days", s / 86_400.0),
    }
}
