//! Readings of a test, in a memory that does not grow.

use vacuum::Reading;

use crate::setup::Setup;

/// Most blocks that are kept. When they are used up, two become one.
const MOST_BLOCKS: usize = 4_096;

/// Successive readings, summed up.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Block {
    /// How many readings.
    pub(crate) count: f64,
    /// Sum of their times, s.
    time_sum_s: f64,
    /// Sum of their pressures, Pa.
    pressure_sum_pa: f64,
    /// How many came with a temperature, and the sum of those, °C.
    warm: (f64, f64),
    /// Squares of second differences of pressure: how many, and their sum, Pa².
    rough_pa: (f64, f64),
    /// The same for temperature, K².
    rough_k: (f64, f64),
}

impl Block {
    /// Middle of the times, s.
    pub(crate) fn time_s(&self) -> f64 {
        self.time_sum_s / self.count
    }

    /// Mean pressure, Pa.
    pub(crate) fn pressure_pa(&self) -> f64 {
        self.pressure_sum_pa / self.count
    }

    /// Mean temperature, °C, of the readings that came with one.
    pub(crate) fn temperature_c(&self) -> Option<f64> {
        (self.warm.0 > 0.0).then(|| self.warm.1 / self.warm.0)
    }

    /// How many readings came with a temperature.
    pub(crate) fn with_temperature(&self) -> f64 {
        self.warm.0
    }

    /// Variance of one pressure reading about its neighbours, Pa².
    pub(crate) fn noise_pa2(&self) -> Option<f64> {
        (self.rough_pa.0 > 0.0).then(|| self.rough_pa.1 / self.rough_pa.0)
    }

    /// Variance of one temperature about its neighbours, K².
    pub(crate) fn noise_k2(&self) -> Option<f64> {
        (self.rough_k.0 > 0.0).then(|| self.rough_k.1 / self.rough_k.0)
    }

    fn merged(a: &Self, b: &Self) -> Self {
        let pair = |a: (f64, f64), b: (f64, f64)| (a.0 + b.0, a.1 + b.1);
        Self {
            count: a.count + b.count,
            time_sum_s: a.time_sum_s + b.time_sum_s,
            pressure_sum_pa: a.pressure_sum_pa + b.pressure_sum_pa,
            warm: pair(a.warm, b.warm),
            rough_pa: pair(a.rough_pa, b.rough_pa),
            rough_k: pair(a.rough_k, b.rough_k),
        }
    }
}

/// Two values before the newest, and the smallest step between two that differ.
#[derive(Debug, Clone, Copy, Default)]
struct Steps {
    before: [Option<f64>; 2],
    least: Option<f64>,
}

impl Steps {
    /// Square of the second difference over 6, an unbiased variance of white noise.
    fn take(&mut self, value: f64) -> Option<f64> {
        let [older, old] = self.before;
        self.before = [old, Some(value)];
        let step = (value - old?).abs();
        // smaller than this is arithmetic, not a step of the gauge
        if step > 1e-8 * value.abs() && self.least.is_none_or(|least| step < least) {
            self.least = Some(step);
        }
        let second = value - 2.0 * old? + older?;
        Some(second * second / 6.0)
    }

    fn forget(&mut self) {
        self.before = [None, None];
    }
}

/// A pressure test as its readings come.
#[derive(Debug, Clone)]
pub struct PressureDecay {
    pub(crate) setup: Setup,
    pub(crate) blocks: Vec<Block>,
    /// Readings to a block.
    per_block: f64,
    pressure: Steps,
    temperature: Steps,
    readings: u64,
    pub(crate) newest_s: f64,
    /// Whether shutting the supply and letting the gas out were given beforehand.
    pub(crate) given: (bool, bool),
}

impl PressureDecay {
    /// A test of which nothing has been read yet.
    #[must_use]
    pub fn new(setup: Setup) -> Self {
        let given = (setup.shut_at_s.is_some(), setup.vented_at_s.is_some());
        Self {
            given,
            setup,
            blocks: Vec::new(),
            per_block: 1.0,
            pressure: Steps::default(),
            temperature: Steps::default(),
            readings: 0,
            newest_s: f64::NEG_INFINITY,
        }
    }

    /// What is known may become known later: when the supply was shut, for instance.
    pub fn setup_mut(&mut self) -> &mut Setup {
        &mut self.setup
    }

    /// Takes the next reading. Anything but a measurement, and a time that does not come
    /// after the one before, is passed over.
    pub fn push(&mut self, reading: &Reading) {
        let Some(pressure) = reading.pressure() else {
            self.pressure.forget();
            self.temperature.forget();
            return;
        };
        let time_s = reading.elapsed_s;
        if !time_s.is_finite() || time_s < self.newest_s || pressure.pa() <= 0.0 {
            return;
        }
        self.newest_s = time_s;
        self.readings += 1;
        let one = |square: Option<f64>| square.map_or((0.0, 0.0), |s| (1.0, s));
        let warm = reading.temperature_c.filter(|t| t.is_finite());
        let block = Block {
            count: 1.0,
            time_sum_s: time_s,
            pressure_sum_pa: pressure.pa(),
            warm: warm.map_or((0.0, 0.0), |t| (1.0, t)),
            rough_pa: one(self.pressure.take(pressure.pa())),
            rough_k: one(warm.and_then(|t| self.temperature.take(t))),
        };
        match self.blocks.last_mut() {
            Some(last) if last.count < self.per_block => *last = Block::merged(last, &block),
            _ => self.add(block),
        }
    }

    fn add(&mut self, block: Block) {
        if self.blocks.len() == MOST_BLOCKS {
            let half = MOST_BLOCKS / 2;
            for i in 0..half {
                self.blocks[i] = Block::merged(&self.blocks[2 * i], &self.blocks[2 * i + 1]);
            }
            self.blocks.truncate(half);
            self.per_block *= 2.0;
        }
        self.blocks.push(block);
    }

    /// How many readings counted.
    #[must_use]
    pub fn readings(&self) -> u64 {
        self.readings
    }

    /// Smallest step between two pressures that differ, Pa.
    pub(crate) fn step_pa(&self) -> Option<f64> {
        self.pressure.least
    }

    /// Smallest step between two temperatures that differ, K.
    pub(crate) fn step_k(&self) -> Option<f64> {
        self.temperature.least
    }
}
