//! In which words, units and zone a sheet speaks.

use vacuum::{DayClock, Language, PressureUnit, SheetChoices, Zone};

/// Language, unit, zone and clock that everything printed goes through.
///
/// The default is English, micron, UTC and 24 hours.
///
/// ```
/// use vacuum::{Language, SheetChoices};
/// use wording::Voice;
///
/// let chosen = SheetChoices {
///     language: Some(Language::French),
///     ..SheetChoices::default()
/// };
/// assert_eq!(Voice::from(&chosen).decimals(12.5, 1), "12,5");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Voice {
    /// Language of the sentences, and how its numbers are written.
    pub language: Language,
    /// Unit that pressures are given in first; micron is given too.
    pub unit: PressureUnit,
    /// Zone of times of day.
    pub zone: Zone,
    /// 12 or 24 hours.
    pub clock: DayClock,
}

impl Default for Voice {
    fn default() -> Self {
        Self {
            language: Language::English,
            unit: PressureUnit::Micron,
            zone: Zone::Utc,
            clock: DayClock::Hours24,
        }
    }
}

impl From<&SheetChoices> for Voice {
    /// What was chosen; the default where nothing was.
    fn from(choices: &SheetChoices) -> Self {
        let default = Self::default();
        Self {
            language: choices.language.unwrap_or(default.language),
            unit: choices.unit.unwrap_or(default.unit),
            zone: choices.zone.unwrap_or(default.zone),
            clock: choices.clock.unwrap_or(default.clock),
        }
    }
}
