//! Refrigerants by their ISO 817 / ASHRAE 34 designation.

use crate::flow::Gas;

/// One refrigerant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refrigerant {
    /// Designation, for instance "R-600a".
    pub designation: &'static str,
    /// Molar mass, g/mol (mean for blends).
    pub molar_mass_g_per_mol: f64,
    /// ISO 817 safety group, for instance "A3".
    pub safety_group: &'static str,
    /// Its vapour at 20 °C; `None` for blends, whose pressure depends on how
    /// much of the charge is liquid.
    pub at_20_c: Option<VapourAt20C>,
}

/// What a pure refrigerant is like at 20 °C, from the reference library
/// CoolProp 8.0.0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourAt20C {
    /// Saturation pressure, Pa: what a standing system at 20 °C holds. A running
    /// high side is far above it, a running low side often below one atmosphere.
    pub saturation_pa: f64,
    /// Viscosity of the vapour at 101 325 Pa, Pa·s (at saturation it differs by
    /// up to 3 %; carbon dioxide, near its critical point, by 22 %).
    pub viscosity_pa_s: f64,
}

/// Molar mass of dry air, g/mol.
pub const AIR_G_PER_MOL: f64 = 28.965;

const fn blend(
    designation: &'static str,
    molar_mass_g_per_mol: f64,
    safety_group: &'static str,
) -> Refrigerant {
    Refrigerant {
        designation,
        molar_mass_g_per_mol,
        safety_group,
        at_20_c: None,
    }
}

/// Saturation pressure in kPa and viscosity in µPa·s, as tables print them.
const fn pure(
    designation: &'static str,
    molar_mass_g_per_mol: f64,
    safety_group: &'static str,
    saturation_kpa: f64,
    viscosity_upa_s: f64,
) -> Refrigerant {
    Refrigerant {
        designation,
        molar_mass_g_per_mol,
        safety_group,
        at_20_c: Some(VapourAt20C {
            saturation_pa: saturation_kpa * 1e3,
            viscosity_pa_s: viscosity_upa_s * 1e-6,
        }),
    }
}

/// The table. Molar masses, pressures and viscosities of the pure fluids, and
/// the molar masses of R-404A, R-407C and R-410A, agree with the reference
/// library CoolProp 8.0.0; those of the other blends follow from their nominal
/// compositions. Compositions and safety groups are from memory of ISO 817.
pub const REFRIGERANTS: [Refrigerant; 21] = [
    pure("R-12", 120.91, "A1", 566.4, 11.60),
    pure("R-22", 86.47, "A1", 910.0, 13.55),
    pure("R-32", 52.02, "A2L", 1474.6, 13.14),
    pure("R-134a", 102.03, "A1", 571.7, 11.62),
    pure("R-152a", 66.05, "A2", 512.9, 10.94),
    pure("R-290", 44.096, "A3", 836.5, 8.01),
    blend("R-404A", 97.60, "A1"),
    blend("R-407C", 86.20, "A1"),
    blend("R-410A", 72.58, "A1"),
    blend("R-436A", 49.33, "A3"),
    blend("R-441A", 48.30, "A3"),
    blend("R-448A", 86.28, "A1"),
    blend("R-449A", 87.21, "A1"),
    blend("R-452A", 103.51, "A1"),
    blend("R-454B", 62.61, "A2L"),
    blend("R-454C", 90.78, "A2L"),
    blend("R-513A", 108.43, "A1"),
    pure("R-600a", 58.122, "A3", 302.2, 7.37),
    pure("R-744", 44.01, "A1", 5729.1, 14.67),
    pure("R-1234yf", 114.04, "A2L", 591.8, 12.18),
    pure("R-1270", 42.08, "A3", 1017.0, 8.41),
];

impl Refrigerant {
    /// Finds a refrigerant however it is typed: "R600a", "r-600A", "600a".
    #[must_use]
    pub fn named(text: &str) -> Option<&'static Self> {
        let plain = |s: &str| -> String {
            let s: String = s
                .chars()
                .filter(char::is_ascii_alphanumeric)
                .map(|c| c.to_ascii_lowercase())
                .collect();
            s.strip_prefix('r').map(str::to_owned).unwrap_or(s)
        };
        let wanted = plain(text);
        REFRIGERANTS.iter().find(|r| plain(r.designation) == wanted)
    }

    /// True when the safety group says it burns (any group but A1 and B1).
    #[must_use]
    pub fn is_flammable(&self) -> bool {
        !self.safety_group.ends_with('1')
    }

    /// The vapour as a flowing gas at 20 °C, where its viscosity is known.
    #[must_use]
    pub fn gas(&self) -> Option<Gas> {
        self.at_20_c.map(|vapour| Gas {
            molar_mass_g_per_mol: self.molar_mass_g_per_mol,
            viscosity_pa_s: vapour.viscosity_pa_s,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{REFRIGERANTS, Refrigerant};

    #[test]
    fn is_found_however_it_is_typed() {
        for typed in ["R-600a", "R600a", "r600A", " R 600a ", "600a", "R_600a"] {
            let found = Refrigerant::named(typed).map(|r| r.designation);
            assert_eq!(found, Some("R-600a"), "{typed:?}");
        }
    }

    #[test]
    fn every_designation_finds_its_own_row() {
        for row in &REFRIGERANTS {
            assert_eq!(Refrigerant::named(row.designation), Some(row));
        }
    }

    #[test]
    fn nothing_is_guessed() {
        // R-600 is butane, a different gas from R-600a
        for typed in [
            "", "R", "R-", "R-600", "134", "R-600aa", "water", "R-134a/b",
        ] {
            assert_eq!(Refrigerant::named(typed), None, "{typed:?}");
        }
    }

    #[test]
    fn says_which_burn() {
        let burns = |name| Refrigerant::named(name).map(Refrigerant::is_flammable);
        assert_eq!(burns("R-600a"), Some(true));
        assert_eq!(burns("R-290"), Some(true));
        assert_eq!(burns("R-1234yf"), Some(true));
        assert_eq!(burns("R-134a"), Some(false));
        assert_eq!(burns("R-744"), Some(false));
    }
}
