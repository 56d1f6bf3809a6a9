//! How alike two curves are: are they the same readings, or only readings of like systems?
//!
//! Two systems on one rig fall alike; what no two records share is the noise of their readings
//! and the exact places of their bends. So the smooth part of each curve is taken off (the
//! residual of a quadratic over seven bins), what is left is measured in its own size near by,
//! and the two are correlated. Where a gauge has no noise that shows, curves that are equal all
//! along, but for a factor, are the same readings too.

use statistics_of::{median, quantile};

/// A curve made ready to be compared.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    /// log10 of the pressure of every bin.
    pub(super) logs: Vec<f64>,
    /// What is left when the smooth part is taken off, in its own size near by, at every bin,
    /// and at every fourth of them put together.
    noise: [Vec<f64>; 2],
}

/// What a comparison found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Likeness {
    /// log10 of the factor between them.
    pub(super) offset: f64,
    /// Nine tenths of the bins differ by less, decades, when the factor is taken off.
    pub(super) apart: f64,
    /// Correlation of the noise, −1 to 1, the larger of the two.
    pub(super) noise: f64,
    /// The same in standard errors of no correlation.
    pub(super) noise_sigma: f64,
}

/// Noise smaller than this is not looked at, decades: curves are kept to a two-hundredth of a
/// thousandth.
const SMALLEST_NOISE: f64 = 5e-5;
/// Larger residuals count as so many of their own size: bends count little.
const CLIP: f64 = 2.5;
/// Residuals from here on are bends of the curve, and are left out.
const BEND: f64 = 6.0;
/// Bins over which the size of the noise is taken, to each side.
const NEAR: usize = 12;

impl Shape {
    pub(super) fn of(logs: Vec<f64>) -> Self {
        let quarter: Vec<f64> = logs
            .chunks(4)
            .map(|four| four.iter().sum::<f64>() / four.len().max(1) as f64)
            .collect();
        let noise = [noise_of(&logs), noise_of(&quarter)];
        Self { logs, noise }
    }

    /// The curve in `count` parts, its mean taken off.
    pub(super) fn coarse(&self, count: usize) -> Vec<f64> {
        let size = (self.logs.len() / count.max(1)).max(1);
        let parts = self.logs.chunks(size);
        let means: Vec<f64> = parts
            .map(|part| part.iter().sum::<f64>() / part.len().max(1) as f64)
            .collect();
        let mean = means.iter().sum::<f64>() / means.len().max(1) as f64;
        means.iter().map(|x| x - mean).collect()
    }

    pub(super) fn like(&self, other: &Self) -> Likeness {
        let apart: Vec<f64> = self
            .logs
            .iter()
            .zip(&other.logs)
            .map(|(a, b)| b - a)
            .collect();
        let offset = median(&apart);
        let rest: Vec<f64> = apart.iter().map(|d| (d - offset).abs()).collect();
        let of = |level: usize| {
            let both = self.noise.get(level).zip(other.noise.get(level));
            both.map_or((0.0, 0.0), |(a, b)| correlation(a, b))
        };
        let (fine, coarse) = (of(0), of(1));
        let (noise, noise_sigma) = if fine.1 >= coarse.1 { fine } else { coarse };
        Likeness {
            offset,
            apart: quantile(&rest, 0.9),
            noise,
            noise_sigma,
        }
    }
}

/// Residual of a quadratic over seven bins (Savitzky and Golay, "Smoothing and differentiation
/// of data by simplified least squares procedures", Analytical Chemistry 36, 1964: the weights
/// of the middle are −2, 3, 6, 7, 6, 3, −2 over 21), over its own size near by; NaN where there
/// is none to look at.
fn noise_of(logs: &[f64]) -> Vec<f64> {
    const WEIGHTS: [f64; 7] = [-2.0, 3.0, 6.0, 7.0, 6.0, 3.0, -2.0];
    let residuals: Vec<f64> = logs
        .windows(7)
        .map(|seven| {
            let smooth: f64 = seven.iter().zip(WEIGHTS).map(|(x, w)| x * w / 21.0).sum();
            seven.get(3).copied().unwrap_or_default() - smooth
        })
        .collect();
    let sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
    let scaled = residuals.iter().enumerate().map(|(at, residual)| {
        let from = at.saturating_sub(NEAR);
        let near = sizes.get(from..(at + NEAR + 1).min(sizes.len()));
        let size = 1.483 * median(near.unwrap_or_default());
        let scaled = residual / size.max(SMALLEST_NOISE);
        match size >= SMALLEST_NOISE && scaled.abs() < BEND {
            true => scaled.clamp(-CLIP, CLIP),
            false => f64::NAN,
        }
    });
    scaled.collect()
}

/// Correlation where both have something, and how many standard errors it is from none.
fn correlation(a: &[f64], b: &[f64]) -> (f64, f64) {
    let both: Vec<(f64, f64)> = a
        .iter()
        .zip(b)
        .map(|(a, b)| (*a, *b))
        .filter(|(a, b)| a.is_finite() && b.is_finite())
        .collect();
    let count = both.len() as f64;
    if count < 16.0 {
        return (0.0, 0.0);
    }
    let sum = |of: &dyn Fn(&(f64, f64)) -> f64| both.iter().map(of).sum::<f64>();
    let norm = (sum(&|(a, _)| a * a) * sum(&|(_, b)| b * b)).sqrt();
    if norm <= 0.0 {
        return (0.0, 0.0);
    }
    let r = sum(&|(a, b)| a * b) / norm;
    (r, r * count.sqrt())
}

mod statistics_of {
    /// The middle value; 0 of nothing.
    pub(super) fn median(values: &[f64]) -> f64 {
        quantile(values, 0.5)
    }

    /// The value below which this share of them lies; 0 of nothing.
    pub(super) fn quantile(values: &[f64], share: f64) -> f64 {
        let mut sorted = values.to_vec();
        let at = (share * sorted.len().saturating_sub(1) as f64).round() as usize;
        match at < sorted.len() {
            true => *sorted.select_nth_unstable_by(at, f64::total_cmp).1,
            false => 0.0,
        }
    }
}
