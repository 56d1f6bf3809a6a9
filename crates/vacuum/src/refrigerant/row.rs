//! What a row of the table of refrigerants says.

/// One refrigerant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refrigerant {
    /// Designation, for instance "R-600a".
    pub designation: &'static str,
    /// Molar mass, g/mol (mean for blends).
    pub molar_mass_g_per_mol: f64,
    /// ISO 817 safety group, for instance "A3".
    pub safety_group: &'static str,
    /// Where the safety group is from.
    pub group_source: GroupSource,
    /// Its vapour at 20 °C; `None` for blends, whose pressure depends on how
    /// much of the charge is liquid, for fluids that boil above 20 °C or are nearly
    /// critical there, and where the reference library has no viscosity.
    pub at_20_c: Option<VapourAt20C>,
}

/// Where the safety group of a row is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroupSource {
    /// The reference library CoolProp 8.0.0 gives the same (its ASHRAE 34 entry).
    Library,
    /// ISO 817, from memory: the library gives none or an outdated one.
    Memory,
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

/// A row without data on its vapour.
pub(super) const fn other(
    designation: &'static str,
    molar_mass_g_per_mol: f64,
    safety_group: &'static str,
    group_source: GroupSource,
) -> Refrigerant {
    Refrigerant {
        designation,
        molar_mass_g_per_mol,
        safety_group,
        group_source,
        at_20_c: None,
    }
}

/// Saturation pressure in kPa and viscosity in µPa·s, as tables print them.
pub(super) const fn pure(
    designation: &'static str,
    molar_mass_g_per_mol: f64,
    safety_group: &'static str,
    group_source: GroupSource,
    saturation_kpa: f64,
    viscosity_upa_s: f64,
) -> Refrigerant {
    Refrigerant {
        at_20_c: Some(VapourAt20C {
            saturation_pa: saturation_kpa * 1e3,
            viscosity_pa_s: viscosity_upa_s * 1e-6,
        }),
        ..other(
            designation,
            molar_mass_g_per_mol,
            safety_group,
            group_source,
        )
    }
}
