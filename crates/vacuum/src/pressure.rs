use std::fmt;

use crate::{PressureUnit, UnitWord};

/// An absolute pressure: finite, never negative, at most 10 MPa.
///
/// The number inside is private; it goes in and out by unit name only. What a
/// gauge cannot measure (over range, fault) is not a pressure: see
/// [`Sensed`](crate::Sensed).
///
/// ```
/// use vacuum::Pressure;
/// // NIST SP 811 B.8: 1 micron of mercury = 0.133 322 4 Pa
/// assert!((Pressure::from_micron(500.0)?.pa() - 66.6612).abs() < 1e-4);
/// assert!(Pressure::from_micron(-3.0).is_err());
/// # Ok::<(), vacuum::PressureError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Pressure {
    pa: f64,
}

/// Why a number or a text is not a pressure.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum PressureError {
    /// Not a number, infinite, negative, or above 10 MPa.
    OutOfRange {
        /// The value as given.
        value: f64,
        /// Its unit.
        unit: PressureUnit,
    },
    /// The text does not begin with a number.
    NotANumber {
        /// The text as given.
        text: String,
    },
    /// A comma that does not group thousands, most likely a decimal comma.
    StrayComma {
        /// The text as given.
        text: String,
    },
    /// A vacuum deeper than the barometer it is measured from.
    DeeperThanBarometer {
        /// The vacuum as given, conventional inches of mercury.
        inches: f64,
        /// The barometer as given.
        barometer: Pressure,
    },
    /// The unit is missing, not known, or states no absolute pressure.
    Unit {
        /// The unit as written.
        text: String,
        /// What it says.
        word: UnitWord,
    },
}

impl fmt::Display for PressureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { value, unit } => {
                write!(
                    f,
                    "{value} {unit} is not an absolute pressure, which lies between 0 and 10 MPa"
                )
            }
            Self::NotANumber { text } => write!(f, "\"{text}\" does not begin with a number"),
            Self::StrayComma { text } => write!(
                f,
                "the comma in \"{text}\" does not group thousands (as in \"1,200 micron\"): \
                 write a decimal point"
            ),
            Self::DeeperThanBarometer { inches, barometer } => write!(
                f,
                "{inches} inches of vacuum is deeper than the barometer it is measured from \
                 ({:.2} inHg): read both again",
                barometer.inhg_absolute()
            ),
            Self::Unit { text, .. } if text.is_empty() => {
                write!(
                    f,
                    "the unit is missing: write for instance \"500 micron\" or \"66 Pa\""
                )
            }
            Self::Unit { text, word } => {
                f.write_str(&word.problem(text).unwrap_or_default())?;
                word.remedy()
                    .map_or(Ok(()), |remedy| write!(f, ": {remedy}"))
            }
        }
    }
}

impl std::error::Error for PressureError {}

impl Pressure {
    const MAX_PA: f64 = 1e7;

    /// Standard atmosphere, 101 325 Pa (exact by definition).
    pub const ATMOSPHERE: Self = Self { pa: 101_325.0 };

    /// A pressure of `value` in `unit`.
    ///
    /// # Errors
    /// [`PressureError::OutOfRange`] when the value is not finite, negative or
    /// above 10 MPa.
    pub fn new(value: f64, unit: PressureUnit) -> Result<Self, PressureError> {
        let pa = value * unit.pa();
        if (0.0..=Self::MAX_PA).contains(&pa) {
            // + 0.0 turns a negative zero into zero, which prints without a sign
            Ok(Self { pa: pa + 0.0 })
        } else {
            Err(PressureError::OutOfRange { value, unit })
        }
    }

    /// From micron (mTorr).
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_micron(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Micron)
    }

    /// From Torr.
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_torr(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Torr)
    }

    /// From pascal.
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_pa(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Pascal)
    }

    /// From millibar.
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_mbar(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Millibar)
    }

    /// From conventional inches of mercury, absolute.
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_inhg_absolute(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::InHg)
    }

    /// From pounds per square inch, absolute.
    ///
    /// # Errors
    /// As [`Pressure::new`].
    pub fn from_psi_absolute(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Psi)
    }

    /// From "inches of vacuum" below a barometer that must be stated.
    ///
    /// A dial read to 0.01 inHg resolves 254 micron, and the barometer alone
    /// moves the answer by thousands: such a value can never judge 500 micron.
    ///
    /// # Errors
    /// [`PressureError::DeeperThanBarometer`] when nothing is left of the
    /// barometer, otherwise as [`Pressure::new`].
    pub fn from_inches_of_vacuum(value: f64, barometer: Self) -> Result<Self, PressureError> {
        let pa = barometer.pa - value * PressureUnit::InHg.pa();
        if pa < 0.0 {
            return Err(PressureError::DeeperThanBarometer {
                inches: value,
                barometer,
            });
        }
        Self::new(pa, PressureUnit::Pascal)
    }

    /// The value in any unit.
    #[must_use]
    pub fn get(self, unit: PressureUnit) -> f64 {
        self.pa / unit.pa()
    }

    /// In micron (mTorr).
    #[must_use]
    pub fn micron(self) -> f64 {
        self.get(PressureUnit::Micron)
    }

    /// In Torr.
    #[must_use]
    pub fn torr(self) -> f64 {
        self.get(PressureUnit::Torr)
    }

    /// In pascal.
    #[must_use]
    pub fn pa(self) -> f64 {
        self.pa
    }

    /// In millibar.
    #[must_use]
    pub fn mbar(self) -> f64 {
        self.get(PressureUnit::Millibar)
    }

    /// In conventional inches of mercury, absolute.
    #[must_use]
    pub fn inhg_absolute(self) -> f64 {
        self.get(PressureUnit::InHg)
    }

    /// In pounds per square inch, absolute.
    #[must_use]
    pub fn psi_absolute(self) -> f64 {
        self.get(PressureUnit::Psi)
    }

    /// Inches of vacuum below `barometer`; negative when above it.
    #[must_use]
    pub fn inches_of_vacuum(self, barometer: Self) -> f64 {
        barometer.inhg_absolute() - self.inhg_absolute()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_not_an_absolute_pressure() {
        for value in [
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            -1e-9,
            1.000_001e7,
        ] {
            let refused = Pressure::from_pa(value);
            assert!(
                matches!(
                    refused,
                    Err(PressureError::OutOfRange {
                        unit: PressureUnit::Pascal,
                        ..
                    })
                ),
                "{value}: {refused:?}"
            );
        }
        assert!(Pressure::from_pa(0.0).is_ok());
        assert!(Pressure::from_pa(1e7).is_ok());
    }

    #[test]
    fn a_negative_zero_is_zero() {
        let zero = Pressure::from_pa(-0.0).expect("zero");
        assert!(zero.pa().is_sign_positive());
    }

    #[test]
    fn a_vacuum_deeper_than_its_barometer_names_both() {
        let barometer = Pressure::from_inhg_absolute(24.9).expect("a barometer");
        let error = Pressure::from_inches_of_vacuum(29.0, barometer).expect_err("too deep");
        assert_eq!(
            error.to_string(),
            "29 inches of vacuum is deeper than the barometer it is measured from \
             (24.90 inHg): read both again"
        );
    }
}
