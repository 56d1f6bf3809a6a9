//! What a decoder gives.

use std::{fmt, sync::Arc};

use vacuum::{Pressure, PressureError, Sensed, UnitWord, Weighed};

use crate::sequence::SequenceBreak;

/// One understood line.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Sample {
    /// What the gauge said. Only [`Sensed::Measured`] is a measurement. A scale measures no
    /// pressure: of its lines this is [`Sensed::Gap`], and `weighed` is what it said.
    pub sensed: Sensed,
    /// Temperature in the line, °C; `None` when there is none or it is not a number.
    pub temperature_c: Option<f64>,
    /// The gauge's own time in seconds, when the line carries it. It counts as
    /// the time of the reading only if [`Dialect::clock`](crate::Dialect::clock)
    /// says so.
    pub device_s: Option<f64>,
    /// The gauge's own number of the line, where the dialect names it. It begins
    /// again at 0 when the gauge is restarted and when it is full.
    pub sequence: Option<u32>,
    /// The channel it is of, as the line names it; `None` when the dialect knows
    /// no channels. Where a dialect records all channels, readings of different
    /// channels follow one another: [`Dialect::channel`](crate::Dialect::channel)
    /// is the one to judge.
    pub channel: Option<Arc<str>>,
    /// What a scale said, where the dialect is of a scale
    /// ([`Dialect::is_scale`](crate::Dialect::is_scale)); `None` of a gauge.
    pub weighed: Option<Weighed>,
    /// Number of the line in this stream, from 1.
    pub line_no: u64,
}

impl Sample {
    /// The measurement, if it is one.
    #[must_use]
    pub fn pressure(&self) -> Option<Pressure> {
        match self.sensed {
            Sensed::Measured(p) => Some(p),
            _ => None,
        }
    }
}

/// One line that gives no reading.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rejected {
    /// The beginning of the line, at most [`Rejected::MAX_CHARS`] characters,
    /// with unprintable bytes shown as `\xNN`; of a binary frame or a block of
    /// registers the bytes in hexadecimal.
    pub line: String,
    /// Number of the line in this stream, from 1.
    pub line_no: u64,
    /// Why it gives no reading.
    pub why: RejectReason,
}

impl Rejected {
    /// Longest text kept of a rejected line.
    pub const MAX_CHARS: usize = 80;

    pub(crate) fn new(line: &[u8], line_no: u64, why: RejectReason) -> Self {
        Self {
            line: printable(line, Self::MAX_CHARS),
            line_no,
            why,
        }
    }

    /// As [`Rejected::new`], for bytes that are no text.
    pub(crate) fn binary(bytes: &[u8], line_no: u64, why: RejectReason) -> Self {
        let shown = bytes.iter().take(Self::MAX_CHARS / 3);
        let pairs: Vec<String> = shown.map(|b| format!("{b:02X}")).collect();
        Self {
            line: pairs.join(" "),
            line_no,
            why,
        }
    }
}

impl fmt::Display for Rejected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {} \"{}\": {}", self.line_no, self.line, self.why)
    }
}

/// What the decoder makes of one line.
#[derive(Debug, Clone, PartialEq)]
pub enum Decoded {
    /// A reading.
    Sample(Sample),
    /// Not a reading.
    Rejected(Rejected),
    /// A line that says that the gauge has no new value yet: understood, and no
    /// reading.
    Busy {
        /// Number of the line in this stream, from 1.
        line_no: u64,
    },
    /// The gauge's own count does not go on by one; told ahead of the line that
    /// shows it.
    Sequence(SequenceBreak),
}

impl Decoded {
    /// The reading, if it is one.
    #[must_use]
    pub fn sample(&self) -> Option<&Sample> {
        match self {
            Self::Sample(sample) => Some(sample),
            _ => None,
        }
    }
}

/// Why a line gives no reading.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum RejectReason {
    /// Longer than the dialect allows; skipped to the next terminator.
    TooLong {
        /// The dialect's limit.
        limit_bytes: usize,
    },
    /// Does not have the dialect's shape.
    NoMatch,
    /// First line after connecting; its beginning may be missing.
    CutAtStart,
    /// The stream ended within the line.
    CutAtEnd,
    /// The checksum does not fit the line.
    Checksum {
        /// The value that would fit, if the covered range could be found.
        wanted: Option<u16>,
        /// The value as written.
        found: String,
    },
    /// The value is neither a number nor a state word of the dialect.
    NotANumber {
        /// The text in the value's place.
        text: String,
    },
    /// No unit of absolute pressure.
    Unit {
        /// The unit as written; empty when missing.
        text: String,
        /// What it says.
        word: UnitWord,
    },
    /// The state word is not in the dialect: the value cannot be trusted.
    UnknownState {
        /// The word as written.
        word: String,
    },
    /// The power of ten beside the value is not a whole number from -99 to 99.
    NotAnExponent {
        /// The text in its place.
        text: String,
    },
    /// Bytes that belong to no frame of this dialect.
    NoFrame,
    /// The gauge was asked and refused, or answered what was not asked.
    Refused {
        /// What it said.
        what: String,
    },
    /// No unit of mass.
    MassUnit {
        /// The unit as written; empty when missing.
        text: String,
    },
    /// A mass beyond what any scale here can mean.
    Mass {
        /// Number and unit.
        text: String,
    },
    /// Negative or impossibly high.
    OutOfRange(PressureError),
    /// The gauge's own time is missing or not a number.
    NoDeviceTime {
        /// The text in its place; empty when missing.
        text: String,
    },
}

impl fmt::Display for RejectReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong { limit_bytes } => write!(
                f,
                "longer than {limit_bytes} bytes; is the speed or the dialect right?"
            ),
            Self::NoMatch => f.write_str("does not have the shape this dialect expects"),
            Self::CutAtStart => {
                f.write_str("first line after connecting, its start may be missing")
            }
            Self::CutAtEnd => f.write_str("the stream stopped within this line"),
            Self::Checksum {
                wanted: Some(wanted),
                found,
            } => write!(
                f,
                "checksum is {found}, should be {wanted} ({wanted:X} hex)"
            ),
            Self::Checksum {
                wanted: None,
                found,
            } => {
                write!(f, "checksum {found}: the part it covers cannot be found")
            }
            Self::NotANumber { text } => write!(
                f,
                "\"{text}\" is not a number as this dialect writes numbers, nor one of its state words"
            ),
            Self::Unit { text, .. } if text.is_empty() => {
                f.write_str("the line carries no unit, and the dialect fixes none")
            }
            Self::Unit { text, word } => {
                f.write_str(&word.problem(text).unwrap_or_default())?;
                match word {
                    UnitWord::Unknown => f.write_str("; list it under [units] in the dialect"),
                    UnitWord::Ambiguous(Some(unit)) => write!(
                        f,
                        "; set the gauge to micron, Pa or mbar, or list \"{text}\" = \"{unit}\" \
                         under [units] if it reads 0 at full vacuum"
                    ),
                    other => other.remedy().map_or(Ok(()), |remedy| write!(f, "; {remedy}")),
                }
            }
            Self::UnknownState { word } => write!(
                f,
                "the state \"{word}\" is not in the dialect; list it under [states]"
            ),
            Self::NotAnExponent { text } => {
                write!(f, "\"{text}\" is not a power of ten with its sign, as this dialect writes it")
            }
            Self::NoFrame => f.write_str(
                "these bytes belong to no frame of this dialect; are speed, parity and dialect right?",
            ),
            Self::Refused { what } => write!(
                f,
                "the gauge was asked and answered: {what}; check registers and address in the dialect"
            ),
            Self::MassUnit { text } if text.is_empty() => {
                f.write_str("the line carries no unit, and the dialect fixes none")
            }
            Self::MassUnit { text } => write!(
                f,
                "\"{text}\" is no unit of mass; set the scale to g, kg, oz or lb, or list it \
                 under [units] in the dialect"
            ),
            Self::Mass { text } => write!(f, "{text} is beyond what a scale can mean"),
            Self::OutOfRange(error) => write!(f, "{error}"),
            Self::NoDeviceTime { text } if text.is_empty() => {
                f.write_str("the gauge's own time is missing")
            }
            Self::NoDeviceTime { text } => write!(f, "\"{text}\" is not a time in seconds"),
        }
    }
}

/// A word of a gauge as it may be shown: a screen must not obey what a disturbed
/// line happens to say, nor fill up with it.
pub(crate) fn shown(text: &str) -> String {
    printable(text.as_bytes(), Rejected::MAX_CHARS)
}

/// Bytes as text for a person: UTF-8 where valid, other bytes as `\xNN`.
pub(crate) fn printable(bytes: &[u8], max_chars: usize) -> String {
    let mut out = String::new();
    let mut room = max_chars;
    for chunk in bytes.utf8_chunks() {
        for c in chunk.valid().chars() {
            if room == 0 {
                return out;
            }
            room -= 1;
            if c.is_control() {
                out.extend(c.escape_default());
            } else {
                out.push(c);
            }
        }
        for b in chunk.invalid() {
            if room == 0 {
                return out;
            }
            room -= 1;
            out.push_str(&format!("\\x{b:02X}"));
        }
    }
    out
}
