//! What comes with a volume, a thermometer and the number of sides.

use analyser::{RiseKind, Settings};
use vacuum::{AccessSides, Entry, GaugePrinciple, Pressure, Reading, Refrigerant};

use crate::{assert_near, hold, judge, judged, scene::Scene};

/// A hold without noise.
fn quiet(scene: Scene) -> Scene {
    Scene {
        relative_noise: 0.0,
        noise_micron: 0.05,
        ..scene
    }
}

/// 100 micron in 10 minutes in 5 L: Q = V·Δp/Δt = 1.111e-4 Pa·m³/s, computed from
/// 1 micron = 101325/760000 Pa. 1 g/year of R-134a is 7.570e-7 Pa·m³/s at 20 °C
/// (ideal gas, M 102.03 g/mol, year of 365.25 d).
#[test]
fn a_leak_in_a_known_volume_is_a_throughput() {
    let settings = Settings {
        volume_l: Some(5.0),
        refrigerant: Refrigerant::named("R-134a"),
        ..Settings::default()
    };
    let found = judge(&quiet(Scene::leaking(1, 10.0)).entries(), &settings);
    let leak = hold(&found).leak.unwrap();
    assert_near("throughput", leak.pa_m3_per_s.value, 1.111e-4, 5e-3);
    let grams = leak.g_per_year.unwrap();
    assert_near("grams a year", grams.value, 1.111e-4 / 7.570e-7, 6e-3);
    assert!(grams.low < grams.value && grams.value < grams.high);
    // without a volume, micron a minute is all that can be said
    let unknown = judged(&quiet(Scene::leaking(1, 10.0)).entries());
    assert_eq!(hold(&unknown).leak, None);
}

/// R-134a standing at 20 °C (571.7 kPa) leaves at 2.5 times the throughput of the air
/// that came in if the leak is molecular, at 48.4 times if it is laminar: arithmetic
/// on saturation pressures and viscosities from memory.
#[test]
fn the_charged_system_loses_between_pinhole_and_pipe() {
    let settings = Settings {
        volume_l: Some(5.0),
        refrigerant: Refrigerant::named("R-134a"),
        charge_g: Some(200.0),
        ..Settings::default()
    };
    let found = judge(&quiet(Scene::leaking(1, 10.0)).entries(), &settings);
    let hold = hold(&found);
    let air = hold.leak.unwrap().g_per_year.unwrap();
    let loss = hold.operating_loss.unwrap();
    assert_near("least", loss.g_per_year.0, 2.5 * air.low, 0.03);
    assert_near("most", loss.g_per_year.1, 48.4 * air.high, 0.03);
    let years = loss.years_to_lose_a_tenth.unwrap();
    assert_near("soonest", years.0, 20.0 / loss.g_per_year.1, 1e-9);
    assert_near("latest", years.1, 20.0 / loss.g_per_year.0, 1e-9);
    // a tight system has no loss to state, and nothing is stated without a volume
    let tight = judge(&quiet(Scene::tight(1)).entries(), &settings);
    assert_eq!(crate::hold(&tight).operating_loss, None);
    let unknown = judged(&quiet(Scene::leaking(1, 10.0)).entries());
    assert_eq!(crate::hold(&unknown).operating_loss, None);
}

/// 5 L at 20 °C hold 2.46 mg of water vapour at 500 micron (ideal gas).
#[test]
fn what_is_left_may_be_so_much_water() {
    let settings = Settings {
        volume_l: Some(5.0),
        ambient_c: Some(20.0),
        charge_g: Some(60.0),
        ..Settings::default()
    };
    let scene = Scene {
        base_micron: 490.0,
        ..quiet(Scene::leaking(2, 10.0 / 15.0))
    };
    let found = judge(&scene.entries(), &settings);
    let end = hold(&found).end_micron.unwrap();
    let water = hold(&found).water_vapour_mg.unwrap();
    assert_near("end", end, 500.0, 2e-3);
    assert_near("water", water, 2.46 * end / 500.0, 2e-3);
    let ppm = hold(&found).water_ppm_of_charge.unwrap();
    assert_near("ppm", ppm, water / 60.0 * 1e3, 1e-9);
}

/// The gas law: 1 K at 500 micron and 20 °C is 1.706 micron. Ten kelvin in a hold
/// look like a leak, unless a thermometer says otherwise.
#[test]
fn warming_that_was_measured_is_not_taken_for_a_rise() {
    let warmed = |known: bool| -> Vec<Entry> {
        let scene = Scene {
            base_micron: 400.0,
            ..Scene::tight(3)
        };
        let kelvin = |t: f64| 10.0 * ((t - scene.pull_s) / scene.hold_s).max(0.0);
        scene
            .entries()
            .into_iter()
            .map(|entry| match entry {
                Entry::Reading(r) => {
                    let warmer = 1.0 + kelvin(r.elapsed_s) / 293.15;
                    let p = r.pressure().unwrap().micron() * warmer;
                    let mut r = Reading::measured(r.elapsed_s, Pressure::from_micron(p).unwrap());
                    r.temperature_c = known.then(|| 20.0 + kelvin(r.elapsed_s));
                    Entry::Reading(r)
                }
                mark => mark,
            })
            .collect()
    };
    let blind = judged(&warmed(false));
    assert_eq!(hold(&blind).rise.kind, RiseKind::Leak);
    let rate = hold(&blind).rise.leak_micron_per_min.unwrap().value;
    assert_near("apparent rate", rate, 400.0 * 10.0 / 293.15 / 15.0, 0.1);
    // ten kelvin may free or bind gas as well: a leak that they hide is not ruled out
    let informed = judged(&warmed(true));
    let kind = hold(&informed).rise.kind;
    assert!(
        matches!(kind, RiseKind::None | RiseKind::Unclear),
        "{kind:?}"
    );
}

/// Gas behind a capillary tube bleeds in as straight as a leak: 77 micron/min into
/// 1 L from 20 mbar behind 0.66 mm × 3 m (laminar flow). It must not be blamed.
#[test]
fn one_side_evacuated_is_never_called_a_leak() {
    let settings = Settings {
        access_sides: Some(AccessSides::One),
        ..Settings::default()
    };
    for rate in [5.0, 20.0, 77.0] {
        let found = judge(&Scene::leaking(4, rate).entries(), &settings);
        let kind = hold(&found).rise.kind;
        assert!(
            !matches!(kind, RiseKind::Leak | RiseKind::LeakAndMoisture),
            "{rate}: {kind:?}"
        );
        assert!(
            found
                .findings
                .iter()
                .any(|f| f.code() == "one_side_evacuated")
        );
        // the ceiling is broken all the same, whoever is to blame
        let broken = rate * 15.0 + 180.0 > 500.0;
        let said = found.reasons.iter().any(|r| r.word() == "ceiling_exceeded");
        assert_eq!(said, broken, "{rate}");
    }
}

/// Levels near and far from the saturation pressure of water at ambient, 17 546
/// micron at 20 °C (IAPWS-IF97).
#[test]
fn a_plateau_says_where_the_vapour_may_come_from() {
    let settings = Settings {
        ambient_c: Some(20.0),
        ..Settings::default()
    };
    for (height, code) in [(17_366.0, "free_water"), (1_300.0, "bound_moisture")] {
        let scene = Scene::moist(5, height, 90.0);
        let found = judge(&scene.entries(), &settings);
        let codes: Vec<_> = found.findings.iter().map(|f| f.code()).collect();
        assert!(codes.contains(&code), "{height}: {codes:?}");
        let other = ["free_water", "bound_moisture"];
        let said = codes.iter().filter(|c| other.contains(*c)).count();
        assert_eq!(said, 1, "{height}: {codes:?}");
    }
}

/// Vacuum gauge literature: on a thermal gauge adjusted for air true ≈ 0.5 × indicated in
/// water vapour.
#[test]
fn a_thermal_gauge_shows_water_vapour_twice() {
    let entries = Scene::moist(7, 200.0, 300.0).entries();
    let water = |gauge_principle| {
        let settings = Settings {
            volume_l: Some(2.8),
            charge_g: Some(58.0),
            gauge_principle,
            ..Settings::default()
        };
        let found = judge(&entries, &settings);
        (
            hold(&found).water_vapour_mg.unwrap(),
            hold(&found).water_ppm_of_charge.unwrap(),
        )
    };
    let unknown = water(None);
    assert_eq!(water(Some(GaugePrinciple::Diaphragm)), unknown);
    let thermal = water(Some(GaugePrinciple::Thermal));
    assert_near("water", thermal.0, 0.5 * unknown.0, 1e-9);
    assert_near("ppm", thermal.1, 0.5 * unknown.1, 1e-9);
}
