//! Gas flow through hoses and capillary tubes, air at 20 °C.
//!
//! Units here are those of the trade's tables: tube diameter and length in mm
//! and m, conductance and pumping speed in L/s, pressure in Pa.

use crate::{GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K};

/// Viscosity of air at 20 °C, Pa·s.
pub const AIR_VISCOSITY_PA_S: f64 = 18.13e-6;

/// Mean thermal speed v̄ = √(8RT/πM), m/s. Kinetic theory.
#[must_use]
pub fn mean_speed_m_per_s(molar_mass_g_per_mol: f64, temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    (8.0 * GAS_CONSTANT_J_PER_MOL_K * kelvin / (std::f64::consts::PI * molar_mass_g_per_mol * 1e-3))
        .sqrt()
}

/// A round tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Inner diameter, mm.
    pub diameter_mm: f64,
    /// Length, m.
    pub length_m: f64,
}

impl Tube {
    /// Molecular conductance of a long tube for air at 20 °C, L/s:
    /// C = π d³ v̄ / (12 l).
    #[must_use]
    pub fn molecular_l_per_s(self) -> f64 {
        let d = self.diameter_mm * 1e-3;
        let v = mean_speed_m_per_s(crate::refrigerant::AIR_G_PER_MOL, 20.0);
        std::f64::consts::PI * d.powi(3) * v / (12.0 * self.length_m) * 1e3
    }

    /// Laminar conductance for air at 20 °C at mean pressure `mean_pa`, L/s:
    /// C = π d⁴ p̄ / (128 η l) (Hagen–Poiseuille for a gas).
    #[must_use]
    pub fn laminar_l_per_s(self, mean_pa: f64) -> f64 {
        let d = self.diameter_mm * 1e-3;
        std::f64::consts::PI * d.powi(4) * mean_pa / (128.0 * AIR_VISCOSITY_PA_S * self.length_m)
            * 1e3
    }

    /// Conductance over the whole range, L/s: laminar plus the molecular term
    /// corrected through the transition, after Knudsen (1909):
    /// C = C_lam + C_mol·(1 + 192·d·p̄)/(1 + 237·d·p̄), d in cm and p̄ in mbar.
    #[must_use]
    pub fn conductance_l_per_s(self, mean_pa: f64) -> f64 {
        let dp = self.diameter_mm * 0.1 * mean_pa * 0.01;
        self.laminar_l_per_s(mean_pa)
            + self.molecular_l_per_s() * (1.0 + 192.0 * dp) / (1.0 + 237.0 * dp)
    }
}

/// Speed of a pump behind conductances in series, L/s: 1/S = 1/S_p + Σ 1/C.
#[must_use]
pub fn effective_speed_l_per_s(pump_l_per_s: f64, conductances_l_per_s: &[f64]) -> f64 {
    let inverse: f64 =
        1.0 / pump_l_per_s + conductances_l_per_s.iter().map(|c| 1.0 / c).sum::<f64>();
    1.0 / inverse
}

/// Time to pump `volume_l` from one pressure to another at constant speed, s:
/// t = (V/S)·ln(p₀/p₁). Real systems take longer.
#[must_use]
pub fn pumpdown_time_s(volume_l: f64, speed_l_per_s: f64, from_pa: f64, to_pa: f64) -> f64 {
    volume_l / speed_l_per_s * (from_pa / to_pa).ln()
}

/// Pressure left behind a capillary tube whose other end is at vacuum, Pa:
/// p(t) = 1/(1/p₀ + k·t), k = π d⁴/(256 η l V) (laminar, ignores choking).
#[must_use]
pub fn behind_capillary_pa(tube: Tube, volume_l: f64, start_pa: f64, time_s: f64) -> f64 {
    // half the laminar conductance per pascal: the mean pressure is p/2
    let k = tube.laminar_l_per_s(1.0) * 0.5 / volume_l;
    1.0 / (1.0 / start_pa + k * time_s)
}

/// Pressure rise that a capillary tube bleeds from a far side at `far_pa` into
/// a near side of `near_volume_l` at `near_pa`, Pa/s (laminar).
#[must_use]
pub fn capillary_bleed_pa_per_s(tube: Tube, far_pa: f64, near_pa: f64, near_volume_l: f64) -> f64 {
    let mean = 0.5 * (far_pa + near_pa);
    tube.laminar_l_per_s(mean) * (far_pa - near_pa) / near_volume_l
}
