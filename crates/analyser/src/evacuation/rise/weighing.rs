//! A leak or none: two models that differ only in the straight part.
//!
//! Both models (called sums, for a rise is a sum of parts) have all stores at once:
//! fourteen time constants from 3 s to eight lengths of the fit, and a part that grows
//! with √t, none of them negative. So the straight part competes with a continuous spread
//! of time constants. Each sum is weighed four times: without depletion, and with
//! depletion at each of three time constants.

use statistics::non_negative::{Likelihood, Posterior, Prior, integrate};

use super::columns::{Columns, DEPLETION, DEPLETION_SPANS, FINER, LINE, ROOT, STORES};

/// Most terms of a sum: stores, √t, straight part, depletion.
pub(super) const TERMS: usize = STORES + 3;
/// Heights of stores: half-normals of these widths, in observed rises (tuned on even seeds:
/// how often a statement is right).
const HEIGHTS: [f64; 3] = [0.05, 0.25, 1.0];
/// Time constants up to which a store may be what is left of equalisation, s (common
/// practice, no source).
const EQUALISES_S: f64 = 20.0;
/// Straight part: half-normals of widths on a logarithmic scale up to this many rises
/// (common practice, no source).
const LARGEST_STRAIGHT: f64 = 1.2;
const STRAIGHT_SCALES: usize = 5;
/// Slowest store beside a leak, in lengths of the fit, when its size is asked (common
/// practice, no source).
const SLOWEST_BESIDE: f64 = 2.0;
/// ln of the prior probability of depletion at one of its three time constants over that
/// of no depletion, 1/6: the three together have a prior probability of one third.
const LN_DEPLETION: f64 = -1.791_759_469_228_055;

/// Which terms a sum has beside the stores.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Setup {
    pub(super) line: bool,
    /// How many of the stores, the fastest first, and whether the part with √t.
    pub(super) stores: usize,
    pub(super) root: bool,
    /// Index into the time constants of depletion; `None`: no depletion.
    pub(super) depletion: Option<usize>,
}

impl Setup {
    /// All stores, with or without a straight part.
    pub(super) fn everything(line: bool) -> Self {
        Self {
            line,
            stores: STORES,
            root: true,
            depletion: None,
        }
    }

    /// The parts beside a leak when its size is estimated. A store much slower than the
    /// hold is a straight line too, so it is left out here.
    pub(super) fn beside_a_leak(columns: &Columns, span_s: f64) -> Self {
        Self {
            stores: columns
                .taus
                .partition_point(|tau| *tau <= SLOWEST_BESIDE * span_s)
                .div_ceil(FINER),
            root: false,
            ..Self::everything(true)
        }
    }

    /// Columns in the order of the posterior.
    pub(super) fn columns(self) -> impl Iterator<Item = usize> {
        let line = self.line.then_some(LINE);
        let depletion = self.depletion.map(|d| DEPLETION + d);
        let root = self.root.then_some(ROOT);
        (0..self.stores)
            .map(|i| i * FINER)
            .chain(root)
            .chain(line)
            .chain(depletion)
    }
}

/// One sum, weighed.
#[derive(Debug, Clone, Copy)]
pub(super) struct WeighedModel {
    pub(super) setup: Setup,
    /// ln of the evidence.
    pub(super) ln_evidence: f64,
    /// ln of its prior times its evidence.
    pub(super) weight: f64,
    pub(super) posterior: Posterior<TERMS>,
}

/// The scales on which the parts of a rise are looked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scales {
    /// Rise after equalisation, micron, and with it.
    pub(super) rise_micron: f64,
    pub(super) jump_micron: f64,
    /// Smallest straight part that this hold could show, micron over the fit.
    pub(super) least_straight_micron: f64,
    /// Noise over what was assumed.
    pub(super) noise: f64,
}

impl Scales {
    /// The prior of a column; the fastest stores may be what is left of equalisation.
    pub(super) fn prior(&self, column: usize, columns: &Columns) -> Prior {
        if column == LINE {
            return self.straight();
        }
        if column >= DEPLETION {
            return Prior::equal_shares(&[self.rise_micron]);
        }
        let fast = column < ROOT && columns.taus[column] < EQUALISES_S;
        let scale = if fast {
            self.jump_micron
        } else {
            self.rise_micron
        };
        Prior::equal_shares(&HEIGHTS.map(|h| h * scale))
    }

    /// A straight part may have any size from what this hold could show up to the
    /// whole rise, equal in the logarithm.
    fn straight(&self) -> Prior {
        let high = LARGEST_STRAIGHT * self.rise_micron;
        let low = self.least_straight_micron.min(0.7 * high);
        let step = (high / low).ln() / (STRAIGHT_SCALES - 1) as f64;
        let widths: [f64; STRAIGHT_SCALES] = std::array::from_fn(|i| low * (step * i as f64).exp());
        Prior::equal_shares(&widths)
    }

    /// The likelihood of some columns.
    pub(super) fn likelihood<const N: usize>(
        &self,
        list: &[usize],
        columns: &Columns,
    ) -> Likelihood<N> {
        let scale = 1.0 / (self.noise * self.noise);
        let mut out = Likelihood {
            n: list.len(),
            precision: [[0.0; N]; N],
            shift: [0.0; N],
        };
        for (i, a) in list.iter().enumerate() {
            for (j, b) in list.iter().enumerate() {
                out.precision[i][j] = scale * columns.gram[*a][*b];
            }
            out.shift[i] = scale * columns.with_p[*a];
        }
        out
    }

    pub(super) fn weigh(&self, setup: Setup, columns: &Columns) -> Option<WeighedModel> {
        let list: Vec<usize> = setup.columns().collect();
        let priors: Vec<Prior> = list.iter().map(|c| self.prior(*c, columns)).collect();
        let posterior = integrate(&self.likelihood(&list, columns), &priors)?;
        Some(WeighedModel {
            setup,
            ln_evidence: posterior.ln_evidence,
            weight: posterior.ln_evidence,
            posterior,
        })
    }

    /// A sum without depletion, first, and with each of its time constants. Weights are ln
    /// of prior times evidence.
    pub(super) fn all(&self, plain: Setup, columns: &Columns) -> Vec<WeighedModel> {
        let ways = std::iter::once(None).chain((0..DEPLETION_SPANS.len()).map(Some));
        ways.filter_map(|depletion| self.weigh(Setup { depletion, ..plain }, columns))
            .map(|w| WeighedModel {
                weight: w.ln_evidence
                    + if w.setup.depletion.is_some() {
                        LN_DEPLETION
                    } else {
                        0.0
                    },
                ..w
            })
            .collect()
    }

    /// Residual sum of squares of a sum at its mean, in assumed variances.
    pub(super) fn misfit(of: &WeighedModel, columns: &Columns) -> f64 {
        let list: Vec<usize> = of.setup.columns().collect();
        let mean = &of.posterior.mean;
        let mut rss = columns.pp;
        for (i, a) in list.iter().enumerate() {
            rss -= 2.0 * mean[i] * columns.with_p[*a];
            for (j, b) in list.iter().enumerate() {
                rss += mean[i] * mean[j] * columns.gram[*a][*b];
            }
        }
        rss.max(0.0)
    }
}
