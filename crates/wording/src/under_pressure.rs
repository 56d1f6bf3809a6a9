//! Numbers of a pressure test: pressures above the air's, throughputs.

use vacuum::PressureUnit;

use crate::Voice;

/// Unit of throughputs.
pub(crate) const THROUGHPUT: &str = "Pa·m³/s";

impl Voice {
    /// The unit that pressures of a pressure test are given in: that of the voice where it
    /// is large enough for them, else the one of the same family; bar where micron is chosen.
    #[must_use]
    pub const fn test_unit(&self) -> PressureUnit {
        match self.unit {
            PressureUnit::Psi | PressureUnit::InHg => PressureUnit::Psi,
            PressureUnit::Pascal | PressureUnit::Kilopascal => PressureUnit::Kilopascal,
            PressureUnit::Megapascal => PressureUnit::Megapascal,
            _ => PressureUnit::Bar,
        }
    }

    /// How that unit is written: every one says that it counts from full vacuum.
    #[must_use]
    pub const fn test_symbol(&self) -> &'static str {
        match self.test_unit() {
            PressureUnit::Kilopascal => "kPa abs",
            PressureUnit::Megapascal => "MPa abs",
            unit => unit.symbol(),
        }
    }

    /// A pressure of so many bar absolute, to the hundredth of a per cent at 10 bar:
    /// "11.034 bar abs", "160.03 psia".
    ///
    /// ```
    /// let voice = wording::Voice {
    ///     unit: vacuum::PressureUnit::Psi,
    ///     ..wording::Voice::default()
    /// };
    /// // 1 bar = 100 000 / 6 894.757 psi (NIST SP 811, B.8)
    /// assert_eq!(voice.test_pressure(11.034), "160.03 psia");
    /// ```
    #[must_use]
    pub fn test_pressure(&self, bar_abs: f64) -> String {
        let unit = self.test_unit();
        let places = match unit {
            PressureUnit::Psi => 2,
            PressureUnit::Kilopascal => 1,
            PressureUnit::Megapascal => 4,
            _ => 3,
        };
        let value = bar_abs * PressureUnit::Bar.pa() / unit.pa();
        format!("{} {}", self.decimals(value, places), self.test_symbol())
    }

    /// A limit of so many bar absolute, as it was set: "10 bar abs".
    #[must_use]
    pub fn test_limit(&self, bar_abs: f64) -> String {
        let value = bar_abs * PressureUnit::Bar.pa() / self.test_unit().pa();
        format!("{} {}", self.plain(value, 5), self.test_symbol())
    }

    /// A throughput p·V/t, Pa·m³/s, to two digits.
    #[must_use]
    pub fn throughput(&self, pa_m3_per_s: f64) -> String {
        format!("{} {THROUGHPUT}", self.significant(pa_m3_per_s, 2))
    }

    /// A throughput with its 95 % interval.
    #[must_use]
    pub fn estimated_throughput(&self, loss: &findings::Estimate) -> String {
        self.estimate(loss, THROUGHPUT)
    }
}
