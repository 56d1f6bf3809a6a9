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
//! Real curves stray a little from any formula; smooth deviations are integrated
//! away before anything is compared (`basis::Whitened::basis`), and where a
//! temperature was recorded its whole effect beyond the gas law goes the same way.
//!
//! Noise: weights follow the pressure (relative noise), correlation between
//! neighbouring bins is taken out by first-order prewhitening, and a staircase
//! gauge is not allowed to look better than its steps.

mod basis;
mod problem;

pub(crate) use basis::FREED_PER_K;
use basis::{
    Basis, FAST, FIRST_FAST, FIRST_SLOW, SLOW, observed_range, raw_columns, relative_weights,
    time_constants, wander, whiten,
};

use problem::{Problem, Setup, Shape};

use crate::normal::{cdf, quantile_of_mixture};

/// One bin of the hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HoldBin {
    /// Seconds since the start of the fit.
    pub(crate) t: f64,
    /// Mean pressure, micron; at the first bin's temperature by the gas law where a
    /// temperature was recorded.
    pub(crate) p: f64,
    /// Smallest step of the gauge at this pressure, micron; zero: none.
    pub(crate) step: f64,
    /// Temperature above that of the first bin, K; `None`: not recorded.
    pub(crate) warming_k: Option<f64>,
}

/// What the fit needs to know about the gauge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FitContext {
    /// Noise of one reading, micron.
    pub(crate) reading_micron: f64,
    /// Readings per bin.
    pub(crate) readings_per_bin: f64,
}

/// Prior widths of a single slow term's final height, in units of the observed
/// range, and their shares: a plateau far above anything seen is hardly believed,
/// unless nothing simpler explains the bend.
const PRIOR_HEIGHTS: [(f64, f64); 3] = [(1.0, 0.95), (4.0, 0.04), (12.0, 0.01)];
/// Prior probabilities of no, one and two slow terms (only their ratio matters).
const NO_TERM: f64 = 0.35;
const ONE_TERM: f64 = 0.40;
const TWO_TERMS: f64 = 0.35;
/// Boil-out takes minutes, and a hold is made long enough to see it: time constants
/// up to ten minutes, or to this many lengths of the fit, are equally likely in ln τ,
/// longer ones by this power less (common practice, no source).
const USUAL_S: f64 = 600.0;
const BELIEVED_HOLDS: f64 = 0.7;
const DISBELIEF: f64 = 1.5;
/// How far real curves may stray from any formula, in shares of the observed range,
/// and the logarithm of the prior weight; the data choose among them.
const ODDITY: [(f64, f64); 4] = [(0.0005, 0.0), (0.003, 0.0), (0.01, -1.0), (0.03, -3.0)];
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
    /// Share of each slow term's height that shows within the fit.
    pub(crate) contribution: [f64; 2],
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
    /// True when a temperature was recorded throughout.
    pub(crate) temperature_known: bool,
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
    let white = whiten(bins, &raw, &weights, correlation, &taus);
    let range = observed_range(bins).max(4.0 * noise);
    let shape = Shape {
        n,
        noise,
        range,
        span_s,
    };
    let (_, basis) = ODDITY
        .iter()
        .map(|(share, ln_prior)| {
            let basis = white.basis(taus.clone(), noise, (share * range, level));
            (ln_evidence(&shape.problem(&basis)) + ln_prior, basis)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let problem = shape.problem(&basis);
    let coarse = weigh(&problem);
    let least_chi_sq = coarse.least_chi_sq;
    let mut components = refine(&problem, coarse.heaviest());
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
        temperature_known: bins.iter().all(|b| b.warming_k.is_some()),
        least_chi_sq,
    })
}

/// Logarithm of the evidence of the simpler explanations together.
fn ln_evidence(problem: &Problem<'_>) -> f64 {
    let mut weights = Vec::with_capacity(4 * (SLOW + 1));
    for line in [false, true] {
        for fast in [None, Some(FIRST_FAST + 1)] {
            for slow in (FIRST_SLOW..FIRST_SLOW + SLOW).map(Some).chain([None]) {
                let setup = Setup {
                    line,
                    fast,
                    slow: [slow, None],
                    height: 1.0,
                };
                weights.extend(problem.solve(setup, None).map(|c| c.weight));
            }
        }
    }
    let top = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = weights.iter().map(|w| (w - top).exp()).sum();
    top + sum.ln() + problem.basis.ln_odd
}

/// Explanations as they are weighed: thousands pass by, the heaviest stay.
struct Weighed {
    span_s: f64,
    kept: Vec<Component>,
    /// Least χ² of a straight rise alone, of one slow curve longer than the fit, of all.
    least_chi_sq: [f64; 3],
}

impl Weighed {
    fn new(span_s: f64) -> Self {
        Self {
            span_s,
            kept: Vec::with_capacity(2 * MOST_REFINED),
            least_chi_sq: [f64::INFINITY; 3],
        }
    }

    fn take(&mut self, c: Component) {
        let kinds = [
            c.has_line && c.taus[0] == 0.0,
            !c.has_line && c.taus[0] > 1.2 * self.span_s && c.taus[1] == 0.0,
            true,
        ];
        for (least, is) in self.least_chi_sq.iter_mut().zip(kinds) {
            if is {
                *least = least.min(c.chi_sq);
            }
        }
        if self.kept.len() == 2 * MOST_REFINED {
            self.drop_light();
        }
        self.kept.push(c);
    }

    /// Of equals those that came first stay, whenever this is done.
    fn drop_light(&mut self) {
        self.kept.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        self.kept.truncate(MOST_REFINED);
    }

    /// The heaviest first.
    fn heaviest(mut self) -> Vec<Component> {
        self.drop_light();
        self.kept
    }
}

/// Every combination of straight part, fast term and up to two slow terms.
fn weigh(problem: &Problem<'_>) -> Weighed {
    let mut out = Weighed::new(problem.shape.span_s);
    let pairs = (SLOW * (SLOW - 1) / 2) as f64;
    let believed = |i: usize| {
        let usual_s = (BELIEVED_HOLDS * problem.shape.span_s).max(USUAL_S);
        -DISBELIEF * (problem.basis.taus[FAST + i] / usual_s).max(1.0).ln()
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
                    out.take(Component {
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
fn refine(problem: &Problem<'_>, coarse: Vec<Component>) -> Vec<Component> {
    let Some(top) = coarse.first().map(|c| c.weight) else {
        return coarse;
    };
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
    // the last hundred-thousandth changes no figure anybody reads
    let mut kept = 0.0;
    components.retain(|c| {
        let counts = kept < 1.0 - 1e-5;
        kept += c.weight;
        counts
    });
    Some(())
}

impl Component {
    /// Pressure `later_s` after the end of a fit of `span_s`, micron: mean and standard
    /// deviation.
    pub(crate) fn pressure_after(&self, span_s: f64, later_s: f64) -> (f64, f64) {
        let end = self.coefficients[0] + self.coefficients[2] + self.total.0;
        let further = later_s / span_s;
        let (mut mean, mut sd) = (
            end + further * self.straight.0,
            self.total.1.hypot(further * self.straight.1),
        );
        let rest = |tau: f64| {
            if tau > 0.0 {
                (-span_s / tau).exp() * -(-later_s / tau).exp_m1()
            } else {
                0.0
            }
        };
        for slot in 0..2 {
            mean += self.coefficients[3 + slot] * rest(self.taus[slot]);
        }
        // what is still to come of the slow terms is as uncertain as their end
        if self.taus[0] > 0.0 {
            let to_come = rest(self.taus[0]).max(rest(self.taus[1]));
            sd = sd.hypot(to_come * self.plateau.1);
        }
        (mean, sd)
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_heaviest_stay_in_the_order_of_a_sort_of_all() {
        let all: Vec<Component> = (0..3_550_u32)
            .map(|i| Component {
                // many equals, so that their order counts
                weight: f64::from(i * 7_919 % 1_013),
                chi_sq: f64::from(i),
                ..Component::default()
            })
            .collect();
        let mut weighed = Weighed::new(600.0);
        all.iter().for_each(|c| weighed.take(*c));
        let mut sorted = all;
        sorted.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        sorted.truncate(MOST_REFINED);
        let key = |c: &Component| (c.weight, c.chi_sq);
        let kept: Vec<_> = weighed.heaviest().iter().map(key).collect();
        assert_eq!(kept, sorted.iter().map(key).collect::<Vec<_>>());
    }
}
