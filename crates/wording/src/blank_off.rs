//! A blank-off test of pump and hoses, as lines.

use findings::{
    BlankOffFindings, BlankOffNotice, BlankOffReason, RigFloor, RigHistory, RiseKind, Verdict,
};

use crate::{
    Voice,
    criteria::criteria_source,
    data::data_line,
    labels::verdict_words,
    rise::{rise_sentence, sight_sentence},
    round::hold_sentence,
    say,
};

/// What is said of a blank-off test: the verdict first, then what it rests on, and what to
/// do next at the end.
///
/// ```
/// use findings::{BlankOffFindings, BlankOffReason, DataSummary, RigNames, Verdict};
/// use vacuum::Criteria;
///
/// let nothing = BlankOffFindings {
///     verdict: Verdict::NotProven,
///     reasons: vec![BlankOffReason::NoReadings],
///     criteria: Criteria::rig_half_hour(),
///     allowed_rise_micron_per_min: None,
///     floor: None,
///     rise: None,
///     rig: RigNames::default(),
///     history: None,
///     notices: Vec::new(),
///     data: DataSummary::default(),
/// };
/// let lines = wording::blank_off_lines(&wording::Voice::default(), &nothing);
/// assert_eq!(lines[0], "NOT PROVEN: there are no readings to judge.");
/// ```
#[must_use]
pub fn blank_off_lines(voice: &Voice, found: &BlankOffFindings) -> Vec<String> {
    let mut lines = vec![blank_off_headline(voice, found)];
    let name = |name: &Option<String>| match name {
        Some(name) => name.clone(),
        None => say!(voice, "rig-unnamed"),
    };
    if found.rig.rig.is_some() || found.rig.pump.is_some() {
        lines.push(say!(
            voice,
            "rig-names",
            rig = name(&found.rig.rig),
            pump = name(&found.rig.pump)
        ));
    }
    if let Some(hours) = found.rig.oil_hours {
        lines.push(say!(voice, "rig-oil", hours = voice.decimals(hours, 1)));
    }
    lines.push(say!(
        voice,
        "rig-asked",
        floor = voice.limit(found.criteria.target_micron),
        minutes = voice.plain(found.criteria.hold_min, 4),
        ceiling = voice.limit(found.criteria.ceiling_micron),
        source = criteria_source(voice, &found.criteria)
    ));
    if let Some(rate) = found.allowed_rise_micron_per_min {
        lines.push(say!(voice, "rig-asked-rise", rate = voice.rate(rate, 2)));
    }
    match &found.floor {
        Some(floor) => floor_lines(voice, floor, &mut lines),
        None => lines.push(say!(voice, "rig-floor-none")),
    }
    if let Some(rise) = &found.rise {
        lines.push(hold_sentence(voice, &rise.hold));
        if let Some(mean) = &rise.micron_per_min {
            lines.push(say!(voice, "rig-rise", rate = voice.estimated_rate(mean)));
        }
        lines.push(rise_sentence(voice, &rise.hold));
        lines.push(sight_sentence(voice, &rise.hold));
    }
    if let Some(history) = &found.history {
        history_lines(voice, history, &mut lines);
    }
    lines.push(data_line(voice, &found.data));
    lines.extend(found.notices.iter().map(|n| blank_off_notice(voice, n)));
    lines.push(blank_off_next(voice, found));
    lines
}

/// Verdict and reasons in one line.
#[must_use]
pub fn blank_off_headline(voice: &Voice, found: &BlankOffFindings) -> String {
    say!(
        voice,
        "rig-headline",
        verdict = verdict_words(voice, found.verdict),
        words = blank_off_reasons(voice, found)
    )
}

/// The reasons without the verdict, as they stand beside it: they begin with a small letter.
#[must_use]
pub fn blank_off_reasons(voice: &Voice, found: &BlankOffFindings) -> String {
    if let (Verdict::Pass, Some(floor)) = (found.verdict, &found.floor) {
        // what was not reached is not said to be
        let reached = match floor.reached_s {
            Some(_) => floor.micron.value,
            None => floor.end_micron,
        };
        return say!(voice, "rig-pass", floor = voice.pressure(reached));
    }
    let words = found.reasons.iter().map(|r| blank_off_reason(voice, *r));
    words.collect::<Vec<_>>().join("; ") + "."
}

fn floor_lines(voice: &Voice, floor: &RigFloor, lines: &mut Vec<String>) {
    let pressure = voice.estimated_pressure(&floor.micron);
    let now = voice.pressure(floor.end_micron);
    lines.push(match (floor.is_bound, floor.reached_s) {
        (true, _) => {
            let bound = voice.pressure(floor.micron.high);
            say!(voice, "rig-floor-below", bound = bound)
        }
        (_, Some(at_s)) => say!(
            voice,
            "rig-floor",
            floor = pressure,
            time = voice.moment(at_s)
        ),
        (_, None) if floor.pump_longer_min.is_some() => {
            say!(voice, "rig-floor-ahead", floor = pressure, now = now)
        }
        (_, None) => say!(voice, "rig-floor-open", floor = pressure, now = now),
    });
    if let Some(minutes) = floor.pump_longer_min {
        // never less than it takes
        let minutes = voice.decimals(minutes.ceil(), 0);
        lines.push(say!(voice, "rig-longer", minutes = minutes));
    }
}

/// What earlier tests of the rig were like, a sentence each.
#[must_use]
pub fn rig_history_lines(voice: &Voice, history: &RigHistory) -> Vec<String> {
    let mut lines = Vec::new();
    history_lines(voice, history, &mut lines);
    lines
}

fn history_lines(voice: &Voice, history: &RigHistory, lines: &mut Vec<String>) {
    if let Some(median) = history.median_floor_micron {
        lines.push(say!(
            voice,
            "rig-history",
            runs = voice.count(history.runs as u64),
            median = voice.pressure(median)
        ));
    }
    if let Some(usual) = history.highest_usual_floor_micron {
        lines.push(say!(
            voice,
            "rig-history-usual",
            floor = voice.pressure(usual)
        ));
    }
    if let Some(usual) = history.highest_usual_rise_micron_per_min {
        lines.push(say!(voice, "rig-history-rise", rate = voice.rate(usual, 2)));
    }
    if let Some(trend) = &history.floor_trend_micron_per_10h {
        let trend = voice.estimate(trend, "micron");
        lines.push(say!(voice, "rig-trend", trend = trend));
    }
}

/// Why it is not a pass, a clause.
#[must_use]
pub fn blank_off_reason(voice: &Voice, reason: BlankOffReason) -> String {
    let id = match reason {
        BlankOffReason::FloorTooHigh => "rig-why-floor",
        BlankOffReason::RigLeaks => "rig-why-leaks",
        BlankOffReason::RigWet => "rig-why-wet",
        BlankOffReason::WorseThanBefore => "rig-why-worse",
        BlankOffReason::NoIsolation => "rig-why-isolation",
        BlankOffReason::PumpOpenAtStop => "rig-why-pump-open",
        BlankOffReason::NoPulldown => "rig-why-pulldown",
        BlankOffReason::FloorNotReached => "rig-why-ahead",
        BlankOffReason::FloorNearLimit => "rig-why-near",
        BlankOffReason::HoldTooShort => "rig-why-short",
        BlankOffReason::GapInHold => "rig-why-gap",
        BlankOffReason::GaugeFault => "rig-why-fault",
        BlankOffReason::GaugeTooCoarse => "rig-why-coarse",
        BlankOffReason::UnitDoubtful => "rig-why-unit",
        // a reason of a later version has its word in the JSON file
        _ => "rig-why-no-readings",
    };
    say!(voice, id)
}

/// What was noticed beside the verdict, a sentence.
#[must_use]
pub fn blank_off_notice(voice: &Voice, notice: &BlankOffNotice) -> String {
    match *notice {
        BlankOffNotice::IsolationNotStamped { at_s } => {
            say!(voice, "rig-note-unstamped", time = voice.moment(at_s))
        }
        BlankOffNotice::ShortHistory { runs } => say!(
            voice,
            "rig-note-short-history",
            runs = voice.count(runs as u64)
        ),
        BlankOffNotice::FloorGrew(grew) => say!(
            voice,
            "rig-note-grew",
            factor = voice.significant(grew.factor, 2),
            hours = voice.significant(grew.hours, 2)
        ),
        BlankOffNotice::GaugeEndsAt { micron } => {
            let bound = voice.pressure(micron);
            say!(voice, "rig-note-gauge-ends", bound = bound)
        }
        _ => say!(voice, "rig-note-no-history"),
    }
}

/// What to do now: the gravest reason decides.
#[must_use]
pub fn blank_off_next(voice: &Voice, found: &BlankOffFindings) -> String {
    let has = |reason| found.reasons.contains(&reason);
    // what looks like vapour is dried first, certain or not
    let looks_wet = found
        .rise
        .as_ref()
        .is_some_and(|rise| rise.hold.rise.kind == RiseKind::Moisture);
    let id = if found.verdict == Verdict::Pass {
        "rig-next-use"
    } else if has(BlankOffReason::RigWet) || has(BlankOffReason::RigLeaks) && looks_wet {
        "rig-next-dry"
    } else if has(BlankOffReason::RigLeaks) {
        "rig-next-leak"
    } else if has(BlankOffReason::FloorTooHigh) || has(BlankOffReason::WorseThanBefore) {
        "rig-next-oil"
    } else if has(BlankOffReason::FloorNotReached) {
        "rig-next-pump"
    } else {
        "rig-next-again"
    };
    say!(voice, id)
}
