//! The posterior of the instant of a break, in one window.
//!
//! For every instant t₀ on a grid and every response the linear terms and the two noise
//! levels are profiled out; the posterior of t₀ is
//! Σ over responses of weight·exp(−D/2·ν/n)·ν^(−k/2), with the deviance D, the
//! Schwarz penalty for k terms more than a mere change of slope, and ν/n the share
//! of independent readings n·(1 − r)/(1 + r) from the lag-1 autocorrelation r of
//! the residuals. Profile likelihood of a change point: textbook method; the
//! discount for correlation as in [`independent_values`].
//!
//! What is reported is the instant with the most probability around it, with the
//! interval that holds 95 %. A break counts when ν·ln(RSS ratio) over a smooth
//! curve exceeds [`NEEDED`].

use super::{
    broken_curve::{BrokenCurve, Responses},
    window::Window,
};
use crate::correlation::independent_values;

/// Instants tried in a region (common practice, no source: a finer window follows where
/// they are too coarse).
const INSTANTS: usize = 29;
/// ν·ln(RSS ratio) that a break must bring over a smooth curve (common
/// practice, no source: a likelihood ratio of e⁵, for many instants are tried).
pub const NEEDED: f64 = 10.0;
/// Independent readings that tell no more than one: no curve is followed to the letter
/// (tuned on even seeds: the windows hold the truth as often as they say).
const SPREAD: f64 = 1.4;
/// Log-probability below the best at which an instant is given up (common practice, no
/// source: 1 in 3,000).
const GIVEN_UP: f64 = 8.0;
/// Reach within which probability counts for an instant, s (common practice, no source).
const NEAR_S: f64 = 5.0;
/// Where a break is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Located {
    /// Most probable instant, s.
    pub at_s: f64,
    /// First and last instant of the 95 % interval, s.
    pub window_s: (f64, f64),
    /// Evidence over a smooth curve, ν·ln(RSS ratio).
    pub evidence: f64,
    /// Evidence over a curve that had broken before its first point, likewise.
    pub over_begun_before: f64,
}

impl Located {
    /// Length of the 95 % interval, s.
    #[must_use]
    pub fn uncertainty_s(&self) -> f64 {
        self.window_s.1 - self.window_s.0
    }
}

/// A break as one window shows it.
#[derive(Debug, Clone, Copy)]
pub(super) struct InWindow {
    pub(super) located: Located,
    /// Where to look on the next finer scale.
    pub(super) region: (f64, f64),
}

impl Window<'_> {
    /// The break inside `region`; `interval` is the typical time between points. `None`
    /// where no broken curve is clearly better than a smooth one.
    pub(super) fn locate(&self, region: (f64, f64), interval: f64) -> Option<InWindow> {
        let n = self.t.len();
        let (from, to) = (region.0.max(self.t[3]), region.1.min(self.t[n - 4]));
        if to <= from {
            return None;
        }
        let every = (to - from) / (INSTANTS - 1) as f64;
        let time = |i: f64| from + every * i;
        let instants: Vec<f64> = (0..INSTANTS).map(|i| time(i as f64)).collect();
        let fits = self.scan(&instants);
        let all = || fits.iter().flatten();
        let best = all().min_by(|a, b| a.deviance.total_cmp(&b.deviance))?;
        let size = independent_values(&self.residuals(best));
        let evidence = size * (self.without_break() - best.ln_variance);
        if evidence < NEEDED {
            return None;
        }
        // a fall right after the break is not the fall before it
        let rises_at_once = all()
            .filter(|f| !f.falls)
            .map(|f| f.ln_variance)
            .fold(f64::INFINITY, f64::min);
        let posterior = posterior(
            &fits,
            best.deviance,
            size / SPREAD,
            n as f64,
            self.responses,
        );
        let near = (3.0 * interval).max(NEAR_S);
        let (at, window) = summarise(&posterior, near / every);
        let peak = posterior.iter().copied().fold(0.0, f64::max);
        let kept = |v: &f64| *v > peak * (-GIVEN_UP).exp();
        let low = posterior.iter().position(kept)? as f64;
        let high = posterior.iter().rposition(kept)? as f64;
        let spare = 1.0 + 0.25 * (high - low);
        Some(InWindow {
            located: Located {
                at_s: time(at),
                window_s: (time(window.0), time(window.1)),
                evidence,
                over_begun_before: size * (self.begun_before() - rises_at_once),
            },
            region: (
                time(low - spare).max(region.0),
                time(high + spare).min(region.1),
            ),
        })
    }
}

/// Probability of every instant, up to a factor, when `size` of the `n` points count
/// as independent.
fn posterior(
    fits: &[Vec<BrokenCurve>],
    least: f64,
    size: f64,
    n: f64,
    responses: Responses<'_>,
) -> Vec<f64> {
    let chance = |fit: &BrokenCurve| {
        let falls = if fit.falls {
            responses.ln_weight_of_a_fall
        } else {
            0.0
        };
        let response = responses.all[fit.response];
        let terms = if response.jump_s.is_some() { 1.0 } else { 0.0 };
        let penalty = 0.5 * terms * size.max(2.0).ln();
        (response.ln_weight + falls - 0.5 * size / n * (fit.deviance - least) - penalty).exp()
    };
    fits.iter()
        .map(|row| row.iter().map(chance).sum())
        .collect()
}

/// The centre of the stretch of ±`reach` that holds the most probability, and the
/// 95 % interval, in grid steps.
fn summarise(posterior: &[f64], reach: f64) -> (f64, (f64, f64)) {
    let n = posterior.len();
    let reach = reach as usize;
    let around = |i: usize| i.saturating_sub(reach)..(i + reach + 1).min(n);
    let mass = |i: usize| posterior[around(i)].iter().sum::<f64>();
    let best = (0..n)
        .max_by(|a, b| mass(*a).total_cmp(&mass(*b)))
        .unwrap_or(0);
    // many stretches may hold the same: the mean of what lies in one
    let first_moment: f64 = around(best).map(|i| i as f64 * posterior[i]).sum();
    let centre = first_moment / mass(best).max(1e-300);
    let total: f64 = posterior.iter().sum();
    let quantile = |q: f64| {
        let mut sum = 0.0;
        let reached = posterior.iter().position(|v| {
            sum += v;
            sum >= q * total
        });
        reached.unwrap_or(n - 1) as f64
    };
    let low = (quantile(0.025) - 0.5).max(0.0);
    let high = (quantile(0.975) + 0.5).min((n - 1) as f64);
    (centre, (low.min(centre), high.max(centre)))
}
