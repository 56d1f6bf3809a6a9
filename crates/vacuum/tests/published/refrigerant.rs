//! The refrigerant table against a reference library.

use vacuum::{
    Refrigerant,
    refrigerant::{AIR_G_PER_MOL, REFRIGERANTS},
};

use crate::{assert_abs, assert_rel};

fn named(designation: &str) -> &'static Refrigerant {
    Refrigerant::named(designation).expect(designation)
}

/// Designation, molar mass g/mol, saturation pressure at 20 °C Pa, viscosity at
/// 20 °C and 101325 Pa in Pa·s: computed with the reference library CoolProp 8.0.0.
const PURE: [(&str, f64, f64, f64); 10] = [
    ("R-12", 120.913, 566_416.5, 1.159_87e-5),
    ("R-22", 86.468, 910_018.4, 1.354_86e-5),
    ("R-32", 52.024, 1_474_565.8, 1.313_90e-5),
    ("R-134a", 102.032, 571_706.9, 1.162_25e-5),
    ("R-152a", 66.051, 512_905.5, 1.093_97e-5),
    ("R-290", 44.095_62, 836_460.9, 8.011_31e-6),
    ("R-600a", 58.122_2, 302_220.4, 7.374_40e-6),
    ("R-744", 44.009_8, 5_729_052.6, 1.467_43e-5),
    ("R-1234yf", 114.041_6, 591_836.1, 1.217_56e-5),
    ("R-1270", 42.079_74, 1_017_024.4, 8.410_09e-6),
];

#[test]
fn pure_fluids_agree_with_a_reference_library() {
    for (designation, molar_mass, saturation_pa, viscosity_pa_s) in PURE {
        let row = named(designation);
        assert_rel(row.molar_mass_g_per_mol, molar_mass, 1e-4);
        let vapour = row.at_20_c.expect(designation);
        assert_rel(vapour.saturation_pa, saturation_pa, 2e-4);
        assert_rel(vapour.viscosity_pa_s, viscosity_pa_s, 1e-3);
    }
}

#[test]
fn exactly_the_pure_fluids_have_a_vapour_row() {
    let with_data = REFRIGERANTS.iter().filter(|r| r.at_20_c.is_some());
    let mut found: Vec<_> = with_data.map(|r| r.designation).collect();
    let mut expected: Vec<_> = PURE.iter().map(|row| row.0).collect();
    found.sort_unstable();
    expected.sort_unstable();
    assert_eq!(found, expected);
}

#[test]
fn three_blends_agree_with_a_reference_library() {
    // CoolProp 8.0.0 (computed)
    for (designation, molar_mass) in [
        ("R-404A", 97.6038),
        ("R-407C", 86.2036),
        ("R-410A", 72.5854),
    ] {
        assert_rel(named(designation).molar_mass_g_per_mol, molar_mass, 1e-4);
    }
}

#[test]
fn the_other_blends_follow_from_their_compositions() {
    // nominal mass fractions: ISO 817 (from memory); components: CoolProp 8.0.0
    const R125: f64 = 120.0214;
    const R134A: f64 = 102.032;
    const R32: f64 = 52.024;
    const R1234: f64 = 114.0416; // yf and ze(E) are isomers
    const ETHANE: f64 = 30.069;
    const PROPANE: f64 = 44.0956;
    const BUTANES: f64 = 58.1222; // n- and iso-butane
    let blends: [(&str, &[(f64, f64)]); 8] = [
        ("R-436A", &[(0.56, PROPANE), (0.44, BUTANES)]),
        (
            "R-441A",
            &[(0.031, ETHANE), (0.548, PROPANE), (0.421, BUTANES)],
        ),
        (
            "R-448A",
            &[(0.26, R32), (0.26, R125), (0.27, R1234), (0.21, R134A)],
        ),
        (
            "R-449A",
            &[(0.243, R32), (0.247, R125), (0.253, R1234), (0.257, R134A)],
        ),
        ("R-452A", &[(0.11, R32), (0.59, R125), (0.30, R1234)]),
        ("R-454B", &[(0.689, R32), (0.311, R1234)]),
        ("R-454C", &[(0.215, R32), (0.785, R1234)]),
        ("R-513A", &[(0.56, R1234), (0.44, R134A)]),
    ];
    for (designation, parts) in blends {
        assert_abs(parts.iter().map(|p| p.0).sum(), 1.0, 1e-9);
        let mean = 1.0 / parts.iter().map(|(w, m)| w / m).sum::<f64>();
        assert_rel(named(designation).molar_mass_g_per_mol, mean, 3e-4);
    }
}

#[test]
fn air() {
    // CoolProp 8.0.0 (computed)
    assert_rel(AIR_G_PER_MOL, 28.965_46, 1e-4);
    // handbook 18.13 against 18.206 µPa·s
    assert_rel(vacuum::flow::AIR_VISCOSITY_PA_S, 1.820_57e-5, 5e-3);
}
