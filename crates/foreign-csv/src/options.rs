//! What a person says about a CSV whose header does not say it.

use vacuum::{PressureUnit, UnitWord};

use super::error::UnitRefused;

/// What a person says about a CSV whose header does not say it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImportOptions {
    /// Name (or number, counted from 1) of the time column.
    pub time_column: Option<String>,
    /// Unit of the time column, when it holds plain numbers.
    pub time_unit: Option<TimeUnit>,
    /// What two numbers with a colon between them mean in the time column.
    pub two_part: Option<TwoPart>,
    /// Name (or number, counted from 1) of the pressure column.
    pub pressure_column: Option<String>,
    /// Unit of the pressure column; wins over the header.
    pub pressure_unit: Option<PressureUnit>,
    /// Whether [`ImportOptions::pressure_unit`] counts from the air around the gauge.
    pub unit_counts_from_air: bool,
    /// Barometer, Pa. With it pressures that count from the air around the gauge are made
    /// absolute; without it they are refused. For tests under pressure only: no barometer
    /// is good enough to judge a deep vacuum.
    pub barometer_pa: Option<f64>,
}

/// What `12:34` means in a time column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TwoPart {
    /// Hours and minutes.
    HoursMinutes,
    /// Minutes and seconds.
    MinutesSeconds,
}

impl TwoPart {
    /// Reads it as people and headers write it: "mm:ss", "hh:mm", "min:sec" …
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Some(match name.trim().to_lowercase().as_str() {
            "mm:ss" | "m:ss" | "m:s" | "min:s" | "min:sec" => Self::MinutesSeconds,
            "hh:mm" | "h:mm" | "h:m" | "h:min" => Self::HoursMinutes,
            _ => return None,
        })
    }
}

/// A unit of a time column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeUnit {
    /// microsecond.
    Microsecond,
    /// millisecond.
    Millisecond,
    /// second.
    Second,
    /// minute.
    Minute,
    /// hour.
    Hour,
    /// day.
    Day,
}

impl TimeUnit {
    /// Seconds in one of this unit.
    #[must_use]
    pub const fn seconds(self) -> f64 {
        match self {
            Self::Microsecond => 1e-6,
            Self::Millisecond => 1e-3,
            Self::Second => 1.0,
            Self::Minute => 60.0,
            Self::Hour => 3600.0,
            Self::Day => 86_400.0,
        }
    }

    /// The word printed behind a number.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Microsecond => "microseconds",
            Self::Millisecond => "milliseconds",
            Self::Second => "seconds",
            Self::Minute => "minutes",
            Self::Hour => "hours",
            Self::Day => "days",
        }
    }

    /// Reads a unit as people and headers write it ("s", "min", "hours" …).
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Some(match name.trim().to_lowercase().as_str() {
            "us" | "µs" | "μs" | "usec" | "microseconds" => Self::Microsecond,
            "ms" | "msec" | "msecs" | "millis" | "millisecond" | "milliseconds" => {
                Self::Millisecond
            }
            "s" | "sec" | "secs" | "second" | "seconds" => Self::Second,
            "min" | "mins" | "minute" | "minutes" => Self::Minute,
            "h" | "hr" | "hrs" | "hour" | "hours" => Self::Hour,
            "d" | "day" | "days" => Self::Day,
            _ => return None,
        })
    }
}

/// Reads a unit given as an option, and says why one is refused.
///
/// ```
/// use foreign_csv::parse_pressure_unit;
/// use vacuum::PressureUnit;
///
/// assert_eq!(parse_pressure_unit("hPa"), Ok(PressureUnit::Millibar));
/// // counted from full vacuum, or from the air around the gauge?
/// let refused = parse_pressure_unit("psi").unwrap_err().to_string();
/// assert!(refused.contains("may count from full vacuum"));
/// ```
///
/// # Errors
/// When the unit counts from the air around the gauge ("inHg vacuum", "psig"), when
/// it may do so (bare "psi", "bar", "inHg"), or when it is not known.
pub fn parse_pressure_unit(text: &str) -> Result<PressureUnit, UnitRefused> {
    let word = UnitWord::read(text);
    word.absolute().ok_or_else(|| UnitRefused::new(text, word))
}
