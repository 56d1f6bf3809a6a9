//! The gases that a pressure test is made with, and how far they are from an ideal gas.

use crate::GAS_CONSTANT_J_PER_MOL_K;
use crate::gas::{AIR_G_PER_MOL, AIR_VISCOSITY_PA_S, Gas};

/// A gas for pressure tests.
///
/// Never oxygen, and air only where a maker names it: compressed air brings oil and water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TestGas {
    /// Dry nitrogen.
    #[default]
    Nitrogen,
    /// Argon.
    Argon,
    /// Helium.
    Helium,
    /// 5 % hydrogen in nitrogen, by amount: a tracer gas.
    FormingGas,
    /// Dry air.
    DryAir,
}

impl TestGas {
    /// Every gas.
    pub const ALL: [Self; 5] = [
        Self::Nitrogen,
        Self::Argon,
        Self::Helium,
        Self::FormingGas,
        Self::DryAir,
    ];

    /// The name in options, files and JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Nitrogen => "nitrogen",
            Self::Argon => "argon",
            Self::Helium => "helium",
            Self::FormingGas => "forming gas",
            Self::DryAir => "dry air",
        }
    }

    /// Reads the name back: case, blanks and joining signs do not count.
    ///
    /// ```
    /// use vacuum::TestGas;
    /// assert_eq!(TestGas::from_word("Forming-Gas"), Some(TestGas::FormingGas));
    /// assert_eq!(TestGas::from_word("N2"), Some(TestGas::Nitrogen));
    /// assert_eq!(TestGas::from_word("oxygen"), None);
    /// ```
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let plain = |text: &str| -> String {
            let letters = text.chars().filter(|c| c.is_alphanumeric());
            letters.flat_map(char::to_lowercase).collect()
        };
        let word = plain(word);
        match word.as_str() {
            "n2" => Some(Self::Nitrogen),
            "ar" => Some(Self::Argon),
            "he" => Some(Self::Helium),
            "air" => Some(Self::DryAir),
            _ => Self::ALL.into_iter().find(|gas| plain(gas.word()) == word),
        }
    }

    /// As a flowing gas at 20 °C and 101 325 Pa: CoolProp 8.0.0. Forming gas is taken to
    /// flow as nitrogen does (its molar mass is its own).
    #[must_use]
    pub const fn gas(self) -> Gas {
        let (molar_mass_g_per_mol, viscosity_pa_s) = match self {
            Self::Nitrogen => (28.013_48, 17.573e-6),
            Self::Argon => (39.948, 22.307e-6),
            Self::Helium => (4.002_602, 19.618e-6),
            Self::FormingGas => (26.713_6, 17.573e-6),
            Self::DryAir => (AIR_G_PER_MOL, AIR_VISCOSITY_PA_S),
        };
        Gas {
            molar_mass_g_per_mol,
            viscosity_pa_s,
        }
    }

    /// Compression factor Z = p·V/(n·R·T): 1 for an ideal gas.
    ///
    /// `pressure_pa` absolute, up to 4.2 MPa; `kelvin` from 245 to 335. Within 2·10⁻⁵ of
    /// CoolProp 8.0.0 there; outside it is an extrapolation.
    ///
    /// Z − 1 = x·(c₀ + c₁u + c₂u² + c₃u³) + x²·(c₄ + c₅u + c₆u²) + c₇·x³ with
    /// x = p/(R·T), u = 300 K/T; the coefficients are written by
    /// `tests/published/test_gases.py`.
    #[must_use]
    pub fn compression_factor(self, pressure_pa: f64, kelvin: f64) -> f64 {
        let c = self.coefficients();
        let x = pressure_pa / (GAS_CONSTANT_J_PER_MOL_K * kelvin);
        let u = 300.0 / kelvin;
        let first = c[0] + u * (c[1] + u * (c[2] + u * c[3]));
        let second = c[4] + u * (c[5] + u * c[6]);
        1.0 + x * (first + x * (second + x * c[7]))
    }

    /// The pressure to which a closed amount of gas comes when its temperature changes,
    /// Pa: p/(Z·T) stays. Same range as [`TestGas::compression_factor`].
    ///
    /// ```
    /// use vacuum::TestGas;
    /// // CoolProp 8.0.0: 11 bar at 22 °C is 10.8852 bar at 19 °C (ideal gas: 10.8882)
    /// let p = TestGas::Nitrogen.pressure_at(11e5, 295.15, 292.15);
    /// assert!((p - 10.8852e5).abs() < 20.0);
    /// ```
    #[must_use]
    pub fn pressure_at(self, pressure_pa: f64, from_kelvin: f64, to_kelvin: f64) -> f64 {
        let kept = pressure_pa / (self.compression_factor(pressure_pa, from_kelvin) * from_kelvin);
        let mut p = pressure_pa * to_kelvin / from_kelvin;
        // Z depends on p by a few per cent over the whole range: each turn wins two digits
        for _ in 0..8 {
            p = kept * self.compression_factor(p, to_kelvin) * to_kelvin;
        }
        p
    }

    const fn coefficients(self) -> &'static [f64; 8] {
        match self {
            Self::Nitrogen => &[
                4.298_430e-05,
                -3.816_458e-05,
                -8.610_063e-06,
                -7.351_859e-07,
                -1.451_132e-09,
                4.961_485e-09,
                -2.178_904e-09,
                4.632_819e-14,
            ],
            Self::Argon => &[
                3.687_337e-05,
                -4.613_976e-05,
                -3.538_701e-06,
                -2.359_781e-06,
                -2.132_390e-09,
                6.545_624e-09,
                -3.623_011e-09,
                6.604_965e-14,
            ],
            Self::Helium => &[
                8.331_027e-06,
                6.550_354e-06,
                -3.833_040e-06,
                7.884_787e-07,
                -3.983_738e-11,
                -5.784_441e-12,
                1.181_434e-11,
                -1.739_960e-16,
            ],
            Self::FormingGas => &[
                4.116_804e-05,
                -3.459_290e-05,
                -9.157_468e-06,
                -2.571_758e-07,
                -1.225_487e-09,
                4.284_352e-09,
                -1.809_163e-09,
                4.100_511e-14,
            ],
            Self::DryAir => &[
                4.085_258e-05,
                -4.019_131e-05,
                -7.189_813e-06,
                -1.189_026e-06,
                -1.392_560e-09,
                5.792_402e-09,
                -2.764_284e-09,
                -4.029_558e-14,
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::TestGas;

    #[test]
    fn every_word_reads_back() {
        for gas in TestGas::ALL {
            assert_eq!(TestGas::from_word(gas.word()), Some(gas));
        }
    }

    #[test]
    fn a_change_of_temperature_and_back_changes_nothing() {
        for gas in TestGas::ALL {
            let there = gas.pressure_at(38e5, 300.0, 285.0);
            let back = gas.pressure_at(there, 285.0, 300.0);
            assert!((back / 38e5 - 1.0).abs() < 1e-9, "{gas:?}");
        }
    }
}
