//! Pump-down, hoses, capillary tubes.

use vacuum::flow::{self, Tube};

use crate::{assert_abs, assert_rel, micron};

/// A tube of 1 cm by 1 cm, so that d³/l and d⁴/l are 1 in the trade's units.
const UNIT_TUBE: Tube = Tube {
    diameter_mm: 10.0,
    length_m: 0.01,
};

const CAPILLARY: Tube = Tube {
    diameter_mm: 0.66,
    length_m: 3.0,
};

const NARROW_HOSE: Tube = Tube {
    diameter_mm: 4.76,
    length_m: 1.5,
};

const WIDE_HOSE: Tube = Tube {
    diameter_mm: 9.5,
    length_m: 1.5,
};

#[test]
fn pumpdown_time() {
    // t = (V/S)·ln(p₀/p₁), textbook form from memory; 36.63 s computed
    let time_s = flow::pumpdown_time_s(5.0, 1.0, 101_325.0, 66.661);
    assert_abs(time_s, 36.63, 0.005);
}

#[test]
fn conductances_and_speeds_add_as_resistances_in_series() {
    // J. A. Venables, lecture notes §2.2 (seen)
    for (pump, hoses) in [(1.0, vec![1.0]), (2.0, vec![0.5, 8.0]), (0.1, vec![100.0])] {
        let speed = flow::effective_speed_l_per_s(pump, &hoses);
        assert!(speed < pump, "{speed}");
        assert!(hoses.iter().all(|c| speed < *c), "{speed}");
    }
    assert_rel(flow::effective_speed_l_per_s(1.0, &[1.0]), 0.5, 1e-12);
    assert_rel(flow::effective_speed_l_per_s(1.0, &[]), 1.0, 1e-12);
}

#[test]
fn molecular_tube() {
    // v̄ = 462.9 m/s for air at 20 °C, kinetic theory (computed)
    let speed = flow::mean_speed_m_per_s(vacuum::gas::AIR_G_PER_MOL, 20.0);
    assert_abs(speed, 462.9, 0.05);
    // an aperture passes v̄/4: 11.57 L/s/cm² (computed)
    assert_abs(speed / 4.0 * 0.1, 11.57, 0.005);
    // 12.1 d³/l (seen on two pages, weak; derivation gives 12.119)
    assert_rel(UNIT_TUBE.molecular_l_per_s(), 12.1, 2e-3);
    assert_abs(UNIT_TUBE.molecular_l_per_s(), 12.119, 5e-4);
    // a calculator page prints d 5 cm, l 100 cm: 15.125 L/s (seen)
    let tube = Tube {
        diameter_mm: 50.0,
        length_m: 1.0,
    };
    assert_rel(tube.molecular_l_per_s(), 15.125, 2e-3);
}

#[test]
fn laminar_tube_in_millibar_and_in_torr() {
    // 135 d⁴·p̄/l with p̄ in mbar (seen; the copy labels it torr, so both are
    // checked), 135.4 with η = 18.13 µPa·s (computed)
    assert_rel(UNIT_TUBE.laminar_l_per_s(100.0), 135.4, 1e-3);
    // 180 with p̄ in Torr (computed): taking one for the other is 33 % wrong
    let torr_pa = vacuum::PressureUnit::Torr.pa();
    assert_rel(UNIT_TUBE.laminar_l_per_s(torr_pa), 180.0, 5e-3);
}

#[test]
fn transition_meets_both_ends() {
    // Knudsen's formula (from memory)
    assert_rel(
        UNIT_TUBE.conductance_l_per_s(1e-9),
        UNIT_TUBE.molecular_l_per_s(),
        1e-6,
    );
    assert_rel(
        UNIT_TUBE.conductance_l_per_s(1e5),
        UNIT_TUBE.laminar_l_per_s(1e5),
        1e-3,
    );
}

#[test]
fn slip_of_the_transition_is_knudsens() {
    // far into the viscous range the molecular term keeps the fraction
    // 2.507/3.095 of Knudsen's formula as textbooks print it (from memory)
    let pa = 1e6;
    let slip = UNIT_TUBE.conductance_l_per_s(pa) - UNIT_TUBE.laminar_l_per_s(pa);
    assert_rel(slip / UNIT_TUBE.molecular_l_per_s(), 2.507 / 3.095, 1e-3);
}

#[test]
fn transition_has_only_the_shallow_minimum_that_is_real() {
    // A minimum near the transition exists: Karniadakis, Beskok and Aluru,
    // Interdisciplinary Applied Mathematics, table 15.5: reduced flow falls from
    // 1.4768 at δ = 0.01 to 1.4131 at δ = 0.08 (seen), a dip of a few percent.
    let molecular = UNIT_TUBE.molecular_l_per_s();
    let mut lowest = molecular;
    let mut turned = false;
    let mut before = molecular;
    for step in 0..600 {
        let pa = 1e-4 * 10_f64.powf(f64::from(step) / 100.0);
        let now = UNIT_TUBE.conductance_l_per_s(pa);
        turned |= now > before;
        assert!(!turned || now >= before, "falls again at {pa} Pa");
        lowest = lowest.min(now);
        before = now;
    }
    let dip = 1.0 - lowest / molecular;
    assert!((0.01..0.10).contains(&dip), "{dip}");
}

#[test]
fn a_narrow_hose_strangles_a_pump() {
    // the formula above at 500 micron (computed with the rounded coefficients
    // 135 and 12.1, hence 0.3 %)
    let pa = micron(500.0).pa();
    assert_rel(NARROW_HOSE.conductance_l_per_s(pa), 0.0379, 3e-3);
    assert_rel(WIDE_HOSE.conductance_l_per_s(pa), 0.545, 3e-3);
    // what is left of 1 L/s behind the narrow one (computed)
    let left = flow::effective_speed_l_per_s(1.0, &[NARROW_HOSE.conductance_l_per_s(pa)]);
    assert_rel(left, 0.0365, 3e-3);
}

#[test]
fn what_stays_behind_a_capillary_tube() {
    // laminar, from one atmosphere, near side at vacuum (computed, ±2 %). Sizes:
    // a household-refrigerator repair book gives 0.66–0.91 mm, 1.8–3.7 m (seen)
    let start_pa = 101_325.0;
    for (volume_l, minutes, mbar) in [
        (0.3, 30.0, 37.6),
        (0.3, 120.0, 9.7),
        (1.0, 30.0, 115.0),
        (1.0, 120.0, 31.5),
    ] {
        let left = flow::behind_capillary_pa(CAPILLARY, volume_l, start_pa, minutes * 60.0);
        assert_rel(left / 100.0, mbar, 0.02);
    }
    // to reach 5000 micron: 2.9 h and 9.7 h (computed)
    for (volume_l, hours) in [(0.3, 2.9), (1.0, 9.7)] {
        let left = flow::behind_capillary_pa(CAPILLARY, volume_l, start_pa, hours * 3600.0);
        assert_rel(left, micron(5000.0).pa(), 0.02);
    }
}

#[test]
fn a_capillary_tube_bleeds_like_a_leak() {
    // far side 20 mbar, near side 0.667 mbar and 1 L: +77 micron/min (computed)
    let pa_per_s = flow::capillary_bleed_pa_per_s(CAPILLARY, 2000.0, 66.7, 1.0);
    let micron_per_min = pa_per_s * 60.0 / vacuum::PressureUnit::Micron.pa();
    assert_abs(micron_per_min, 77.0, 1.0);
    assert_eq!(
        flow::capillary_bleed_pa_per_s(CAPILLARY, 66.7, 66.7, 1.0),
        0.0
    );
}
