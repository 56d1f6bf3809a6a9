//! The line of a gauge node, to write and to read.
//!
//! A gauge node is a microcontroller with a vacuum sensor. For every reading it
//! sends one line of printable ASCII, described to the byte in
//! `firmware-notes/README.md`:
//!
//! ```text
//! N1 417 208.500 501.2 micron 23.1 ok 3BFB
//! N2 1101.3 kPa abs ok 1003.2 hPa 417 208.500 501.2 micron 23.1 ok 4D57
//! ```
//!
//! The second is of version 2: a high-pressure sensor, a barometer, or both stand in front
//! of what version 1 says. [`encode`] writes version 1 where there is neither.
//!
//! This crate is for firmware and for programs that hear a node. It has no
//! dependencies, needs neither `std` nor a heap, and does not touch floating
//! point. It knows bytes only: ports, time-outs and judgement are elsewhere.
//!
//! ```
//! use node_line::{Decimal, Line, Unit, Uptime, Value, decode, encode};
//!
//! let line = Line {
//!     sequence: 417,
//!     uptime: Uptime::new(208, 500).expect("less than 1000 ms"),
//!     value: Value::Measured(Decimal::new(5012, 1).expect("not zero")),
//!     unit: Unit::Micron,
//!     temperature_tenths_c: Some(231),
//!     high: None,
//!     barometer: None,
//! };
//! let mut room = [0; node_line::LONGEST];
//! let sent = encode(&line, &mut room)?;
//! assert_eq!(sent, b"N1 417 208.500 501.2 micron 23.1 ok 3BFB\n");
//! assert_eq!(decode(sent), Ok(line));
//! # Ok::<(), node_line::EncodeError>(())
//! ```
//!
//! Every line has exactly one spelling: what [`decode`] accepts, [`encode`]
//! writes again byte by byte (but for a carriage return at the end). A number
//! with a leading zero is therefore refused, though its check value fits: no
//! encoder of these versions writes one.
//!
//! Bytes that come in pieces go through a [`Receiver`]; whether lines are
//! missing between two that arrived says a [`Continuity`].
#![no_std]
#![forbid(unsafe_code)]

mod continuity;
mod crc;
mod decode;
mod encode;
mod receive;

pub use continuity::{Continuity, Step};
pub use crc::crc16;
pub use decode::{DecodeError, decode};
pub use encode::{EncodeError, encode};
pub use receive::Receiver;

/// Bytes of the longest line, its line feed included.
pub const LONGEST: usize = 102;

/// Most decimals of a number.
pub const MOST_DECIMALS: u8 = 6;

/// Absolute zero as lines can say it, tenths of °C; nothing colder is a temperature.
pub const COLDEST_TENTHS_C: i16 = -2731;

/// One reading of a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// One more for every reading, sent or not; 0 follows 65535.
    pub sequence: u16,
    /// When the reading was taken, on the node's clock.
    pub uptime: Uptime,
    /// The pressure, or why there is none.
    pub value: Value,
    /// Unit of the pressure, written even when there is none.
    pub unit: Unit,
    /// Temperature of the sensor, tenths of °C, at least [`COLDEST_TENTHS_C`];
    /// `None` when it is not measured.
    pub temperature_tenths_c: Option<i16>,
    /// The high-pressure sensor; `None` when the node has none. With it the line is of
    /// version 2.
    pub high: Option<HighPressure>,
    /// Pressure of the air around the node; `None` when it is not measured. With it the
    /// line is of version 2.
    pub barometer: Option<Barometer>,
}

/// What a high-pressure sensor says, in kilopascal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HighPressure {
    /// The pressure, or why there is none. A sensor that counts from the air shows zero or
    /// less where the system is open: that is [`Value::Under`].
    pub value: Value,
    /// What it counts from.
    pub reference: Reference,
}

/// What a pressure is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// From vacuum, `abs`.
    Vacuum,
    /// From the air around the sensor, `gauge`. Without a barometer it is not an absolute
    /// pressure.
    Air,
}

impl Reference {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Vacuum, Self::Air];

    /// The word in the line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Vacuum => "abs",
            Self::Air => "gauge",
        }
    }
}

/// Pressure of the air, to a tenth of a hectopascal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Barometer {
    tenths_hpa: u16,
}

impl Barometer {
    /// Lowest and highest, tenths of hPa: from below what is measured on the highest
    /// mountain, about 330 hPa, to above the record at sea level, about 1085 hPa (both
    /// from memory).
    pub const RANGE_TENTHS_HPA: (u16, u16) = (3_000, 12_000);

    /// `None` outside [`Barometer::RANGE_TENTHS_HPA`]: no air has such a pressure.
    #[must_use]
    pub const fn new(tenths_hpa: u16) -> Option<Self> {
        let (lowest, highest) = Self::RANGE_TENTHS_HPA;
        if tenths_hpa < lowest || tenths_hpa > highest {
            return None;
        }
        Some(Self { tenths_hpa })
    }

    /// Tenths of hPa.
    #[must_use]
    pub const fn tenths_hpa(self) -> u16 {
        self.tenths_hpa
    }
}

/// What the sensor says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Value {
    /// `ok`: a measurement.
    Measured(Decimal),
    /// `over`: the pressure is above this, the upper end of the range.
    Over(Decimal),
    /// `under`: the pressure is below this, the lower end of the range.
    Under(Decimal),
    /// `fault`: the sensor is not well, nothing is known.
    Fault,
}

/// A number above zero: `digits` / 10^`decimals`.
///
/// The decimals are part of the message: 501.20 micron claims a finer sensor
/// than 501 micron, so the two are not equal here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    digits: u32,
    decimals: u8,
}

impl Decimal {
    /// `digits` / 10^`decimals`.
    ///
    /// `None` for zero, which no gauge measures, and for more than
    /// [`MOST_DECIMALS`] decimals.
    #[must_use]
    pub const fn new(digits: u32, decimals: u8) -> Option<Self> {
        if digits == 0 || decimals > MOST_DECIMALS {
            return None;
        }
        Some(Self { digits, decimals })
    }

    /// The number without its decimal point, 1 to 4294967295.
    #[must_use]
    pub const fn digits(self) -> u32 {
        self.digits
    }

    /// How many of the digits stand behind the point, 0 to 6.
    #[must_use]
    pub const fn decimals(self) -> u8 {
        self.decimals
    }
}

/// Time since the node started, to the millisecond.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Uptime {
    seconds: u32,
    milliseconds: u16,
}

impl Uptime {
    /// `None` for more than 999 milliseconds.
    #[must_use]
    pub const fn new(seconds: u32, milliseconds: u16) -> Option<Self> {
        if milliseconds > 999 {
            return None;
        }
        Some(Self {
            seconds,
            milliseconds,
        })
    }

    /// From a counter of milliseconds. `None` beyond 2^32 seconds.
    #[must_use]
    pub const fn from_milliseconds(all: u64) -> Option<Self> {
        let seconds = all / 1000;
        if seconds > u32::MAX as u64 {
            return None;
        }
        // both casts are in range by the lines above
        Self::new(seconds as u32, (all % 1000) as u16)
    }

    /// Whole seconds.
    #[must_use]
    pub const fn seconds(self) -> u32 {
        self.seconds
    }

    /// Milliseconds behind the whole seconds, 0 to 999.
    #[must_use]
    pub const fn milliseconds(self) -> u16 {
        self.milliseconds
    }

    /// All of it in milliseconds.
    #[must_use]
    pub const fn as_milliseconds(self) -> u64 {
        self.seconds as u64 * 1000 + self.milliseconds as u64
    }
}

/// Units of the vacuum sensor, all of absolute pressure. None is counted from the barometer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Micrometre of mercury, `micron`.
    Micron,
    /// Pascal, `Pa`.
    Pascal,
    /// Millibar, `mbar`.
    Millibar,
    /// `Torr`.
    Torr,
}

impl Unit {
    /// Every unit a line can carry.
    pub const ALL: [Self; 4] = [Self::Micron, Self::Pascal, Self::Millibar, Self::Torr];

    /// The word in the line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Micron => "micron",
            Self::Pascal => "Pa",
            Self::Millibar => "mbar",
            Self::Torr => "Torr",
        }
    }
}

impl Value {
    /// The word in the line: `ok`, `over`, `under` or `fault`.
    #[must_use]
    pub const fn state_word(self) -> &'static str {
        match self {
            Self::Measured(_) => "ok",
            Self::Over(_) => "over",
            Self::Under(_) => "under",
            Self::Fault => "fault",
        }
    }
}
