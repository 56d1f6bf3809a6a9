//! One weighed sum as the rest of the crate uses it: heights, rise, predicted pressure.

use findings::root_growth;
use statistics::{non_negative::Posterior, truncated_normal::TruncatedNormal};

use super::{
    columns::{self, Columns, DEPLETION, DEPLETION_SPANS, LINE, ROOT},
    weighing::Scales,
};

/// Standard deviation of the gas that the stores have still to give off, as a share of it
/// (common practice, no source).
const TO_COME: f64 = 0.33;

/// What every sum of a hold shares.
#[derive(Debug, Clone, Copy)]
pub(super) struct FitBasis<'a> {
    pub(super) columns: &'a Columns,
    pub(super) scales: &'a Scales,
    /// Length of the fit, s.
    pub(super) span_s: f64,
    /// End of equalisation, s since the start of the fit.
    pub(super) settled_t: f64,
}

/// One sum with its share of the probability.
#[derive(Debug, Clone)]
pub(crate) struct Explanation {
    /// Share of the probability; all together are 1.
    pub(crate) weight: f64,
    /// True when it has a straight part.
    pub(crate) has_line: bool,
    /// Straight part over the fit, micron: mean and standard deviation.
    pub(crate) straight: (f64, f64),
    /// Rise since equalisation, micron: mean and standard deviation.
    pub(crate) total: (f64, f64),
    /// Share of the straight part that lies after equalisation.
    since: f64,
    /// Final heights, micron, and time constants, s, of the stores.
    pub(crate) stores: Vec<(f64, f64)>,
    /// Height at the end of the fit of the part that grows with √t, micron.
    pub(crate) root: f64,
    /// Depletion: height, micron, and time constant, s.
    pub(crate) depletion: Option<(f64, f64)>,
    /// Pressure at the start of the fit, micron.
    pub(crate) start_micron: f64,
    /// What is left of equalisation at the start of the fit, micron, and time constants, s.
    pub(crate) settling: [(f64, f64); 2],
    /// The straight part as cut-off normals with their shares.
    pub(super) straight_parts: Vec<(f64, TruncatedNormal)>,
}

impl Explanation {
    /// A sum of the columns in `list`, in the order of its posterior; `weight` is its
    /// share.
    pub(super) fn new<const N: usize>(
        weight: f64,
        list: &[usize],
        posterior: &Posterior<N>,
        basis: &FitBasis<'_>,
    ) -> Self {
        let FitBasis {
            columns,
            scales,
            span_s,
            settled_t,
        } = *basis;
        let (mut stores, mut root, mut depletion) = (Vec::new(), 0.0, None);
        let mut ends = [0.0; N];
        let mut start_micron = columns.mean_p;
        let mut total = 0.0;
        for (k, column) in list.iter().enumerate() {
            let height = posterior.mean[k];
            start_micron -= height * columns.means[*column];
            let before = columns::value(*column, &columns.taus, settled_t, span_s);
            ends[k] = if *column >= DEPLETION { -1.0 } else { 1.0 } - before;
            total += ends[k] * height;
            let final_height = |tau: f64| height / -(-span_s / tau).exp_m1();
            match *column {
                ROOT => root = height,
                LINE => {}
                c if c >= DEPLETION => {
                    let tau = DEPLETION_SPANS[c - DEPLETION] * span_s;
                    depletion = Some((final_height(tau), tau));
                }
                c => stores.push((final_height(columns.taus[c]), columns.taus[c])),
            }
        }
        let total_sd = posterior.variance_of(&ends, list.len()).sqrt();
        let line = list.iter().position(|c| *c == LINE);
        let prior = scales.prior(LINE, columns);
        Self {
            weight,
            has_line: line.is_some(),
            straight: line.map_or((0.0, 0.0), |k| {
                let variance = posterior.covariance[k][k];
                (posterior.mean[k], variance.max(0.0).sqrt())
            }),
            total: (total, total_sd),
            since: 1.0 - settled_t / span_s,
            stores,
            root,
            depletion,
            start_micron,
            settling: columns.settling_beside(list.iter().copied().zip(posterior.mean)),
            straight_parts: line.map_or_else(Vec::new, |k| {
                let parts = posterior.parts(k, &prior);
                parts.filter(|(share, _)| *share > 0.01).collect()
            }),
        }
    }

    /// Probability that the straight part adds less than `micron` since equalisation.
    pub(crate) fn straight_below(&self, micron: f64) -> f64 {
        let total: f64 = self.straight_parts.iter().map(|(share, _)| share).sum();
        let below = self
            .straight_parts
            .iter()
            .map(|(s, c)| s * c.below(micron / self.since));
        below.sum::<f64>() / total.max(1e-12)
    }

    /// Rise since equalisation that noise does not explain, micron: the mean less three
    /// standard deviations, at least 0.
    pub(super) fn certain_rise(&self) -> f64 {
        (self.total.0 - 3.0 * self.total.1).max(0.0)
    }

    /// Pressure `t` s after the start of a fit of `span_s`, micron.
    pub(crate) fn pressure_at(&self, span_s: f64, t: f64) -> f64 {
        let saturating = |(height, tau): &(f64, f64)| -height * (-t / tau).exp_m1();
        self.start_micron
            + self.straight.0 * t / span_s
            + self.root * root_growth(t) / root_growth(span_s)
            + self.stores.iter().map(saturating).sum::<f64>()
            - self.depletion.as_ref().map_or(0.0, saturating)
    }

    /// Pressure `later_s` after the end of a fit of `span_s`, micron: mean and standard
    /// deviation.
    pub(crate) fn pressure_after(&self, span_s: f64, later_s: f64) -> (f64, f64) {
        let mean = self.pressure_at(span_s, span_s + later_s);
        let further = later_s / span_s;
        let to_come = mean - self.pressure_at(span_s, span_s) - further * self.straight.0;
        let sd = self.total.1.hypot(further * self.straight.1);
        (mean, sd.hypot(TO_COME * to_come))
    }
}
