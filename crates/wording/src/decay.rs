//! A pressure test with dry gas, as lines.

use findings::{
    Decay, DecayCriteria, DecayFindings, DecayNotice, DecayPhase, DecayReason, Estimate, Verdict,
};

use crate::{Voice, say, under_pressure::THROUGHPUT};

/// What is said of a pressure test: the verdict first, then what it rests on.
#[must_use]
pub fn decay_lines(voice: &Voice, found: &DecayFindings) -> Vec<String> {
    let mut lines = vec![headline(voice, found)];
    if let Some(decay) = &found.decay {
        measured(voice, decay, &found.criteria, &mut lines);
        // what is held up by a supply, or has grown, says nothing of a leak
        let says_nothing = [DecayReason::SupplyOpen, DecayReason::PressureRose];
        if !found.reasons.iter().any(|r| says_nothing.contains(r)) {
            charged(voice, decay, &mut lines);
        }
        longer(voice, decay, &mut lines);
    }
    lines.extend(found.notices.iter().map(|n| decay_notice(voice, n)));
    if !found.criteria.name.is_empty() {
        lines.push(say!(
            voice,
            "decay-rule",
            name = found.criteria.name.as_str(),
            source = found.criteria.source.as_str()
        ));
    }
    lines
}

/// Where a pressure test stands, as a clause.
#[must_use]
pub fn decay_phase_words(voice: &Voice, phase: DecayPhase) -> String {
    let id = match phase {
        DecayPhase::Waiting => "decay-phase-waiting",
        DecayPhase::UnderSupply => "decay-phase-supply",
        DecayPhase::Hold => "decay-phase-hold",
        DecayPhase::Vented => "decay-phase-vented",
    };
    say!(voice, id)
}

/// What a pressure test shows so far, as a clause.
#[must_use]
pub fn decay_answer(voice: &Voice, found: &DecayFindings) -> String {
    let Some(decay) = &found.decay else {
        return say!(voice, "decay-live-early");
    };
    let limit = decay.detection_limit_pa_m3_per_s;
    let (upper, allowed) = (
        decay.upper_95_pa_m3_per_s,
        found.criteria.allowed_pa_m3_per_s,
    );
    match (found.verdict, limit, upper.zip(allowed)) {
        (Verdict::Pass, Some(limit), _) => {
            say!(voice, "decay-live-pass", limit = throughput(voice, limit))
        }
        (Verdict::Fail, ..) => say!(voice, "decay-live-fail"),
        (_, _, Some((upper, allowed))) => say!(
            voice,
            "decay-live-limit",
            upper = throughput(voice, upper),
            allowed = throughput(voice, allowed)
        ),
        _ => say!(
            voice,
            "decay-live-share",
            low = voice.significant(100.0 * decay.lost_per_hour.low, 2),
            high = voice.significant(100.0 * decay.lost_per_hour.high, 2)
        ),
    }
}

fn headline(voice: &Voice, found: &DecayFindings) -> String {
    let detectable = found.decay.and_then(|d| d.detection_limit_pa_m3_per_s);
    match found.verdict {
        Verdict::Pass => say!(
            voice,
            "decay-pass",
            limit = throughput(voice, detectable.unwrap_or(f64::NAN))
        ),
        Verdict::Fail => say!(voice, "decay-fail"),
        Verdict::NotProven => {
            let reasons: Vec<String> = found
                .reasons
                .iter()
                .map(|r| decay_reason(voice, *r))
                .collect();
            say!(voice, "decay-not-proven", reasons = reasons.join("; "))
        }
    }
}

fn measured(voice: &Voice, decay: &Decay, criteria: &DecayCriteria, lines: &mut Vec<String>) {
    lines.push(say!(
        voice,
        "decay-test",
        from = bar(voice, decay.start_bar_abs),
        to = bar(voice, decay.end_bar_abs),
        time = voice.duration(decay.end_s - decay.shut_at_s),
        shut = voice.moment(decay.shut_at_s)
    ));
    lines.push(
        match (decay.start_c, decay.end_c, decay.corrected_end_bar_abs) {
            (Some(from), Some(to), Some(corrected)) => say!(
                voice,
                "decay-temperature",
                from = voice.decimals(from, 1),
                to = voice.decimals(to, 1),
                corrected = bar(voice, corrected)
            ),
            _ => say!(voice, "decay-no-temperature"),
        },
    );
    match &decay.loss_pa_m3_per_s {
        Some(loss) => lines.push(say!(voice, "decay-loss", loss = estimate(voice, loss))),
        None => lines.push(say!(
            voice,
            "decay-share",
            low = voice.significant(100.0 * decay.lost_per_hour.low, 2),
            high = voice.significant(100.0 * decay.lost_per_hour.high, 2)
        )),
    }
    if let Some(upper) = decay.upper_95_pa_m3_per_s {
        lines.push(match criteria.allowed_pa_m3_per_s {
            Some(allowed) => say!(
                voice,
                "decay-upper",
                upper = throughput(voice, upper),
                allowed = throughput(voice, allowed)
            ),
            None => say!(voice, "decay-upper-only", upper = throughput(voice, upper)),
        });
    }
    if let Some(limit) = decay.detection_limit_pa_m3_per_s {
        lines.push(say!(
            voice,
            "decay-detectable",
            limit = throughput(voice, limit)
        ));
    }
}

/// What the same leak would do in the charged system, and under vacuum.
fn charged(voice: &Voice, decay: &Decay, lines: &mut Vec<String>) {
    if let Some((low, high)) = decay.g_per_year {
        lines.push(say!(
            voice,
            "decay-refrigerant",
            low = voice.significant(low, 2),
            high = voice.significant(high, 2)
        ));
    }
    if let Some((low, high)) = decay.hold_rise_micron_per_min {
        lines.push(say!(
            voice,
            "decay-hold",
            low = voice.significant(low, 2),
            high = voice.significant(high, 2)
        ));
    }
}

/// What would decide.
fn longer(voice: &Voice, decay: &Decay, lines: &mut Vec<String>) {
    if let Some(minutes) = decay.decides_in_min {
        // never less than it takes
        let minutes = voice.decimals(minutes.ceil(), 0);
        lines.push(say!(voice, "decay-longer", minutes = minutes));
    }
    if let Some(minutes) = decay.with_thermometer_min {
        let minutes = voice.decimals(minutes.ceil(), 0);
        lines.push(say!(voice, "decay-thermometer", minutes = minutes));
    }
}

/// Why a pressure test is not a pass, as a clause.
#[must_use]
pub fn decay_reason(voice: &Voice, reason: DecayReason) -> String {
    let id = match reason {
        DecayReason::LeakTooLarge => "decay-why-leak",
        DecayReason::SupplyOpen => "decay-why-supply",
        DecayReason::PressureRose => "decay-why-rose",
        DecayReason::PressureTooHigh => "decay-why-high",
        DecayReason::PressureTooLow => "decay-why-low",
        DecayReason::BarometerMissing => "decay-why-barometer",
        DecayReason::VolumeMissing => "decay-why-volume",
        DecayReason::LimitMissing => "decay-why-limit",
        DecayReason::TemperatureMissing => "decay-why-temperature",
        DecayReason::GaugeTooCoarse => "decay-why-coarse",
        DecayReason::NotSettled => "decay-why-settling",
        DecayReason::HoldTooShort => "decay-why-short",
        // a reason of a later version has its word in the JSON file
        _ => "decay-why-no-readings",
    };
    say!(voice, id)
}

/// Something noticed in a pressure test, as a sentence.
#[must_use]
pub fn decay_notice(voice: &Voice, notice: &DecayNotice) -> String {
    match *notice {
        DecayNotice::ShutLate { until_s, .. } => {
            say!(voice, "decay-note-late", time = voice.moment(until_s))
        }
        DecayNotice::ShutNotStamped { at_s } => {
            say!(voice, "decay-note-unstamped", time = voice.moment(at_s))
        }
        DecayNotice::Vented { at_s } => {
            say!(voice, "decay-note-vented", time = voice.moment(at_s))
        }
        DecayNotice::PressureHeldUp => say!(voice, "decay-note-held"),
        _ => say!(voice, "decay-note-apart"),
    }
}

fn bar(voice: &Voice, bar: f64) -> String {
    voice.test_pressure(bar)
}

fn throughput(voice: &Voice, pa_m3_per_s: f64) -> String {
    voice.throughput(pa_m3_per_s)
}

fn estimate(voice: &Voice, loss: &Estimate) -> String {
    voice.estimate(loss, THROUGHPUT)
}
