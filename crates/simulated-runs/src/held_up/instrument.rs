//! The gauge of the held-up pull-downs.

use vacuum::{Entry, Pressure, PressureUnit, Reading, Sensed};

use rehearsal::rng::{Rng, Wander};

/// How it rounds.
#[derive(Debug, Clone, Copy)]
pub(super) enum Rounds {
    /// To a step, micron.
    To(f64),
    /// To significant digits.
    Digits(i32),
}

/// Lag, noise, rounding, range.
#[derive(Debug, Clone)]
pub(super) struct Instrument {
    pub(super) interval_s: f64,
    pub(super) lag_s: f64,
    /// Indicated over true in water vapour.
    pub(super) in_water: f64,
    pub(super) relative: f64,
    pub(super) absolute_micron: f64,
    pub(super) wander: Wander,
    pub(super) rounds: Rounds,
    pub(super) top_micron: f64,
    /// Says nothing above its top; else it repeats the top.
    pub(super) flags_top: bool,
    pub(super) felt_micron: f64,
    pub(super) rng: Rng,
}

impl Instrument {
    pub(super) fn draw(rng: &mut Rng) -> Self {
        Self {
            interval_s: rng.pick(&[0.5, 1.0, 1.0, 1.0, 2.0, 5.0, 10.0]),
            lag_s: rng.log_range(0.2, 6.0),
            in_water: rng.pick(&[1.0, 1.0, 1.0, 0.9, 1.08]),
            relative: rng.log_range(0.001, 0.012),
            absolute_micron: rng.log_range(0.1, 2.0),
            wander: Wander::new(rng.log_range(0.5, 8.0), rng),
            rounds: rng.pick(&[
                Rounds::To(0.1),
                Rounds::To(1.0),
                Rounds::To(1.0),
                Rounds::To(5.0),
                Rounds::To(10.0),
                Rounds::Digits(3),
                Rounds::Digits(2),
            ]),
            top_micron: rng.pick(&[12_000.0, 20_000.0, 25_000.0, 100_000.0, 760_000.0]),
            flags_top: rng.chance(0.6),
            felt_micron: 760_000.0,
            rng: Rng::new(rng.next_seed(), 31),
        }
    }

    /// Lets the sensor follow.
    pub(super) fn feel(&mut self, (air_pa, water_pa): (f64, f64), dt_s: f64) {
        let pa = air_pa + self.in_water * water_pa;
        let micron = pa / PressureUnit::Micron.pa();
        self.felt_micron += (micron - self.felt_micron) * (1.0 - (-dt_s / self.lag_s).exp());
    }

    pub(super) fn noise_micron(&self, micron: f64) -> f64 {
        self.absolute_micron.hypot(self.relative * micron)
    }

    fn step_micron(&self, micron: f64) -> f64 {
        match self.rounds {
            Rounds::To(step) => step,
            Rounds::Digits(n) => 10f64.powi(micron.max(1.0).log10().floor() as i32 + 1 - n),
        }
    }

    /// Standard deviation of a reading as a share of the level, rounding included.
    pub(super) fn blur(&self, micron: f64) -> f64 {
        self.noise_micron(micron)
            .hypot(self.step_micron(micron) / 12f64.sqrt())
            / micron
    }

    /// One printed value.
    pub(super) fn reading(&mut self, t_s: f64) -> Entry {
        let slow = self.wander.step(self.interval_s, &mut self.rng);
        let noise = 0.7 * slow + 0.71 * self.rng.normal();
        let felt = self.felt_micron;
        let mut micron = (felt + noise * self.noise_micron(felt)).max(0.0);
        let step = self.step_micron(micron);
        micron = (micron / step).round() * step;
        let over = micron >= self.top_micron;
        let sensed = if over && self.flags_top {
            Sensed::Over(Pressure::from_micron(self.top_micron).ok())
        } else {
            Pressure::from_micron(micron.min(self.top_micron))
                .map_or(Sensed::Fault, Sensed::Measured)
        };
        Entry::Reading(Reading {
            elapsed_s: t_s,
            sensed,
            temperature_c: None,
        })
    }
}
