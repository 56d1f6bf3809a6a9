//! The few stores that a rise looks like: none, one or two, beside a leak or alone.
//!
//! The sums of [`weighing`](super::weighing) have every store at once. Some systems are
//! simpler: only air comes in, or one source gives gas off. These sums are weighed beside
//! the others. Their stores give the figures that are shown: where the rise levels off, and
//! how fast.

use statistics::non_negative::{Posterior, Prior, integrate};

use super::{
    columns::{Columns, FINE, FINER, LINE, STORES},
    weighing::Scales,
};

/// Most terms: two stores and a straight part.
pub(super) const TERMS: usize = 3;
/// Prior probability of no, one and two stores.
const STORES_BEFOREHAND: [f64; 3] = [0.3, 0.4, 0.3];
/// Stores closer than this in ln τ are shown as one (common practice, no source).
const ONE_STORE: f64 = 0.9;
/// Sums that are weighed again with finer time constants, at most (common practice, no
/// source).
const REFINED: usize = 12;
/// Sums this far below the best are dropped (ln) (common practice, no source).
const NEGLIGIBLE: f64 = 7.0;

/// A sum of few terms.
#[derive(Debug, Clone)]
pub(super) struct SparseModel {
    /// Its columns, in the order of the posterior.
    pub(super) list: Vec<usize>,
    /// ln of its prior times its evidence.
    pub(super) weight: f64,
    pub(super) posterior: Posterior<TERMS>,
}

/// One or two stores that may make a rise.
#[derive(Debug, Clone)]
pub(crate) struct RiseModel {
    /// Share of the probability.
    pub(crate) weight: f64,
    /// Final height, micron, and time constant, s, of each store.
    pub(crate) stores: Vec<(f64, f64)>,
    /// Pressure at the start of the fit, micron.
    pub(crate) start_micron: f64,
}

impl RiseModel {
    /// Pressure where the stores end, micron.
    pub(crate) fn plateau_micron(&self) -> f64 {
        self.start_micron + self.stores.iter().map(|(height, _)| height).sum::<f64>()
    }

    /// The store that gives off most within `span_s`: height and time constant. Two
    /// neighbours on the grid stand for one store between them.
    pub(crate) fn main_store(&self, span_s: f64) -> Option<(f64, f64)> {
        let shown = |s: &(f64, f64)| -s.0 * (-span_s / s.1).exp_m1();
        let by_share = |a: &(f64, f64), b: &(f64, f64)| shown(a).total_cmp(&shown(b));
        let main = self.stores.iter().copied().max_by(by_share)?;
        let near = |s: &&(f64, f64)| (s.1 / main.1).ln().abs() < ONE_STORE;
        let (mut height, mut weight, mut ln_tau) = (0.0, 0.0, 0.0);
        for s in self.stores.iter().filter(near) {
            height += s.0;
            weight += shown(s);
            ln_tau += shown(s) * s.1.ln();
        }
        (weight > 0.0).then(|| (height, (ln_tau / weight).exp()))
    }
}

/// Up to two of the first `stores` stores, with or without a straight part; heaviest
/// first. The best are weighed again with time constants between those of the grid.
pub(super) fn all(
    columns: &Columns,
    scales: &Scales,
    stores: usize,
    line: bool,
) -> Vec<SparseModel> {
    let stores = stores.min(STORES);
    let ways = [1, stores, stores * stores.saturating_sub(1) / 2];
    let weigh = |some: &[usize], ln_share: f64| {
        let list: Vec<usize> = some.iter().copied().chain(line.then_some(LINE)).collect();
        let priors: Vec<Prior> = list.iter().map(|c| scales.prior(*c, columns)).collect();
        let likelihood = scales.likelihood::<TERMS>(&list, columns);
        let beforehand = (STORES_BEFOREHAND[some.len()] / ways[some.len()] as f64).ln();
        let posterior = integrate(&likelihood, &priors)?;
        Some(SparseModel {
            list,
            weight: posterior.ln_evidence + beforehand + ln_share,
            posterior,
        })
    };
    let mut out: Vec<SparseModel> = weigh(&[], 0.0).into_iter().collect();
    for i in 0..stores {
        out.extend(weigh(&[i * FINER], 0.0));
        for j in i + 1..stores {
            out.extend(weigh(&[i * FINER, j * FINER], 0.0));
        }
    }
    sort(&mut out);
    let top = out.first().map_or(0.0, |s| s.weight);
    let best = out
        .iter()
        .take(REFINED)
        .take_while(|s| s.weight > top - NEGLIGIBLE)
        .count();
    let mut finer = Vec::new();
    for coarse in &mut out[..best] {
        let some: Vec<usize> = coarse.list.iter().copied().filter(|c| *c < FINE).collect();
        let near = neighbours(&some);
        let ln_share = -(near.len() as f64).ln();
        finer.extend(
            near.iter()
                .filter(|n| **n != some)
                .filter_map(|n| weigh(n, ln_share)),
        );
        coarse.weight += ln_share;
    }
    out.extend(finer);
    sort(&mut out);
    let top = out.first().map_or(0.0, |s| s.weight);
    out.retain(|s| s.weight > top - NEGLIGIBLE);
    out
}

/// The stores themselves and those a third of a step beside them.
fn neighbours(stores: &[usize]) -> Vec<Vec<usize>> {
    let mut out = vec![Vec::new()];
    for at in stores {
        let beside = at.saturating_sub(1)..=(at + 1).min(FINE - 1);
        out = out
            .iter()
            .flat_map(|begun| {
                beside.clone().map(|to| {
                    let mut longer: Vec<usize> = begun.clone();
                    longer.push(to);
                    longer
                })
            })
            .collect();
    }
    out
}

fn sort(list: &mut [SparseModel]) {
    list.sort_by(|a, b| b.weight.total_cmp(&a.weight));
}
