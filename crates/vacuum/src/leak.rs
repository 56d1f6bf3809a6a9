//! Leak throughput and its units: micron per minute in a volume, Pa·m³/s,
//! mbar·L/s, grams a year.
//!
//! Everything starts from Q = V·dp/dt (pressure-rise method, constant
//! temperature). In amount of substance: ṅ = (V/R)·(p₂/T₂ − p₁/T₁)/(t₂ − t₁),
//! the vacuum-decay equation of 40 CFR 1065.644.

use crate::{GAS_CONSTANT_J_PER_MOL_K, PressureUnit, Refrigerant, ZERO_CELSIUS_K};

/// Seconds in a Julian year of 365.25 days.
pub const YEAR_S: f64 = 365.25 * 86_400.0;

/// A system that loses less than this, g a year, counts as sealed.
///
/// EN 378-1, definition of a sealed system: tightness below 3 g a year at a quarter of
/// the greatest allowable pressure at least. Quoted second-hand; the standard itself was
/// not read.
pub const SEALED_SYSTEM_G_PER_YEAR: f64 = 3.0;

/// Temperature at which throughput is turned into grams, °C.
pub const REFERENCE_C: f64 = 20.0;

/// A leak as throughput of gas at the temperature of the system.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Throughput {
    pa_m3_per_s: f64,
}

impl Throughput {
    /// From pascal cubic metres per second (any sign: a fall is negative).
    #[must_use]
    pub fn from_pa_m3_per_s(value: f64) -> Self {
        Self { pa_m3_per_s: value }
    }

    /// From a pressure rise, micron/min, in a volume, L: Q = V·dp/dt.
    #[must_use]
    pub fn from_rise(micron_per_min: f64, volume_l: f64) -> Self {
        let pa_per_s = micron_per_min * PressureUnit::Micron.pa() / 60.0;
        Self {
            pa_m3_per_s: pa_per_s * volume_l * 1e-3,
        }
    }

    /// The pressure rise, micron/min, that this throughput makes in `volume_l`.
    #[must_use]
    pub fn micron_per_min(self, volume_l: f64) -> f64 {
        self.pa_m3_per_s / (volume_l * 1e-3) / PressureUnit::Micron.pa() * 60.0
    }

    /// In Pa·m³/s.
    #[must_use]
    pub fn pa_m3_per_s(self) -> f64 {
        self.pa_m3_per_s
    }

    /// In mbar·L/s (1 mbar·L/s = 0.1 Pa·m³/s, exact).
    #[must_use]
    pub fn mbar_l_per_s(self) -> f64 {
        self.pa_m3_per_s * 10.0
    }

    /// In Torr·L/s.
    #[must_use]
    pub fn torr_l_per_s(self) -> f64 {
        self.pa_m3_per_s / (PressureUnit::Torr.pa() * 1e-3)
    }

    /// As standard cm³/min (0 °C and 101 325 Pa) when the gas itself is at
    /// 0 °C. For gas at another temperature the same throughput is a different
    /// amount of gas: see [`Throughput::sccm`].
    #[must_use]
    pub fn sccm_at_0_c(self) -> f64 {
        self.pa_m3_per_s / (PressureUnit::Atmosphere.pa() * 1e-6 / 60.0)
    }

    /// The amount of gas in standard cm³/min (0 °C and 101 325 Pa), for gas that
    /// flows at `temperature_c`.
    #[must_use]
    pub fn sccm(self, temperature_c: f64) -> f64 {
        self.sccm_at_0_c() * ZERO_CELSIUS_K / (temperature_c + ZERO_CELSIUS_K)
    }

    /// In mol/s at `temperature_c` (ideal gas).
    #[must_use]
    pub fn mol_per_s(self, temperature_c: f64) -> f64 {
        self.pa_m3_per_s / (GAS_CONSTANT_J_PER_MOL_K * (temperature_c + ZERO_CELSIUS_K))
    }

    /// The same throughput as grams a year of a gas of `molar_mass_g_per_mol`,
    /// at 20 °C. This is what that throughput *weighs*, not what the running
    /// system will lose: a leak into vacuum and a leak out of a charged system
    /// are different flows.
    #[must_use]
    pub fn g_per_year_of(self, molar_mass_g_per_mol: f64) -> f64 {
        self.mol_per_s(REFERENCE_C) * molar_mass_g_per_mol * YEAR_S
    }

    /// Grams a year of a named refrigerant; see [`Throughput::g_per_year_of`].
    #[must_use]
    pub fn g_per_year(self, refrigerant: &Refrigerant) -> f64 {
        self.g_per_year_of(refrigerant.molar_mass_g_per_mol)
    }
}

/// Amount of gas that entered a closed volume, mol/s:
/// ṅ = (V/R)·(p₂/T₂ − p₁/T₁)/Δt (40 CFR 1065.644, equation 1065.644-1).
///
/// Pressures in Pa, temperatures in K, volume in L, time in s.
#[must_use]
pub fn vacuum_decay_mol_per_s(
    volume_l: f64,
    (p1_pa, t1_k): (f64, f64),
    (p2_pa, t2_k): (f64, f64),
    duration_s: f64,
) -> f64 {
    volume_l * 1e-3 / GAS_CONSTANT_J_PER_MOL_K * (p2_pa / t2_k - p1_pa / t1_k) / duration_s
}

/// Years until a tenth of the charge is gone at a steady loss: 0.1·charge/loss. That the
/// loss stays steady while liquid is left is an assumption; the tenth is common practice,
/// without a source.
///
/// `charge_g` is the nameplate charge, g; `loss_g_per_year` what escapes from
/// the running system, for instance one end of
/// [`out_leak`](crate::flow::out_leak) through [`Throughput::g_per_year`].
///
/// `None` when the charge or the loss is not above zero: no leak, or a negative
/// one, has no such time, and "never" is not something a hold can show.
#[must_use]
pub fn years_to_lose_a_tenth(charge_g: f64, loss_g_per_year: f64) -> Option<f64> {
    let years = 0.1 * charge_g / loss_g_per_year;
    (charge_g > 0.0 && loss_g_per_year > 0.0 && years.is_finite()).then_some(years)
}
