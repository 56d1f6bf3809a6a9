//! Unit factors, inch-of-mercury conventions, inches of vacuum.

use vacuum::{Pressure, PressureUnit};

use crate::{assert_abs, assert_rel, micron};

/// Inch of mercury at 32 °F, Pa. NIST SP 811 B.8 (restatement).
const INHG_32_F_PA: f64 = 3386.38;
/// Inch of mercury at 60 °F, Pa. NIST SP 811 B.8 (restatement).
const INHG_60_F_PA: f64 = 3376.85;

fn inches_of_vacuum(inches: f64, barometer: Pressure) -> Pressure {
    Pressure::from_inches_of_vacuum(inches, barometer).expect("a pressure")
}

#[test]
fn torr() {
    // 101325/760 Pa by definition; published text on the torr (seen)
    assert_rel(PressureUnit::Torr.pa(), 133.322_368_421, 1e-9);
    // conventional mmHg, 133.322387415 Pa (same text, seen), is read as Torr:
    // that moves 500 micron by less than 1e-4 micron
    let as_mmhg_pa = 0.5 * 133.322_387_415;
    assert_abs(
        as_mmhg_pa / PressureUnit::Micron.pa(),
        micron(500.0).micron(),
        1e-4,
    );
}

#[test]
fn micron_of_mercury() {
    // 0.1333224 Pa: NIST SP 811 B.8 (restatement)
    assert_rel(PressureUnit::Micron.pa(), 0.133_322_4, 1e-6);
    // 66.6612 Pa, 0.666612 mbar (computed from it)
    assert_abs(micron(500.0).pa(), 66.6612, 5e-5);
    assert_abs(micron(500.0).mbar(), 0.666_612, 5e-7);
    assert_abs(micron(500.0).torr(), 0.5, 1e-12);
}

#[test]
fn inch_of_mercury_is_the_conventional_one() {
    // 3.386389E+03 Pa: NIST SP 811 B.8 (restatement, two independent ones)
    assert_rel(PressureUnit::InHg.pa(), 3_386.389, 1e-7);
    // the 60 °F inch is 0.28 % lower: the convention must be named
    let lower = 1.0 - INHG_60_F_PA / PressureUnit::InHg.pa();
    assert_abs(lower, 0.0028, 5e-5);
}

#[test]
fn atmosphere_in_inches_of_mercury() {
    // computed from the factors above, five decimals
    assert_abs(Pressure::ATMOSPHERE.inhg_absolute(), 29.921_25, 1e-5);
    assert_abs(Pressure::ATMOSPHERE.pa() / INHG_32_F_PA, 29.921_33, 1e-5);
    assert_abs(Pressure::ATMOSPHERE.pa() / INHG_60_F_PA, 30.005_77, 1e-5);
}

#[test]
fn psi() {
    // 6.894 757 E+03 Pa: NIST SP 811 B.8, seven digits (restatement)
    assert_rel(PressureUnit::Psi.pa(), 6_894.757, 0.5e-3 / 6_894.757);
    // exact by definition: 0.45359237 kg · 9.80665 m/s² / (0.0254 m)² (computed)
    assert_rel(
        PressureUnit::Psi.pa(),
        0.453_592_37 * 9.806_65 / (0.0254 * 0.0254),
        1e-15,
    );
    // 500 micron (computed)
    assert_rel(micron(500.0).psi_absolute(), 0.009_668_39, 1e-6);
}

#[test]
fn the_other_units_are_exact_by_definition() {
    for (unit, pa) in [
        (PressureUnit::Pascal, 1.0),
        (PressureUnit::Kilopascal, 1e3),
        (PressureUnit::Millibar, 1e2),
        (PressureUnit::Bar, 1e5),
        (PressureUnit::Atmosphere, 101_325.0),
    ] {
        assert_rel(unit.pa(), pa, 1e-15);
    }
}

#[test]
fn nearly_all_the_inches_of_a_standard_barometer_are_not_zero() {
    // 101325 − 29.92·3386.389 = 4.24 Pa = 31.8 micron (computed)
    let left = inches_of_vacuum(29.92, Pressure::ATMOSPHERE);
    assert_abs(left.pa(), 4.24, 0.01);
    assert_abs(left.micron(), 31.8, 0.1);
}

#[test]
fn a_rounded_barometer_costs_more_than_the_target() {
    // 40 CFR 82.156 table 1 calls 29.9 inHg the standard atmosphere (seen):
    // 101253.0 Pa, 540 micron short of one (computed)
    let rounded = Pressure::from_inhg_absolute(29.9).expect("a pressure");
    assert_abs(rounded.pa(), 101_253.0, 0.1);
    let short_micron = Pressure::ATMOSPHERE.micron() - rounded.micron();
    assert_abs(short_micron, 540.0, 1.0);
    assert!(short_micron > 500.0);
}

#[test]
fn resolution_of_a_dial() {
    // 25.4 mm to the inch, exact (computed): 0.01 inHg = 254 micron
    let step = PressureUnit::InHg.pa() * 0.01 / PressureUnit::Micron.pa();
    assert_abs(step, 254.0, 0.1);
    assert_abs(step / 10.0, 25.4, 0.01);
}

#[test]
fn altitude_moves_a_gauge_relative_value_only() {
    // US Army TM 5-3805-292-23 p. 0093-4 and TM 5-2420-230-24-1 p. 19-6 (seen):
    // ask for 1 inHg (3 kPa) less vacuum per 1000 ft
    let lower = Pressure::from_inhg_absolute(Pressure::ATMOSPHERE.inhg_absolute() - 1.0)
        .expect("a pressure");
    let same_depth = micron(500.0);
    let at_sea_level = same_depth.inches_of_vacuum(Pressure::ATMOSPHERE);
    let at_1000_ft = same_depth.inches_of_vacuum(lower);
    assert_abs(at_sea_level - at_1000_ft, 1.0, 1e-9);
    // 3.4 kPa, which the manuals round to 3
    assert_abs(Pressure::ATMOSPHERE.pa() - lower.pa(), 3.4e3, 20.0);
    // 29.5 inches of vacuum is a real reading at sea level and nonsense there
    assert!(Pressure::from_inches_of_vacuum(29.5, Pressure::ATMOSPHERE).is_ok());
    assert!(Pressure::from_inches_of_vacuum(29.5, lower).is_err());
}

#[test]
fn inches_and_kilopascals_of_vacuum_in_army_manuals() {
    // same manuals (seen), ±0.2 kPa because they truncate
    for (inches, kpa) in [
        (28.0, 95.0),
        (28.5, 96.5),
        (28.8, 97.5),
        (29.0, 98.0),
        (29.2, 98.8),
    ] {
        let depth_pa =
            Pressure::ATMOSPHERE.pa() - inches_of_vacuum(inches, Pressure::ATMOSPHERE).pa();
        assert_abs(depth_pa / 1e3, kpa, 0.21);
    }
}

#[test]
fn inches_of_vacuum_go_both_ways() {
    let barometer = Pressure::from_inhg_absolute(28.6).expect("a pressure");
    for inches in [0.0, 4.0, 15.0, 28.59] {
        assert_abs(
            inches_of_vacuum(inches, barometer).inches_of_vacuum(barometer),
            inches,
            1e-9,
        );
    }
}
