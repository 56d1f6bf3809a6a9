use crate::{Mark, Pressure};

/// What a gauge said at one moment.
///
/// Only [`Sensed::Measured`] is a measurement. Over and under range are bounds,
/// a fault or a gap is nothing at all: the type keeps anyone from averaging them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sensed {
    /// A pressure.
    Measured(Pressure),
    /// Above the gauge's range; the bound, if the gauge or the dialect gives one.
    Over(Option<Pressure>),
    /// Below the gauge's range; the bound, if known.
    Under(Option<Pressure>),
    /// The gauge reports that it is not well.
    Fault,
    /// Nothing came: the gauge was unplugged or silent until this moment.
    Gap,
}

/// The one-word state of a reading, as written in the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReadingState {
    /// A measurement.
    Ok,
    /// Above range.
    Over,
    /// Below range.
    Under,
    /// Gauge fault.
    Fault,
    /// No gauge.
    Gap,
}

impl ReadingState {
    /// Every state.
    pub const ALL: [Self; 5] = [Self::Ok, Self::Over, Self::Under, Self::Fault, Self::Gap];

    /// The word in `trace.csv`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Over => "over",
            Self::Under => "under",
            Self::Fault => "fault",
            Self::Gap => "gap",
        }
    }

    /// Reads the word back, whatever its case.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|s| s.word().eq_ignore_ascii_case(word.trim()))
    }
}

/// One gauge value with time and state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Seconds since the run started, on a clock that only goes forward.
    pub elapsed_s: f64,
    /// What the gauge said.
    pub sensed: Sensed,
    /// Temperature beside the gauge or the system, °C, when something measures it.
    pub temperature_c: Option<f64>,
}

impl Reading {
    /// A measurement without a temperature.
    #[must_use]
    pub fn measured(elapsed_s: f64, pressure: Pressure) -> Self {
        Self {
            elapsed_s,
            sensed: Sensed::Measured(pressure),
            temperature_c: None,
        }
    }

    /// A gap that ended at `elapsed_s`.
    #[must_use]
    pub fn gap(elapsed_s: f64) -> Self {
        Self {
            elapsed_s,
            sensed: Sensed::Gap,
            temperature_c: None,
        }
    }

    /// The measurement, if it is one.
    #[must_use]
    pub fn pressure(&self) -> Option<Pressure> {
        match self.sensed {
            Sensed::Measured(p) => Some(p),
            _ => None,
        }
    }

    /// The bound of an over- or under-range reading, if it has one.
    #[must_use]
    pub fn bound(&self) -> Option<Pressure> {
        match self.sensed {
            Sensed::Over(b) | Sensed::Under(b) => b,
            _ => None,
        }
    }

    /// The state word.
    #[must_use]
    pub fn state(&self) -> ReadingState {
        match self.sensed {
            Sensed::Measured(_) => ReadingState::Ok,
            Sensed::Over(_) => ReadingState::Over,
            Sensed::Under(_) => ReadingState::Under,
            Sensed::Fault => ReadingState::Fault,
            Sensed::Gap => ReadingState::Gap,
        }
    }
}

/// One line of a run: a reading or a mark, in the order they happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// The gauge spoke.
    Reading(Reading),
    /// The technician acted.
    Mark(Mark),
}

impl Entry {
    /// Seconds since the run started.
    #[must_use]
    pub fn elapsed_s(&self) -> f64 {
        match self {
            Self::Reading(r) => r.elapsed_s,
            Self::Mark(m) => m.elapsed_s,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(sensed: Sensed) -> Reading {
        Reading {
            elapsed_s: 1.0,
            sensed,
            temperature_c: None,
        }
    }

    #[test]
    fn only_a_measurement_has_a_pressure_and_only_a_bound_a_bound() {
        let p = Pressure::from_micron(500.0).expect("a pressure");
        for (sensed, word, pressure, bound) in [
            (Sensed::Measured(p), "ok", Some(p), None),
            (Sensed::Over(Some(p)), "over", None, Some(p)),
            (Sensed::Over(None), "over", None, None),
            (Sensed::Under(Some(p)), "under", None, Some(p)),
            (Sensed::Under(None), "under", None, None),
            (Sensed::Fault, "fault", None, None),
            (Sensed::Gap, "gap", None, None),
        ] {
            let reading = reading(sensed);
            assert_eq!(reading.state().word(), word);
            assert_eq!(reading.pressure(), pressure, "{word}");
            assert_eq!(reading.bound(), bound, "{word}");
        }
    }

    #[test]
    fn words_are_read_in_any_case_and_nothing_is_guessed() {
        assert_eq!(ReadingState::from_word(" OK "), Some(ReadingState::Ok));
        assert_eq!(ReadingState::from_word("Over"), Some(ReadingState::Over));
        for word in ["", "okay", "high", "ok!"] {
            assert_eq!(ReadingState::from_word(word), None, "{word:?}");
        }
    }
}
