//! The refrigerant table against a reference library.

use std::collections::BTreeSet;

use vacuum::{
    Refrigerant,
    gas::AIR_G_PER_MOL,
    refrigerant::{GroupSource, REFRIGERANTS},
};

use crate::{assert_abs, assert_rel};

fn named(designation: &str) -> &'static Refrigerant {
    Refrigerant::named(designation).expect(designation)
}

/// A row of `refrigerants.csv`, which `refrigerants.py` wrote with the reference
/// library CoolProp 8.0.0.
struct Reference {
    designation: &'static str,
    molar_mass_g_per_mol: f64,
    /// Saturation pressure at 20 °C, Pa; viscosity there at 101325 Pa, Pa·s.
    vapour: Option<(f64, f64)>,
    group: &'static str,
}

fn references() -> impl Iterator<Item = Reference> {
    include_str!("refrigerants.csv")
        .lines()
        .skip(2)
        .map(|line| {
            let cells: Vec<&'static str> = line.split(',').collect();
            assert_eq!(cells.len(), 6, "{line}");
            let number = |cell: &str| cell.parse::<f64>().ok();
            Reference {
                designation: cells[0],
                molar_mass_g_per_mol: number(cells[1]).expect(line),
                vapour: number(cells[2]).zip(number(cells[3])),
                group: cells[4],
            }
        })
}

#[test]
fn every_row_agrees_with_a_reference_library() {
    for reference in references() {
        let row = named(reference.designation);
        let name = row.designation;
        assert_eq!(name, reference.designation);
        assert_rel(
            row.molar_mass_g_per_mol,
            reference.molar_mass_g_per_mol,
            1e-4,
        );
        match (row.at_20_c, reference.vapour) {
            (Some(vapour), Some((saturation_pa, viscosity_pa_s))) => {
                assert_rel(vapour.saturation_pa, saturation_pa, 4e-4);
                assert_rel(vapour.viscosity_pa_s, viscosity_pa_s, 1e-3);
            }
            (None, None) => {}
            other => panic!("{name}: {other:?}"),
        }
    }
}

/// Each group is the library's or says that it is from memory. Where it is from
/// memory although the library has one, that one is of before class 2L was made.
#[test]
fn safety_groups_are_confirmed_or_say_that_they_are_not() {
    let mut confirmed = 0;
    for row in &REFRIGERANTS {
        let name = row.designation;
        let reference = references().find(|r| r.designation == name);
        let library = reference.map_or("", |r| r.group);
        match row.group_source {
            GroupSource::Library => {
                assert_eq!(row.safety_group, library, "{name}");
                confirmed += 1;
            }
            GroupSource::Memory if library.is_empty() => {}
            GroupSource::Memory => {
                assert_eq!(row.safety_group.trim_end_matches('L'), library, "{name}");
                assert!(["R-32", "R-143a", "R-717"].contains(&name), "{name}");
            }
        }
        let groups = ["A1", "A2L", "A2", "A3", "B1", "B2L", "B2", "B3"];
        assert!(groups.contains(&row.safety_group), "{name}");
    }
    assert_eq!(
        confirmed,
        references().filter(|r| !r.group.is_empty()).count() - 3
    );
}

#[test]
fn three_blends_follow_from_their_compositions() {
    // nominal mass fractions: ISO 817 (from memory); components: CoolProp 8.0.0
    const R134A: f64 = 102.032;
    const R152A: f64 = 66.051;
    const R227EA: f64 = 170.0289;
    const R1234: f64 = 114.0416; // yf and ze(E) are isomers
    let blends: [(&str, &[(f64, f64)]); 3] = [
        ("R-513B", &[(0.585, R1234), (0.415, R134A)]),
        ("R-515B", &[(0.911, R1234), (0.089, R227EA)]),
        ("R-516A", &[(0.775, R1234), (0.085, R134A), (0.14, R152A)]),
    ];
    for (designation, parts) in blends {
        assert_abs(parts.iter().map(|p| p.0).sum(), 1.0, 1e-9);
        let mean = 1.0 / parts.iter().map(|(w, m)| w / m).sum::<f64>();
        assert_rel(named(designation).molar_mass_g_per_mol, mean, 3e-4);
    }
    let others: BTreeSet<_> = blends.iter().map(|b| b.0).collect();
    for row in &REFRIGERANTS {
        let known = references().any(|r| r.designation == row.designation);
        assert_ne!(
            known,
            others.contains(row.designation),
            "{}",
            row.designation
        );
    }
}

#[test]
fn air() {
    // CoolProp 8.0.0 (computed)
    assert_rel(AIR_G_PER_MOL, 28.965_46, 1e-4);
    // handbook 18.13 against 18.206 µPa·s
    assert_rel(vacuum::gas::AIR_VISCOSITY_PA_S, 1.820_57e-5, 5e-3);
}
