//! Finding out what a gauge speaks: by listening, which sends nothing, and if
//! the caller wants it by [`ask`]ing, from a short list of queries that only read.
//!
//! [`Recogniser`] scores bytes against every built-in dialect and against a
//! generic "number with a unit" shape; [`try_port`] does so on a serial port at
//! the common speeds.

mod asking;
mod candidate;
mod port;

pub use asking::{Answer, Question, ask, longest_asking, questions};
pub use candidate::{Candidate, Conclusion, with_port};
pub use port::{COMMON_BAUDS, PortHearing, Trial, hear_stream, longest, try_port, try_with};

use std::collections::VecDeque;

use candidate::{ENOUGH_LINES, Ear};

use crate::{Dialect, Parity};

/// Share of pressures that must be plausible before a dialect is called recognised.
const PLAUSIBLE_SHARE: f64 = 0.9;
/// So many of the last bytes are kept, for a person to look at.
const RECENT_BYTES: usize = 8192;
/// Share of text that must be printable; less means a wrong speed.
const PRINTABLE_SHARE: f64 = 0.8;

/// Listens to a byte stream with every built-in dialect at once.
///
/// ```
/// use sensor_reader::listen::{Conclusion, Recogniser};
/// let mut recogniser = Recogniser::new();
/// recogniser.push(b"812.0 micron\r\n808.4 micron\r\n804.9 micron\r\n801.0 micron\r\n");
/// let hearing = recogniser.hearing();
/// assert!(matches!(hearing.conclusion, Conclusion::Recognised));
/// assert_eq!(hearing.candidates[0].dialect.name(), "number-unit-line");
/// ```
#[derive(Debug)]
pub struct Recogniser {
    ears: Vec<Ear>,
    /// The same with the top bit cleared, for gauges that send 7 bits and parity.
    seven_bit_ears: Vec<Ear>,
    bytes: u64,
    printable: u64,
    /// The same with the top bit cleared.
    printable_of_seven: u64,
    even_parity: u64,
    top_bit: u64,
    recent: VecDeque<u8>,
}

/// What was heard so far.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Hearing {
    /// Bytes heard.
    pub bytes: u64,
    /// Share of them that are printable text or line ends, 0 to 1. Low at a
    /// wrong speed.
    pub printable_share: f64,
    /// Dialects that understood anything, best first.
    pub candidates: Vec<Candidate>,
    /// What to make of it.
    pub conclusion: Conclusion,
    /// Character frame that fits: data bits and parity.
    pub data_bits: u8,
    /// See [`Hearing::data_bits`].
    pub parity: Parity,
    /// The last bytes heard, at most 8,192; without the parity bit where it is one.
    pub recent: Vec<u8>,
}

impl Default for Recogniser {
    fn default() -> Self {
        Self::new()
    }
}

impl Recogniser {
    /// Listens with the built-in dialects and the generic shapes.
    #[must_use]
    pub fn new() -> Self {
        Self {
            ears: candidate::ears(),
            seven_bit_ears: candidate::ears(),
            bytes: 0,
            printable: 0,
            printable_of_seven: 0,
            even_parity: 0,
            top_bit: 0,
            recent: VecDeque::new(),
        }
    }

    /// Adds a dialect of the caller's own to those tried.
    pub fn add(&mut self, dialect: &Dialect) {
        self.ears.push(Ear::new(dialect.clone(), false));
        self.seven_bit_ears.push(Ear::new(dialect.clone(), false));
    }

    /// Takes bytes in the order they came, in any chunks.
    pub fn push(&mut self, bytes: &[u8]) {
        self.bytes += bytes.len() as u64;
        for &byte in bytes {
            self.printable += u64::from(is_text(byte));
            self.printable_of_seven += u64::from(is_text(byte & 0x7F));
            self.even_parity += u64::from(byte.count_ones() % 2 == 0);
            self.top_bit += u64::from(byte >= 0x80);
        }
        self.recent.extend(bytes);
        let beyond = self.recent.len().saturating_sub(RECENT_BYTES);
        self.recent.drain(..beyond);
        for ear in &mut self.ears {
            ear.hear(bytes);
        }
        let seven: Vec<u8> = bytes.iter().map(|b| b & 0x7F).collect();
        for ear in &mut self.seven_bit_ears {
            ear.hear(&seven);
        }
    }

    /// What was heard so far, best candidate first.
    #[must_use]
    pub fn hearing(&self) -> Hearing {
        let parity = self.parity_of_seven_bits();
        let (ears, parity, data_bits) = match parity {
            Some(parity) => (&self.seven_bit_ears, parity, 7),
            None => (&self.ears, Parity::None, 8),
        };
        let candidates = candidate::rank(ears);
        let printable = if data_bits == 7 {
            self.printable_of_seven
        } else {
            self.printable
        };
        let printable_share = printable as f64 / self.bytes.max(1) as f64;
        Hearing {
            conclusion: self.conclude(&candidates, printable_share),
            bytes: self.bytes,
            printable_share,
            candidates,
            data_bits,
            parity,
            recent: self
                .recent
                .iter()
                .map(|byte| if data_bits == 7 { byte & 0x7F } else { *byte })
                .collect(),
        }
    }

    /// The parity, if the stream looks like seven bits and a parity bit: the
    /// top bit is in use, and every byte has the same parity.
    fn parity_of_seven_bits(&self) -> Option<Parity> {
        let enough = self.bytes >= 16 && self.top_bit > 0;
        // a line disturbance may spoil a byte or two in a hundred
        let nearly_all = self.bytes - self.bytes / 50;
        if enough && self.even_parity >= nearly_all {
            Some(Parity::Even)
        } else if enough && self.bytes - self.even_parity >= nearly_all {
            Some(Parity::Odd)
        } else {
            None
        }
    }

    fn conclude(&self, candidates: &[Candidate], printable_share: f64) -> Conclusion {
        if self.bytes == 0 {
            return Conclusion::Silence;
        }
        let Some(best) = candidates.first() else {
            return Conclusion::NotUnderstood {
                why: if printable_share < 0.7 {
                    "mostly unprintable bytes: wrong speed, or a gauge that speaks in binary".into()
                } else {
                    "readable text, but no dialect here fits it: write a dialect file for it".into()
                },
            };
        };
        let of_what = if best.binary { "frames" } else { "lines" };
        if !best.is_convincing() {
            return Conclusion::Unsure {
                why: format!(
                    "the best fit understands only {:.0} % of the {of_what}",
                    best.share * 100.0
                ),
            };
        }
        if best.plausible_share < PLAUSIBLE_SHARE {
            return Conclusion::Unsure {
                why: if best.dialect.shape().curve.is_some() {
                    "a column of plain signals, and the sample curve makes pressures far above that \
                     of the air of them: put the curve of your gauge's data sheet into the file"
                        .into()
                } else {
                    "the best fit reads pressures far above that of the air".into()
                },
            };
        }
        if !best.binary && printable_share < PRINTABLE_SHARE {
            return Conclusion::Unsure {
                why: "much of it is unprintable: wrong speed, or a gauge that speaks in binary"
                    .into(),
            };
        }
        if best.understood < ENOUGH_LINES {
            return Conclusion::Unsure {
                why: format!(
                    "only {} of the {of_what} understood so far; listen longer",
                    best.understood
                ),
            };
        }
        if let Some(rival) = candidates.iter().skip(1).find(|c| c.contradicts(best)) {
            return Conclusion::Unsure {
                why: format!(
                    "{} fits as well and reads other values",
                    rival.dialect.name()
                ),
            };
        }
        Conclusion::Recognised
    }
}

fn is_text(byte: u8) -> bool {
    matches!(byte, b' '..=b'~' | b'\t' | b'\r' | b'\n')
}
