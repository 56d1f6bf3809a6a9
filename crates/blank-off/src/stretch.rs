//! The end of the pull-down, in bins, with what their errors are.

use run_memory::{Block, StepTable, gauge_noise};
use statistics::{dense::Symmetric, robust::median_of};

/// Bins of a stretch (common practice, no source: more cost time and show nothing new).
const BINS: usize = 48;
/// How much denser the bins stand at the beginning, where the pressure falls fast: the k-th
/// edge stands at (k/n)^this of the stretch (common practice, no source).
const CROWDED: f64 = 1.5;
/// The stretch begins where the pressure was so many times that at the end, and so many
/// steps of the gauge above it, for the last time (common practice, no source).
const TIMES: f64 = 5.0;
const STEPS: f64 = 12.0;
/// Fewest blocks of a stretch.
const FEWEST: usize = 8;
/// Share of the stretch whose median is its level.
const END_SHARE: f64 = 0.12;
/// How far the fall is off a sum of exponentials, as a share of what is above the level:
/// hoses carry less the lower the pressure is (common practice, no source).
const MISFIT: f64 = 0.06;
/// Distance in ln of it over which that hangs together.
const MISFIT_APART: f64 = 0.5;
/// How far the mean of a bin may be off, as a share of the fall across its neighbours
/// (common practice, no source).
const BENT: f64 = 0.1;
/// Where the reading stands on one step to the end, its error is common, and this share of
/// that of a step: what is never larger than half a step pulls less than a normal error of
/// its size. The floor keeps all of it. A smaller share is each bin's own, for the pressure
/// goes on falling within the step. (Common practice, no source.)
const STANDING: f64 = 0.5;
const WITHIN: f64 = 0.3;
/// Time over which noise of a gauge hangs together, s (common practice, no source).
const SLOW_NOISE_S: f64 = 45.0;

/// Mean values of neighbouring readings.
#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    /// Seconds since the stretch began.
    pub(crate) time_s: Vec<f64>,
    /// Mean pressure, micron.
    pub(crate) micron: Vec<f64>,
    /// Readings.
    count: Vec<f64>,
    /// Whether the reading stood on one step.
    stands: Vec<bool>,
    /// When it began, s of the record.
    pub(crate) start_s: f64,
    /// How long the pump had run when it began, s.
    pub(crate) pumped_before_s: f64,
    /// Its length, s.
    pub(crate) length_s: f64,
    /// Pressure at the end, micron.
    pub(crate) level_micron: f64,
    /// Step of the gauge, micron; 0 where it shows none.
    pub(crate) step_micron: f64,
    /// Standard deviation of a reading at the level, micron.
    pub(crate) noise_micron: f64,
}

/// How much is put down to what.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Errors {
    /// Slow noise of the gauge, as a multiple of its fast noise.
    pub(crate) slow: f64,
    /// Wander of pump and gauge, as a share of the level over an hour.
    pub(crate) wander: f64,
}

impl Stretch {
    /// The end of what is in `blocks`; `None` for too few. `all` are the blocks of the whole
    /// record, which show the steps of the gauge.
    pub(crate) fn of(blocks: &[Block], all: &[Block]) -> Option<Self> {
        if blocks.len() < FEWEST {
            return None;
        }
        let last = |n: usize| &blocks[blocks.len() - n.clamp(3, blocks.len())..];
        let end = last(blocks.len() / 50);
        let rough = median_of(end.iter().map(Block::p));
        // a gauge that stands still at the floor shows its steps elsewhere
        let step = StepTable::of(all, gauge_noise(all)).at(rough);
        let top = (TIMES * rough).max(rough + STEPS * step);
        let from = blocks.iter().rposition(|b| b.p() > top);
        let from = from.map_or(0, |at| at + 1).min(blocks.len() - FEWEST);
        let inside = &blocks[from..];
        let (start_s, end_s) = (inside[0].t(), inside[inside.len() - 1].t());
        let length_s = end_s - start_s;
        if length_s <= 0.0 {
            return None;
        }
        let at_end = inside
            .iter()
            .filter(|b| b.t() >= end_s - END_SHARE * length_s);
        let level_micron = median_of(at_end.map(Block::p));
        let half = &inside[inside.len() / 2..];
        let noise = gauge_noise(half);

        let bins = BINS.min((inside.len() / 2).max(FEWEST));
        let bin_of = |b: &Block| {
            let share = ((b.t() - start_s) / length_s).clamp(0.0, 1.0);
            ((share.powf(1.0 / CROWDED) * bins as f64) as usize).min(bins - 1)
        };
        let mut stretch = Self {
            time_s: Vec::with_capacity(bins),
            micron: Vec::with_capacity(bins),
            count: Vec::with_capacity(bins),
            stands: Vec::with_capacity(bins),
            start_s,
            length_s,
            level_micron,
            pumped_before_s: start_s - blocks[0].first_s,
            step_micron: step,
            noise_micron: noise.reading_micron,
        };
        for bin in inside.chunk_by(|a, b| bin_of(a) == bin_of(b)) {
            let n: f64 = bin.iter().map(|b| f64::from(b.n)).sum();
            let mean = |value: &dyn Fn(&Block) -> f64| {
                bin.iter().map(|b| f64::from(b.n) * value(b)).sum::<f64>() / n
            };
            stretch.time_s.push(mean(&Block::t) - start_s);
            stretch.micron.push(mean(&Block::p));
            stretch.count.push(n);
            let low = bin.iter().map(|b| b.low).fold(f64::INFINITY, f64::min);
            let high = bin.iter().map(|b| b.high).fold(0.0, f64::max);
            stretch.stands.push(high <= low);
        }
        Some(stretch)
    }

    /// The smallest difference that one reading can show, micron.
    pub(crate) fn grain_micron(&self) -> f64 {
        (0.5 * self.step_micron).max(1e-6 * self.level_micron)
    }

    /// Share of the variance of a step that readings near the same pressure have in common.
    fn common_step_share(&self) -> f64 {
        if self.step_micron <= 0.0 {
            return 0.0;
        }
        let dither = std::f64::consts::PI * self.noise_micron / self.step_micron;
        (-4.0 * dither * dither).exp()
    }

    /// Standard deviation of what the steps of the gauge hide for good, micron.
    pub(crate) fn hidden_micron(&self) -> f64 {
        self.step_micron * (self.common_step_share() / 12.0).sqrt()
    }

    /// The floor cannot be above this: the pressure at the end, with half a step and what
    /// noise may hide, micron.
    pub(crate) fn highest_micron(&self) -> f64 {
        let readings = self.count.last().map_or(1.0, |n| n.max(1.0));
        let noise = self.noise_micron.max(1e-4 * self.level_micron);
        self.level_micron + 0.5 * self.step_micron + noise * (2.0 + 3.0 / readings.sqrt())
    }

    /// Covariance of the bins, micron².
    ///
    /// Readings of a gauge with steps are off by up to half a step. Where noise carries them
    /// over it, its error averages out, but for the share exp(−4π²·σ²/step²) of its variance
    /// step²/12 (dithered quantiser: B. Widrow and I. Kollár, *Quantization Noise*, 2008,
    /// from memory). While the pressure falls through a step, the error runs from one half
    /// to the other and averages out too; on the last one it stays.
    pub(crate) fn covariance(&self, errors: Errors) -> Symmetric {
        let (t, p, n) = (&self.time_s, &self.micron, &self.count);
        let level = self.level_micron.max(1e-3);
        let sigma: Vec<f64> = p
            .iter()
            .map(|p| self.noise_micron * (p / level).max(1.0))
            .collect();
        let square = |x: f64| x * x;
        let step2 = square(self.step_micron) / 12.0;
        let common = self.common_step_share();
        let wander = square(errors.wander * level) / 3600.0;
        let last = p.len() - 1;
        let stays = |i: &usize| self.stands[*i] && p[*i] == p[last];
        let last_step = p.len() - (0..p.len()).rev().take_while(stays).count();
        let excess: Vec<f64> = p
            .iter()
            .map(|p| MISFIT * (p - self.level_micron).max(0.0))
            .collect();
        let own: Vec<f64> = (0..t.len())
            .map(|i| {
                let white = square(sigma[i]) / n[i] + (1.0 - common) * step2 / n[i];
                // the mean of a bin in which the pressure falls is not that of its middle
                let (before, after) = (p[i.saturating_sub(1)], p[(i + 1).min(p.len() - 1)]);
                let passing = match i < last_step {
                    true => common * step2,
                    false => square(WITHIN) * common * step2,
                };
                white + passing + square(BENT * (before - after)) + square(1e-4 * level)
            })
            .collect();
        let mut covariance = Symmetric::zeros(t.len());
        covariance.add_own(&own);
        covariance.add(|i, j| {
            let apart_s = (t[i] - t[j]).abs();
            let steps = match i >= last_step && j >= last_step {
                true => square(STANDING) * common * step2,
                false => 0.0,
            };
            let slow = square(errors.slow) * sigma[i] * sigma[j] * (-apart_s / SLOW_NOISE_S).exp();
            // counted back from the end, which is what the floor is taken at
            let wander = wander * (self.length_s - t[i].max(t[j])).max(0.0);
            let misfit = match excess[i] > 0.0 && excess[j] > 0.0 {
                true => {
                    let apart = (excess[i] / excess[j]).ln().abs();
                    excess[i] * excess[j] * (-apart / MISFIT_APART).exp()
                }
                false => 0.0,
            };
            steps + slow + wander + misfit
        });
        covariance
    }
}
