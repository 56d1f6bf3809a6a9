//! Random gauges and holds.

use super::{
    hold::{Hold, Volatile, saturation_micron},
    indicator::{Indicator, Outage, OutageKind, Top},
};
use rehearsal::{plant::Rounding, rng::Rng};

/// What a run is meant to be an example of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    Tight,
    Leak,
    Moisture,
    Both,
    Murky,
}

/// A gauge.
pub(super) fn gauge(rng: &mut Rng) -> Indicator {
    let rounding = match (rng.unit() * 8.0) as u32 {
        0 | 1 => Rounding::Step(0.1),
        2 | 3 => Rounding::Step(1.0),
        4 => Rounding::Step(5.0),
        5 => Rounding::Digits(2),
        6 => Rounding::Digits(3),
        _ => Rounding::Decade,
    };
    let thermal = rng.chance(0.7);
    Indicator {
        interval_s: rng.pick(&[0.2, 0.5, 1.0, 1.0, 1.0, 2.0, 2.0, 5.0, 5.0, 10.0]),
        jitter: rng.pick(&[0.0, 0.0, 0.05, 0.3]),
        lag_s: if rng.chance(0.3) {
            0.0
        } else {
            rng.log_range(0.2, 8.0)
        },
        noise: rng.log_range(0.002, 0.03),
        correlation: if rng.chance(0.3) {
            0.0
        } else {
            rng.range(0.0, 0.9)
        },
        rounding,
        convex: if thermal { rng.range(0.0, 0.4) } else { 0.0 },
        top_micron: rng.pick(&[19_999.0, 20_000.0, 25_000.0, 99_999.0, 760_000.0, 1e6]),
        top: if rng.chance(0.75) {
            Top::Over
        } else {
            Top::Clips
        },
        bottom_micron: rng.pick(&[0.0, 0.0, 1.0, 5.0]),
        hand_over: (thermal && rng.chance(0.2))
            .then(|| (rng.log_range(800.0, 12_000.0), rng.range(-0.1, 0.1))),
        burst_chance: if rng.chance(0.25) {
            rng.log_range(1e-4, 3e-3)
        } else {
            0.0
        },
        fault_chance: if rng.chance(0.08) {
            rng.log_range(1e-4, 1e-3)
        } else {
            0.0
        },
        thermometer: rng.chance(0.35),
    }
}

/// Length of the hold, s. Lengths within 15 s of ten minutes are not drawn: what
/// is long enough to a second is a question of stop-watches.
pub(super) fn hold_length(aim: Aim, rng: &mut Rng) -> f64 {
    let short = if aim == Aim::Murky { 0.4 } else { 0.12 };
    if rng.chance(short) {
        rng.range(180.0, 585.0)
    } else {
        rng.log_range(615.0, 3600.0)
    }
}

/// A hold of `length_s` from `start` micron on.
pub(super) fn hold(aim: Aim, start: f64, length_s: f64, celsius: f64, rng: &mut Rng) -> Hold {
    let jump = match (rng.unit() * 4.0) as u32 {
        0 => rng.range(0.0, 0.03),
        1 | 2 => rng.range(0.02, 0.8),
        _ => rng.range(0.3, 2.0),
    } * start;
    let level = start + jump;
    let gas = if rng.chance(0.9) {
        rng.range(0.0, 8.0).min(0.04 * level.max(100.0))
    } else {
        (rng.range(0.0, 0.04) * level).min(60.0)
    };
    let mut hold = Hold {
        start,
        jump,
        jump_s: rng.log_range(1.0, 20.0),
        leak_per_min: 0.0,
        volatile: None,
        gas: (gas, rng.log_range(60.0, 900.0)),
        fall: (0.0, 1.0),
        bleed: (0.0, 1.0),
        drift_k_per_s: if rng.chance(0.25) {
            rng.range(-4.0, 4.0) / 3600.0
        } else {
            0.0
        },
        celsius,
    };
    let minutes = length_s / 60.0;
    match aim {
        Aim::Tight => {
            if rng.chance(0.2) {
                hold.fall = (rng.range(0.02, 0.15) * level, rng.log_range(60.0, length_s));
            }
        }
        Aim::Leak => {
            hold.leak_per_min = leak_rate(minutes, level, rng);
            if rng.chance(0.08) {
                hold.fall = (
                    0.05 * hold.leak_per_min * minutes,
                    rng.log_range(60.0, 600.0),
                );
            }
        }
        Aim::Moisture => hold.volatile = Some(volatile(&hold, length_s, (0.05, 0.6), rng)),
        Aim::Both => {
            let slow = (0.05, 0.4);
            let volatile = simple(rng.log_range(60.0, 3000.0), length_s, slow, rng);
            let rise = volatile.at(length_s);
            hold.leak_per_min = rise * rng.log_range(0.4, 2.5) / minutes;
            hold.volatile = Some(volatile);
        }
        Aim::Murky => murky(&mut hold, length_s, level, rng),
    }
    hold
}

fn leak_rate(minutes: f64, level: f64, rng: &mut Rng) -> f64 {
    if rng.chance(0.06) {
        return rng.log_range(600.0, 30_000.0);
    }
    // not much below what anyone would call a rise
    let least = (0.8 * 12f64.max(0.03 * level) / minutes).max(0.3);
    rng.log_range(least, 300f64.max(1.5 * least))
}

/// Draws that are likely to be beyond what the record can tell.
fn murky(hold: &mut Hold, length_s: f64, level: f64, rng: &mut Rng) {
    let minutes = length_s / 60.0;
    let small = level * rng.log_range(0.03, 0.4);
    match (rng.unit() * 4.0) as u32 {
        0 | 1 => hold.volatile = Some(volatile(hold, length_s, (1.0, 5.0), rng)),
        2 => hold.leak_per_min = small / minutes,
        _ => {
            hold.leak_per_min = small / minutes;
            let rise = small * rng.log_range(0.5, 2.0);
            hold.volatile = Some(simple(rise, length_s, (0.3, 2.0), rng));
        }
    }
}

/// A saturating rise of any form; `span` bounds its time constant in holds.
fn volatile(hold: &Hold, length_s: f64, span: (f64, f64), rng: &mut Rng) -> Volatile {
    let end_c = hold.celsius - rng.range(0.0, 3.0);
    let level = hold.start + hold.jump;
    let pool = rng.chance(0.12) && span.1 < 1.0 && level < 0.1 * saturation_micron(end_c - 12.0);
    if pool {
        return Volatile::Pool {
            from_micron: hold.start,
            tau_s: length_s * rng.log_range(0.03, 0.3),
            end_c,
            below_k: rng.range(1.0, 12.0),
            warming_s: length_s * rng.log_range(0.1, 0.4),
        };
    }
    simple(rng.log_range(60.0, 5000.0), length_s, span, rng)
}

/// A limited store.
fn simple(rise: f64, length_s: f64, span: (f64, f64), rng: &mut Rng) -> Volatile {
    // what is over within a minute cannot be told from equalisation
    let tau_s = (length_s * rng.log_range(span.0, span.1)).max(60.0);
    match (rng.unit() * 6.0) as u32 {
        0..=2 => Volatile::Simple { rise, tau_s },
        3 => Volatile::Double {
            rise,
            tau_s,
            share: rng.range(0.3, 0.8),
            second_s: (tau_s * rng.range(0.15, 0.5)).max(45.0),
        },
        4 => Volatile::Stretched {
            rise,
            tau_s,
            beta: rng.range(0.65, 0.95),
        },
        _ => Volatile::Sheet { rise, tau_s },
    }
}

/// A stretch without readings somewhere in the hold.
pub(super) fn outage(isolated_s: f64, length_s: f64, rng: &mut Rng) -> Outage {
    let lasting = rng.range(60.0, 240.0).min(0.3 * length_s);
    let start_s = isolated_s + rng.range(0.15, 0.65) * length_s;
    Outage {
        start_s,
        end_s: start_s + lasting,
        kind: rng.pick(&[OutageKind::Fault, OutageKind::Gap, OutageKind::Missing]),
    }
}
