//! How fast the pressure of the isolated rig rises, on average.

use findings::Estimate;
use run_memory::{Block, StepTable, gauge_noise};
use statistics::{correlation::independent_values, linear::straight_line};

/// Bins of a hold.
const BINS: usize = 60;
/// 97.5 % point of the normal distribution.
const Z_975: f64 = 1.96;
/// Fewest independent bins that a standard deviation is taken from.
const FEWEST: f64 = 4.0;

/// The straight line through the readings between these times, s: its slope, micron/min,
/// with its 95 % interval. Where the rise bends, what is left beside the line hangs
/// together, and the interval grows with it. `None` for too few readings.
pub(crate) fn mean_rise(blocks: &[Block], from_s: f64, to_s: f64) -> Option<Estimate> {
    let inside: Vec<&Block> = blocks
        .iter()
        .filter(|b| b.t() >= from_s && b.t() <= to_s)
        .collect();
    if inside.len() < 8 {
        return None;
    }
    let start_s = inside[0].t();
    let length_s = inside[inside.len() - 1].t() - start_s;
    if length_s <= 0.0 {
        return None;
    }
    let bins = BINS.min(inside.len() / 2);
    let bin_of = |b: &Block| {
        let share = (b.t() - start_s) / length_s;
        ((share * bins as f64) as usize).min(bins - 1)
    };
    let (mut t, mut y) = (Vec::new(), Vec::new());
    for bin in inside.chunk_by(|a, b| bin_of(a) == bin_of(b)) {
        let n: f64 = bin.iter().map(|b| f64::from(b.n)).sum();
        let mean = |value: &dyn Fn(&Block) -> f64| {
            bin.iter().map(|b| f64::from(b.n) * value(b)).sum::<f64>() / n
        };
        t.push(mean(&|b| b.t() - start_s) / 60.0);
        y.push(mean(&Block::p));
    }
    let fit = straight_line(t.clone(), y.clone())?;
    let (level, slope) = (fit.coefficients[0], fit.coefficients[1]);
    let left: Vec<f64> = t
        .iter()
        .zip(&y)
        .map(|(t, y)| y - level - slope * t)
        .collect();
    let n = t.len() as f64;
    let independent = independent_values(&left).max(FEWEST);
    let correlated = fit.standard_errors[1] * (n / independent.min(n)).sqrt();
    // both ends of a line on a gauge with steps are off by the error of one step each
    // a gauge that stands still shows its steps elsewhere
    let step = StepTable::of(blocks, gauge_noise(blocks)).at(level);
    let minutes = length_s / 60.0;
    let steps = step / 6.0f64.sqrt() / minutes;
    let sd = correlated.hypot(steps);
    Some(Estimate {
        value: slope,
        low: slope - Z_975 * sd,
        high: slope + Z_975 * sd,
    })
}

#[cfg(test)]
mod tests {
    use run_memory::History;

    use super::*;

    fn rise(micron: impl Fn(f64) -> f64) -> Estimate {
        let mut history = History::default();
        for s in 0..1_800 {
            history.push(f64::from(s), micron(f64::from(s)), None);
        }
        mean_rise(&history.blocks(), 0.0, 1_800.0).expect("half an hour of readings")
    }

    #[test]
    fn a_line_is_found_between_the_steps_of_a_gauge() {
        let found = rise(|t| (100.0 + 0.4 * t / 60.0).round());
        assert!(found.low < 0.4 && 0.4 < found.high, "{found:?}");
        assert!(found.high - found.low < 0.2, "{found:?}");
    }

    #[test]
    fn a_rise_that_bends_has_a_wide_interval() {
        let bent = rise(|t| 100.0 - 50.0 * (-t / 300.0).exp_m1());
        let straight = rise(|t| 100.0 + 50.0 * t / 1_800.0);
        let width = |e: &Estimate| e.high - e.low;
        assert!(
            width(&bent) > 20.0 * width(&straight),
            "{bent:?} {straight:?}"
        );
    }
}
