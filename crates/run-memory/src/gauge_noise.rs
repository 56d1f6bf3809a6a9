//! What the data say about the gauge: resolution and reading noise.

use statistics::{
    chi_square::MEDIAN_ONE_DEGREE,
    robust::{lower_decile, median},
};

use crate::history::Block;

/// Gauge noise near one pressure level.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GaugeNoise {
    /// Smallest step the gauge shows, micron; `None` when every reading differs
    /// by an odd amount.
    pub step_micron: Option<f64>,
    /// Standard deviation of a single reading, micron, without slow wander.
    pub reading_micron: f64,
}

/// Differences from which repeats can be counted, and one repeat in so many of them from
/// which the gauge has steps (common practice, no source).
const FEWEST_DIFFERENCES: u64 = 8;
const REPEATS: u64 = 50;
/// Share of the mean square below which a median of squares is not believed on a gauge with
/// steps, for many of its differences are 0 (common practice, no source).
const LEAST_OF_MEAN: f64 = 0.25;

/// Noise of single readings from successive differences, block by block, so that
/// bursts and drift do not count: Var(p₁ − p₀) = 2σ².
///
/// ```
/// use run_memory::{History, gauge_noise};
///
/// let mut history = History::default();
/// for i in 0..500 {
///     // a leak of 6 micron/min is no noise
///     history.push(f64::from(i), 200.0 + 0.1 * f64::from(i), None);
/// }
/// assert!(gauge_noise(&*history.blocks()).reading_micron < 0.2);
/// ```
pub fn gauge_noise<'a>(blocks: impl IntoIterator<Item = &'a Block> + Clone) -> GaugeNoise {
    let (mut repeats, mut diffs) = (0_u64, 0_u64);
    for b in blocks.clone() {
        repeats += u64::from(b.repeats);
        diffs += u64::from(b.diffs);
    }
    let smallest = smallest_step(blocks.clone());
    let mut squares: Vec<f64> = blocks
        .into_iter()
        .filter(|b| b.diffs > 0)
        .map(|b| b.diff_sq / f64::from(b.diffs))
        .collect();
    let quantised = diffs > FEWEST_DIFFERENCES && repeats * REPEATS > diffs;
    let mean = squares.iter().sum::<f64>() / squares.len().max(1) as f64;
    // mean of squares against their median: χ² with one degree has median 0.455
    let robust = median(&mut squares) / MEDIAN_ONE_DEGREE;
    let variance = if robust.is_nan() {
        0.0
    } else if quantised {
        mean.min(robust.max(LEAST_OF_MEAN * mean))
    } else {
        robust.min(mean)
    };
    GaugeNoise {
        step_micron: smallest.filter(|_| quantised),
        reading_micron: (0.5 * variance).sqrt(),
    }
}

/// The smallest step of the blocks, one odd block in ten left out.
fn smallest_step<'a>(blocks: impl IntoIterator<Item = &'a Block>) -> Option<f64> {
    let mut steps: Vec<f64> = blocks
        .into_iter()
        .map(|b| b.min_step)
        .filter(|s| s.is_finite())
        .collect();
    lower_decile(&mut steps)
}

/// The smallest step of a gauge, decade by decade: a gauge with so many significant
/// digits makes larger steps at higher pressure.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StepTable([f64; Self::DECADES]);

impl StepTable {
    const DECADES: usize = 8;

    /// StepTable seen in `blocks`, micron; none when neighbours hardly ever agree.
    #[must_use]
    pub fn of(blocks: &[Block], noise: GaugeNoise) -> Self {
        let Some(anywhere) = noise.step_micron else {
            return Self::default();
        };
        let mut seen: [Vec<f64>; Self::DECADES] = Default::default();
        for b in blocks {
            // a block that spans two decades speaks for neither
            let decade = Self::decade(b.low);
            if b.min_step.is_finite() && decade == Self::decade(b.high) {
                seen[decade].push(b.min_step);
            }
        }
        Self(seen.map(|mut steps| lower_decile(&mut steps).unwrap_or(anywhere)))
    }

    fn decade(micron: f64) -> usize {
        (micron.max(1.0).log10() as usize).min(Self::DECADES - 1)
    }

    /// Step at a pressure, micron; zero when the gauge has none.
    #[must_use]
    pub fn at(&self, micron: f64) -> f64 {
        self.0[Self::decade(micron)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::history::History;

    #[test]
    fn two_significant_digits_step_by_decade() {
        let mut history = History::default();
        for i in 0..2_000 {
            let p = 60.0 + 0.2 * f64::from(i) + f64::from(i * i % 13) - 6.0;
            let step = if p < 99.5 { 1.0 } else { 10.0 };
            history.push(f64::from(i), (p / step).round() * step, None);
        }
        let blocks = history.blocks();
        let steps = StepTable::of(&blocks, gauge_noise(&*blocks));
        assert_eq!((steps.at(80.0), steps.at(300.0)), (1.0, 10.0));
    }
}
