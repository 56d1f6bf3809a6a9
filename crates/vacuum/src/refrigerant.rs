//! Refrigerants by their ISO 817 / ASHRAE 34 designation.

/// One refrigerant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refrigerant {
    /// Designation, for instance "R-600a".
    pub designation: &'static str,
    /// Molar mass, g/mol (mean for blends).
    pub molar_mass_g_per_mol: f64,
    /// ISO 817 safety group, for instance "A3".
    pub safety_group: &'static str,
}

/// Molar mass of dry air, g/mol.
pub const AIR_G_PER_MOL: f64 = 28.965;

const fn row(
    designation: &'static str,
    molar_mass: f64,
    safety_group: &'static str,
) -> Refrigerant {
    Refrigerant {
        designation,
        molar_mass_g_per_mol: molar_mass,
        safety_group,
    }
}

/// The table. R-134a, R-600a and R-290 molar masses are checked in tests against
/// the reference library CoolProp 8.0; the others, and the safety groups, are
/// from memory of ISO 817 and only describe.
pub const REFRIGERANTS: [Refrigerant; 21] = [
    row("R-12", 120.91, "A1"),
    row("R-22", 86.47, "A1"),
    row("R-32", 52.02, "A2L"),
    row("R-134a", 102.03, "A1"),
    row("R-152a", 66.05, "A2"),
    row("R-290", 44.096, "A3"),
    row("R-404A", 97.60, "A1"),
    row("R-407C", 86.20, "A1"),
    row("R-410A", 72.58, "A1"),
    row("R-436A", 49.33, "A3"),
    row("R-441A", 48.20, "A3"),
    row("R-448A", 86.28, "A1"),
    row("R-449A", 87.21, "A1"),
    row("R-452A", 103.51, "A1"),
    row("R-454B", 62.61, "A2L"),
    row("R-454C", 90.78, "A2L"),
    row("R-513A", 108.37, "A1"),
    row("R-600a", 58.122, "A3"),
    row("R-744", 44.01, "A1"),
    row("R-1234yf", 114.04, "A2L"),
    row("R-1270", 42.08, "A3"),
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
}
