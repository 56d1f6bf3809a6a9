use std::{fmt, str::FromStr};

use crate::PressureUnit;

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
    /// The unit is missing or not known.
    UnknownUnit {
        /// The unit as written.
        unit: String,
    },
}

impl fmt::Display for PressureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { value, unit } => {
                write!(
                    f,
                    "{value} {unit} is not an absolute pressure (0 up to 10 MPa)"
                )
            }
            Self::NotANumber { text } => write!(f, "\"{text}\" does not begin with a number"),
            Self::UnknownUnit { unit } if unit.is_empty() => {
                write!(
                    f,
                    "the unit is missing: write for instance \"500 micron\" or \"66 Pa\""
                )
            }
            Self::UnknownUnit { unit } => write!(
                f,
                "\"{unit}\" is not a unit of absolute pressure known here \
                 (micron, Torr, Pa, kPa, mbar, bar, inHg, psi, atm)"
            ),
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
        if pa.is_finite() && (0.0..=Self::MAX_PA).contains(&pa) {
            Ok(Self { pa })
        } else {
            Err(PressureError::OutOfRange { value, unit })
        }
    }

    /// From micron (mTorr). Errors as [`Pressure::new`].
    pub fn from_micron(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Micron)
    }

    /// From Torr. Errors as [`Pressure::new`].
    pub fn from_torr(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Torr)
    }

    /// From pascal. Errors as [`Pressure::new`].
    pub fn from_pa(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Pascal)
    }

    /// From millibar. Errors as [`Pressure::new`].
    pub fn from_mbar(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Millibar)
    }

    /// From conventional inches of mercury, absolute. Errors as [`Pressure::new`].
    pub fn from_inhg_absolute(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::InHg)
    }

    /// From pounds per square inch, absolute. Errors as [`Pressure::new`].
    pub fn from_psi_absolute(value: f64) -> Result<Self, PressureError> {
        Self::new(value, PressureUnit::Psi)
    }

    /// From "inches of vacuum" below a barometer that must be stated.
    ///
    /// A dial read to 0.01 inHg resolves 254 micron, and the barometer alone
    /// moves the answer by thousands: such a value can never judge 500 micron.
    ///
    /// # Errors
    /// As [`Pressure::new`]; a vacuum deeper than the barometer is out of range.
    pub fn from_inches_of_vacuum(value: f64, barometer: Self) -> Result<Self, PressureError> {
        let absolute_inhg = barometer.inhg_absolute() - value;
        Self::new(absolute_inhg, PressureUnit::InHg)
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

    /// Prints the value with three significant digits and its unit
    /// (whole numbers keep all their digits: "18,764 micron").
    #[must_use]
    pub fn display(self, unit: PressureUnit) -> DisplayPressure {
        DisplayPressure {
            pressure: self,
            unit,
        }
    }
}

impl fmt::Display for Pressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.display(PressureUnit::Micron).fmt(f)
    }
}

/// Formats a [`Pressure`]; made by [`Pressure::display`].
#[derive(Debug, Clone, Copy)]
pub struct DisplayPressure {
    pressure: Pressure,
    unit: PressureUnit,
}

impl fmt::Display for DisplayPressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let value = self.pressure.get(self.unit);
        let number = if value >= 99.95 {
            grouped(value)
        } else if value >= 9.995 {
            format!("{value:.1}")
        } else if value >= 0.9995 {
            format!("{value:.2}")
        } else if value >= 0.001 || value == 0.0 {
            // three significant digits below one
            let decimals = if value == 0.0 {
                0
            } else {
                (2.0 - value.log10().floor()) as usize
            };
            format!("{value:.decimals$}")
        } else {
            format!("{value:.2e}")
        };
        write!(f, "{number} {}", self.unit)
    }
}

/// A whole number with a comma between thousands once it has five digits.
fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    if digits.len() < 5 {
        return digits;
    }
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    out
}

impl FromStr for Pressure {
    type Err = PressureError;

    /// Parses a number and a unit: `500 micron`, `0.667mbar`, `6.7e1 Pa`,
    /// `1,200 micron`. The unit is required.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let end = number_length(text);
        let digits: String = text[..end].chars().filter(|c| *c != ',').collect();
        let value: f64 = digits.parse().map_err(|_| PressureError::NotANumber {
            text: text.to_owned(),
        })?;
        let unit = text[end..].trim();
        let unit = PressureUnit::from_name(unit).ok_or_else(|| PressureError::UnknownUnit {
            unit: unit.to_owned(),
        })?;
        Self::new(value, unit)
    }
}

/// Length of the number at the start of `text`: digits, one point, thousands
/// commas, sign, exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let exponent = matches!(bytes[i], b'e' | b'E')
            && i > 0
            && bytes
                .get(i + 1)
                .is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-'));
        let sign =
            matches!(bytes[i], b'+' | b'-') && (i == 0 || matches!(bytes[i - 1], b'e' | b'E'));
        if bytes[i].is_ascii_digit() || matches!(bytes[i], b'.' | b',') || exponent || sign {
            i += 1;
        } else {
            break;
        }
    }
    i
}
