//! The rise of a hold in words: cause, figures, leak size, detection limit, water.
//!
//! A figure is given only where the cause bears it out: a rise that levels off
//! has no leak rate, and a doubtful one has an upper end only.

use findings::{CouldShow, Estimate, Findings, Hold, Reason, RiseKind};
use vacuum::{
    COLD_LOW_SIDE_C, GaugePrinciple, Job, Refrigerant,
    leak::{self, Throughput},
    water::NEW_REFRIGERANT_PPM,
};

use super::{
    certainty::{cause_words, is_stated, odds_sentence},
    clause::sentence,
};
use crate::{Voice, say};

/// The unit of gas flow, the same in every language.
const FLOW: &str = "Pa·m³/s";

/// The cause of the rise with its figures.
#[must_use]
pub fn rise_sentence(voice: &Voice, hold: &Hold) -> String {
    let rise = &hold.rise;
    let mut sentences = vec![rise_headline(voice, hold)];
    if let Some(more) = more_to_tell_s(hold) {
        sentences.push(say!(
            voice,
            "rise-hold-longer",
            all = voice.to_go(hold.duration_s + more),
            more = voice.to_go(more)
        ));
    }
    sentences.extend(odds_sentence(voice, rise));
    sentences.join(" ")
}

/// Cause and figures, short: "Straight rise: leak, 1.20 micron/min."
#[must_use]
pub fn rise_headline(voice: &Voice, hold: &Hold) -> String {
    let rise = with_rate(voice, hold);
    if let Some((low, high)) = not_reached(hold) {
        return sentence(&say!(
            voice,
            "rise-not-level",
            rise = rise,
            range = voice.pressures(low, high)
        ));
    }
    let rise = match (level(voice, hold), hold.rise.kind) {
        (None, _) => rise,
        (Some(level), _) if !is_stated(&hold.rise) => {
            say!(voice, "rise-towards", rise = rise, level = level)
        }
        (Some(level), RiseKind::LeakAndMoisture) => {
            say!(voice, "rise-moisture-part", rise = rise, level = level)
        }
        (Some(level), _) => say!(voice, "rise-at-level", rise = rise, level = level),
    };
    sentence(&match pace(voice, hold) {
        Some(pace) => say!(voice, "rise-pace", rise = rise, pace = pace),
        None => rise,
    })
}

/// A level that the hold has not come near is a range, never a figure; micron.
fn not_reached(hold: &Hold) -> Option<(f64, f64)> {
    let level = hold
        .rise
        .plateau_micron
        .filter(|_| hold.rise.kind == RiseKind::Moisture)?;
    let end = hold.end_micron?;
    (level.value > 1.15 * end).then(|| (level.low.max(end), level.high))
}

/// Cause and rate only: "Straight rise: leak, 1.20 micron/min (95 %: …)."
#[must_use]
pub fn cause_and_rate(voice: &Voice, hold: &Hold) -> String {
    sentence(&with_rate(voice, hold))
}

fn with_rate(voice: &Voice, hold: &Hold) -> String {
    let cause = cause_words(voice, &hold.rise);
    let Some(rate) = straight_part(voice, hold) else {
        return cause;
    };
    match hold.rise.kind {
        RiseKind::Unclear => say!(voice, "rise-and-share", cause = cause, rate = rate),
        _ if is_stated(&hold.rise) => say!(voice, "rise-and-rate", cause = cause, rate = rate),
        _ => say!(voice, "rise-and-straight", cause = cause, rate = rate),
    }
}

/// The straight part of the rise, where the cause has one: with its interval
/// for a leak, its upper end when the cause is not clear.
#[must_use]
pub fn straight_part(voice: &Voice, hold: &Hold) -> Option<String> {
    let rate = hold.rise.leak_micron_per_min.as_ref()?;
    match hold.rise.kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => Some(voice.estimated_rate(rate)),
        RiseKind::Unclear => at_most(rate).map(|high| at_most_words(voice, &voice.rate(high, 2))),
        RiseKind::None | RiseKind::Moisture => None,
    }
}

/// Where the saturating part levels off.
#[must_use]
pub fn level(voice: &Voice, hold: &Hold) -> Option<String> {
    let level = hold.rise.plateau_micron.as_ref();
    level.map(|level| voice.estimated_pressure(level))
}

/// Time constant of the saturating part.
#[must_use]
pub fn pace(voice: &Voice, hold: &Hold) -> Option<String> {
    let minutes = hold.rise.tau_s.as_ref()?.scaled(1.0 / 60.0);
    Some(voice.estimate(&minutes, "min"))
}

/// How much longer the hold should go on to tell the cause, s.
#[must_use]
pub fn more_to_tell_s(hold: &Hold) -> Option<f64> {
    let unclear = hold.rise.kind == RiseKind::Unclear;
    let more = hold.rise.decide_after_s.filter(|_| unclear)? - hold.duration_s;
    (more.is_finite() && more >= 30.0).then_some(more)
}

/// The size of the leak as gas flow, then as refrigerant where one is named;
/// nothing where there is no leak to speak of, or no volume.
#[must_use]
pub fn throughput(voice: &Voice, hold: &Hold) -> Option<(String, Option<String>)> {
    let leak = hold.leak.as_ref()?;
    let grams = leak.g_per_year.as_ref();
    let per_year = say!(voice, "per-year");
    let limited = |e: &Estimate, unit: &str| {
        let high = at_most(e)?;
        let value = format!("{} {unit}", voice.significant(high, 2));
        Some(say!(voice, "at-most", value = value))
    };
    match hold.rise.kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => Some((
            voice.estimate(&leak.pa_m3_per_s, FLOW),
            grams.map(|g| voice.estimate(g, &per_year)),
        )),
        RiseKind::Unclear => Some((
            limited(&leak.pa_m3_per_s, FLOW)?,
            grams.and_then(|g| limited(g, &per_year)),
        )),
        RiseKind::None | RiseKind::Moisture => None,
    }
}

/// Units of long times, the longest first: how many make a year, from how many years on a
/// range is given in them, and the message; a symbol of the SI has none.
const LONG_UNITS: [(f64, f64, &str); 5] = [
    (1.0, 2.0, "years"),
    (12.0, 0.2, "months"),
    (365.25, 2.0 / 365.25, "days"),
    (8_766.0, 2.0 / 8_766.0, "h"),
    (525_960.0, 0.0, "min"),
];

/// A range of times in the unit that suits its later end; the sooner end has one of its
/// own where it would be less than one of that: "18 h to 13 days", never "0.009 to 0.2".
fn times(voice: &Voice, soonest_years: f64, latest_years: f64) -> String {
    let of_latest = LONG_UNITS
        .iter()
        .position(|(_, from, _)| latest_years >= *from);
    let of_latest = of_latest.unwrap_or(LONG_UNITS.len() - 1);
    let at_least_one = |unit: &(f64, f64, &str)| soonest_years * unit.0 >= 1.0;
    let later = LONG_UNITS.iter().skip(of_latest).position(at_least_one);
    let of_soonest = later.map_or(LONG_UNITS.len() - 1, |more| of_latest + more);
    let number = |years: f64, (per_year, ..): (f64, f64, &str)| {
        let number = years * per_year;
        voice.significant(number, if number < 10.0 { 1 } else { 2 })
    };
    let in_unit = |range: String, (_, _, id): (f64, f64, &'static str)| match id {
        "years" => say!(voice, "years", range = range),
        "months" => say!(voice, "months", range = range),
        "days" => say!(voice, "days", range = range),
        symbol => format!("{range} {symbol}"),
    };
    let (unit, sooner) = (LONG_UNITS[of_latest], LONG_UNITS[of_soonest]);
    let latest = number(latest_years, unit);
    let soonest = number(soonest_years, sooner);
    if of_latest == of_soonest {
        return in_unit(say!(voice, "range", low = soonest, high = latest), unit);
    }
    let (low, high) = (in_unit(soonest, sooner), in_unit(latest, unit));
    say!(voice, "range", low = low, high = high)
}

/// The upper end of an interval around little.
fn at_most(e: &Estimate) -> Option<f64> {
    Some(e.high).filter(|high| high.is_finite() && *high > 0.0)
}

/// "at most 88 micron/min".
pub(super) fn at_most_words(voice: &Voice, value: &str) -> String {
    say!(voice, "at-most", value = value)
}

/// What the charged system may lose, g a year: "52 to 860 g/year", "at most 860 g/year".
pub(super) fn grams_words(voice: &Voice, (least, most): (f64, f64)) -> String {
    let high = voice.significant(most, 2);
    if least > 0.0 {
        let low = voice.significant(least, 2);
        let range = say!(voice, "range", low = low, high = high);
        say!(voice, "loss", range = range)
    } else {
        at_most_words(voice, &say!(voice, "loss", range = high))
    }
}

/// The leak as gas flow, with what it is not; `None` without a volume or a leak.
#[must_use]
pub fn leak_sentence(voice: &Voice, hold: &Hold) -> Option<String> {
    let (flow, grams) = throughput(voice, hold)?;
    let drawn_in = match (grams, !is_stated(&hold.rise)) {
        (None, false) => say!(voice, "leak-flow", flow = flow),
        (None, true) => say!(voice, "leak-flow-unclear", flow = flow),
        (Some(grams), false) => say!(voice, "leak-flow-grams", flow = flow, grams = grams),
        (Some(grams), true) => {
            say!(voice, "leak-flow-unclear-grams", flow = flow, grams = grams)
        }
    };
    let loses = match operating_loss(voice, hold) {
        None => say!(voice, "leak-other-rate"),
        Some(loss) => say!(voice, "leak-charged", loss = loss),
    };
    let running = low_side_words(voice, hold).map(|words| format!(" {}", sentence(&words)));
    Some(format!("{drawn_in} {loses}{}", running.unwrap_or_default()))
}

/// What the charged system may lose, as a range, with the years to a tenth of the
/// charge; `None` where it is not known.
#[must_use]
pub fn operating_loss(voice: &Voice, hold: &Hold) -> Option<String> {
    let loss = hold.operating_loss?;
    let grams = grams_words(voice, loss.g_per_year);
    Some(match loss.years_to_lose_a_tenth {
        None => grams,
        Some((soonest, latest)) => say!(
            voice,
            "loss-years",
            loss = grams,
            years = times(voice, soonest, latest)
        ),
    })
}

/// Where a running system's low side stands below the air outside, a clause: a leak there
/// loses nothing meanwhile, it draws air in.
#[must_use]
pub fn low_side_words(voice: &Voice, hold: &Hold) -> Option<String> {
    let pa = hold.operating_loss?.low_side_pa?;
    Some(say!(
        voice,
        "low-side-draws-in",
        kpa = voice.significant(pa / 1e3, 2),
        c = voice.decimals(COLD_LOW_SIDE_C, 0)
    ))
}

/// The smallest leak that this hold could have shown, and whether a leak at the line of a
/// sealed system would have shown, where volume and refrigerant are known.
#[must_use]
pub fn detection_sentence(voice: &Voice, hold: &Hold) -> String {
    let sight = sight_sentence(voice, hold);
    let id = match hold
        .smallest_leak
        .filter(|_| detection_limit(hold).is_some())
        .map(|s| s.sealed_system)
    {
        None => return sight,
        Some(CouldShow::Yes) => "sealed-yes-sentence",
        Some(CouldShow::No) => "sealed-no-sentence",
        Some(CouldShow::DependsOnFlowLaw) => "sealed-depends-sentence",
    };
    format!("{sight} {}", say!(voice, id, line = sealed_line(voice)))
}

/// The smallest leak that this hold could have shown, where volume and refrigerant are
/// known with what the charged system may lose through it.
#[must_use]
pub fn sight_sentence(voice: &Voice, hold: &Hold) -> String {
    let Some(rate) = detection_limit(hold) else {
        return say!(voice, "sight-unknown");
    };
    let limit = voice.rate(rate, 2);
    match hold.smallest_leak {
        None => say!(voice, "sight", limit = limit),
        Some(sight) => {
            let grams = grams_words(voice, sight.g_per_year);
            say!(voice, "sight-grams", limit = limit, grams = grams)
        }
    }
}

/// Whether the hold could have shown the leak that separates a sealed system from
/// another, a clause.
#[must_use]
pub fn sealed_words(voice: &Voice, hold: &Hold) -> Option<String> {
    let id = match hold.smallest_leak?.sealed_system {
        CouldShow::Yes => "sealed-yes",
        CouldShow::No => "sealed-no",
        CouldShow::DependsOnFlowLaw => "sealed-depends",
    };
    Some(say!(voice, id, line = sealed_line(voice)))
}

fn sealed_line(voice: &Voice) -> String {
    let line = voice.plain(leak::SEALED_SYSTEM_G_PER_YEAR, 2);
    say!(voice, "loss", range = line)
}

/// The detection limit, micron/min, when it is known.
#[must_use]
pub fn detection_limit(hold: &Hold) -> Option<f64> {
    hold.rise
        .detection_limit_micron_per_min
        .filter(|r| r.is_finite())
}

/// A rate in the job's system as gas flow: "2.2 × 10⁻⁶ Pa·m³/s in 2 L".
#[must_use]
pub fn limit_as_flow(voice: &Voice, rate_micron_per_min: f64, job: &Job) -> Option<String> {
    let volume_l = usable_volume_l(job)?;
    let flow = Throughput::from_rise(rate_micron_per_min, volume_l);
    Some(say!(
        voice,
        "flow-in-volume",
        flow = format!("{} {FLOW}", voice.significant(flow.pa_m3_per_s(), 2)),
        volume = voice.plain(volume_l, 3)
    ))
}

/// What the charged system may lose through a leak at the limit, of which refrigerant:
/// "11 to 150 g/year of R-600a".
#[must_use]
pub fn limit_in_grams(voice: &Voice, hold: &Hold, job: Option<&Job>) -> Option<String> {
    let loss = grams_words(voice, hold.smallest_leak?.g_per_year);
    let named = job.and_then(|job| Refrigerant::named(job.refrigerant.as_deref()?));
    Some(match named {
        None => loss,
        Some(r) => say!(voice, "loss-of", loss = loss, refrigerant = r.designation),
    })
}

fn usable_volume_l(job: &Job) -> Option<f64> {
    job.volume_l.filter(|v| v.is_finite() && *v > 0.0)
}

/// Water left as vapour, mg, where the gas in the hold may be water: not when a
/// leak or an open pump let air in.
#[must_use]
pub fn water_mg(findings: &Findings, hold: &Hold) -> Option<f64> {
    let air =
        hold.rise.kind == RiseKind::Leak || findings.reasons.contains(&Reason::PumpOpenAtStop);
    hold.water_vapour_mg.filter(|mg| mg.is_finite() && !air)
}

/// What a thermal gauge does with water vapour, a clause; `None` for other gauges.
#[must_use]
pub fn thermal_words(voice: &Voice, findings: &Findings) -> Option<String> {
    let principle = findings.data.gauge_principle?;
    (principle == GaugePrinciple::Thermal).then(|| say!(voice, "water-by-thermal-gauge"))
}

/// Water left as vapour in words; `None` without a volume, and where the gas is air.
#[must_use]
pub fn water_sentence(voice: &Voice, findings: &Findings) -> Option<String> {
    let hold = findings.judged_hold()?;
    let mg = voice.significant(water_mg(findings, hold)?, 2);
    let water = match hold.water_ppm_of_charge {
        None => say!(voice, "water", mg = mg),
        Some(ppm) => say!(
            voice,
            "water-ppm",
            mg = mg,
            ppm = voice.significant(ppm, 2),
            limit = voice.plain(NEW_REFRIGERANT_PPM, 2)
        ),
    };
    Some(match thermal_words(voice, findings) {
        None => water,
        Some(thermal) => format!("{water} {}", sentence(&thermal)),
    })
}
