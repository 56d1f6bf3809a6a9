//! The few stores that a rise looks like: none, one or two, beside a leak or alone.
//!
//! The sums of [`weighing`](super::weighing) have every store at once. Some systems are
//! simpler: nothing but air comes in, or one thing gives gas off. These sums are weighed
//! beside the others, and their stores are what a person reads: where the rise levels
//! off, and how fast.

use super::{
    columns::{Columns, LINE, ROOT},
    expectation::{self, Posterior, Prior},
    weighing::Scales,
};

/// Most terms: two stores and a straight part.
pub(super) const TERMS: usize = 3;
/// Probability beforehand of no, one and two stores.
const STORES_BEFOREHAND: [f64; 3] = [0.3, 0.4, 0.3];
/// Sums this far below the best are dropped (ln).
const NEGLIGIBLE: f64 = 7.0;

/// A sum of few terms.
#[derive(Debug, Clone)]
pub(super) struct Sparse {
    /// Its columns, in the order of the posterior.
    pub(super) list: Vec<usize>,
    /// ln of its prior times its evidence.
    pub(super) weight: f64,
    pub(super) posterior: Posterior<TERMS>,
}

/// One or two stores that may make a rise.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// Share of the probability.
    pub(crate) weight: f64,
    /// Final height, micron, and time constant, s, of each store.
    pub(crate) stores: Vec<(f64, f64)>,
    /// Pressure at the start of the fit, micron.
    pub(crate) start_micron: f64,
}

impl Shape {
    /// Pressure where the stores end, micron.
    pub(crate) fn plateau_micron(&self) -> f64 {
        self.start_micron + self.stores.iter().map(|(height, _)| height).sum::<f64>()
    }

    /// The store that gives off most within `span_s`: height and time constant.
    pub(crate) fn main_store(&self, span_s: f64) -> Option<(f64, f64)> {
        let shown = |s: &(f64, f64)| -s.0 * (-span_s / s.1).exp_m1();
        self.stores
            .iter()
            .copied()
            .max_by(|a, b| shown(a).total_cmp(&shown(b)))
    }
}

/// Up to two of the first `stores` stores, with or without a straight part; heaviest
/// first.
pub(super) fn all(columns: &Columns, scales: &Scales, stores: usize, line: bool) -> Vec<Sparse> {
    let mut out: Vec<Sparse> = Vec::new();
    let ways = [1, stores, stores * stores.saturating_sub(1) / 2];
    let mut take = |some: &[usize]| {
        let list: Vec<usize> = some.iter().copied().chain(line.then_some(LINE)).collect();
        let priors: Vec<Prior> = list.iter().map(|c| scales.prior(*c, columns)).collect();
        let likelihood = scales.likelihood::<TERMS>(&list, columns);
        let beforehand = (STORES_BEFOREHAND[some.len()] / ways[some.len()] as f64).ln();
        if let Some(posterior) = expectation::integrate(&likelihood, &priors) {
            out.push(Sparse {
                list,
                weight: posterior.ln_evidence + beforehand,
                posterior,
            });
        }
    };
    take(&[]);
    for i in 0..stores.min(ROOT) {
        take(&[i]);
        for j in i + 1..stores.min(ROOT) {
            take(&[i, j]);
        }
    }
    out.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let top = out.first().map_or(0.0, |s| s.weight);
    out.retain(|s| s.weight > top - NEGLIGIBLE);
    out
}

/// ln of the sum of exponentials.
pub(super) fn ln_sum(weights: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = weights.clone().fold(f64::NEG_INFINITY, f64::max);
    top + weights.map(|w| (w - top).exp()).sum::<f64>().ln()
}
