//! How alike two curves are: are they the same readings, or only readings of like systems?
//!
//! Two systems on one rig fall alike; what no two records share is the noise of their readings
//! and the exact places of their bends. So the smooth part of each curve is taken off (the
//! residual of a quadratic over seven bins), what is left is measured in its own size near by,
//! and the two are correlated. Where a gauge has no noise that shows, curves that are equal all
//! along, but for a factor, are the same readings too.

use crate::curve::CurveInBins;

/// A curve made ready to be compared.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    /// log10 of the pressure of every bin.
    logs: Vec<f64>,
    /// What is left at each level when the smooth part is taken off.
    noise: [Vec<f64>; LEVELS.len()],
    /// From the first reading to the last, s.
    span_s: f64,
    /// Time between readings, s.
    every_s: f64,
}

/// What a comparison found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Likeness {
    /// log10 of the factor between them.
    pub(super) offset: f64,
    /// Half of the bins differ by less, decades, when the factor is taken off.
    pub(super) half: f64,
    /// Nine tenths of the bins differ by less.
    pub(super) most: f64,
    /// How far the noise is from not being correlated, in standard errors, over the levels.
    pub(super) noise: f64,
}

/// Bins that are put together: single ones, and neighbours, where there is less than a reading
/// in each.
const LEVELS: [usize; 3] = [1, 2, 4];
/// What each counts.
const WEIGHTS: [f64; 3] = [1.0, 1.0, 0.5];
/// Where a record was thinned, its first and last reading are not those of the other; spans of
/// the same readings differ by no more intervals between readings than this.
const INTERVALS: f64 = 2.2;
/// How much of what the spans differ by is missing at the beginning.
const BEGINS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// Noise of curves that lie further apart is not looked at: eight tenths of the bins differ by
/// more, decades.
const FARTHEST: f64 = 0.015;
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
    pub(super) fn of(curve: &CurveInBins) -> Self {
        let logs = curve.logs();
        Self {
            noise: LEVELS.map(|level| noise_of(&together(&logs, level))),
            logs,
            span_s: curve.span_s,
            every_s: curve.span_s / curve.readings.max(1) as f64,
        }
    }

    /// The curve in `count` parts, its mean taken off.
    pub(super) fn coarse(&self, count: usize) -> Vec<f64> {
        let means = together(&self.logs, (self.logs.len() / count.max(1)).max(1));
        let mean = means.iter().sum::<f64>() / means.len().max(1) as f64;
        means.iter().map(|x| x - mean).collect()
    }

    /// True where both may be of the same readings by their length.
    pub(super) fn is_as_long_as(&self, other: &Self) -> bool {
        let apart_s = (self.span_s - other.span_s).abs();
        apart_s <= INTERVALS * self.every_s.max(other.every_s)
    }

    /// Compares, in whatever alignment the noise is most alike.
    pub(super) fn like(&self, other: &Self) -> Likeness {
        let (long, short, sign) = match self.span_s >= other.span_s {
            true => (self, other, 1.0),
            false => (other, self, -1.0),
        };
        let missing_s = long.span_s - short.span_s;
        let same_ends = missing_s <= 1e-6 * long.span_s;
        let begins = BEGINS.iter().take(if same_ends { 1 } else { BEGINS.len() });
        let all = begins.map(|share| long.aligned(short, share * missing_s));
        let best = all.reduce(|a, b| {
            if (b.noise, -b.most) > (a.noise, -a.most) {
                b
            } else {
                a
            }
        });
        let best = best.unwrap_or(Likeness {
            offset: 0.0,
            half: f64::INFINITY,
            most: f64::INFINITY,
            noise: 0.0,
        });
        Likeness {
            offset: sign * best.offset,
            ..best
        }
    }

    /// Compares with a curve that begins so much later.
    fn aligned(&self, short: &Self, begins_s: f64) -> Likeness {
        let bins = self.logs.len() as f64;
        let stretched: Vec<f64> = (0..self.logs.len())
            .map(|bin| {
                let at_s = (bin as f64 + 0.5) * self.span_s / bins - begins_s;
                short.at_bin(at_s * bins / short.span_s - 0.5)
            })
            .collect();
        let apart: Vec<f64> = self
            .logs
            .iter()
            .zip(&stretched)
            .map(|(a, b)| b - a)
            .collect();
        let offset = median(&apart);
        let rest: Vec<f64> = apart.iter().map(|d| (d - offset).abs()).collect();
        let near = quantile(&rest, 0.8) <= FARTHEST;
        let levels = LEVELS.iter().zip(WEIGHTS).zip(&self.noise);
        let noise = levels.map(|((level, weight), own)| {
            weight * correlation_sigma(own, &noise_of(&together(&stretched, *level)))
        });
        Likeness {
            offset,
            half: median(&rest),
            most: quantile(&rest, 0.9),
            noise: if near { noise.sum() } else { 0.0 },
        }
    }

    /// The curve at a place between the middles of bins.
    fn at_bin(&self, bin: f64) -> f64 {
        let last = self.logs.len().saturating_sub(1);
        let place = bin.clamp(0.0, last as f64);
        let before = place.floor() as usize;
        let share = place - before as f64;
        let at = |i: usize| self.logs.get(i.min(last)).copied().unwrap_or_default();
        at(before) + share * (at(before + 1) - at(before))
    }
}

fn together(logs: &[f64], count: usize) -> Vec<f64> {
    let parts = logs.chunks(count.max(1));
    parts
        .map(|part| part.iter().sum::<f64>() / part.len().max(1) as f64)
        .collect()
}

/// Residual of a quadratic over seven bins (Savitzky and Golay, "Smoothing and differentiation
/// of data by simplified least squares procedures", Analytical Chemistry 36, 1964: the weights
/// of the middle are −2, 3, 6, 7, 6, 3, −2 over 21), over its own size near by; NaN where there
/// is none to look at.
fn noise_of(logs: &[f64]) -> Vec<f64> {
    const MIDDLE: [f64; 7] = [-2.0, 3.0, 6.0, 7.0, 6.0, 3.0, -2.0];
    let residuals: Vec<f64> = logs
        .windows(7)
        .map(|seven| {
            let smooth: f64 = seven.iter().zip(MIDDLE).map(|(x, w)| x * w / 21.0).sum();
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

/// Correlation where both have something, in standard errors of none.
fn correlation_sigma(a: &[f64], b: &[f64]) -> f64 {
    let both: Vec<(f64, f64)> = a
        .iter()
        .zip(b)
        .map(|(a, b)| (*a, *b))
        .filter(|(a, b)| a.is_finite() && b.is_finite())
        .collect();
    if both.len() < 16 {
        return 0.0;
    }
    let sum = |of: &dyn Fn(&(f64, f64)) -> f64| both.iter().map(of).sum::<f64>();
    let norm = (sum(&|(a, _)| a * a) * sum(&|(_, b)| b * b)).sqrt();
    match norm > 0.0 {
        true => sum(&|(a, b)| a * b) / norm * (both.len() as f64).sqrt(),
        false => 0.0,
    }
}

/// The middle value; 0 of nothing.
fn median(values: &[f64]) -> f64 {
    quantile(values, 0.5)
}

/// The value below which this share of them lies; 0 of nothing.
fn quantile(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    let at = (share * sorted.len().saturating_sub(1) as f64).round() as usize;
    match at < sorted.len() {
        true => *sorted.select_nth_unstable_by(at, f64::total_cmp).1,
        false => 0.0,
    }
}
