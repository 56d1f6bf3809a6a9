//! Water: saturation pressure over liquid and ice, boiling point, vapour mass.
//!
//! Liquid: IAPWS-IF97 (2007 revision) equation 30, used from 0.01 °C up.
//! Ice: IAPWS R14-08(2011) equation 6, used below 0.01 °C.

use crate::{GAS_CONSTANT_J_PER_MOL_K, Pressure, ZERO_CELSIUS_K};

/// Triple point temperature, °C (IAPWS).
pub const TRIPLE_POINT_C: f64 = 0.01;

/// Triple point pressure, Pa (IAPWS R14-08): below this there is no liquid.
pub const TRIPLE_POINT_PA: f64 = 611.657;

/// Molar mass of water, g/mol.
pub const MOLAR_MASS_G_PER_MOL: f64 = 18.015;

/// Lowest and highest temperature accepted here, °C.
pub const RANGE_C: (f64, f64) = (-60.0, 60.0);

/// Saturation pressure of water at `temperature_c`: over ice below 0.01 °C,
/// over liquid above.
///
/// Valid from −60 to 60 °C, `None` outside. Within 0.02 % of the IAPWS-95
/// scientific formulation over that range.
#[must_use]
pub fn saturation_pressure(temperature_c: f64) -> Option<Pressure> {
    if !(RANGE_C.0..=RANGE_C.1).contains(&temperature_c) {
        return None;
    }
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    let pa = if temperature_c < TRIPLE_POINT_C {
        over_ice_pa(kelvin)
    } else {
        over_liquid_pa(kelvin)
    };
    Pressure::from_pa(pa).ok()
}

/// IAPWS-IF97 equation 30, Pa; valid from 273.15 K to 647.096 K.
#[must_use]
pub fn over_liquid_pa(kelvin: f64) -> f64 {
    const N: [f64; 10] = [
        0.116_705_214_527_67e4,
        -0.724_213_167_032_06e6,
        -0.170_738_469_400_92e2,
        0.120_208_247_024_70e5,
        -0.323_255_503_223_33e7,
        0.149_151_086_135_30e2,
        -0.482_326_573_615_91e4,
        0.405_113_405_420_57e6,
        -0.238_555_575_678_49,
        0.650_175_348_447_98e3,
    ];
    let theta = kelvin + N[8] / (kelvin - N[9]);
    let a = theta * theta + N[0] * theta + N[1];
    let b = N[2] * theta * theta + N[3] * theta + N[4];
    let c = N[5] * theta * theta + N[6] * theta + N[7];
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    root.powi(4) * 1e6
}

/// IAPWS R14-08(2011) equation 6 (sublimation), Pa; valid from 50 K to 273.16 K.
#[must_use]
pub fn over_ice_pa(kelvin: f64) -> f64 {
    const A: [f64; 3] = [-0.212_144_006e2, 0.273_203_819e2, -0.610_598_130e1];
    const B: [f64; 3] = [0.333_333_333e-2, 0.120_666_667e1, 0.170_333_333e1];
    let theta = kelvin / (ZERO_CELSIUS_K + TRIPLE_POINT_C);
    let sum: f64 = A.iter().zip(B).map(|(a, b)| a * theta.powf(b)).sum();
    TRIPLE_POINT_PA * (sum / theta).exp()
}

/// Temperature at which water boils (above 4,588 micron) or ice sublimes
/// (below), °C. `None` outside the range −60…60 °C.
#[must_use]
pub fn boiling_point_c(pressure: Pressure) -> Option<f64> {
    let (mut low, mut high) = RANGE_C;
    let at = |t: f64| saturation_pressure(t).map_or(f64::NAN, Pressure::pa);
    if pressure.pa() < at(low) || pressure.pa() > at(high) {
        return None;
    }
    // monotone: bisection to well below the 0.01 K asked of it
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if at(middle) < pressure.pa() {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// Mass of water vapour, mg, that fills `volume_l` at `pressure` and
/// `temperature_c` when all of the gas is water (ideal gas).
#[must_use]
pub fn vapour_mg(pressure: Pressure, volume_l: f64, temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    let mol = pressure.pa() * volume_l * 1e-3 / (GAS_CONSTANT_J_PER_MOL_K * kelvin);
    mol * MOLAR_MASS_G_PER_MOL * 1e3
}

/// Water that new refrigerant may hold, ppm by weight.
///
/// ANSI/AHRI 700-2006, Addendum 1, Table 1B gives 10 ppm for R-427A, R-428A, R-430A, R-434A
/// and R-437A; the same for R-134a, R-600a and R-290 is from memory. A yardstick for what
/// is left in a system, and no limit of a repair.
pub const NEW_REFRIGERANT_PPM: f64 = 10.0;

/// Water as parts per million of the charge, by mass (mg per kg).
///
/// Purity texts allow 10 ppm by mass for refrigerants as sold (ANSI/AHRI
/// 700-2006 Addendum 1, table 1B, for several blends). `None` when `charge_g`
/// is not above zero or `water_mg` is negative.
#[must_use]
pub fn ppm_of_charge(water_mg: f64, charge_g: f64) -> Option<f64> {
    let ppm = water_mg / charge_g * 1e3;
    (charge_g > 0.0 && water_mg >= 0.0 && ppm.is_finite()).then_some(ppm)
}
