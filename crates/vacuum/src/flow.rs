//! Gas flow through hoses, capillary tubes and leaks.
//!
//! Units here are those of the trade's tables: tube diameter in mm and length
//! in m, conductance and pumping speed in L/s, pressure in Pa. Diameters,
//! lengths, volumes, speeds and pressures must be above zero; from anything
//! else the formulas give an infinity or NaN, never a plausible number.

use crate::gas::{AIR_G_PER_MOL, AIR_VISCOSITY_PA_S, Gas};
use crate::leak::Throughput;
use crate::{GAS_CONSTANT_J_PER_MOL_K, Pressure, ZERO_CELSIUS_K};

/// Mean thermal speed v̄ = √(8RT/πM), m/s. Kinetic theory.
#[must_use]
pub fn mean_speed_m_per_s(molar_mass_g_per_mol: f64, temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    (8.0 * GAS_CONSTANT_J_PER_MOL_K * kelvin / (std::f64::consts::PI * molar_mass_g_per_mol * 1e-3))
        .sqrt()
}

/// A round tube that carries air at 20 °C.
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
        let v = mean_speed_m_per_s(AIR_G_PER_MOL, 20.0);
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

/// What a leak found in a hold would let out of the charged system: a range,
/// because a pressure rise does not tell how the leak conducts.
///
/// Neither end is a bound that cannot be passed. Flow choked at the speed of
/// sound, a leak wetted by oil, a seal that seats only under vacuum, or a leak
/// on a line full of liquid behave differently again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutLeak {
    /// If the leak conducts like a laminar tube: Q ∝ (p₁² − p₂²)/η.
    pub laminar: Throughput,
    /// If it is so fine that molecules pass one by one: Q ∝ (p₁ − p₂)/√M.
    pub molecular: Throughput,
}

impl OutLeak {
    /// The smaller end.
    #[must_use]
    pub fn low(&self) -> Throughput {
        if self.laminar < self.molecular {
            self.laminar
        } else {
            self.molecular
        }
    }

    /// The larger end.
    #[must_use]
    pub fn high(&self) -> Throughput {
        if self.laminar < self.molecular {
            self.molecular
        } else {
            self.laminar
        }
    }
}

/// Scales an in-leak of air, measured while the system stood at `vacuum`, to
/// the out-leak of `gas` when the same system stands or runs at `operating`,
/// with `outside` around it both times.
///
/// Ask for the operating pressure of the side that leaks; it is not guessed
/// here. At or below `outside` nothing leaks out and both ends are zero (a
/// running low side may then draw air *in*). Both states are taken at the same
/// temperature.
///
/// `None` when `vacuum` is not below `outside`: nothing drove the in-leak then.
///
/// Forms of the two laws: J. W. Marr, *Leakage Testing Handbook*, 1965, and
/// H. J. Bomelburg, *Estimation of Gas Leak Rates Through Very Small Orifices
/// and Channels*, 1977 (from memory, not re-read). The laminar one agrees with the
/// isothermal pipe equation of the library `fluids` 1.3.1 (`tests/published`); the
/// molecular one stays from memory. That a leak calibrated into
/// vacuum and one into the atmosphere differ significantly, and that a simple
/// model can be far out, is why a range is returned.
///
/// ```
/// use vacuum::{Pressure, Refrigerant, flow, leak::Throughput};
///
/// let found = Throughput::from_rise(1.0, 5.0); // 1 micron/min in 5 L
/// let r134a = Refrigerant::named("R-134a").and_then(Refrigerant::gas).ok_or("no data")?;
/// let out = flow::out_leak(
///     found,
///     Pressure::from_micron(300.0)?,
///     r134a,
///     Pressure::from_pa(571.7e3)?, // standing at 20 °C
///     Pressure::ATMOSPHERE,
/// )
/// .ok_or("no driving pressure")?;
/// let times = |q: Throughput| q.pa_m3_per_s() / found.pa_m3_per_s();
/// assert!((times(out.low()) - 2.5).abs() < 0.1);
/// assert!((times(out.high()) - 48.0).abs() < 1.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn out_leak(
    in_leak: Throughput,
    vacuum: Pressure,
    gas: Gas,
    operating: Pressure,
    outside: Pressure,
) -> Option<OutLeak> {
    let found = Drive {
        gas: Gas::AIR,
        from: outside,
        to: vacuum,
    };
    let wanted = Drive {
        gas,
        from: operating,
        to: outside,
    };
    through_the_same_leak(in_leak, found, wanted)
}

/// What drives gas through a leak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// The gas that flows.
    pub gas: Gas,
    /// The pressure it comes from.
    pub from: Pressure,
    /// The pressure it goes to.
    pub to: Pressure,
}

/// Scales the throughput of one leak from one gas and pair of pressures to another, by
/// both laws: see [`out_leak`] for their sources and limits. Both states are taken at the
/// same temperature. Where nothing drives `wanted`, both ends are zero.
///
/// `None` when nothing drove what was `found`.
///
/// ```
/// use vacuum::{Pressure, TestGas, flow::{self, Drive}, gas::Gas, leak::Throughput};
///
/// // nitrogen out of a system at 11 bar, and air into it under vacuum
/// let nitrogen = Drive {
///     gas: TestGas::Nitrogen.gas(),
///     from: Pressure::from_pa(11e5)?,
///     to: Pressure::ATMOSPHERE,
/// };
/// let vacuum = Drive { gas: Gas::AIR, from: Pressure::ATMOSPHERE, to: Pressure::from_pa(0.0)? };
/// let found = Throughput::from_pa_m3_per_s(1e-4);
/// let both = flow::through_the_same_leak(found, nitrogen, vacuum).ok_or("no drive")?;
/// assert!((both.laminar.pa_m3_per_s() / 8.3e-7 - 1.0).abs() < 0.01);
/// assert!((both.molecular.pa_m3_per_s() / 9.98e-6 - 1.0).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn through_the_same_leak(
    throughput: Throughput,
    found: Drive,
    wanted: Drive,
) -> Option<OutLeak> {
    if found.from <= found.to {
        return None;
    }
    let laminar = |d: Drive| {
        let (from, to) = (d.from.pa().max(d.to.pa()), d.to.pa());
        (from - to) * (from + to) / d.gas.viscosity_pa_s
    };
    let molecular = |d: Drive| {
        let (from, to) = (d.from.pa().max(d.to.pa()), d.to.pa());
        (from - to) / d.gas.molar_mass_g_per_mol.sqrt()
    };
    let scaled = |factor: f64| Throughput::from_pa_m3_per_s(throughput.pa_m3_per_s() * factor);
    Some(OutLeak {
        laminar: scaled(laminar(wanted) / laminar(found)),
        molecular: scaled(molecular(wanted) / molecular(found)),
    })
}
