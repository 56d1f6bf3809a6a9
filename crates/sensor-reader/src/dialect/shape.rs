//! The compiled form of a dialect.

use vacuum::PressureUnit;

use crate::{
    ask::Ask,
    checksum::ChecksumRule,
    curve::Curve,
    find::{Field, Finding},
    number::{NumberStyle, Written},
    sequence::SequenceRule,
    state::State,
};

use super::{
    channels::Channels,
    port::{Clock, PortSettings},
    terms::{ExponentStyle, StateBits, TemperatureStyle, Terms, Weighs},
};

/// What ends a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Terminator {
    /// CR, LF, CRLF or any mix of them.
    Any,
    /// Exactly these bytes.
    Exact(Vec<u8>),
}

/// How the byte stream is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Framing {
    /// Text lines.
    Lines {
        terminator: Terminator,
        max_bytes: usize,
    },
    /// Blocks of one length that begin with fixed bytes.
    Frames(FrameRule),
    /// Blocks of Modbus registers; there is no stream to cut.
    Registers(RegisterRule),
}

/// How a binary frame is told from rubbish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct FrameRule {
    /// The bytes every frame begins with; not empty.
    pub(crate) sync: Vec<u8>,
    /// The bytes every frame ends with; possibly none.
    pub(crate) end: Vec<u8>,
    /// Bytes of a whole frame, `sync` and `end` included.
    pub(crate) length: usize,
}

/// Which registers hold the reading, and how they are asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RegisterRule {
    /// TCP framing (with the MBAP header) instead of RTU framing.
    pub(crate) tcp: bool,
    /// Input registers (function 4) instead of holding registers (function 3).
    pub(crate) input: bool,
    /// Address of the device on the line.
    pub(crate) device: u8,
    /// First register, counted from 0 as on the wire.
    pub(crate) first: u16,
    /// Registers read at once, 1 to 125.
    pub(crate) count: u16,
    /// From one question to the next.
    pub(crate) every: std::time::Duration,
}

/// How a gauge speaks and what it means by it.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    pub(crate) framing: Framing,
    pub(crate) finding: Finding,
    pub(crate) ask: Option<Ask>,
    pub(crate) checksum: Option<ChecksumRule>,
    pub(crate) numbers: NumberStyle,
    /// What one count of the value is; 1 where the number is the value itself.
    pub(crate) scale: f64,
    pub(crate) exponent: ExponentStyle,
    pub(crate) curve: Option<Curve>,
    pub(crate) units: Vec<(String, PressureUnit)>,
    pub(crate) states: Vec<(String, State)>,
    pub(crate) state_bits: Vec<StateBits>,
    pub(crate) state_written: Written,
    /// What the judged value's number means.
    pub(crate) terms: Terms,
    pub(crate) channels: Channels,
    /// What the numbers mean where this is no gauge but a scale.
    pub(crate) weighs: Option<Weighs>,
    /// How lines are counted, where the gauge counts them.
    pub(crate) sequence: Option<SequenceRule>,
    pub(crate) clock: Clock,
    pub(crate) seconds_per_count: f64,
    pub(crate) temperature: TemperatureStyle,
}

impl Shape {
    /// True if the dialect says where this field stands.
    pub(crate) fn has(&self, field: Field) -> bool {
        self.finding.has(field)
    }

    /// The longest line or frame, bytes.
    pub(crate) fn max_bytes(&self) -> usize {
        match &self.framing {
            Framing::Lines { max_bytes, .. } => *max_bytes,
            Framing::Frames(rule) => rule.length,
            Framing::Registers(rule) => 2 * usize::from(rule.count),
        }
    }

    /// The unit the dialect gives to a word or code, if it lists it.
    pub(crate) fn listed_unit(&self, word: &str) -> Option<PressureUnit> {
        self.units
            .iter()
            .find(|(w, _)| w == word)
            .map(|(_, unit)| *unit)
    }

    /// The state the dialect gives to a word; case does not matter.
    pub(crate) fn state(&self, word: &str) -> Option<State> {
        self.states
            .iter()
            .find(|(w, _)| w.eq_ignore_ascii_case(word))
            .map(|(_, state)| *state)
    }
}

/// Everything that a dialect file says, checked.
#[derive(Debug, Clone)]
pub(super) struct Inner {
    pub(super) name: String,
    pub(super) description: String,
    pub(super) port: PortSettings,
    pub(super) shape: Shape,
    pub(super) source: String,
}
