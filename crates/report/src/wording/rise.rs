//! The rise of a hold in words: cause, figures, leak size, detection limit, water.
//!
//! A figure is given only where the cause bears it out: a rise that levels off
//! has no leak rate, and a doubtful one has an upper end only.

use analyser::{Estimate, Findings, Hold, Reason, RiseKind};
use vacuum::{Job, Refrigerant, leak::Throughput};

use super::sentence;
use crate::figures::{duration, estimate, estimated_micron, plain, significant};

/// The cause of the rise with its figures.
#[must_use]
pub fn rise_sentence(hold: &Hold) -> String {
    let rise = &hold.rise;
    let mut out = rise_headline(hold);
    if let Some(more) = more_to_tell_s(hold) {
        out.push_str(&format!(
            " A hold of {} in all ({} more) should tell leak and moisture apart.",
            duration(hold.duration_s + more),
            duration(more)
        ));
    }
    if let Some(confidence) = rise
        .confidence
        .filter(|c| c.is_finite() && rise.kind != RiseKind::Unclear)
    {
        let percent = (confidence * 100.0).clamp(0.0, 99.0).floor();
        out.push_str(&format!(" Confidence in the cause: {percent:.0} %."));
    }
    out
}

/// Cause and figures, short: "Straight rise: leak, 1.20 micron/min."
pub(crate) fn rise_headline(hold: &Hold) -> String {
    let mut words = hold.rise.kind.label().to_owned();
    words.push_str(&rate_clause(hold));
    if let Some(far) = not_reached(hold) {
        words.push_str(&far);
    } else if let Some(level) = level(hold) {
        let what = match hold.rise.kind {
            RiseKind::LeakAndMoisture => "; the moisture part levels off at",
            _ => ", at",
        };
        words.push_str(&format!("{what} {level}"));
    }
    if let Some(pace) = pace(hold).filter(|_| not_reached(hold).is_none()) {
        words.push_str(&format!(", 63 % of the way after {pace}"));
    }
    sentence(&words)
}

/// A level that the hold has not come near is a range, never a figure.
fn not_reached(hold: &Hold) -> Option<String> {
    let level = hold
        .rise
        .plateau_micron
        .filter(|_| hold.rise.kind == RiseKind::Moisture)?;
    let end = hold.end_micron?;
    (level.value > 1.15 * end).then(|| {
        let (low, high) = (
            significant(level.low.max(end), 3),
            significant(level.high, 3),
        );
        format!(", bending over but not level yet: heading for somewhere between {low} and {high} micron")
    })
}

/// Cause and rate only: "Straight rise: leak, 1.20 micron/min (95 %: …)."
pub(crate) fn cause_and_rate(hold: &Hold) -> String {
    sentence(&format!("{}{}", hold.rise.kind.label(), rate_clause(hold)))
}

fn rate_clause(hold: &Hold) -> String {
    let lead = match hold.rise.kind {
        RiseKind::Unclear => "; a leak's share is",
        _ => ",",
    };
    straight_part(hold).map_or_else(String::new, |rate| format!("{lead} {rate}"))
}

/// The straight part of the rise, where the cause has one: with its interval
/// for a leak, its upper end when the cause is not clear.
pub(crate) fn straight_part(hold: &Hold) -> Option<String> {
    let rate = hold.rise.leak_micron_per_min.as_ref()?;
    match hold.rise.kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => Some(estimate(rate, "micron/min")),
        RiseKind::Unclear => at_most(rate, "micron/min"),
        RiseKind::None | RiseKind::Moisture => None,
    }
}

/// Where the saturating part levels off.
pub(crate) fn level(hold: &Hold) -> Option<String> {
    hold.rise.plateau_micron.as_ref().map(estimated_micron)
}

/// Time constant of the saturating part.
pub(crate) fn pace(hold: &Hold) -> Option<String> {
    let minutes = hold.rise.tau_s.as_ref()?.scaled(1.0 / 60.0);
    Some(estimate(&minutes, "min"))
}

/// How much longer the hold should go on to tell the cause, s.
pub(crate) fn more_to_tell_s(hold: &Hold) -> Option<f64> {
    let unclear = hold.rise.kind == RiseKind::Unclear;
    let more = hold.rise.decide_after_s.filter(|_| unclear)? - hold.duration_s;
    (more.is_finite() && more >= 30.0).then_some(more)
}

/// The size of the leak as gas flow, then as refrigerant where one is named;
/// nothing where there is no leak to speak of, or no volume.
pub(crate) fn throughput(hold: &Hold) -> Option<(String, Option<String>)> {
    let leak = hold.leak.as_ref()?;
    let grams = leak.g_per_year.as_ref();
    match hold.rise.kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => Some((
            estimate(&leak.pa_m3_per_s, "Pa·m³/s"),
            grams.map(|g| estimate(g, "g/year")),
        )),
        RiseKind::Unclear => Some((
            at_most(&leak.pa_m3_per_s, "Pa·m³/s")?,
            grams.and_then(|g| at_most(g, "g/year")),
        )),
        RiseKind::None | RiseKind::Moisture => None,
    }
}

/// A range of times in days, months or years, whichever suits its later end.
fn times(soonest_years: f64, latest_years: f64) -> String {
    let (per_year, unit) = match latest_years {
        y if y < 0.2 => (365.25, "days"),
        y if y < 2.0 => (12.0, "months"),
        _ => (1.0, "years"),
    };
    let of = |years: f64| {
        significant(
            years * per_year,
            if years * per_year < 10.0 { 1 } else { 2 },
        )
    };
    format!("{} to {} {unit}", of(soonest_years), of(latest_years))
}

/// The upper end of an interval around little.
fn at_most(e: &Estimate, unit: &str) -> Option<String> {
    let worth_saying = e.high.is_finite() && e.high > 0.0;
    worth_saying.then(|| format!("at most {} {unit}", significant(e.high, 2)))
}

/// The leak as gas flow, with what it is not; `None` without a volume or a leak.
#[must_use]
pub fn leak_sentence(hold: &Hold) -> Option<String> {
    let (flow, grams) = throughput(hold)?;
    let grams = grams
        .map(|g| format!("; the same flow of refrigerant would be {g}"))
        .unwrap_or_default();
    let whose = match hold.rise.kind {
        RiseKind::Unclear => "Air drawn in, if it is a leak",
        _ => "Air drawn in by the leak",
    };
    let loses = operating_loss(hold).map_or_else(
        || "The charged system loses at another rate.".to_owned(),
        |loss| format!("Charged and standing at 20 °C it may lose {loss}."),
    );
    Some(format!("{whose}: {flow}{grams}. {loses}"))
}

/// What the charged system may lose, as a range, with the years to a tenth of the
/// charge; `None` where it is not known.
pub(crate) fn operating_loss(hold: &Hold) -> Option<String> {
    let loss = hold.operating_loss?;
    let (least, most) = loss.g_per_year;
    let range =
        |low: f64, high: f64| format!("{} to {}", significant(low, 2), significant(high, 2));
    let years = loss
        .years_to_lose_a_tenth
        .map(|(soonest, latest)| format!(", a tenth of the charge in {}", times(soonest, latest)))
        .unwrap_or_default();
    Some(format!("{} g/year{years}", range(least, most)))
}

/// The smallest leak that this hold could have shown. With a job that gives
/// volume and refrigerant, in grams a year too.
#[must_use]
pub fn detection_sentence(hold: &Hold, job: Option<&Job>) -> String {
    let Some(rate) = detection_limit(hold) else {
        return "How small a leak this hold could have shown is not known.".to_owned();
    };
    let grams = job
        .and_then(|job| limit_in_grams(rate, job))
        .map(|grams| format!(" ({grams})"))
        .unwrap_or_default();
    format!(
        "This hold could not have shown a leak below {} micron/min{grams}: \
         a smaller leak is not ruled out.",
        significant(rate, 2),
    )
}

/// The detection limit, micron/min, when it is known.
pub(crate) fn detection_limit(hold: &Hold) -> Option<f64> {
    hold.rise
        .detection_limit_micron_per_min
        .filter(|r| r.is_finite())
}

/// A rate in the job's system as gas flow: "2.2 × 10⁻⁶ Pa·m³/s in 2 L".
pub(crate) fn limit_as_flow(rate_micron_per_min: f64, job: &Job) -> Option<String> {
    let volume_l = usable_volume_l(job)?;
    let flow = Throughput::from_rise(rate_micron_per_min, volume_l);
    Some(format!(
        "{} Pa·m³/s in {} L",
        significant(flow.pa_m3_per_s(), 2),
        plain(volume_l, 3)
    ))
}

/// The same as refrigerant: "1.7 g/year of R-600a".
pub(crate) fn limit_in_grams(rate_micron_per_min: f64, job: &Job) -> Option<String> {
    let flow = Throughput::from_rise(rate_micron_per_min, usable_volume_l(job)?);
    let refrigerant = Refrigerant::named(job.refrigerant.as_deref()?)?;
    Some(format!(
        "{} g/year of {}",
        significant(flow.g_per_year(refrigerant), 2),
        refrigerant.designation
    ))
}

fn usable_volume_l(job: &Job) -> Option<f64> {
    job.volume_l.filter(|v| v.is_finite() && *v > 0.0)
}

/// Water left as vapour, mg, where the gas in the hold may be water: not when a
/// leak or an open pump let air in.
pub(crate) fn water_mg(findings: &Findings, hold: &Hold) -> Option<f64> {
    let air =
        hold.rise.kind == RiseKind::Leak || findings.reasons.contains(&Reason::PumpOpenAtStop);
    hold.water_vapour_mg.filter(|mg| mg.is_finite() && !air)
}

/// Water left as vapour in words; `None` without a volume, and where the gas is air.
#[must_use]
pub fn water_sentence(findings: &Findings) -> Option<String> {
    let mg = water_mg(findings, findings.judged_hold()?)?;
    let ppm = findings
        .judged_hold()
        .and_then(|h| h.water_ppm_of_charge)
        .map(|ppm| format!(" ({} ppm of the charge)", significant(ppm, 2)))
        .unwrap_or_default();
    Some(format!(
        "Water left as vapour: at most {} mg{ppm}; what oil and filter-drier hold comes on top.",
        significant(mg, 2)
    ))
}
