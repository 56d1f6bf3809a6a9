//! From weighed explanations to a cause, with its figures: what is said, what is
//! ruled out, what this hold could not have shown.

use findings::{Estimate, Rise, RiseCurve, RiseKind, Saturating, root_growth};
use run_memory::GaugeNoise;
use statistics::{interpolation::between_knots, linear::least_squares, robust::weighted_quantile};

use crate::evacuation::{
    hold::gauge_range::Top,
    rise::{Explanation, RiseFit, RiseModel},
};

/// A hold with too few readings to fit: only a run to the top of the gauge says
/// anything.
pub(crate) fn too_few(top: Option<Top>) -> Rise {
    Rise {
        kind: if top.is_some() {
            RiseKind::Leak
        } else {
            RiseKind::Unclear
        },
        leak_micron_per_min: top.map(|t| at_least(&t)),
        plateau_micron: None,
        tau_s: None,
        detection_limit_micron_per_min: None,
        decide_after_s: None,
        leak_probability: top.map(|_| RAN_OVER),
        confidence: top.map(|_| RAN_OVER),
        curve: None,
        evidence: None,
    }
}

/// A leak of which little more than the smallest size is known: the gauge ended before
/// it did.
fn at_least(top: &Top) -> Estimate {
    Estimate {
        value: top.at_least_micron_per_min,
        low: LEAST_SHARE * top.at_least_micron_per_min,
        high: MOST_SHARE * top.at_most_micron_per_min,
    }
}

/// Confidence that a run to the top of the gauge is a leak (common practice, no
/// source: no water gives off gas without slowing down).
const RAN_OVER: f64 = 0.97;
/// Share of the mean rise to the top that is certainly the leak's: equalisation may have
/// helped (common practice, no source).
const LEAST_SHARE: f64 = 0.5;
/// The inflow over the rise that the gauge showed: it lags, and is not straight there
/// (common practice, no source).
const MOST_SHARE: f64 = 2.0;
/// A run to the top that goes on like this is not water, or is faster than water comes:
/// late rise over early rise, and micron/min (common practice, no source).
const UNSLOWED: f64 = 0.7;
const FASTER_THAN_WATER: f64 = 3_000.0;
/// Free water of a room's temperature slows down visibly before it reaches this level, a
/// quarter of its saturation pressure at 21 °C (18,650 micron, IAPWS).
const SLOWS_WATER_MICRON: f64 = 4_700.0;
/// A pool of water cools as it boils, and bends otherwise than stores do: beside so much
/// vapour, micron, a leak is not named surely (tuned on even seeds).
const POOL_MICRON: f64 = 3_000.0;
const BESIDE_A_POOL: f64 = 0.85;

/// A rise up to this is none, micron (at low pressure a tenth of the level, at least
/// 2.5): every system gives off a little dissolved gas (common practice, no source).
const NOTHING_MICRON: f64 = 7.0;

/// Probability from which a leak is named, and from which it is ruled out: what costs more
/// when wrong needs more (common practice, no source).
const LEAK_FROM: f64 = 0.66;
const NO_LEAK_FROM: f64 = 0.72;
/// The same where there is next to no rise (common practice, no source).
const NONE_FROM: f64 = 0.57;

/// How many times a leak that is denied counts against one that is claimed (tuned on even
/// seeds: leaks that are denied).
const DENIED_COUNTS: f64 = 1.27;
/// The same where there is next to no rise. Both hold a margin, for the map was fitted on
/// the seeds on which they were chosen (tuned on even seeds: leaks that are denied).
const DENIED_COUNTS_SMALL: f64 = 1.1;
/// Vapour beside a leak goes without a name up to the first share of the rise, and has to
/// be named from the second on; between them either name is right (common practice, no
/// source).
const MOIST_MARGIN: (f64, f64) = (0.05, 0.3);
/// How much more probable vapour must be to be named beside a leak (common practice, no
/// source).
const RATHER_ALONE: f64 = 0.1;
/// What is named with less is unclear (common practice, no source).
const LEAST_NAMED: f64 = 0.5;

/// Relative standard uncertainty of a slope from the shape of the gauge's own
/// characteristic (common practice, no source).
const GAUGE_SHAPE: f64 = 0.02;
/// Probability of no leak from which the interval of the leak begins at 0: below it a leak
/// is stated as sure (common practice, no source).
const MAY_BE_NONE: f64 = 0.1;

/// Two-sided 95 % point of the standard normal distribution (tables).
const TWO_SIDED_95: f64 = 1.96;
/// Twice the one-sided 95 % point of it, 1.645 + 1.645 (tables).
const TWICE_ONE_SIDED_95: f64 = 3.29;
/// A level this many times above the end of a hold is extrapolated (common practice, no
/// source).
pub(crate) const EXTRAPOLATED: f64 = 1.15;
/// Limits of nothing above which "none" would be wrong, and below which "moisture" would be
/// (common practice, no source).
const NONE_UP_TO: f64 = 1.4;
const MOISTURE_FROM: f64 = 0.6;
/// The limit of nothing: in standard deviations of a reading; shares of the level, the
/// second between the limits that follow, micron (common practice, no source).
const NOTHING_SDS: f64 = 2.5;
const NOTHING_SHARES: (f64, f64) = (0.015, 0.1);
const NOTHING_AT_LEAST_MICRON: f64 = 2.5;
/// Straight part up to which no leak is named: share of the level, and micron over the fit
/// (common practice, no source).
const LEAST_LEAK: (f64, f64) = (0.004, 0.3);
/// How much longer: the next length tried over the one before, the longest, s, and the drop
/// in χ² that decides (common practice, no source).
const LONGER: f64 = 1.1;
const LONGEST_S: f64 = 48.0 * 3600.0;
const DECIDES: f64 = 16.0;

/// Where a fit lies in its hold.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// Start of the fit, s of the run.
    pub(crate) origin_s: f64,
    /// The same from isolation on, s.
    pub(crate) lead_s: f64,
    /// True when the rise set in late: then it is not the gas that every oil gives
    /// off, however small it is.
    pub(crate) late: bool,
}

/// Puts a fit into words and figures.
pub(crate) fn describe(
    fit: &RiseFit,
    stretch: Stretch,
    noise: GaugeNoise,
    top: Option<Top>,
) -> Rise {
    let limits = Limits::of(fit, noise, stretch.late);
    let leak = fit.leak_probability;
    let (kind, confidence, leak) = match top.filter(runs_like_a_leak) {
        Some(_) => (RiseKind::Leak, RAN_OVER.max(leak), RAN_OVER.max(leak)),
        None => {
            let (kind, confidence) = name_cause(fit, leak, &limits);
            (kind, confidence, leak)
        }
    };
    // out of range there is always a rise, and no end of it was seen
    let denied = matches!(kind, RiseKind::None | RiseKind::Moisture) && top.is_some();
    let kind = if denied { RiseKind::Unclear } else { kind };
    let per_minute = 60.0 / fit.span_s;
    let saturates = matches!(kind, RiseKind::Moisture | RiseKind::LeakAndMoisture);
    let claims = matches!(kind, RiseKind::Leak | RiseKind::LeakAndMoisture);
    let fits_kind = |e: &&Explanation| match kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture => e.has_line,
        RiseKind::Moisture | RiseKind::None => !e.has_line,
        RiseKind::Unclear => true,
    };
    let drawn = fit.explanations.iter().find(fits_kind);
    let models = if saturates {
        fit.models(claims)
    } else {
        Vec::new()
    };
    Rise {
        kind,
        leak_micron_per_min: match top.filter(runs_like_a_leak) {
            Some(top) => Some(at_least(&top)),
            None => leak_estimate(fit, leak, kind).map(|e| e.scaled(per_minute)),
        },
        plateau_micron: level_off(fit, kind, &models),
        tau_s: time_constant(fit, &models),
        detection_limit_micron_per_min: Some(detection_limit(fit, noise) * per_minute),
        decide_after_s: if kind == RiseKind::Unclear {
            decide_after(fit).map(|s| s + stretch.lead_s)
        } else {
            None
        },
        leak_probability: Some(leak.clamp(0.0, 1.0)),
        confidence: Some(confidence.clamp(0.0, 1.0)),
        curve: drawn.map(|e| curve_of(e, stretch.origin_s, fit.span_s)),
        evidence: Some(fit.evidence),
    }
}

/// True when the way to the top of the gauge looks like air coming in.
fn runs_like_a_leak(top: &Top) -> bool {
    match top.late_over_early {
        // so near to the saturation of water the way tells them apart, whatever the speed
        Some(share) if top.top_micron > SLOWS_WATER_MICRON => share > UNSLOWED,
        Some(share) if share > UNSLOWED => true,
        _ => top.at_least_micron_per_min > FASTER_THAN_WATER,
    }
}

/// Kind and confidence by the probability of a leak.
fn name_cause(fit: &RiseFit, leak: f64, limits: &Limits) -> (RiseKind, f64) {
    let rises = |limit: f64| fit.probability_above(limit, |e| e.total);
    let small = rises(limits.nothing) < 0.5;
    // a denied leak costs more than a false alarm: its odds are multiplied; where there
    // is next to no rise, the detection limit says how large a leak may still be
    let (counts, no_leak_from) = if small {
        (DENIED_COUNTS_SMALL, NONE_FROM)
    } else {
        (DENIED_COUNTS, NO_LEAK_FROM)
    };
    let denied = 1.0 - leak * counts / (1.0 + leak * (counts - 1.0));
    let straight = fit.straight_quantile(0.5).unwrap_or(0.0);
    let found = leak >= LEAK_FROM && straight >= limits.least_leak;
    if found {
        // the name that is more probably not wrong
        let moist = fit.vapour_beside_leak_above(MOIST_MARGIN.0);
        let alone = 1.0 - fit.vapour_beside_leak_above(MOIST_MARGIN.1);
        if moist > alone + RATHER_ALONE {
            let most = if fit.rise_micron > POOL_MICRON {
                BESIDE_A_POOL
            } else {
                1.0
            };
            named(
                RiseKind::LeakAndMoisture,
                as_measured(leak * moist).min(most),
            )
        } else {
            named(RiseKind::Leak, as_measured(leak * alone))
        }
    } else if denied >= no_leak_from {
        if small {
            named(
                RiseKind::None,
                denied * (1.0 - rises(NONE_UP_TO * limits.nothing)),
            )
        } else {
            named(
                RiseKind::Moisture,
                denied * rises(MOISTURE_FROM * limits.nothing),
            )
        }
    } else {
        (RiseKind::Unclear, leak.min(1.0 - leak))
    }
}

/// A kind, where its confidence is worth a name.
fn named(kind: RiseKind, confidence: f64) -> (RiseKind, f64) {
    if confidence >= LEAST_NAMED {
        (kind, confidence)
    } else {
        (RiseKind::Unclear, confidence)
    }
}

/// Share of right answers among leaks that were named with this product of
/// probabilities: the two are not independent, so the product is too small. Measured on
/// even seeds (scorecard, table of confidence).
const MEASURED: [(f64, f64); 6] = [
    (0.0, 0.0),
    (0.59, 0.62),
    (0.79, 0.87),
    (0.83, 0.90),
    (0.89, 0.95),
    (1.0, 0.99),
];

fn as_measured(product: f64) -> f64 {
    between_knots(&MEASURED, product)
}

/// The straight part over the fit, micron.
///
/// The ends are quantiles of the straight part given that there is one, widened by what
/// the shape of the gauge's own characteristic leaves open. The lower end is 0
/// where it may be that there is none. Air does not leak out into a vacuum.
fn leak_estimate(fit: &RiseFit, leak: f64, kind: RiseKind) -> Option<Estimate> {
    let [low, middle, high] = [0.025, 0.5, 0.975].map(|q| fit.straight_quantile(q).unwrap_or(0.0));
    let widen = |to: f64| {
        let off = to - middle;
        let shape = TWO_SIDED_95 * GAUGE_SHAPE * middle;
        middle + off.signum() * off.abs().hypot(shape)
    };
    let claimed = matches!(kind, RiseKind::Leak | RiseKind::LeakAndMoisture);
    let value = if claimed || leak > 0.5 { middle } else { 0.0 };
    let low = if 1.0 - leak > MAY_BE_NONE {
        0.0
    } else {
        widen(low).max(0.0)
    };
    Some(Estimate {
        value,
        low: low.min(value),
        high: widen(high).max(value),
    })
}

/// Where the saturating part levels off, micron.
///
/// A level that the hold has not come near is extrapolated: its lower end is then
/// the pressure reached, because the shape of a curve alone does not fix its end
/// (NIST StRD Misra1a and Misra1c: the same data, ends of 239 and 636).
fn level_off(fit: &RiseFit, kind: RiseKind, models: &[RiseModel]) -> Option<Estimate> {
    let found = estimate(models, |s| Some(s.plateau_micron()))?;
    // one sum may outweigh all others; the gauge is no better for it
    let shape = TWO_SIDED_95 * GAUGE_SHAPE * found.value.abs();
    let level = Estimate {
        low: found.low.min(found.value - shape),
        high: found.high.max(found.value + shape),
        ..found
    };
    let best = fit.explanations.first()?;
    let end = best.pressure_at(fit.span_s, fit.span_s);
    Some(
        if kind == RiseKind::Moisture && level.value > EXTRAPOLATED * end {
            Estimate {
                low: level.low.min(end),
                ..level
            }
        } else {
            level
        },
    )
}

/// What is too little to matter in this hold.
struct Limits {
    /// A rise up to this is none, micron.
    nothing: f64,
    /// A straight part up to this over the fit is no leak to name, micron: gauges drift
    /// (common practice, no source).
    least_leak: f64,
}

impl Limits {
    fn of(fit: &RiseFit, noise: GaugeNoise, late: bool) -> Self {
        let step = noise.step_micron.unwrap_or(0.0);
        let gauge = (NOTHING_SDS * noise.reading_micron).max(step);
        let nothing = if late {
            gauge.max(1.0)
        } else {
            gauge
                .max(NOTHING_SHARES.0 * fit.level)
                .max((NOTHING_SHARES.1 * fit.level).clamp(NOTHING_AT_LEAST_MICRON, NOTHING_MICRON))
        };
        let least_leak = if late {
            0.5 * nothing
        } else {
            (LEAST_LEAK.0 * fit.level).max(LEAST_LEAK.1)
        };
        Self {
            nothing,
            least_leak,
        }
    }
}

/// Time constant of the store that gives off most, s: as fine as the grid, whose step is
/// part of the interval.
fn time_constant(fit: &RiseFit, models: &[RiseModel]) -> Option<Estimate> {
    let ln_tau = |s: &RiseModel| s.main_store(fit.span_s).map(|(_, tau)| tau.ln());
    let found = estimate(models, ln_tau)?;
    let half = 0.5 * fit.ln_tau_step();
    Some(Estimate {
        value: found.value.exp(),
        low: (found.low - half).exp(),
        high: (found.high + half).exp(),
    })
}

/// Mean and 95 % of a figure over some models.
fn estimate(models: &[RiseModel], what: impl Fn(&RiseModel) -> Option<f64>) -> Option<Estimate> {
    let mut values: Vec<(f64, f64)> = models
        .iter()
        .filter_map(|s| Some((what(s)?, s.weight)))
        .collect();
    let low = weighted_quantile(&mut values, 0.025)?;
    let high = weighted_quantile(&mut values, 0.975)?;
    let total: f64 = values.iter().map(|(_, w)| w).sum();
    let mean = values.iter().map(|(value, w)| value * w).sum::<f64>() / total;
    Some(Estimate {
        value: mean.clamp(low, high),
        low,
        high,
    })
}

fn curve_of(e: &Explanation, origin_s: f64, span_s: f64) -> RiseCurve {
    let term = |(amplitude_micron, tau_s): (f64, f64)| Saturating {
        amplitude_micron,
        tau_s,
    };
    let depletion = e.depletion.map(|(height, tau)| (-height, tau));
    // h·e^(−t/τ) is h − h·(1 − e^(−t/τ))
    let settling = e.settling.map(|(height, tau)| (-height, tau));
    RiseCurve {
        origin_s,
        end_s: origin_s + span_s,
        start_micron: e.start_micron + e.settling.iter().map(|(height, _)| height).sum::<f64>(),
        slope_micron_per_s: e.straight.0 / span_s,
        root_micron: e.root / root_growth(span_s),
        terms: {
            let stores = e.stores.iter().copied();
            stores.chain(depletion).chain(settling).map(term).collect()
        },
    }
}

/// Straight rise over the fit, micron, that would be told from none: a false
/// alarm in 5 % and a miss in 5 % of cases, (1.645 + 1.645)·σ (the form of
/// ISO 11929), with σ of the straight part beside stores as large as those found, and
/// never below what the gauge's step hides.
fn detection_limit(fit: &RiseFit, noise: GaugeNoise) -> f64 {
    let hidden = noise
        .step_micron
        .filter(|step| noise.reading_micron < 0.5 * step)
        .unwrap_or(0.0);
    (TWICE_ONE_SIDED_95 * fit.straight_sd_beside).max(hidden)
}

/// Length of fit, s, after which a line and the saturating curve that now fits
/// best would differ by enough: the expected drop in χ² reaches 16.
fn decide_after(fit: &RiseFit) -> Option<f64> {
    let models = fit.models(false);
    let (amplitude_micron, tau_s) = models
        .first()?
        .main_store(fit.span_s)
        .filter(|(height, _)| *height > 0.0)?;
    let term = Saturating {
        amplitude_micron,
        tau_s,
    };
    /// Points at which line and curve are compared (common practice, no source).
    const POINTS: usize = 60;
    let r = fit.correlation;
    let spacing = fit.bin_s * (1.0 + r) / (1.0 - r);
    let sd = fit.bin_micron / (1.0 - r * r).sqrt();
    // whatever the information says, what has not decided yet will not by now
    let mut span = LONGER * fit.span_s;
    while span < LONGEST_S {
        let u: Vec<f64> = (0..POINTS)
            .map(|i| i as f64 / (POINTS - 1) as f64)
            .collect();
        let y: Vec<f64> = u
            .iter()
            .map(|u| -term.amplitude_micron * (-u * span / term.tau_s).exp_m1())
            .collect();
        let misfit = least_squares(&[vec![1.0; POINTS], u], &y)?.rss / POINTS as f64;
        if misfit * (span / spacing) / (sd * sd) > DECIDES {
            return Some(span);
        }
        span *= LONGER;
    }
    None
}
