//! The compiled form of a stream-line dialect.

use regex::bytes::Regex;
use vacuum::{Pressure, PressureUnit, ReadingState};

use crate::{checksum::ChecksumRule, number::NumberStyle};

use super::Clock;

/// What ends a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Terminator {
    /// CR, LF, CRLF or any mix of them.
    Any,
    /// Exactly these bytes.
    Exact(Vec<u8>),
}

/// Unit of the temperature field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TemperatureUnit {
    Celsius,
    Fahrenheit,
    Kelvin,
}

impl TemperatureUnit {
    pub(crate) fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            // exact by definition of the Fahrenheit scale
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - vacuum::ZERO_CELSIUS_K,
        }
    }
}

/// Capture group numbers of the named groups in the pattern.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Groups {
    pub(crate) value: usize,
    pub(crate) unit: Option<usize>,
    pub(crate) temperature: Option<usize>,
    pub(crate) state: Option<usize>,
    pub(crate) checksum: Option<usize>,
    pub(crate) seconds: Option<usize>,
}

/// How lines are framed and what their fields mean.
#[derive(Debug)]
pub(crate) struct LineShape {
    pub(crate) terminator: Terminator,
    pub(crate) max_bytes: usize,
    pub(crate) pattern: Regex,
    pub(crate) groups: Groups,
    pub(crate) numbers: NumberStyle,
    pub(crate) fixed_unit: Option<PressureUnit>,
    pub(crate) units: Vec<(String, PressureUnit)>,
    pub(crate) states: Vec<(String, ReadingState)>,
    pub(crate) over: Option<Pressure>,
    pub(crate) under: Option<Pressure>,
    pub(crate) checksum: Option<ChecksumRule>,
    pub(crate) clock: Clock,
    pub(crate) seconds_per_count: f64,
    pub(crate) temperature_unit: TemperatureUnit,
}

impl LineShape {
    /// The unit the dialect gives to a word or code, if it lists it.
    pub(crate) fn listed_unit(&self, word: &str) -> Option<PressureUnit> {
        self.units
            .iter()
            .find(|(w, _)| w == word)
            .map(|(_, unit)| *unit)
    }

    /// The state the dialect gives to a word; case does not matter.
    pub(crate) fn state(&self, word: &str) -> Option<ReadingState> {
        self.states
            .iter()
            .find(|(w, _)| w.eq_ignore_ascii_case(word))
            .map(|(_, state)| *state)
    }
}
