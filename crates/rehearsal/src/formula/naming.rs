//! The truth of a run of formulas. The rules are in the documentation of
//! [`super::formula_case`].

use super::{hold::Hold, indicator::OutageKind, scene::Scene, sight::Sight};
use crate::ExpectedRise::{self, Leak, LeakAndMoisture, Moisture, None as Nothing, Unclear};

/// A rise below this is one that nobody needs to name, micron.
const SMALL_MICRON: f64 = 12.0;
/// Share of the whole from which a part must be named, and below which it must
/// not be; between the two either answer is right.
const SHARE: (f64, f64, f64) = (0.06, 0.10, 0.16);
/// Gas through a capillary that counts, share of the rise.
const BLED: f64 = 0.10;

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
    fn small(&self) -> f64 {
        SMALL_MICRON.max(3.0 * self.noise).max(0.03 * self.level)
    }

    /// The cause when a part counts from `share` of the whole.
    fn cause(&self, share: f64, gas: f64) -> ExpectedRise {
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

/// Cause of the rise, and the answers that are not wrong.
pub(super) fn rise(scene: &Scene, hold: &Hold, one_side_told: bool) -> Named {
    let parts = Anatomy::of(scene, hold);
    let mut named = named(scene, hold, &parts);
    if parts.bleed > (3.0 * parts.noise).max(BLED * parts.rise()) {
        // nothing in the curve tells gas from behind the capillary from a cause
        named.fine.extend([Unclear, Moisture]);
        if !one_side_told {
            named.fine.extend([Leak, LeakAndMoisture]);
        }
        named.expected = Some(Unclear);
    }
    if one_side_told && matches!(named.expected, Some(Leak | LeakAndMoisture)) {
        // a leak must not be named on that evidence alone
        named.fine.push(Unclear);
    }
    if scene.stopped_open || scene.outage.is_some_and(|o| o.kind != OutageKind::Missing) {
        // what else happened in the hold may count against an answer
        named.fine.push(Unclear);
    }
    named.fine.extend(named.expected);
    named.fine.sort_by_key(|k| *k as u8);
    named.fine.dedup();
    named
}

fn named(scene: &Scene, hold: &Hold, parts: &Anatomy) -> Named {
    let cause = parts.cause(SHARE.1, 0.0);
    let simply = |expected, fine| Named {
        expected: Some(expected),
        fine,
        words: String::new(),
    };
    if parts.rise() <= parts.small() {
        // too little to name: nothing, or whatever it really is
        let mut fine = vec![Nothing];
        if parts.rise() > 0.5 * parts.small() {
            fine.push(Unclear);
        }
        if parts.leak + parts.volatile > 0.3 * parts.small() {
            fine.push(cause);
        } else if parts.gas > 0.5 * SMALL_MICRON {
            fine.push(Moisture);
        }
        return simply(Nothing, fine);
    }
    if parts.leak + parts.volatile <= 0.0 {
        // a system that gives off more gas than is small
        return simply(Moisture, vec![Nothing, Unclear]);
    }
    let sight = Sight::of(scene, hold, parts);
    let mut named = match cause {
        Leak => sight.of_leak(hold),
        Moisture => sight.of_moisture(hold),
        _ => sight.of_both(hold),
    };
    named.expected = named.expected.or(Some(cause));
    named.fine.push(cause);
    // a part near the limit, and the little gas, may be named or not
    for (share, gas) in [(SHARE.0, 0.0), (SHARE.2, 0.0), (SHARE.2, parts.gas)] {
        named.fine.push(parts.cause(share, gas));
    }
    if parts.rise() < 1.5 * parts.small() {
        named.fine.push(Unclear);
    }
    named
}
