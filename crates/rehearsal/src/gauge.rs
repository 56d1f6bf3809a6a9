//! The gauge: what it feels, how late, how noisily, and what it prints.

use vacuum::{Pressure, Sensed};

use crate::{
    gas::GASES,
    rng::{Rng, Wander},
};

/// How the display rounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rounding {
    /// A fixed step, micron.
    Step(f64),
    /// So many significant digits.
    Digits(i32),
    /// One part in a hundred to a thousand of the decade: 0.1 below 100 micron,
    /// 1 below 1,000, 10 below 10,000, 100 above.
    Decade,
}

impl Rounding {
    /// The step at a level, micron.
    #[must_use]
    pub fn step(self, micron: f64) -> f64 {
        match self {
            Self::Step(step) => step,
            Self::Digits(digits) => {
                let decade = micron.max(1e-3).log10().floor() as i32;
                10f64.powi(decade + 1 - digits)
            }
            Self::Decade => {
                let decade = micron.max(1.0).log10().floor().clamp(1.0, 4.0) as i32;
                10f64.powi(decade - 2)
            }
        }
    }

    /// The value as it is shown, micron.
    #[must_use]
    pub fn round(self, micron: f64) -> f64 {
        let step = self.step(micron);
        (micron / step).round() * step
    }
}

/// Sensing principle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Principle {
    /// Diaphragm: true pressure of any gas.
    Diaphragm,
    /// Hot wire calibrated in air: other gases by their cooling power, and a
    /// reading that bends upwards once convection sets in.
    HotWire {
        /// Indicated over true for each gas.
        response: [f64; GASES],
        /// Relative excess at 100 Torr.
        convection: f64,
    },
}

/// A gauge as built.
#[derive(Debug, Clone)]
pub struct Gauge {
    /// Gas node it is screwed to.
    pub node: usize,
    /// How it senses.
    pub principle: Principle,
    /// Time constant with which it follows, s.
    pub lag_s: f64,
    /// Standard deviation of its noise, as a share of the level.
    pub noise_relative: f64,
    /// Standard deviation of its noise near zero, micron.
    pub noise_micron: f64,
    /// How its display rounds.
    pub rounding: Rounding,
    /// Above this it shows over range, micron.
    pub top_micron: f64,
    /// Below this it shows under range, micron.
    pub bottom_micron: f64,
    /// Hand-over between two sensors: level, micron, and relative step above it.
    pub hand_over: Option<(f64, f64)>,
    /// Chance that a sample is a burst of interference.
    pub burst_chance: f64,
    /// Time between two readings, s.
    pub interval_s: f64,
    /// Timing jitter, s.
    pub jitter_s: f64,
    /// True when a thermometer sits beside it.
    pub thermometer: bool,
    /// Felt pressure after the lag, Pa.
    pub felt_pa: f64,
    /// The part of its noise that lasts.
    pub wander: Wander,
    /// Source of its noise.
    pub rng: Rng,
}

const CONVECTION_ONSET_PA: f64 = 1333.0;
const CONVECTION_REFERENCE_PA: f64 = 13_332.0;

impl Gauge {
    /// What the sensor feels at once, Pa of air.
    pub(crate) fn instant_pa(&self, partial_pa: &[f64; GASES]) -> f64 {
        match self.principle {
            Principle::Diaphragm => partial_pa.iter().sum(),
            Principle::HotWire {
                response,
                convection,
            } => {
                let air_like: f64 = partial_pa.iter().zip(response).map(|(p, r)| p * r).sum();
                let over = ((air_like - CONVECTION_ONSET_PA) / CONVECTION_REFERENCE_PA).max(0.0);
                air_like * (1.0 + convection * over.min(3.0))
            }
        }
    }

    /// Lets the sensor follow for `dt_s`.
    pub(crate) fn feel(&mut self, partial_pa: &[f64; GASES], dt_s: f64) {
        let target = self.instant_pa(partial_pa);
        self.felt_pa += (target - self.felt_pa) * (1.0 - (-dt_s / self.lag_s).exp());
    }

    /// Felt pressure as the gauge would print it without noise, micron.
    pub(crate) fn clean_micron(&self) -> f64 {
        let micron = self.felt_pa / vacuum::PressureUnit::Micron.pa();
        match self.hand_over {
            // the two sensors disagree; the change-over takes a twentieth of the level
            Some((level, step)) => {
                let share = ((micron - level) / (0.05 * level)).clamp(0.0, 1.0);
                micron * (1.0 + step * share)
            }
            None => micron,
        }
    }

    /// Time over which its noise remembers itself, s.
    pub(crate) fn wander_s(&self) -> f64 {
        self.wander.time_s()
    }

    /// Standard deviation of its noise at a level, micron.
    pub(crate) fn noise_at(&self, micron: f64) -> f64 {
        self.noise_micron.hypot(self.noise_relative * micron)
    }

    /// One printed value, `since_s` after the one before.
    pub(crate) fn sample(&mut self, since_s: f64) -> Sensed {
        let clean = self.clean_micron();
        // half of the noise is remembered from sample to sample, half is not
        let slow = self.wander.step(since_s, &mut self.rng);
        let noise = 0.8 * slow + 0.6 * self.rng.normal();
        let mut micron = clean + noise * self.noise_at(clean);
        if self.burst_chance > 0.0 && self.rng.chance(self.burst_chance) {
            let size = self.rng.log_range(1.15, 4.0);
            micron *= if self.rng.chance(0.7) {
                size
            } else {
                1.0 / size
            };
        }
        if micron > self.top_micron {
            return Sensed::Over(Pressure::from_micron(self.top_micron).ok());
        }
        if micron < self.bottom_micron {
            return Sensed::Under(Pressure::from_micron(self.bottom_micron).ok());
        }
        let shown = self.rounding.round(micron).max(0.0);
        Pressure::from_micron(shown).map_or(Sensed::Fault, Sensed::Measured)
    }
}
