//! The air outside: what a gauge shows before the pump has worked.
//!
//! Standard atmosphere of ISO 2533:1975, layer from 0 to 11,000 m:
//! p = p0·(T/T0)^(g/(R·L)), T = T0 − L·h, with T0 = 288.15 K, p0 = 101 325 Pa,
//! L = 6.5 K/km, g = 9.80665 m/s², R = 287.052 87 J/(K·kg).

use crate::{Pressure, PressureUnit};

/// Temperature at sea level, K.
const SEA_LEVEL_K: f64 = 288.15;
/// Fall of the temperature with height, K/m.
const LAPSE_K_PER_M: f64 = 6.5e-3;
/// g/(R·L).
const EXPONENT: f64 = 9.806_65 / (287.052_87 * LAPSE_K_PER_M);

/// Pressures of the air where people live and work, Pa: from about 5,100 m (La Rinconada,
/// the highest town, from memory) to a strong high at sea level (108.5 kPa is the record,
/// from memory).
pub const OPEN_AIR_PA: (f64, f64) = (53_000.0, 108_500.0);

/// Altitude at which the standard atmosphere has this pressure, m.
///
/// `None` above 11 km and for what is no pressure. The weather shifts it by some
/// hundred metres.
///
/// ```
/// let p = vacuum::Pressure::from_mbar(898.76)?;
/// assert!((vacuum::air::altitude_m(p).unwrap() - 1_000.0).abs() < 1.0);
/// # Ok::<(), vacuum::PressureError>(())
/// ```
#[must_use]
pub fn altitude_m(pressure: Pressure) -> Option<f64> {
    let share = pressure.pa() / Pressure::ATMOSPHERE.pa();
    let height = SEA_LEVEL_K / LAPSE_K_PER_M * (1.0 - share.powf(1.0 / EXPONENT));
    (share > 0.0 && height <= 11_000.0).then_some(height)
}

/// True if the air around a gauge can have this pressure.
#[must_use]
pub fn is_open_air(pressure: Pressure) -> bool {
    (OPEN_AIR_PA.0..=OPEN_AIR_PA.1).contains(&pressure.pa())
}

/// Units in which this number is the pressure of the air around a gauge, the one nearest
/// to the air at sea level first.
#[must_use]
pub fn units_of_open_air(number: f64) -> Vec<PressureUnit> {
    let from_sea_level = |unit: &PressureUnit| {
        let share = number * unit.pa() / Pressure::ATMOSPHERE.pa();
        share.ln().abs()
    };
    let mut units: Vec<PressureUnit> = PressureUnit::ALL
        .into_iter()
        .filter(|unit| Pressure::new(number, *unit).is_ok_and(is_open_air))
        .collect();
    units.sort_by(|a, b| from_sea_level(a).total_cmp(&from_sea_level(b)));
    units
}

#[cfg(test)]
mod tests {
    use super::*;
    use PressureUnit::{Atmosphere, Bar, InHg, Kilopascal, Micron, Millibar, Pascal, Psi, Torr};

    /// ISO 2533:1975, table 5 (the same as the U.S. Standard Atmosphere 1976, NASA-TM-X-74335,
    /// table I); figures from memory.
    #[test]
    fn altitudes_are_those_of_the_standard_atmosphere() {
        for (height_m, hpa) in [
            (0.0, 1013.25),
            (500.0, 954.61),
            (1_000.0, 898.76),
            (2_000.0, 795.01),
            (3_000.0, 701.21),
            (4_000.0, 616.60),
            (5_000.0, 540.48),
        ] {
            let found = altitude_m(Pressure::from_mbar(hpa).unwrap()).unwrap();
            // the table's heights are geopotential ones, as the formula's
            assert!((found - height_m).abs() < 5.0, "{hpa} hPa: {found} m");
        }
        assert_eq!(altitude_m(Pressure::from_pa(1.0).unwrap()), None);
    }

    #[test]
    fn a_number_is_the_air_in_few_units() {
        for (number, units) in [
            (1_013.0, &[Millibar][..]),
            (760.0, &[Torr, Millibar]),
            (101_325.0, &[Pascal]),
            (760_000.0, &[Micron]),
            (101.3, &[Kilopascal]),
            (29.92, &[InHg]),
            (14.7, &[Psi]),
            (1.0133, &[Bar, Atmosphere]),
            // in a town at 1,600 m: 835 hPa
            (835.0, &[Millibar]),
            (24.7, &[InHg]),
            (12.1, &[Psi]),
            (626.0, &[Torr, Millibar]),
            // on a pass at 3,400 m: 667 hPa
            (500.0, &[Torr]),
            // nothing that stands open shows these
            (300.0, &[]),
            (20_000.0, &[]),
            (0.0, &[]),
        ] {
            assert_eq!(units_of_open_air(number), units, "{number}");
        }
    }
}
