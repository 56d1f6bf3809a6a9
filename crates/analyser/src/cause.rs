//! From weighed explanations to a cause, with its figures: what is said, what is
//! ruled out, what this hold could not have shown.

use crate::{
    findings::{Estimate, Rise, RiseCurve, RiseKind, Saturating},
    history::Block,
    linear::least_squares,
    noise::GaugeNoise,
    rise::{Component, FREED_PER_K, RiseFit},
};

/// A hold with too few readings to fit.
pub(crate) fn too_few(inside: &[Block]) -> Rise {
    // straight to the top of the gauge: no vapour does that
    let steep = inside
        .last()
        .zip(inside.first())
        .is_some_and(|(b, a)| b.high > crate::hold::INFLOW_BENDS_MICRON && b.high > 5.0 * a.low);
    Rise {
        kind: if steep {
            RiseKind::Leak
        } else {
            RiseKind::Unclear
        },
        leak_micron_per_min: None,
        plateau_micron: None,
        tau_s: None,
        detection_limit_micron_per_min: None,
        decide_after_s: None,
        leak_probability: None,
        confidence: None,
        curve: None,
    }
}

/// A rise up to this is none, micron (at low pressure a tenth of the level, at least
/// 2.5): every system gives off a little dissolved gas (common practice, no source).
const NOTHING_MICRON: f64 = 7.0;

/// Probability needed to say that there is a leak.
const SURE_OF_LEAK: f64 = 0.50;
/// The same beside a part that bends over.
const SURE_OF_BOTH: f64 = 0.60;
/// Probability of a leak below which it is ruled out.
const NO_LEAK: f64 = 0.12;

/// Share of the rise from which a straight part is called a leak, and the smaller one
/// that must be ruled out before the rise is put down to vapour alone.
const CALLED: f64 = 0.15;
const RULED_OUT: f64 = 0.12;

/// Relative standard uncertainty of a slope from the shape of the gauge's own
/// characteristic (common practice, no source).
const GAUGE_SHAPE: f64 = 0.02;

/// Unrecorded drift of the room, one standard deviation: so many K/h, up to so many K
/// in all, for rooms go up and down (common practice, no source).
const ROOM_K_PER_H: f64 = 0.5;
const ROOM_K: f64 = 1.5;

/// What an unrecorded drift of the room may add to the straight part, micron over
/// the fit: the gas law on the level, and gas freed by warming.
fn room_drift_micron(fit: &RiseFit, c: &Component) -> f64 {
    if fit.temperature_known {
        return 0.0;
    }
    let vapour = (c.total.0 - c.straight.0).max(0.0);
    let per_k = fit.level / 293.0 + 2.0 * FREED_PER_K * vapour;
    (ROOM_K_PER_H * fit.span_s / 3_600.0).min(ROOM_K) * per_k
}

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
pub(crate) fn describe(fit: &RiseFit, stretch: Stretch, noise: GaugeNoise) -> Rise {
    let straight = |c: &Component| c.straight;
    let total = |c: &Component| c.total;
    let limits = Limits::of(fit, noise, stretch.late);
    let all = |_: &Component| true;
    let rise = fit.quantile(0.5, all, total).unwrap_or(0.0);
    let leak = fit.probability_above(|_| limits.leak(rise, CALLED), straight);
    // a smaller leak than is called must be ruled out before vapour alone is blamed
    let maybe = fit.probability_above(|_| limits.leak(rise, RULED_OUT), straight);
    let rises = fit.probability_above(|_| limits.nothing, total);
    let moist = fit.probability_above(
        |_| limits.moist(rise),
        |c| (c.total.0 - c.straight.0, c.straight.1),
    );
    let certain_rise = fit.probability_above(|_| 0.0, total);
    let (kind, confidence) = if leak >= SURE_OF_LEAK && certain_rise > 0.995 {
        if moist > 0.5 && (leak < SURE_OF_BOTH || fit.slow_curve_will_do()) {
            (RiseKind::Unclear, 1.0 - leak)
        } else if moist > 0.5 {
            (RiseKind::LeakAndMoisture, leak.min(moist))
        } else {
            (RiseKind::Leak, leak.min(1.0 - moist))
        }
    } else if rises < 0.5 {
        (RiseKind::None, 1.0 - rises)
    } else if maybe <= NO_LEAK {
        (RiseKind::Moisture, 1.0 - maybe)
    } else {
        (RiseKind::Unclear, 1.0 - leak.max(1.0 - leak))
    };
    let per_minute = 60.0 / fit.span_s;
    let leak_estimate = leak_estimate(fit, kind).map(|e| e.scaled(per_minute));
    let saturates = matches!(kind, RiseKind::Moisture | RiseKind::LeakAndMoisture);
    let slow = |c: &Component| c.taus[0] > 0.0;
    let main_tau = |c: &Component| match main_slot(c) {
        Some(i) => (c.taus[i].max(1e-3).ln(), c.ln_tau_sd[i]),
        None => (0.0, 0.0),
    };
    let best = fit.components.iter().find(|c| match kind {
        RiseKind::Leak => c.has_line,
        RiseKind::LeakAndMoisture => c.has_line && slow(c),
        // a straight part here is a slow fall after the rise, never a leak
        RiseKind::Moisture => slow(c) && c.straight.0 <= limits.leak(rise, CALLED),
        _ => true,
    });
    Rise {
        kind,
        leak_micron_per_min: leak_estimate,
        plateau_micron: if saturates {
            plateau(fit, kind, &slow)
        } else {
            None
        },
        tau_s: if saturates {
            estimate(fit, &slow, main_tau).map(|e| Estimate {
                value: e.value.exp(),
                low: e.low.exp(),
                high: e.high.exp(),
            })
        } else {
            None
        },
        detection_limit_micron_per_min: Some(
            detection_limit(fit, kind, noise, &limits) * per_minute,
        ),
        decide_after_s: if kind == RiseKind::Unclear {
            decide_after(fit).map(|s| s + stretch.lead_s)
        } else {
            None
        },
        leak_probability: Some(leak.clamp(0.0, 1.0)),
        confidence: Some(confidence.clamp(0.0, 1.0)),
        curve: best.map(|c| curve_of(c, stretch.origin_s, fit.span_s)),
    }
}

/// The straight part over the fit, micron.
///
/// Where no leak is called it is a bound: what is left of it among all
/// explanations, or, when none of weight has one, what a straight part beside
/// them could be. Air does not leak out into a vacuum: a saturating curve that
/// falls back a little is not given a negative leak.
fn leak_estimate(fit: &RiseFit, kind: RiseKind) -> Option<Estimate> {
    // a gauge is not straight to better than some per cent, nor a room steady
    let straight = |c: &Component| {
        let shape = GAUGE_SHAPE * c.straight.0;
        let room = room_drift_micron(fit, c);
        (c.straight.0, c.straight.1.hypot(shape).hypot(room))
    };
    let with_line = |c: &Component| c.has_line;
    match kind {
        RiseKind::Leak | RiseKind::LeakAndMoisture | RiseKind::None => {
            estimate(fit, &with_line, straight)
        }
        RiseKind::Moisture | RiseKind::Unclear => {
            let among_all = estimate(fit, &|_| true, straight)?;
            let high = if among_all.high > 1e-6 * fit.level {
                among_all.high
            } else {
                estimate(fit, &with_line, straight)?.high
            };
            let value = if among_all.value > 1e-6 * fit.level {
                among_all.value
            } else {
                0.0
            };
            Some(Estimate {
                value,
                low: among_all.low.clamp(0.0, value),
                high: high.max(value),
            })
        }
    }
}

/// Where the saturating part levels off, micron.
///
/// A level that the hold has not come near is extrapolated: its lower end is then
/// the pressure reached, because the shape of a curve alone does not fix its end
/// (NIST StRD Misra1a and Misra1c: the same data, ends of 239 and 636).
fn plateau(fit: &RiseFit, kind: RiseKind, keep: &dyn Fn(&Component) -> bool) -> Option<Estimate> {
    let reached = |c: &Component| (c.coefficients[0] + c.coefficients[2] + c.total.0, c.total.1);
    if kind == RiseKind::LeakAndMoisture {
        return estimate(fit, keep, |c| c.plateau);
    }
    // a rise that falls back a little has levelled off where it stands
    let level = estimate(fit, keep, |c| {
        if c.straight.0 < 0.0 {
            reached(c)
        } else {
            c.plateau
        }
    })?;
    let end = fit.quantile(0.5, keep, reached)?;
    Some(if level.value > 1.15 * end {
        Estimate {
            low: level.low.min(end),
            ..level
        }
    } else {
        level
    })
}

/// What is too little to matter in this hold.
struct Limits {
    nothing: f64,
    least: f64,
}

impl Limits {
    fn of(fit: &RiseFit, noise: GaugeNoise, late: bool) -> Self {
        let step = noise.step_micron.unwrap_or(0.0);
        let gauge = (2.5 * noise.reading_micron).max(step);
        if late {
            return Self {
                nothing: gauge.max(1.0),
                least: 1.0,
            };
        }
        Self {
            nothing: gauge
                .max(0.015 * fit.level)
                .max((0.1 * fit.level).clamp(2.5, NOTHING_MICRON)),
            least: (0.005 * fit.level).max((0.06 * fit.level).clamp(1.5, 4.0)),
        }
    }

    fn leak(&self, rise: f64, share: f64) -> f64 {
        (share * rise).max(self.least)
    }

    fn moist(&self, rise: f64) -> f64 {
        (0.12 * rise).max(self.nothing)
    }
}

fn estimate(
    fit: &RiseFit,
    keep: &dyn Fn(&Component) -> bool,
    what: impl Fn(&Component) -> (f64, f64) + Copy,
) -> Option<Estimate> {
    Some(Estimate {
        value: fit.quantile(0.5, keep, what)?,
        low: fit.quantile(0.025, keep, what)?,
        high: fit.quantile(0.975, keep, what)?,
    })
}

/// Which slow term contributes most to the rise in the hold; the faster one where a
/// slow fall follows, since the slower one only shapes that fall.
fn main_slot(c: &Component) -> Option<usize> {
    let part = |i: usize| c.coefficients[3 + i] * c.contribution[i];
    if c.straight.0 < 0.0 && c.taus[0] > 0.0 && part(0) > 0.2 * c.total.0 {
        return Some(0);
    }
    (0..2)
        .filter(|i| c.taus[*i] > 0.0)
        .max_by(|a, b| part(*a).total_cmp(&part(*b)))
}

/// The slow term that contributes most.
fn main_term(c: &Component) -> Option<Saturating> {
    main_slot(c).map(|i| Saturating {
        amplitude_micron: c.coefficients[3 + i],
        tau_s: c.taus[i],
    })
}

fn curve_of(c: &Component, origin_s: f64, span_s: f64) -> RiseCurve {
    let mut terms = Vec::new();
    let mut add = |amplitude_micron: f64, tau_s: f64| {
        if tau_s > 0.0 {
            terms.push(Saturating {
                amplitude_micron,
                tau_s,
            });
        }
    };
    add(c.coefficients[2], c.fast_tau);
    add(c.coefficients[3], c.taus[0]);
    add(c.coefficients[4], c.taus[1]);
    RiseCurve {
        origin_s,
        end_s: origin_s + span_s,
        start_micron: c.coefficients[0],
        slope_micron_per_s: c.coefficients[1] / span_s,
        terms,
    }
}

/// Straight rise over the fit, micron, that would be told from none: a false
/// alarm in 5 % and a miss in 5 % of cases, (1.645 + 1.645)·σ (the form of
/// ISO 11929), never below what the gauge's step hides or what is passed over as
/// too little to matter.
fn detection_limit(fit: &RiseFit, kind: RiseKind, noise: GaugeNoise, limits: &Limits) -> f64 {
    let sd = match kind {
        RiseKind::None | RiseKind::Leak => fit.straight_sd,
        _ => fit
            .components
            .iter()
            .find(|c| c.has_line && c.taus[0] > 0.0)
            .map_or(fit.straight_sd, |c| c.straight.1.max(fit.straight_sd)),
    };
    let hidden = noise
        .step_micron
        .filter(|step| noise.reading_micron < 0.5 * step)
        .unwrap_or(0.0);
    (3.29 * sd).max(hidden).max(limits.least)
}

/// Length of fit, s, after which a line and the saturating curve that now fits
/// best would differ by enough: the expected drop in χ² reaches 16.
fn decide_after(fit: &RiseFit) -> Option<f64> {
    let term = fit
        .components
        .iter()
        .filter(|c| !c.has_line)
        .find_map(main_term)
        .filter(|t| t.amplitude_micron > 0.0)?;
    const POINTS: usize = 60;
    let r = fit.correlation;
    let spacing = fit.bin_s * (1.0 + r) / (1.0 - r);
    let sd = fit.bin_micron / (1.0 - r * r).sqrt();
    // whatever the information says, what has not decided yet will not by now
    let mut span = 1.1 * fit.span_s;
    while span < 48.0 * 3600.0 {
        let u: Vec<f64> = (0..POINTS)
            .map(|i| i as f64 / (POINTS - 1) as f64)
            .collect();
        let y: Vec<f64> = u
            .iter()
            .map(|u| -term.amplitude_micron * (-u * span / term.tau_s).exp_m1())
            .collect();
        let misfit = least_squares(&[vec![1.0; POINTS], u], &y)?.rss / POINTS as f64;
        if misfit * (span / spacing) / (sd * sd) > 16.0 {
            return Some(span);
        }
        span *= 1.1;
    }
    None
}
