//! Random systems, pumps and gauges.

use rehearsal::{
    plant::{Access, Climate, Gauge, HIGH, Household, LOW, MANIFOLD, Principle, Rounding},
    rng::{Rng, Wander},
};
use vacuum::{flow::Tube, refrigerant::Refrigerant};

/// A refrigerant designation.
pub(super) fn refrigerant(rng: &mut Rng) -> &'static str {
    rng.pick(&["R-600a", "R-134a", "R-290", "R-600a"])
}

/// A household or small commercial system.
pub(super) fn household(rng: &mut Rng, refrigerant: &str) -> Household {
    let volume_l = rng.log_range(0.6, 14.0);
    // who owns a large system owns a larger pump
    let pump_l_per_s = (rng.log_range(0.35, 1.6) * (volume_l / 3.0f64).powf(0.3)).clamp(0.3, 3.0);
    let (bore, length) = rng.pick(&[(6.0, 0.9), (7.5, 0.9), (7.5, 1.5), (9.5, 1.0), (9.5, 1.5)]);
    let (pump_bore, pump_length) = rng.pick(&[(7.5, 1.2), (9.5, 1.0), (9.5, 1.5), (12.0, 1.5)]);
    let tube = |diameter_mm, length_m| Tube {
        diameter_mm,
        length_m,
    };
    Household {
        volume_l,
        high_share: rng.range(0.15, 0.45),
        capillary: tube(rng.range(0.66, 0.91), rng.range(1.8, 3.7)),
        access: Access::Both,
        hose: tube(bore, length),
        core_mm: rng.chance(0.3).then(|| rng.range(2.2, 3.5)),
        pump_hose: tube(pump_bore, pump_length),
        pump_l_per_s,
        ultimate_micron: rng.log_range(8.0, 120.0),
        climate: climate(rng),
        refrigerant_g_per_mol: Refrigerant::named(refrigerant)
            .map_or(58.122, |r| r.molar_mass_g_per_mol),
    }
}

fn climate(rng: &mut Rng) -> Climate {
    Climate {
        start_c: rng.range(12.0, 31.0),
        drift_c_per_h: if rng.chance(0.3) {
            rng.range(-4.0, 4.0)
        } else {
            rng.range(-0.8, 0.8)
        },
        swing_c: rng.log_range(0.02, 0.4),
        swing_period_s: rng.range(600.0, 2400.0),
        heated_k: 0.0,
        cooling_s: rng.range(900.0, 3000.0),
    }
}

/// A gauge.
pub(super) fn gauge(rng: &mut Rng) -> Gauge {
    let node = if rng.chance(0.7) {
        MANIFOLD
    } else {
        rng.pick(&[HIGH, LOW])
    };
    let hot_wire = rng.chance(0.75);
    let principle = if hot_wire {
        Principle::HotWire {
            response: [1.0, rng.range(1.0, 1.4), rng.range(1.1, 2.2)],
            convection: rng.range(0.0, 0.6),
        }
    } else {
        Principle::Diaphragm
    };
    let rounding = match (rng.unit() * 6.0) as u32 {
        0 => Rounding::Step(5.0),
        1 => Rounding::Digits(2),
        2 => Rounding::Digits(3),
        3 => Rounding::Decade,
        _ => Rounding::Step(1.0),
    };
    let interval_s = rng.pick(&[0.2, 0.5, 1.0, 1.0, 1.0, 2.0, 2.0, 5.0, 10.0]);
    let top_micron = if hot_wire {
        rng.pick(&[20_000.0, 25_000.0, 25_000.0, 760_000.0])
    } else {
        rng.pick(&[20_000.0, 760_000.0])
    };
    Gauge {
        node,
        principle,
        lag_s: rng.log_range(0.1, 5.0),
        noise_relative: rng.log_range(0.001, 0.012),
        noise_micron: rng.log_range(0.1, 2.0),
        rounding,
        top_micron: top_micron * 1.02,
        bottom_micron: rng.pick(&[0.0, 1.0, 1.0, 5.0]),
        hand_over: (hot_wire && rng.chance(0.2))
            .then(|| (rng.log_range(700.0, 12_000.0), rng.range(-0.08, 0.08))),
        burst_chance: if rng.chance(0.15) {
            rng.log_range(1e-4, 2e-3)
        } else {
            0.0
        },
        interval_s,
        jitter_s: interval_s * rng.pick(&[0.0, 0.02, 0.1]),
        thermometer: rng.chance(0.35),
        felt_pa: 0.0,
        wander: Wander::new(rng.log_range(0.5, 8.0), rng),
        rng: Rng::new(rng.next_seed(), 3),
    }
}
