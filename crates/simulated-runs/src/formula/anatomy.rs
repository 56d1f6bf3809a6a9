//! What a hold is made of.

use super::{hold::Hold, scene::Scene};
use rehearsal::ExpectedRise::{self, Leak, LeakAndMoisture, Moisture, None as Nothing};

/// A rise below this is one that nobody needs to name, micron.
pub(super) const SMALL_MICRON: f64 = 12.0;

/// What the hold is made of, over the part of it that an analyst can use.
#[derive(Debug, Clone, Default)]
pub(super) struct Anatomy {
    pub(super) settled_s: f64,
    pub(super) until_s: f64,
    pub(super) leak: f64,
    pub(super) volatile: f64,
    pub(super) gas: f64,
    pub(super) fall: f64,
    pub(super) bleed: f64,
    pub(super) level: f64,
    pub(super) noise: f64,
    /// Largest noise-free indication of the hold, micron.
    pub(super) highest: f64,
}

impl Anatomy {
    pub(super) fn of(scene: &Scene, hold: &Hold) -> Self {
        let length_s = scene.hold_s();
        let gauge = &scene.gauge;
        let waits = (5.0 * hold.jump_s).max(4.0 * gauge.lag_s) - scene.before_s;
        let settled_s = waits.max(0.0).min(0.3 * length_s);
        const POINTS: u32 = 400;
        let at = |i: u32| length_s * f64::from(i) / f64::from(POINTS);
        let shown: Vec<f64> = (0..=POINTS).map(|i| scene.shown(hold, at(i))).collect();
        let until_s = (1..=POINTS)
            .find(|i| shown[*i as usize] > 0.98 * gauge.top_micron)
            .map_or(length_s, |i| at(i - 1));
        let (a, b) = (
            settled_s.min(until_s) + scene.before_s,
            until_s + scene.before_s,
        );
        let level = gauge.shows(hold.at(b));
        Self {
            settled_s,
            until_s,
            leak: hold.leak(b) - hold.leak(a),
            volatile: hold.volatile(b) - hold.volatile(a),
            gas: hold.gas(b) - hold.gas(a),
            fall: hold.fall(b) - hold.fall(a),
            bleed: hold.bleed(b) - hold.bleed(a),
            level,
            noise: gauge.noise_at(level),
            highest: shown.iter().copied().fold(0.0, f64::max),
        }
    }

    pub(super) fn rise(&self) -> f64 {
        self.leak + self.volatile + self.gas
    }

    /// Rise that need not be named, micron.
    pub(super) fn small(&self) -> f64 {
        SMALL_MICRON.max(3.0 * self.noise).max(0.03 * self.level)
    }

    /// The cause when a part counts from `share` of the whole.
    pub(super) fn cause(&self, share: f64, gas: f64) -> ExpectedRise {
        let whole = self.rise().max(1e-9);
        let counts = |part: f64| part > share * whole;
        match (counts(self.leak), counts(self.volatile + gas)) {
            (false, false) => Nothing,
            (true, false) => Leak,
            (false, true) => Moisture,
            (true, true) => LeakAndMoisture,
        }
    }
}

/// A name with those that are not wrong.
#[derive(Debug, Clone, Default)]
pub(super) struct Named {
    pub(super) expected: Option<ExpectedRise>,
    pub(super) fine: Vec<ExpectedRise>,
    /// The figures it rests on, for descriptions.
    pub(super) words: String,
}
