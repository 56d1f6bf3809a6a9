//! The truth of a run of formulas. The rules are in the documentation of
//! [`super::formula_case`].

use super::{
    anatomy::{Anatomy, Named, SMALL_MICRON},
    hold::Hold,
    indicator::OutageKind,
    scene::Scene,
    sight::Sight,
};
use rehearsal::ExpectedRise::{Leak, LeakAndMoisture, Moisture, None as Nothing, Unclear};

/// Share of the whole from which a part must be named, and below which it must
/// not be; between the two either answer is right.
const SHARE: (f64, f64, f64) = (0.06, 0.10, 0.16);
/// Gas through a capillary that counts, share of the rise.
const BLED: f64 = 0.10;

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
