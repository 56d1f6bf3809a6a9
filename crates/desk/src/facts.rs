//! What a judged record says, as the fields of a row.

use findings::{BlankOffFindings, DecayFindings, Findings, Hold, IsolationBasis};
use report::six_digits;
use run_record::RunHeader;
use run_review::JudgedTest;
use vacuum::{Criteria, GaugeIdentity, TestKind};
use wording::{Voice, one_line};

use crate::row::{Round, Row};

/// Longest text of a job that a row holds, characters.
const LONGEST: usize = 300;

/// What the record says of itself.
pub(crate) fn of_header(row: &mut Row, header: &RunHeader) {
    let job = &header.job;
    let text = |text: &Option<String>| text.as_deref().and_then(typed);
    row.job = typed(&job.id);
    row.started = header.started.map(|t| t.to_rfc3339());
    row.test = Some(header.test.kind.word().to_owned());
    row.appliance = text(&job.appliance);
    row.serial = text(&job.serial);
    row.refrigerant = text(&job.refrigerant);
    row.volume_l = job.volume_l.map(six_digits);
    row.ambient_c = job.ambient_c.map(six_digits);
    row.repair = text(&job.repair);
    row.technician = text(&job.technician);
    row.customer = text(&job.customer);
    row.gauge = gauge(&job.gauge);
    row.calibration_due = text(&job.gauge.calibration_due);
}

fn typed(text: &str) -> Option<String> {
    Some(one_line(text, LONGEST)).filter(|text| !text.is_empty())
}

fn gauge(gauge: &GaugeIdentity) -> Option<String> {
    let serial = gauge.serial.as_deref().and_then(typed);
    let serial = serial.map(|serial| format!("no. {serial}"));
    let both = [gauge.description.as_deref().and_then(typed), serial];
    let both: Vec<String> = both.into_iter().flatten().collect();
    (!both.is_empty()).then(|| both.join(", "))
}

/// What it shows.
pub(crate) fn of_test(row: &mut Row, judged: &JudgedTest) {
    row.started = judged
        .started_utc()
        .map(str::to_owned)
        .or(row.started.take());
    row.verdict = Some(judged.verdict().word().to_owned());
    match judged {
        JudgedTest::Evacuation(judged) => of_evacuation(row, &judged.findings),
        JudgedTest::Pressure(judged) => of_decay(row, &judged.findings),
        JudgedTest::BlankOff(judged) => of_blank_off(row, &judged.findings),
    }
}

fn of_evacuation(row: &mut Row, found: &Findings) {
    row.test = Some(TestKind::Evacuation.word().to_owned());
    row.headline = Some(wording::headline(&Voice::default(), found));
    row.reasons = words(found.reasons.iter().map(|r| r.word()));
    row.criteria = Some(criteria_line(&found.criteria));
    let judged = found.judged_round();
    let pulldown = judged.and_then(|round| round.pulldown.as_ref());
    row.lowest_micron = pulldown.and_then(|p| p.lowest_micron).map(six_digits);
    if let Some(hold) = found.judged_hold() {
        of_hold(row, hold);
    }
    let last = found.judged.unwrap_or(usize::MAX);
    let rounds = found.rounds.iter().enumerate();
    row.rounds = rounds
        .map(|(place, round)| Round {
            lowest_micron: round
                .pulldown
                .as_ref()
                .and_then(|p| p.lowest_micron)
                .map(six_digits),
            hold_min: round.hold.as_ref().map(|h| minutes(h.duration_s)),
            highest_in_hold_micron: round
                .hold
                .as_ref()
                .and_then(|h| h.highest_micron)
                .map(six_digits),
            // the others are not judged
            verdict: (place == last).then(|| found.verdict.word().to_owned()),
        })
        .collect();
}

fn of_hold(row: &mut Row, hold: &Hold) {
    let rise = &hold.rise;
    row.cause = Some(rise.kind.word().to_owned());
    row.confidence = rise.confidence.map(six_digits);
    row.leak_micron_per_min = rise.leak_micron_per_min.map(|e| six_digits(e.value));
    row.detection_limit_micron_per_min = rise.detection_limit_micron_per_min.map(six_digits);
    row.highest_in_hold_micron = hold.highest_micron.map(six_digits);
    row.hold_min = Some(minutes(hold.duration_s));
    row.isolated_by = Some(hold.basis.word().to_owned());
}

fn of_decay(row: &mut Row, found: &DecayFindings) {
    row.test = Some(TestKind::PressureDecay.word().to_owned());
    row.headline = wording::decay_lines(&Voice::default(), found)
        .into_iter()
        .next();
    row.reasons = words(found.reasons.iter().map(|r| r.word()));
    let allowed = found.criteria.allowed_pa_m3_per_s;
    let allowed = allowed.map_or("no limit".to_owned(), |q| {
        format!("at most {} Pa·m³/s", six_digits(q))
    });
    let (hold_min, name) = (found.criteria.hold_min, &found.criteria.name);
    row.criteria = Some(format!("{allowed}, {hold_min} min, {name}"));
    if let Some(decay) = &found.decay {
        row.hold_min = Some(minutes(decay.end_s - decay.shut_at_s));
        let found_in_curve = found.notices.iter().any(|n| n.code() == "shut_not_stamped");
        let by = match found_in_curve {
            true => IsolationBasis::Curve,
            false => IsolationBasis::Mark,
        };
        row.isolated_by = Some(by.word().to_owned());
    }
}

fn of_blank_off(row: &mut Row, found: &BlankOffFindings) {
    row.test = Some(TestKind::BlankOff.word().to_owned());
    row.headline = Some(wording::blank_off_headline(&Voice::default(), found));
    row.reasons = words(found.reasons.iter().map(|r| r.word()));
    row.criteria = Some(criteria_line(&found.criteria));
    row.lowest_micron = found.floor.as_ref().map(|f| six_digits(f.end_micron));
    if let Some(rise) = &found.rise {
        of_hold(row, &rise.hold);
    }
}

/// "500 micron, 10 min, ceiling 500 micron, common practice".
pub(crate) fn criteria_line(of: &Criteria) -> String {
    let mut line = format!(
        "{} micron, {} min, ceiling {} micron",
        six_digits(of.target_micron),
        six_digits(of.hold_min),
        six_digits(of.ceiling_micron)
    );
    if !of.further.is_nothing() {
        line.push_str(" and more");
    }
    if let Some(name) = typed(&of.name) {
        line.push_str(", ");
        line.push_str(&name);
    }
    line
}

fn words<'a>(words: impl Iterator<Item = &'a str>) -> Vec<String> {
    words.map(str::to_owned).collect()
}

/// Whole tenths of a second, min.
fn minutes(seconds: f64) -> f64 {
    six_digits((seconds * 10.0).round() / 600.0)
}
