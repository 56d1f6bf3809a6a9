//! What the data say about the gauge: resolution, reading noise, correlation.

use crate::{history::Block, smooth::median};

/// Gauge noise near one pressure level.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct GaugeNoise {
    /// Smallest step the gauge shows, micron; `None` when every reading differs
    /// by an odd amount.
    pub(crate) step_micron: Option<f64>,
    /// Standard deviation of a single reading, micron, without slow wander.
    pub(crate) reading_micron: f64,
}

/// Noise of single readings from successive differences, block by block, so that
/// bursts and drift do not count: Var(p₁ − p₀) = 2σ².
pub(crate) fn gauge_noise(blocks: &[Block]) -> GaugeNoise {
    let mut squares: Vec<f64> = Vec::with_capacity(blocks.len());
    let (mut repeats, mut diffs) = (0_u64, 0_u64);
    let mut steps: Vec<f64> = Vec::with_capacity(blocks.len());
    for b in blocks {
        repeats += u64::from(b.repeats);
        diffs += u64::from(b.diffs);
        if b.diffs > 0 {
            squares.push(b.diff_sq / f64::from(b.diffs));
        }
        if b.min_step.is_finite() {
            steps.push(b.min_step);
        }
    }
    // a tenth of the smallest steps: one odd value does not make the resolution
    steps.sort_unstable_by(f64::total_cmp);
    let smallest = steps.get(steps.len() / 10).copied();
    let quantised = diffs > 8 && repeats * 50 > diffs;
    let mean = squares.iter().sum::<f64>() / squares.len().max(1) as f64;
    // mean of squares against their median: χ² with one degree has median 0.455
    let robust = median(&mut squares) / 0.455;
    let variance = if robust.is_nan() {
        0.0
    } else if quantised {
        mean.min(robust.max(0.25 * mean))
    } else {
        robust.min(mean)
    };
    GaugeNoise {
        step_micron: smallest.filter(|_| quantised),
        reading_micron: (0.5 * variance).sqrt(),
    }
}

/// Lag-1 autocorrelation of residuals about zero, full-sum form
/// r₁ = Σ e_i·e_{i+1} / Σ e_i² (NIST StRD univariate definition).
#[must_use]
pub fn lag_one(residuals: &[f64]) -> f64 {
    let total: f64 = residuals.iter().map(|e| e * e).sum();
    if total <= 0.0 {
        return 0.0;
    }
    residuals.windows(2).map(|w| w[0] * w[1]).sum::<f64>() / total
}

/// Effective sample size of `n` values with lag-1 autocorrelation `r`:
/// n·(1 − r)/(1 + r) (Zwiers and von Storch, J. Climate 8 (1995) 336–351);
/// `n` when r is not positive.
#[must_use]
pub fn effective_size(n: f64, r: f64) -> f64 {
    if r > 0.0 {
        n * (1.0 - r) / (1.0 + r)
    } else {
        n
    }
}
