//! An answer before the hold is over: will it pass the ceiling?
//!
//! The running fit is asked, again and again as the hold goes on, where the pressure
//! will stand when the hold is long enough. Two things must be sure before anything
//! is said:
//!
//! - the explanations together ([`rise`](crate::evacuation::rise)) give less than [`ALPHA`] to
//!   any end below the ceiling, those that level off included;
//! - the best of them clears the ceiling by z = c/√f standard errors, with f the part
//!   of the hold that is over. This is the boundary of P. C. O'Brien and
//!   T. R. Fleming (Biometrics 35 (1979) 549–556) for looking all the time: Brownian
//!   motion passes c before f = 1 with probability 2·(1 − Φ(c)), so c = Φ⁻¹(1 − α/2)
//!   keeps the share of false early answers over the whole hold at α however often
//!   one looks. Early looks need much, later ones little more than a single test.
//!
//! The verdict of the whole hold does not use it.

use findings::{EarlyAnswer, Odds, Rise, RiseKind};

use crate::evacuation::rise::{Explanation, RiseFit};

/// Share of holds that may get a wrong early answer (common practice, no source).
const ALPHA: f64 = 0.01;
/// Φ⁻¹(1 − α/2) (derived; tables of the normal distribution).
const C: f64 = 2.575_829;
/// Shortest fit that is asked, s (common practice, no source).
const SHORTEST_S: f64 = 45.0;

/// What is asked of a hold that goes on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EarlyQuery {
    /// Pressure not to be exceeded, micron.
    pub(crate) ceiling_micron: f64,
    /// Length asked for, s from isolation.
    pub(crate) needed_s: f64,
    /// Start of the fit, s from isolation.
    pub(crate) fit_from_s: f64,
}

/// The early answer, if there is one.
pub(crate) fn answer(fit: &RiseFit, rise: &Rise, query: EarlyQuery) -> Option<EarlyAnswer> {
    let so_far_s = query.fit_from_s + fit.span_s;
    let rest_s = query.needed_s - so_far_s;
    if fit.span_s < SHORTEST_S || rest_s <= 0.0 {
        return None;
    }
    let at_end = |c: &Explanation| c.pressure_after(fit.span_s, rest_s);
    let exceeds = fit.probability_above(query.ceiling_micron, at_end);
    let (mean, sd) = at_end(fit.explanations.first()?);
    let boundary = C / (so_far_s / query.needed_s).sqrt();
    if exceeds < 1.0 - ALPHA || mean - query.ceiling_micron < boundary * sd {
        return None;
    }
    let leak = matches!(rise.kind, RiseKind::Leak | RiseKind::LeakAndMoisture)
        && rise.leak_probability.and_then(Odds::of).is_some();
    Some(EarlyAnswer {
        passes_ceiling_after_s: so_far_s + passes_after(fit, rest_s, query.ceiling_micron),
        leak,
        confidence: exceeds.min(1.0),
    })
}

/// When the best explanation passes the ceiling, s from now.
fn passes_after(fit: &RiseFit, rest_s: f64, ceiling_micron: f64) -> f64 {
    let above = |later_s: f64| {
        fit.explanations
            .first()
            .is_some_and(|e| e.pressure_after(fit.span_s, later_s).0 > ceiling_micron)
    };
    let (mut low, mut high) = (0.0, rest_s);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if above(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}
