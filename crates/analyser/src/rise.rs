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

/// Prior widths of a single slow term's final height, in units of the observed
/// range, and their shares: a plateau far above anything seen is hardly believed,
/// unless nothing simpler explains the bend.
const PRIOR_HEIGHTS: [(f64, f64); 3] = [(1.0, 0.95), (4.0, 0.04), (12.0, 0.01)];
/// Prior width of the straight part, in units of the observed range.
const PRIOR_STRAIGHT: f64 = 2.0;
/// Prior probabilities of no, one and two slow terms (only their ratio matters).
const NO_TERM: f64 = 0.35;
const ONE_TERM: f64 = 0.40;
const TWO_TERMS: f64 = 0.35;
/// χ² by which a straight rise must be worse than a slow curve to count as bent, and
/// by which a slow curve may be worse than the best explanation.
const BENT: f64 = 6.0;
const AS_GOOD: f64 = 5.0;
/// How many explanations are refined, and how far below the best.
const MOST_REFINED: usize = 400;
const REFINED_WITHIN: f64 = 60.0;

/// One explanation with its weight.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Component {
    setup: Setup,
    ln_prior: f64,
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
    /// Standard deviation of ln τ within the grid's step, and the shift applied.
    pub(crate) ln_tau_sd: [f64; 2],
    ln_tau_shift: [f64; 2],
    /// Coefficients: constant, straight (per fit), fast, slow 1, slow 2.
    pub(crate) coefficients: [f64; 5],
    /// Fast time constant, s; zero: absent.
    pub(crate) fast_tau: f64,
    /// True when the explanation has a straight part.
    pub(crate) has_line: bool,
    /// Residual sum of squares in units of the noise variance.
    chi_sq: f64,
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
    /// Least χ² of a straight rise alone, of one slow curve longer than the fit, and
    /// of anything.
    least_chi_sq: [f64; 3],
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
    let problem = Problem {
        basis: &basis,
        n,
        noise,
        range,
        span_s,
    };
    let coarse = weigh(&problem);
    let mut components = refine(&problem, coarse.clone());
    let straight_sd = straight_alone_sd(&basis, noise);
    let least_chi_sq = least_chi_sq(&coarse, span_s);
    normalise(&mut components)?;
    Some(RiseFit {
        span_s,
        components,
        bin_micron: noise,
        correlation,
        bin_s,
        straight_sd,
        level,
        least_chi_sq,
    })
}

/// Every combination of straight part, fast term and up to two slow terms.
fn weigh(problem: &Problem<'_>) -> Vec<Component> {
    let mut out = Vec::with_capacity(6_000);
    let pairs = (SLOW * (SLOW - 1) / 2) as f64;
    // time constants far beyond the hold are believed less, in proportion
    let believed = |i: usize| {
        -(problem.basis.taus[FAST + i] / problem.span_s)
            .max(1.0)
            .ln()
    };
    for line in [false, true] {
        for fast in 0..=FAST {
            let fast_index = (fast > 0).then(|| FIRST_FAST + fast - 1);
            let ln_fast = if fast == 0 {
                0.5_f64.ln()
            } else {
                (0.5 / FAST as f64).ln()
            };
            let mut take = |slow: [Option<usize>; 2], height: f64, ln_prior: f64| {
                let setup = Setup {
                    line,
                    fast: fast_index,
                    slow,
                    height,
                };
                if let Some(c) = problem.solve(setup, None) {
                    let ln_prior = ln_prior + ln_fast;
                    out.push(Component {
                        weight: c.weight + ln_prior,
                        ln_prior,
                        ..c
                    });
                }
            };
            take([None, None], 1.0, NO_TERM.ln());
            for i in 0..SLOW {
                let one = (ONE_TERM / SLOW as f64).ln() + believed(i);
                for (height, share) in PRIOR_HEIGHTS {
                    take([Some(FIRST_SLOW + i), None], height, one + share.ln());
                }
                // two terms closer than two grid steps are one
                for j in i + 3..SLOW {
                    let two = (TWO_TERMS / pairs).ln() + believed(j);
                    take([Some(FIRST_SLOW + i), Some(FIRST_SLOW + j)], 1.0, two);
                }
            }
        }
    }
    out
}

/// Solves the explanations that matter once more with their time constants free to
/// move within the grid's step: p is linear in a small shift of ln τ.
fn refine(problem: &Problem<'_>, mut coarse: Vec<Component>) -> Vec<Component> {
    coarse.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let Some(top) = coarse.first().map(|c| c.weight) else {
        return coarse;
    };
    coarse.truncate(MOST_REFINED);
    coarse
        .into_iter()
        .take_while(|c| c.weight > top - REFINED_WITHIN)
        .filter_map(|c| {
            let fine = problem.solve(c.setup, Some(&c))?;
            Some(Component {
                weight: fine.weight + c.ln_prior,
                ln_prior: c.ln_prior,
                ..fine
            })
        })
        .collect()
}

/// Which terms an explanation has.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Setup {
    line: bool,
    fast: Option<usize>,
    slow: [Option<usize>; 2],
    /// Prior width of the heights, in observed ranges.
    height: f64,
}

/// What a column of the linear problem stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Role {
    Constant,
    Straight,
    Fast,
    Slow(usize),
    /// Shift of ln τ of a slow term, times its height.
    Shift(usize),
}

#[derive(Debug, Clone, Copy)]
struct Term {
    column: usize,
    role: Role,
    /// Prior standard deviation, micron; infinite: none.
    width: f64,
}

/// The linear problem behind every explanation.
struct Problem<'a> {
    basis: &'a Basis,
    /// Number of bins.
    n: usize,
    /// Noise of a whitened bin, micron.
    noise: f64,
    /// Observed range, micron.
    range: f64,
    span_s: f64,
}

impl Problem<'_> {
    fn terms(&self, setup: Setup, around: Option<&Component>) -> ([Term; MAX_TERMS], usize) {
        let constant = Term {
            column: 0,
            role: Role::Constant,
            width: f64::INFINITY,
        };
        let mut terms = [constant; MAX_TERMS];
        let mut k = 1;
        let mut push = |column, role, width| {
            terms[k] = Term {
                column,
                role,
                width,
            };
            k += 1;
        };
        if setup.line {
            push(1, Role::Straight, PRIOR_STRAIGHT * self.range);
        }
        if let Some(f) = setup.fast {
            push(f, Role::Fast, self.range);
        }
        for (slot, slow) in setup.slow.iter().enumerate() {
            if let Some(s) = slow {
                push(*s, Role::Slow(slot), setup.height * self.range);
                if let Some(coarse) = around {
                    // evenly within a grid step: step/√12
                    let step = self.basis.grid_step / 12.0_f64.sqrt();
                    let width = (coarse.coefficients[3 + slot].abs() * step).max(1e-3 * self.noise);
                    push(*s + SLOW, Role::Shift(slot), width);
                }
            }
        }
        (terms, k)
    }

    /// Solves one combination; `weight` of the result is the log evidence.
    fn solve(&self, setup: Setup, around: Option<&Component>) -> Option<Component> {
        let (terms, k) = self.terms(setup, around);
        let noise_sq = self.noise * self.noise;
        let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
        let mut c = [0.0; MAX_TERMS];
        let mut ln_prior_det = 0.0;
        for i in 0..k {
            for j in 0..=i {
                m[i][j] = self.basis.inner(terms[i].column, terms[j].column) / noise_sq;
                m[j][i] = m[i][j];
            }
            if terms[i].width.is_finite() {
                m[i][i] += 1.0 / (terms[i].width * terms[i].width);
                ln_prior_det += 2.0 * terms[i].width.ln();
            }
            c[i] = self.basis.with_y[terms[i].column] / noise_sq;
        }
        let factor = Cholesky::new(&m, k)?;
        let x = factor.solve(&c);
        let explained: f64 = (0..k).map(|i| x[i] * c[i]).sum();
        let rss = (self.basis.yy / noise_sq - explained).max(1e-9);
        let dof = (self.n - 1) as f64;
        // noise scale unknown within reason: Student form around the estimate
        let variance = (rss + 4.0) / (dof + 4.0);
        let ln_evidence =
            -0.5 * (dof + 4.0) * variance.ln() - 0.5 * factor.ln_det() - 0.5 * ln_prior_det;
        let solved = Solved {
            terms: &terms[..k],
            x,
            factor,
            scale: variance.sqrt().max(0.7),
        };
        Some(Component {
            chi_sq: rss,
            ..self.component(setup, ln_evidence, &solved)
        })
    }

    /// Turns coefficients into what is asked of an explanation.
    fn component(&self, setup: Setup, ln_evidence: f64, solved: &Solved<'_>) -> Component {
        let fast_tau = setup.fast.map_or(0.0, |f| self.basis.taus[f - FIRST_FAST]);
        let mut out = Component {
            setup,
            weight: ln_evidence,
            fast_tau,
            ..Component::default()
        };
        out.has_line = setup.line;
        let (mut total, mut plateau) = ([0.0; MAX_TERMS], [0.0; MAX_TERMS]);
        plateau[0] = 1.0;
        for (i, term) in solved.terms.iter().enumerate() {
            let tau = self
                .basis
                .taus
                .get(term.column.wrapping_sub(FIRST_FAST))
                .copied();
            match term.role {
                Role::Constant => out.coefficients[0] = solved.x[i],
                Role::Straight => {
                    total[i] = 1.0;
                    out.coefficients[1] = solved.x[i];
                    out.straight = (solved.x[i], solved.sd_of_one(i));
                }
                Role::Fast => {
                    plateau[i] = 1.0;
                    out.coefficients[2] = solved.x[i];
                }
                Role::Slow(slot) => {
                    // half-normal prior: keep only the share of it that is positive
                    let share = cdf(solved.x[i] / solved.sd_of_one(i).max(1e-12));
                    out.weight += (2.0 * share).max(1e-12).ln();
                    out.coefficients[3 + slot] = solved.x[i];
                    out.taus[slot] = tau.unwrap_or(0.0);
                    total[i] = -(-self.span_s / out.taus[slot]).exp_m1();
                    plateau[i] = 1.0;
                }
                Role::Shift(slot) => {
                    let u = self.span_s / out.taus[slot];
                    total[i] = -u * (-u).exp();
                    let height = out.coefficients[3 + slot];
                    if height.abs() > 1e-9 {
                        out.ln_tau_sd[slot] = (solved.sd_of_one(i) / height).abs();
                        out.ln_tau_shift[slot] = solved.x[i] / height;
                    }
                }
            }
        }
        out.total = (solved.dot(&total), solved.sd(&total));
        out.plateau = (solved.dot(&plateau), solved.sd(&plateau));
        // only now: the gradients above belong to the grid's time constants
        for slot in 0..2 {
            out.taus[slot] *= out.ln_tau_shift[slot].clamp(-0.5, 0.5).exp();
        }
        out
    }
}

/// A solved linear problem.
struct Solved<'a> {
    terms: &'a [Term],
    x: [f64; MAX_TERMS],
    factor: Cholesky,
    /// Residual scale over the assumed noise.
    scale: f64,
}

impl Solved<'_> {
    fn sd(&self, g: &[f64; MAX_TERMS]) -> f64 {
        self.scale * self.factor.quadratic(g).sqrt()
    }

    fn sd_of_one(&self, i: usize) -> f64 {
        let mut unit = [0.0; MAX_TERMS];
        unit[i] = 1.0;
        self.sd(&unit)
    }

    fn dot(&self, g: &[f64; MAX_TERMS]) -> f64 {
        self.x.iter().zip(g).map(|(x, g)| x * g).sum()
    }
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

/// Least χ² of a straight rise alone, of one slow curve longer than the fit, of all.
fn least_chi_sq(components: &[Component], span_s: f64) -> [f64; 3] {
    let least = |keep: &dyn Fn(&Component) -> bool| {
        components
            .iter()
            .filter(|c| keep(c))
            .map(|c| c.chi_sq)
            .fold(f64::INFINITY, f64::min)
    };
    [
        least(&|c| c.has_line && c.taus[0] == 0.0),
        least(&|c| !c.has_line && c.taus[0] > 1.2 * span_s && c.taus[1] == 0.0),
        least(&|_| true),
    ]
}

impl RiseFit {
    /// True when the rise visibly bends and one saturating curve with a time constant
    /// beyond the hold explains it as well as anything: then nothing here tells a
    /// leak beside a little moisture from slow moisture alone.
    pub(crate) fn slow_curve_will_do(&self) -> bool {
        let [straight, slow, any] = self.least_chi_sq;
        straight - slow > BENT && slow - any < AS_GOOD
    }

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
