//! Water: saturation pressure, boiling point, vapour mass.

use vacuum::{Pressure, PressureUnit, ZERO_CELSIUS_K, water};

use crate::{assert_abs, assert_rel, micron, pascal};

fn saturation(temperature_c: f64) -> Pressure {
    water::saturation_pressure(temperature_c).expect("within −60…60 °C")
}

/// IF97 backward equation for saturation, solved here by bisection.
fn boiling_k(pa: f64) -> f64 {
    let (mut low, mut high) = (273.15, 647.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if water::over_liquid_pa(middle) < pa {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[test]
fn ice_check_value_of_the_release() {
    // p(230 K) = 8.947352740e-6 MPa: docstring of an implementation of
    // IAPWS R14-08(2011) (restatement, reproduced)
    assert_rel(water::over_ice_pa(230.0), 8.947_352_740, 1e-9);
    // the release prints 8.94735 Pa (from memory)
    assert_rel(water::over_ice_pa(230.0), 8.947_35, 1e-6);
}

#[test]
fn both_branches_meet_at_the_triple_point() {
    // 273.16 K, 611.657 Pa (same implementation, restatement)
    assert_rel(water::over_ice_pa(273.16), 611.657, 1e-9);
    assert_rel(
        water::over_liquid_pa(273.16),
        water::over_ice_pa(273.16),
        1e-5,
    );
    // IAPWS-95 has 611.654771 Pa (restatement)
    assert_rel(water::over_liquid_pa(273.16), 611.654_771, 1e-5);
    // 4587.80 micron (computed)
    assert_abs(pascal(water::TRIPLE_POINT_PA).micron(), 4587.80, 0.005);
    assert_abs(water::TRIPLE_POINT_C + ZERO_CELSIUS_K, 273.16, 1e-9);
}

#[test]
fn liquid_check_values_of_the_release() {
    // IAPWS-IF97 (2007) table 35: 500 K and 273.15 K (restatement),
    // 300 K and 600 K (from memory, reproduced to all digits)
    assert_rel(water::over_liquid_pa(500.0), 2.638_897_76e6, 1e-8);
    assert_rel(water::over_liquid_pa(273.15), 611.212_677, 1e-8);
    assert_rel(water::over_liquid_pa(300.0), 3.536_589_41e3, 1e-8);
    assert_rel(water::over_liquid_pa(600.0), 12.344_314_6e6, 1e-8);
    // T_sat(10 MPa) = 584.149488 K (restatement)
    assert_abs(boiling_k(10e6), 584.149_488, 1e-6);
}

#[test]
fn ice_table() {
    // IAPWS R14-08 (computed with the reference library iapws 1.5.5)
    for (celsius, pa, in_micron) in [
        (-60.0, 1.0813, 8.11),
        (-40.0, 12.841, 96.3),
        (-30.0, 38.005, 285.1),
        (-25.0, 63.274, 474.6),
        (-20.0, 103.239, 774.4),
        (-10.0, 259.874, 1949.2),
        (-5.0, 401.74, 3013.3),
    ] {
        assert_rel(saturation(celsius).pa(), pa, 1e-4);
        assert_rel(saturation(celsius).micron(), in_micron, 6e-4);
    }
}

#[test]
fn liquid_table() {
    // IAPWS-IF97 (computed with the reference library iapws 1.5.5)
    for (celsius, pa, in_micron) in [
        (5.0, 872.57, 6545.0),
        (10.0, 1228.2, 9212.0),
        (15.0, 1705.7, 12_794.0),
        (20.0, 2339.2, 17_546.0),
        (25.0, 3169.7, 23_775.0),
        (30.0, 4246.7, 31_853.0),
        (40.0, 7384.4, 55_388.0),
        (60.0, 19_945.8, 149_606.0),
    ] {
        assert_rel(saturation(celsius).pa(), pa, 1e-4);
        assert_rel(saturation(celsius).micron(), in_micron, 1e-4);
    }
}

#[test]
fn within_two_parts_in_ten_thousand_of_the_scientific_formulation() {
    // IAPWS-95 (computed with the reference library CoolProp 8.0.0)
    for (celsius, pa) in [
        (0.01, 611.654_77),
        (5.0, 872.575_11),
        (10.0, 1_228.198_93),
        (20.0, 2_339.318_18),
        (25.0, 3_169.929_34),
        (30.0, 4_246.970_84),
        (40.0, 7_384.938_07),
        (50.0, 12_351.945_84),
        (60.0, 19_946.434_31),
    ] {
        assert_rel(saturation(celsius).pa(), pa, 2e-4);
    }
}

#[test]
fn other_formulations_agree_within_a_thousandth() {
    // at 20 °C: Wagner and Pruss 1993 auxiliary equation 2339.19 Pa, Buck 1996
    // 2338.34 Pa; over ice at −20 °C: Buck 103.286 Pa (computed, coefficients
    // from memory)
    assert_rel(saturation(20.0).pa(), 2339.19, 1e-3);
    assert_rel(saturation(20.0).pa(), 2338.34, 1e-3);
    assert_rel(saturation(-20.0).pa(), 103.286, 1e-3);
}

#[test]
fn handbook_table() {
    // CRC Handbook, 62nd edition 1981, as cited in UN University 80A01E
    // appendix one, table A1.1 (seen), mmHg; its ice rows are looser
    for (celsius, mmhg, tolerance) in [
        (30.0, 31.86, 2e-3),
        (20.0, 17.55, 2e-3),
        (10.0, 9.21, 2e-3),
        (0.0, 4.58, 2e-3),
        (-4.0, 3.29, 15e-3),
        (-10.0, 1.97, 15e-3),
    ] {
        assert_rel(saturation(celsius).torr(), mmhg, tolerance);
    }
    // its mbar column
    for (celsius, mbar) in [(30.0, 42.48), (20.0, 23.40), (10.0, 12.28), (0.0, 6.11)] {
        assert_rel(saturation(celsius).mbar(), mbar, 2e-3);
    }
}

#[test]
fn vacuum_that_boils_water_in_army_manuals() {
    // US Army TM 5-2420-230-24-1 table 19-1 and TM 5-3805-292-23 (seen):
    // inches of vacuum below a barometer of 29.92 inHg
    let barometer = Pressure::from_inhg_absolute(29.92).expect("a pressure");
    for (fahrenheit, inches) in [(100.0, 28.0), (90.0, 28.5), (81.0, 28.8), (70.0, 29.2)] {
        let celsius = (fahrenheit - 32.0) / 1.8;
        assert_abs(
            saturation(celsius).inches_of_vacuum(barometer),
            inches,
            0.06,
        );
    }
}

#[test]
fn boiling_and_subliming_points() {
    // inverse of IAPWS R14-08 and IF97 (computed)
    for (at, celsius) in [
        (500.0, -24.48),
        (1000.0, -17.31),
        (2000.0, -9.71),
        (5000.0, 1.20),
        (10_000.0, 11.23),
        (25_000.0, 25.85),
    ] {
        let found = water::boiling_point_c(micron(at)).expect("within range");
        assert_abs(found, celsius, 0.01);
        // below the triple point there is no liquid
        assert_eq!(found < water::TRIPLE_POINT_C, at < 4587.8);
    }
    // 500 micron is −12.1 °F, 5000 micron 34.2 °F (computed)
    let fahrenheit = |at| water::boiling_point_c(micron(at)).map(|c| c * 1.8 + 32.0);
    assert_abs(fahrenheit(500.0).expect("within range"), -12.1, 0.05);
    assert_abs(fahrenheit(5000.0).expect("within range"), 34.2, 0.05);
}

#[test]
fn nothing_is_said_outside_the_range() {
    for celsius in [-60.001, 60.001, f64::NAN, f64::INFINITY] {
        assert_eq!(water::saturation_pressure(celsius), None, "{celsius}");
    }
    assert_eq!(water::boiling_point_c(micron(8.0)), None);
    assert_eq!(water::boiling_point_c(micron(150_000.0)), None);
}

#[test]
fn vapour_inventory() {
    // ideal gas (computed): 5 L at 20 °C
    assert_abs(water::vapour_mg(micron(500.0), 5.0, 20.0), 2.46, 0.005);
    assert_abs(water::vapour_mg(saturation(20.0), 5.0, 20.0), 86.4, 0.05);
    assert_abs(water::vapour_mg(micron(500.0), 1.0, 20.0), 0.49, 0.005);
}

#[test]
fn a_level_of_one_or_two_thousand_micron_is_not_free_water() {
    // saturation at 20 °C is 17546 micron (IAPWS-IF97, computed)
    assert!(saturation(20.0).micron() > 8.0 * 2000.0);
    // 1000 and 2000 micron belong to ice at −17 and −10 °C
    for at in [1000.0, 2000.0] {
        assert!(water::boiling_point_c(micron(at)).expect("within range") < -9.0);
    }
}

#[test]
fn warming_moves_water_far_more_than_gas() {
    // one kelvin of warming at 500 micron: +1.706 micron of dry gas (computed)
    let gas = micron(500.0).micron() * (294.15 / 293.15 - 1.0);
    assert_abs(gas, 1.706, 0.001);
    // from 20 to 21 °C over free water: +1116.7 micron (computed with iapws 1.5.5)
    let wet = saturation(21.0).micron() - saturation(20.0).micron();
    assert_abs(wet, 1116.7, 0.1);
}

#[test]
fn ten_parts_per_million_of_a_small_charge() {
    // 10 ppm limit: ANSI/AHRI 700-2006 addendum 1 table 1B (seen for several
    // blends; for R-600a from memory). 10 ppm of 60 g is 0.6 mg (computed)
    assert_abs(
        water::ppm_of_charge(0.6, 60.0).expect("a charge"),
        10.0,
        1e-9,
    );
    // so 500 micron of water vapour in 5 L alone is 41 ppm of 60 g (computed)
    let vapour_mg = water::vapour_mg(micron(500.0), 5.0, 20.0);
    assert_abs(
        water::ppm_of_charge(vapour_mg, 60.0).expect("a charge"),
        41.0,
        0.1,
    );
    for (mg, g) in [
        (1.0, 0.0),
        (1.0, -60.0),
        (-0.1, 60.0),
        (f64::NAN, 60.0),
        (1.0, f64::NAN),
    ] {
        assert_eq!(water::ppm_of_charge(mg, g), None, "{mg} mg in {g} g");
    }
}

#[test]
fn micron_and_pascal_columns_of_the_tables_are_the_same_numbers() {
    for celsius in [-60.0, -20.0, 0.0, 20.0, 60.0] {
        let p = saturation(celsius);
        assert_rel(p.micron() * PressureUnit::Micron.pa(), p.pa(), 1e-14);
    }
}
