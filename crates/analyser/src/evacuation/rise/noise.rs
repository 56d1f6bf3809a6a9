//! Noise of the bins of a hold: size, correlation, bursts, steps.

use statistics::{
    correlation::lag_one,
    linear::least_squares,
    robust::{MAD_TO_SD, median_of},
};

use super::bin::{FitContext, HoldBin};

/// Largest correlation that is believed (common practice, no source).
const MOST_CORRELATED: f64 = 0.97;
/// Terms of the flexible curve from which the noise is taken: time constants in lengths of
/// the hold (common practice, no source).
const FLEXIBLE: [f64; 6] = [0.1, 0.6, 0.012, 0.035, 0.25, 1.6];

/// Noise of a bin that is assumed at least, as a share of the level (common practice, no
/// source).
const LEAST_SHARE: f64 = 1e-5;
/// A burst stands out by so many standard deviations, which are so many steps at least
/// (common practice, no source).
const BURST_SDS: f64 = 5.0;
const LEAST_STEPS: f64 = 0.3;
/// Noise follows the pressure down to this share of the mean level (common practice, no
/// source).
const LOWEST_LEVEL: f64 = 0.2;

/// As many of them as the bins can carry.
fn flexible(bins: usize) -> &'static [f64] {
    &FLEXIBLE[..(bins / 5).clamp(1, FLEXIBLE.len())]
}

/// Noise of the bins.
#[derive(Debug, Clone)]
pub(super) struct BinNoise {
    /// Weight of one reading at the typical level when many are averaged, 1/micron²:
    /// 1/variance, with the correlation taken into account.
    per_reading: f64,
    /// Times of the bins with bursts, s, and the share of their weight that is left.
    bursts: Vec<(f64, f64)>,
    /// Noise of a reading over pressure; typical pressure and step, micron.
    relative: f64,
    level: f64,
    step: f64,
    /// Standard deviation of one bin at the typical level, micron.
    pub(super) bin_micron: f64,
    /// Lag-1 correlation between bins.
    pub(super) correlation: f64,
}

/// Noise of `bins` about a curve with more terms than any explanation; `None` where
/// that curve cannot be fitted.
pub(super) fn of_bins(bins: &[HoldBin], level: f64, context: FitContext) -> Option<BinNoise> {
    let step = typical_step(bins);
    let relative = context.reading_micron.max(1e-6 * level) / level;
    let plain: Vec<f64> = bins
        .iter()
        .map(|b| share(b, relative, level, step))
        .collect();
    let mut shares = plain.clone();
    let residuals = residuals_without_bursts(bins, &mut shares, step)?;
    let n = bins.len() as f64;
    let terms = (flexible(bins.len()).len() + 2) as f64;
    // residuals of a fit with so many terms look less correlated than the noise is
    let mut r = (lag_one(&residuals) + terms / n) * n / (n - terms).max(1.0);
    let mut variance = residuals.iter().map(|e| e * e).sum::<f64>() / (n - terms).max(1.0);
    if step > 0.0 {
        if context.reading_micron > 0.5 * step {
            variance = variance.max(step * step / 12.0 / context.readings_per_bin.max(1.0));
        } else {
            // a staircase: readings between two steps repeat one rounding error
            r = r.max((-2.0 * steps_passed(bins) / n).exp());
            variance = variance.max(step * step / 12.0);
        }
    }
    let r = r.clamp(0.0, MOST_CORRELATED);
    let floor = LEAST_SHARE * level;
    let variance = variance.max(floor * floor);
    // an average of m bins has the variance of one times (1 + r)/((1 − r)·m)
    let together = variance * (1.0 + r) / (1.0 - r);
    Some(BinNoise {
        per_reading: 1.0 / (together * context.readings_per_bin.max(1e-9)),
        bursts: bins
            .iter()
            .zip(shares.iter().zip(&plain))
            .filter(|(_, (left, plain))| *left < *plain)
            .map(|(b, (left, plain))| (b.t, (left / plain).powi(2)))
            .collect(),
        relative,
        level,
        step,
        bin_micron: variance.sqrt(),
        correlation: r,
    })
}

/// Residuals of the flexible curve; bins far off it (bursts) lose their weight.
fn residuals_without_bursts(bins: &[HoldBin], shares: &mut [f64], step: f64) -> Option<Vec<f64>> {
    let (first, last) = (bins.first()?, bins.last()?);
    let span = last.t - first.t;
    let mut shapes: Vec<Vec<f64>> = vec![
        vec![1.0; bins.len()],
        bins.iter().map(|b| (b.t - first.t) / span).collect(),
    ];
    shapes.extend(flexible(bins.len()).iter().map(|tau| {
        bins.iter()
            .map(|b| (-(b.t - first.t) / (tau * span)).exp())
            .collect::<Vec<f64>>()
    }));
    let mut residuals = Vec::new();
    for _ in 0..3 {
        let weigh = |column: &[f64]| -> Vec<f64> {
            column
                .iter()
                .zip(shares.iter())
                .map(|(c, w)| c * w)
                .collect()
        };
        let columns: Vec<Vec<f64>> = shapes.iter().map(|c| weigh(c)).collect();
        let p: Vec<f64> = bins.iter().map(|b| b.p).collect();
        let y = weigh(&p);
        let fit = least_squares(&columns, &y)?;
        residuals = (0..bins.len())
            .map(|i| {
                let curve: f64 = columns
                    .iter()
                    .zip(&fit.coefficients)
                    .map(|(c, b)| c[i] * b)
                    .sum();
                y[i] - curve
            })
            .collect();
        let sd = MAD_TO_SD * median_of(residuals.iter().map(|e| e.abs()));
        let cut = BURST_SDS * sd.max(LEAST_STEPS * step);
        if sd <= 0.0 || !residuals.iter().any(|e| e.abs() > cut) {
            break;
        }
        for (w, e) in shares.iter_mut().zip(&residuals) {
            if e.abs() > cut {
                *w *= (cut / e.abs()).powi(2);
            }
        }
    }
    Some(residuals)
}

/// Noise at the mean level over the noise of a bin: it is relative to pressure, with an
/// absolute floor from the gauge's step.
fn share(bin: &HoldBin, relative: f64, level: f64, step: f64) -> f64 {
    let sd = |p: f64, step: f64| (relative * p).hypot(step / 12.0_f64.sqrt());
    sd(level, step) / sd(bin.p.max(LOWEST_LEVEL * level), bin.step)
}

impl BinNoise {
    /// 1/variance of the mean of a bin, 1/micron².
    pub(super) fn weight(&self, bin: &HoldBin) -> f64 {
        let share = share(bin, self.relative, self.level, self.step);
        let near = |(t, _): &&(f64, f64)| (bin.ends.0 - 1.0..=bin.ends.1 + 1.0).contains(t);
        let left = self
            .bursts
            .iter()
            .filter(near)
            .map(|(_, left)| *left)
            .fold(1.0, f64::min);
        self.per_reading * bin.n * share * share * left
    }
}

/// Median of the gauge's steps over the bins, micron; zero when it has none.
fn typical_step(bins: &[HoldBin]) -> f64 {
    median_of(bins.iter().map(|b| b.step))
}

/// How many steps of the gauge the bins pass through.
fn steps_passed(bins: &[HoldBin]) -> f64 {
    let mut sorted: Vec<(f64, f64)> = bins.iter().map(|b| (b.p, b.step)).collect();
    sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let passed = |w: &[(f64, f64)]| (w[1].0 - w[0].0) / w[1].1;
    sorted.windows(2).map(passed).sum::<f64>().floor() + 1.0
}
