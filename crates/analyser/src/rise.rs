//! How the pressure moved in a hold: every explanation weighed, none guessed.
//!
//! The model is p(t) = p₀ + a·t + Σ bₖ·(1 − exp(−t/τₖ)): a is the leak, the b
//! are what boils or diffuses out (with at most one further fast term for the
//! end of equalisation). For a fixed set of time constants the model is linear,
//! so every set on a logarithmic grid is solved exactly and gets the weight
//! that the data and a plain prior give it (marginal likelihood of a linear
//! model with Gaussian priors and unknown noise scale: A. Gelman et al.,
//! *Bayesian Data Analysis*, ch. 14). What is reported is the mixture: an
//! explanation that the data cannot exclude widens the interval, and when
//! "leak" and "no leak" both remain, the answer is `unclear`.
//!
//! Noise: weights follow the pressure (relative noise), correlation between
//! neighbouring bins is taken out by first-order prewhitening, and a staircase
//! gauge is not allowed to look better than its steps.

mod basis;

use basis::{
    Basis, FAST, FIRST_FAST, FIRST_SLOW, SLOW, observed_range, raw_columns, relative_weights,
    time_constants, wander, whiten,
};

use crate::{
    linear::{Cholesky, MAX_TERMS},
    normal::{cdf, quantile_of_mixture},
};

/// One bin of the hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HoldBin {
    /// Seconds since the start of the fit.
    pub(crate) t: f64,
    /// Mean pressure, micron.
    pub(crate) p: f64,
}

/// What the fit needs to know about the gauge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FitContext {
    /// Smallest step, micron, if the gauge has one.
    pub(crate) step_micron: Option<f64>,
    /// Noise of one reading, micron.
    pub(crate) reading_micron: f64,
    /// Readings per bin.
    pub(crate) readings_per_bin: f64,
}

/// Prior width of a final height and of the straight part, in units of the
/// observed range: a plateau far above anything seen is not believed.
const PRIOR_HEIGHT: f64 = 1.0;
const PRIOR_STRAIGHT: f64 = 2.0;

/// One explanation with its weight.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Component {
    /// Posterior weight; all weights sum to one.
    pub(crate) weight: f64,
    /// Straight part over the whole fit, micron: mean and standard deviation.
    pub(crate) straight: (f64, f64),
    /// Rise over the whole fit without the fast term, micron.
    pub(crate) total: (f64, f64),
    /// Pressure where the slow terms end, micron.
    pub(crate) plateau: (f64, f64),
    /// Slow time constants, s; the slower last. Zero: absent.
    pub(crate) taus: [f64; 2],
    /// Coefficients: constant, straight (per fit), fast, slow 1, slow 2.
    pub(crate) coefficients: [f64; 5],
    /// Fast time constant, s; zero: absent.
    pub(crate) fast_tau: f64,
    /// True when the explanation has a straight part.
    pub(crate) has_line: bool,
}

/// The weighed explanations of one hold.
#[derive(Debug, Clone)]
pub(crate) struct RiseFit {
    /// Length of the fit, s.
    pub(crate) span_s: f64,
    /// Explanations, heaviest first, negligible ones dropped.
    pub(crate) components: Vec<Component>,
    /// Noise of one bin after whitening, micron at the typical level.
    pub(crate) bin_micron: f64,
    /// Lag-1 autocorrelation between bins.
    pub(crate) correlation: f64,
    /// Time between bins, s.
    pub(crate) bin_s: f64,
    /// Standard deviation of the straight part alone, micron over the fit.
    pub(crate) straight_sd: f64,
    /// Mean pressure, micron.
    pub(crate) level: f64,
}

/// Weighs all explanations of `bins`; `None` with fewer than eight bins.
pub(crate) fn fit(bins: &[HoldBin], context: FitContext) -> Option<RiseFit> {
    let n = bins.len();
    if n < 8 {
        return None;
    }
    let span_s = bins[n - 1].t - bins[0].t;
    if span_s <= 0.0 {
        return None;
    }
    let bin_s = span_s / (n - 1) as f64;
    let taus = time_constants(span_s, bin_s);
    let raw = raw_columns(bins, span_s, &taus);
    let level = bins.iter().map(|b| b.p).sum::<f64>() / n as f64;
    let mut weights = relative_weights(bins, level, context);
    let (correlation, noise) = wander(bins, &raw, &mut weights, level, context)?;
    let basis = whiten(bins, raw, &weights, correlation, taus);
    let range = observed_range(bins).max(4.0 * noise);
    let mut components = weigh(&basis, n, noise, range, span_s);
    let straight_sd = straight_alone_sd(&basis, noise);
    normalise(&mut components)?;
    Some(RiseFit {
        span_s,
        components,
        bin_micron: noise,
        correlation,
        bin_s,
        straight_sd,
        level,
    })
}

/// Every combination of straight part, fast term and up to two slow terms.
fn weigh(basis: &Basis, n: usize, noise: f64, range: f64, span_s: f64) -> Vec<Component> {
    let mut out = Vec::with_capacity(2_000);
    let pairs = (SLOW * (SLOW - 1) / 2) as f64;
    // time constants far beyond the hold are believed less, in proportion
    let believed = |i: usize| -(basis.taus[FAST + i] / span_s).max(1.0).ln();
    for line in [false, true] {
        for fast in 0..=FAST {
            let fast_index = (fast > 0).then(|| FIRST_FAST + fast - 1);
            let ln_fast = if fast == 0 {
                0.5_f64.ln()
            } else {
                (0.5 / FAST as f64).ln()
            };
            let mut take = |slow: [Option<usize>; 2], ln_prior: f64| {
                let setup = Setup {
                    line,
                    fast: fast_index,
                    slow,
                };
                if let Some(c) = solve(basis, n, setup, noise, range, span_s) {
                    out.push(Component {
                        weight: c.weight + ln_prior + ln_fast,
                        ..c
                    });
                }
            };
            take([None, None], 0.35_f64.ln());
            for i in 0..SLOW {
                take(
                    [Some(FIRST_SLOW + i), None],
                    (0.40 / SLOW as f64).ln() + believed(i),
                );
                // two terms closer than two grid steps are one
                for j in i + 3..SLOW {
                    take(
                        [Some(FIRST_SLOW + i), Some(FIRST_SLOW + j)],
                        (0.35 / pairs).ln() + believed(j),
                    );
                }
            }
        }
    }
    out
}

#[derive(Clone, Copy)]
struct Setup {
    line: bool,
    fast: Option<usize>,
    slow: [Option<usize>; 2],
}

/// Solves one combination; `weight` of the result is the log evidence.
fn solve(
    basis: &Basis,
    n: usize,
    setup: Setup,
    noise: f64,
    range: f64,
    span_s: f64,
) -> Option<Component> {
    // (column, place in `coefficients`, prior width, must be positive)
    let mut terms: [(usize, usize, f64, bool); MAX_TERMS] =
        [(0, 0, f64::INFINITY, false); MAX_TERMS];
    let mut k = 1;
    let mut push = |column, place, width, positive| {
        terms[k] = (column, place, width, positive);
        k += 1;
    };
    if setup.line {
        push(1, 1, PRIOR_STRAIGHT * range, false);
    }
    if let Some(f) = setup.fast {
        push(f, 2, range, false);
    }
    for (slot, slow) in setup.slow.iter().enumerate() {
        if let Some(s) = slow {
            push(*s, 3 + slot, PRIOR_HEIGHT * range, true);
        }
    }
    let noise_sq = noise * noise;
    let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
    let mut c = [0.0; MAX_TERMS];
    let mut ln_prior_det = 0.0;
    for i in 0..k {
        for j in 0..=i {
            m[i][j] = basis.inner(terms[i].0, terms[j].0) / noise_sq;
            m[j][i] = m[i][j];
        }
        if terms[i].2.is_finite() {
            m[i][i] += 1.0 / (terms[i].2 * terms[i].2);
            ln_prior_det += 2.0 * terms[i].2.ln();
        }
        c[i] = basis.with_y[terms[i].0] / noise_sq;
    }
    let factor = Cholesky::new(&m, k)?;
    let x = factor.solve(&c);
    let explained: f64 = (0..k).map(|i| x[i] * c[i]).sum();
    let rss = (basis.yy / noise_sq - explained).max(1e-9);
    let dof = (n - 1) as f64;
    // noise scale unknown within reason: Student form around the estimate
    let ln_evidence = -0.5 * (dof + 4.0) * ((rss + 4.0) / (dof + 4.0)).ln()
        - 0.5 * factor.ln_det()
        - 0.5 * ln_prior_det;
    let mut out = Component {
        weight: ln_evidence,
        straight: (0.0, 0.0),
        total: (0.0, 0.0),
        plateau: (0.0, 0.0),
        taus: [0.0; 2],
        coefficients: [0.0; 5],
        fast_tau: setup.fast.map_or(0.0, |f| basis.taus[f - FIRST_FAST]),
        has_line: setup.line,
    };
    let scale = ((rss + 4.0) / (dof + 4.0)).sqrt().max(0.7);
    let sd_of = |g: &[f64; MAX_TERMS]| scale * factor.quadratic(g).sqrt();
    let (mut g_total, mut g_plateau) = ([0.0; MAX_TERMS], [0.0; MAX_TERMS]);
    g_plateau[0] = 1.0;
    for i in 0..k {
        let (column, place, _, positive) = terms[i];
        out.coefficients[place] = x[i];
        let mut unit = [0.0; MAX_TERMS];
        unit[i] = 1.0;
        if positive {
            // half-normal prior: keep only the share of it that is positive
            let sd = sd_of(&unit).max(1e-12);
            let share = cdf(x[i] / sd);
            out.weight += (2.0 * share).max(1e-12).ln();
            let tau = basis.taus[column - FIRST_FAST];
            out.taus[place - 3] = tau;
            g_total[i] = -(-span_s / tau).exp_m1();
            g_plateau[i] = 1.0;
        }
        match place {
            1 => {
                g_total[i] = 1.0;
                out.straight = (x[i], sd_of(&unit));
            }
            2 => g_plateau[i] = 1.0,
            _ => {}
        }
    }
    let dot = |g: &[f64; MAX_TERMS]| (0..k).map(|i| g[i] * x[i]).sum::<f64>();
    out.total = (dot(&g_total), sd_of(&g_total));
    out.plateau = (dot(&g_plateau), sd_of(&g_plateau));
    Some(out)
}

/// Standard deviation of the straight part in the plain line fit.
fn straight_alone_sd(basis: &Basis, noise: f64) -> f64 {
    let (a, b, c) = (basis.inner(0, 0), basis.inner(0, 1), basis.inner(1, 1));
    let det = a * c - b * b;
    if det <= 0.0 {
        f64::INFINITY
    } else {
        noise * (a / det).sqrt()
    }
}

/// Turns log weights into weights that sum to one; drops what does not matter.
fn normalise(components: &mut Vec<Component>) -> Option<()> {
    let top = components
        .iter()
        .map(|c| c.weight)
        .fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        return None;
    }
    components.retain(|c| c.weight > top - 14.0);
    for c in components.iter_mut() {
        c.weight = (c.weight - top).exp();
    }
    let sum: f64 = components.iter().map(|c| c.weight).sum();
    for c in components.iter_mut() {
        c.weight /= sum;
    }
    components.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    Some(())
}

impl RiseFit {
    /// Probability that `what` of a component, taken as normal, lies above `limit`.
    pub(crate) fn probability_above(
        &self,
        limit: impl Fn(&Component) -> f64,
        what: impl Fn(&Component) -> (f64, f64),
    ) -> f64 {
        self.components
            .iter()
            .map(|c| {
                let (mean, sd) = what(c);
                let limit = limit(c);
                let above = if sd > 0.0 {
                    cdf((mean - limit) / sd)
                } else {
                    f64::from(u8::from(mean > limit))
                };
                c.weight * above
            })
            .sum()
    }

    /// Quantile of `what` over the explanations that `keep` takes.
    pub(crate) fn quantile(
        &self,
        q: f64,
        keep: impl Fn(&Component) -> bool,
        what: impl Fn(&Component) -> (f64, f64),
    ) -> Option<f64> {
        let parts: Vec<(f64, f64, f64)> = self
            .components
            .iter()
            .filter(|c| keep(c))
            .map(|c| {
                let (mean, sd) = what(c);
                (c.weight, mean, sd)
            })
            .collect();
        quantile_of_mixture(q, &parts)
    }
}
