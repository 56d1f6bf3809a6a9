//! A gas, as far as its flow through a leak needs it.

/// Molar mass of dry air, g/mol.
pub const AIR_G_PER_MOL: f64 = 28.965;

/// Viscosity of air at 20 °C, Pa·s: the value behind the handbook coefficient
/// 135 d⁴·p̄/l. (The reference library CoolProp 8.0.0 gives 18.21 µPa·s.)
pub const AIR_VISCOSITY_PA_S: f64 = 18.13e-6;

/// A gas on its way through a leak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gas {
    /// Molar mass, g/mol, above 0.
    pub molar_mass_g_per_mol: f64,
    /// Viscosity, Pa·s, above 0.
    pub viscosity_pa_s: f64,
}

impl Gas {
    /// Dry air at 20 °C.
    pub const AIR: Self = Self {
        molar_mass_g_per_mol: AIR_G_PER_MOL,
        viscosity_pa_s: AIR_VISCOSITY_PA_S,
    };
}
