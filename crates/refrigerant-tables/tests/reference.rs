//! The tables against the reference library they were made with, at other states, and
//! against boiling points of another source.

use refrigerant_tables::{OutsideTable, Substance};

/// A row of `reference.csv`, which `tables/make.py` wrote with CoolProp 8.0.0: temperatures
/// drawn at random.
struct Reference {
    substance: &'static Substance,
    celsius: f64,
    bubble_pa: f64,
    dew_pa: f64,
    liquid_kg_m3: f64,
    vapour_kg_m3: f64,
    /// Some pressure below that of the dew point, and the density of the vapour there.
    pa: f64,
    kg_m3: f64,
}

impl Reference {
    fn is_near_critical(&self) -> bool {
        let near = |critical_c: f64| critical_c - self.celsius < 5.0;
        self.substance.critical_c().is_some_and(near)
    }
}

fn references() -> Vec<Reference> {
    let rows = include_str!("reference.csv").lines().skip(2);
    let read = |line: &'static str| {
        let (name, numbers) = line.split_once(',').expect(line);
        let n: Vec<f64> = numbers
            .split(',')
            .map(|cell| cell.parse().expect(line))
            .collect();
        assert_eq!(n.len(), 7, "{line}");
        Reference {
            substance: Substance::named(name).expect(line),
            celsius: n[0],
            bubble_pa: n[1],
            dew_pa: n[2],
            liquid_kg_m3: n[3],
            vapour_kg_m3: n[4],
            pa: n[5],
            kg_m3: n[6],
        }
    };
    rows.map(read).collect()
}

/// The worst relative error over all references, printed: everything is within 0.1 %, or
/// within `near_critical` in the last 5 K below a critical point.
#[expect(clippy::print_stdout, reason = "the figures are quoted in documents")]
fn within(what: &str, near_critical: f64, error: impl Fn(&Reference) -> f64) {
    let references = references();
    assert!(references.len() >= 500, "{} states", references.len());
    let mut worst = [0.0_f64; 2];
    for r in &references {
        let error = error(r).abs();
        let name = r.substance.designation();
        let near = usize::from(r.is_near_critical());
        let allowed = [1e-3, near_critical][near];
        let celsius = r.celsius;
        assert!(
            error <= allowed,
            "{what} of {name} at {celsius} °C: {error:.2e}"
        );
        worst[near] = worst[near].max(error);
    }
    println!(
        "{what}: worst {:.1e}, near a critical point {:.1e}",
        worst[0], worst[1]
    );
}

#[test]
fn saturation_agrees_with_coolprop_at_random_states() {
    let at = |r: &Reference| r.substance.saturation_at(r.celsius).expect("in the table");
    within("bubble pressure", 5e-3, |r| {
        at(r).bubble_pa / r.bubble_pa - 1.0
    });
    within("dew pressure", 5e-3, |r| at(r).dew_pa / r.dew_pa - 1.0);
    within("liquid density", 5e-3, |r| {
        at(r).liquid_kg_m3 / r.liquid_kg_m3 - 1.0
    });
    within("vapour density", 5e-3, |r| {
        at(r).vapour_kg_m3 / r.vapour_kg_m3 - 1.0
    });
}

#[test]
fn temperature_from_pressure_agrees_with_coolprop() {
    // a per mille of the pressure is about 0.03 K
    for r in references() {
        let (substance, name) = (r.substance, r.substance.designation());
        let bubble = substance.bubble_temperature_c(r.bubble_pa);
        let dew = substance.dew_temperature_c(r.dew_pa);
        for found in [bubble, dew] {
            let off = (found.expect(name) - r.celsius).abs();
            assert!(off < 0.02, "{name} at {} °C: {off:.3} K", r.celsius);
        }
    }
}

#[test]
fn thin_vapour_agrees_with_coolprop() {
    within("vapour below saturation", 1.5e-2, |r| {
        let found = r.substance.vapour_kg_m3(r.celsius, r.pa);
        found.expect("vapour") / r.kg_m3 - 1.0
    });
}

/// Saturation at 20 °C, and liquid at 30 °C: `checks.md` of the project, rows 10.12, computed
/// with CoolProp 8.0.0 by somebody else.
#[test]
fn the_table_of_the_checks() {
    for (name, kpa, liquid, vapour, liquid_30, kpa_per_k) in [
        ("R-600a", 302.22, 556.86, 7.913, 544.31, 9.16),
        ("R-134a", 571.71, 1225.33, 27.780, 1187.46, 17.68),
        ("R-290", 836.46, 500.06, 18.082, 484.39, 22.04),
    ] {
        let substance = Substance::named(name).expect(name);
        let at = |celsius| substance.saturation_at(celsius).expect(name);
        let near = |found: f64, expected: f64, tolerance: f64| {
            let error = (found / expected - 1.0).abs();
            assert!(error < tolerance, "{name}: {found} instead of {expected}");
        };
        near(at(20.0).bubble_pa / 1e3, kpa, 1e-4);
        near(at(20.0).dew_pa / 1e3, kpa, 1e-4);
        near(at(20.0).liquid_kg_m3, liquid, 1e-4);
        near(at(20.0).vapour_kg_m3, vapour, 1e-4);
        near(at(30.0).liquid_kg_m3, liquid_30, 1e-4);
        let per_k = (at(20.1).bubble_pa - at(19.9).bubble_pa) / 0.2 / 1e3;
        near(per_k, kpa_per_k, 1e-3);
    }
}

/// Boiling points at 101.325 kPa of ANSI/ASHRAE 34, from memory: bubble and dew point for
/// blends, °C. They do not come from the library.
#[test]
fn boiling_points_agree_with_those_remembered_of_ashrae_34() {
    for (name, bubble_c, dew_c) in [
        ("R-12", -29.8, -29.8),
        ("R-134a", -26.1, -26.1),
        ("R-600a", -11.7, -11.7),
        ("R-600", -0.5, -0.5),
        ("R-152a", -24.0, -24.0),
        ("R-717", -33.3, -33.3),
        ("R-1234yf", -29.5, -29.5),
        ("R-1234ze(E)", -19.0, -19.0),
        ("R-500", -33.6, -33.6),
        ("R-513A", -29.2, -29.1),
        ("R-450A", -23.4, -22.8),
    ] {
        let substance = Substance::named(name).expect(name);
        let bubble = substance.bubble_temperature_c(101_325.0).expect(name);
        let dew = substance.dew_temperature_c(101_325.0).expect(name);
        assert!((bubble - bubble_c).abs() < 0.4, "{name}: {bubble:.2}");
        assert!((dew - dew_c).abs() < 0.4, "{name}: {dew:.2}");
    }
}

#[test]
fn the_usual_ones_are_there() {
    let wanted = "R-600a R-290 R-134a R-1270 R-744 R-404A R-407C R-410A R-32 R-452A R-448A \
                  R-449A R-454C R-455A R-513A R-1234yf R-1234ze(E) R-12 R-22 R-502 R-507A R-152a \
                  R-600 R-717 R-407A R-407F R-417A R-422D R-427A R-450A R-452B R-454A R-454B \
                  R-500 R-125 R-143a R-436A R-441A";
    for name in wanted.split_whitespace() {
        let substance = Substance::named(name).expect(name);
        assert!(substance.lowest_c() <= -40.0, "{name}");
        let ends_critical = substance.critical_c().is_some();
        assert!(ends_critical || substance.highest_c() >= 60.0, "{name}");
    }
    assert!(
        Substance::all().count() >= 40,
        "{}",
        Substance::all().count()
    );
}

#[test]
fn beyond_the_table_is_nothing() {
    let carbon_dioxide = Substance::named("R-744").unwrap();
    let above = carbon_dioxide.saturation_at(35.0).unwrap_err().to_string();
    assert!(
        above.contains("no liquid above its critical temperature, 31.0 °C"),
        "{above}"
    );
    let isobutane = Substance::named("R-600a").unwrap();
    for celsius in [-40.1, 60.1, f64::NAN, f64::INFINITY] {
        assert!(isobutane.saturation_at(celsius).is_err(), "{celsius}");
        assert!(isobutane.vapour_kg_m3(celsius, 1e5).is_err(), "{celsius}");
    }
    for pa in [-1.0, 0.0, 1e3, 1e8, f64::NAN] {
        assert!(isobutane.bubble_temperature_c(pa).is_err(), "{pa}");
    }
    let condenses = isobutane.vapour_kg_m3(20.0, 4e5).unwrap_err();
    assert!(
        matches!(condenses, OutsideTable::Condenses { .. }),
        "{condenses}"
    );
    assert!(isobutane.vapour_kg_m3(20.0, f64::NAN).is_err());
    assert_eq!(
        isobutane.vapour_kg_m3(20.0, 0.0).map(|x| x < 1e-12),
        Ok(true)
    );
}

#[test]
fn zeotropes_are_told_from_azeotropes() {
    let zeotropic = |name| Substance::named(name).map(Substance::is_zeotropic_blend);
    for name in ["R-404A", "R-407C", "R-454C", "R-410A"] {
        assert_eq!(zeotropic(name), Ok(true), "{name}");
    }
    for name in ["R-507A", "R-513A", "R-502", "R-600a", "R-134a"] {
        assert_eq!(zeotropic(name), Ok(false), "{name}");
    }
    let glide = |name| Substance::named(name).unwrap().glide_k(5e5).unwrap();
    assert_eq!(glide("R-290"), 0.0);
    assert!(glide("R-507A") < 0.1 && glide("R-407C") > 4.0);
}
