//! The stretch of a test that is judged, in bins.

use statistics::robust::median;
use vacuum::ZERO_CELSIUS_K;

use crate::{
    memory::{Block, PressureDecay},
    smooth::{Kelvin, smooth},
};

/// Bins of a stretch. More cost time with the third power and show nothing new.
const BINS: usize = 96;
/// How much denser the bins stand at the beginning, where the heat of filling goes:
/// the k-th edge stands at (k/n)^this of the stretch.
const CROWDED: f64 = 1.5;
/// A fall below this share of the pressure of the test, from the highest, is letting out.
const VENTED_SHARE: f64 = 0.6;
/// Variance of a temperature that is missing, K².
const UNKNOWN_K2: f64 = 1.0;
/// At the end of filling the pressure has come this near to the highest.
const FILLED_SHARE: f64 = 0.995;

/// Where the stretch begins and ends, in blocks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// When the supply was shut, s.
    pub(crate) shut_at_s: f64,
    /// Whether somebody said so.
    pub(crate) stamped: bool,
    /// When the gas was let out, s.
    pub(crate) vented_at_s: Option<f64>,
}

impl Stretch {
    /// From what was said, and from the pressure where nobody said anything.
    pub(crate) fn of(test: &PressureDecay) -> Option<Self> {
        let blocks = &test.blocks;
        let highest = blocks
            .iter()
            .map(Block::pressure_pa)
            .fold(f64::NEG_INFINITY, f64::max);
        let filled = blocks
            .iter()
            .position(|b| b.pressure_pa() >= FILLED_SHARE * highest)?;
        let shut_at_s = test
            .setup
            .shut_at_s
            .unwrap_or_else(|| blocks[filled].time_s());
        let reference = blocks
            .iter()
            .find(|b| b.time_s() >= shut_at_s)?
            .pressure_pa();
        let vented_at_s = test
            .setup
            .vented_at_s
            .filter(|s| *s > shut_at_s)
            .or_else(|| let_out(blocks, shut_at_s, reference));
        Some(Self {
            shut_at_s,
            stamped: test.setup.shut_at_s.is_some(),
            vented_at_s,
        })
    }
}

/// When a sudden fall to far below the pressure of the test begins, s.
fn let_out(blocks: &[Block], shut_at_s: f64, reference_pa: f64) -> Option<f64> {
    let held: Vec<&Block> = blocks.iter().filter(|b| b.time_s() >= shut_at_s).collect();
    let low = held
        .iter()
        .position(|b| b.pressure_pa() < VENTED_SHARE * reference_pa)?;
    // back along the fall: each block of it falls by more than a fiftieth
    let mut first = low;
    while first > 0
        && held[first - 1].pressure_pa() - held[first].pressure_pa() > 0.02 * reference_pa
    {
        first -= 1;
    }
    let steep_s = held[low].time_s() - held[first].time_s();
    let whole_s = held.last()?.time_s() - held.first()?.time_s();
    // a leak that empties a system takes its time
    let fell = held[first].pressure_pa() - held[low].pressure_pa();
    (first < low && fell > 0.15 * reference_pa && steep_s <= 0.1 * whole_s.max(60.0))
        .then(|| held[first].time_s())
}

/// What was measured in the stretch, a bin each.
#[derive(Debug, Clone)]
pub(crate) struct Series {
    /// Seconds since the supply was shut.
    pub(crate) time_s: Vec<f64>,
    /// Mean pressure, Pa.
    pub(crate) pressure_pa: Vec<f64>,
    /// Variance of that mean from noise and steps of the gauge, Pa².
    pub(crate) variance_pa2: Vec<f64>,
    /// The share of it that comes from the steps, Pa².
    pub(crate) step_variance_pa2: Vec<f64>,
    /// Mean temperature, K; `None` where nothing measured it.
    pub(crate) kelvin: Option<Kelvin>,
    /// Standard deviation of one pressure reading about its neighbours, Pa.
    pub(crate) noise_pa: f64,
    /// Smallest step of the gauge, Pa; 0 where it shows none.
    pub(crate) step_pa: f64,
}

impl Series {
    /// The blocks between two times, s on the clock of the readings; `None` for fewer
    /// than eight of them.
    pub(crate) fn between(test: &PressureDecay, from_s: f64, to_s: f64) -> Option<Self> {
        let inside: Vec<&Block> = test
            .blocks
            .iter()
            .filter(|b| b.time_s() >= from_s && b.time_s() <= to_s)
            .collect();
        if inside.len() < 8 {
            return None;
        }
        let length_s = inside.last()?.time_s() - from_s;
        if length_s <= 0.0 {
            return None;
        }
        let noise_pa = middle(inside.iter().filter_map(|b| b.noise_pa2())).sqrt();
        let noise_k = middle(inside.iter().filter_map(|b| b.noise_k2())).sqrt();
        let step_pa = test
            .step_pa()
            .unwrap_or_else(|| coarsest_step(inside[0].pressure_pa()));
        let step_k = test.step_k().unwrap_or(1.0);

        let counted: f64 = inside.iter().map(|b| b.count).sum();
        let warm: f64 = inside.iter().map(|b| b.with_temperature()).sum();
        let has_kelvin = warm >= 0.9 * counted;

        let mut series = Self {
            time_s: Vec::new(),
            pressure_pa: Vec::new(),
            variance_pa2: Vec::new(),
            step_variance_pa2: Vec::new(),
            kelvin: None,
            noise_pa,
            step_pa,
        };
        let (mut warmth, mut warmth_variance): (Vec<f64>, Vec<f64>) = Default::default();
        let bins = BINS.min((inside.len() / 2).max(8));
        let bin_of = |b: &Block| {
            let share = ((b.time_s() - from_s) / length_s).clamp(0.0, 1.0);
            ((share.powf(1.0 / CROWDED) * bins as f64) as usize).min(bins - 1)
        };
        let crossed = |value: &dyn Fn(&Block) -> Option<f64>, step: f64| {
            let mut last: Option<f64> = None;
            let mut way = 0.0;
            for value in inside.iter().filter_map(|b| value(b)) {
                // only whole steps count: a value that flickers between two crosses nothing
                match last {
                    Some(old) if (value - old).abs() < step => {}
                    Some(old) => {
                        way += ((value - old) / step).abs().trunc();
                        last = Some(value);
                    }
                    None => last = Some(value),
                }
            }
            (way + 1.0) / bins as f64
        };
        let least_pa = crossed(&|b| Some(b.pressure_pa()), step_pa);
        let least_k = crossed(&|b| b.temperature_c(), step_k);
        for bin in inside.chunk_by(|a, b| bin_of(a) == bin_of(b)) {
            let n: f64 = bin.iter().map(|b| b.count).sum();
            let mean = |value: &dyn Fn(&Block) -> f64| -> f64 {
                bin.iter().map(|b| b.count * value(b)).sum::<f64>() / n
            };
            let own = variance_of_mean(noise_pa, step_pa, n, least_pa);
            series.time_s.push(mean(&|b| b.time_s()) - from_s);
            series.pressure_pa.push(mean(&|b| b.pressure_pa()));
            series.variance_pa2.push(own.0 + own.1);
            series.step_variance_pa2.push(own.1);
            let warm: Vec<(f64, f64)> = bin
                .iter()
                .filter_map(|b| Some((b.with_temperature(), b.temperature_c()?)))
                .collect();
            let warm_n: f64 = warm.iter().map(|(n, _)| n).sum();
            if warm_n > 0.0 {
                let mean = warm.iter().map(|(n, c)| n * c).sum::<f64>() / warm_n;
                let own = variance_of_mean(noise_k, step_k, warm_n, least_k);
                warmth.push(mean + ZERO_CELSIUS_K);
                warmth_variance.push(own.0 + own.1);
            } else if let Some(k) = warmth.last().copied() {
                warmth.push(k);
                warmth_variance.push(UNKNOWN_K2);
            }
        }
        if has_kelvin && warmth.len() == series.time_s.len() {
            series.kelvin = smooth(&series.time_s, &warmth, &warmth_variance);
        }
        Some(series)
    }

    /// Bins.
    pub(crate) fn len(&self) -> usize {
        self.time_s.len()
    }

    /// From the first bin to the last, s.
    pub(crate) fn length_s(&self) -> f64 {
        self.time_s.last().copied().unwrap_or(0.0)
    }

    /// Bins `from` to `to`, counted anew from the time of the first.
    pub(crate) fn part(&self, from: usize, to: usize) -> Self {
        let cut = |v: &[f64]| v[from..to].to_vec();
        let start = if from == 0 { 0.0 } else { self.time_s[from] };
        Self {
            time_s: self.time_s[from..to].iter().map(|t| t - start).collect(),
            pressure_pa: cut(&self.pressure_pa),
            variance_pa2: cut(&self.variance_pa2),
            step_variance_pa2: cut(&self.step_variance_pa2),
            kelvin: self.kelvin.as_ref().map(|k| Kelvin {
                mean: cut(&k.mean),
                covariance: k.covariance.part(from, to),
            }),
            noise_pa: self.noise_pa,
            step_pa: self.step_pa,
        }
    }
}

/// Median, 0 for none.
fn middle(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    if values.is_empty() {
        0.0
    } else {
        median(&mut values)
    }
}

/// Variance of the mean of `n` readings: from noise, and from steps.
///
/// The staircase: where the noise is smaller than a step, readings that stand on the same
/// step share their error, so that they count as few: n·(2σ/step)². At least `least`, which
/// is less than one where a step is wider than a bin.
fn variance_of_mean(noise: f64, step: f64, n: f64, least: f64) -> (f64, f64) {
    let most = n.max(1.0);
    let independent = if step > 0.0 {
        (n * (2.0 * noise / step).powi(2).min(1.0)).clamp(least.min(1.0), most)
    } else {
        most
    };
    (noise * noise / n, step * step / 12.0 / independent)
}

/// The largest decimal step, bar, in which a pressure that never moved can be written, Pa.
fn coarsest_step(pressure_pa: f64) -> f64 {
    let bar = pressure_pa / 1e5;
    let steps = [0.1, 0.01, 0.001, 1e-4, 1e-5];
    let fits = |step: &&f64| {
        let count = bar / **step;
        (count - count.round()).abs() < 1e-6 * count.abs().max(1.0)
    };
    steps.iter().find(fits).copied().unwrap_or(1e-3) * 1e5
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_staircase_counts_as_few_readings() {
        let (noise, step) = variance_of_mean(0.0, 1000.0, 500.0, 1.0);
        assert_eq!(noise, 0.0);
        assert!((step - 1e6 / 12.0).abs() < 1e-6);
        let (noise, step) = variance_of_mean(600.0, 1000.0, 500.0, 1.0);
        assert!((noise - 720.0).abs() < 1e-9);
        assert!((step - 1e6 / 12.0 / 500.0).abs() < 1e-6);
        // ten bins to a step
        let (_, step) = variance_of_mean(0.0, 1000.0, 500.0, 0.1);
        assert!((step - 1e7 / 12.0).abs() < 1e-6);
    }

    #[test]
    fn a_pressure_that_never_moves_has_the_step_of_its_digits() {
        assert!((coarsest_step(11.3e5) - 1e4).abs() < 1e-6);
        assert!((coarsest_step(11.34e5) - 1e3).abs() < 1e-6);
    }
}
