use vacuum::{PressureUnit, Sensed};

use crate::{
    Decoded, Decoder, Dialect, PortSettings, RejectReason, Sample, dialect::Framing, find::Field,
};

/// The highest pressure a gauge on a system open to the air can show, Pa. The
/// highest air pressure on record at sea level is about 108.5 kPa (from memory);
/// the rest is for the gauge's own error.
const HIGHEST_PLAUSIBLE_PA: f64 = 120_000.0;

/// Understood lines it takes before anything is called recognised.
pub(super) const ENOUGH_LINES: u64 = 3;
/// Share that must be understood where every line carries a check value.
const CHECKED_SHARE: f64 = 0.4;
/// Share that must be understood where only the shape speaks for a dialect: more
/// than is not.
pub(super) const SHAPE_SHARE: f64 = 0.5;

/// A dialect that understood something of what was heard.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Candidate {
    /// The dialect.
    pub dialect: Dialect,
    /// Not a built-in dialect but a guess: the first number followed by a
    /// pressure unit.
    pub generic: bool,
    /// Share of complete lines or frames understood, 0 to 1.
    pub share: f64,
    /// Share of the bytes that stand in lines or frames understood, 0 to 1.
    pub explained_share: f64,
    /// Share of the measured pressures that a gauge between a deep vacuum and
    /// the air can show, 0 to 1; 1 if there is none.
    pub plausible_share: f64,
    /// Lines or frames understood.
    pub understood: u64,
    /// Complete lines or frames heard, rubbish between frames included.
    pub lines: u64,
    /// Binary frames instead of text lines.
    pub binary: bool,
    /// The last line understood.
    pub example: Sample,
    /// The unit this dialect assumes because the line carries none. It was not
    /// heard: compare with the gauge's own display.
    pub assumed_unit: Option<PressureUnit>,
    checked: bool,
}

impl Candidate {
    /// True if so much of the stream is explained that chance is out of the
    /// question. A check value that fits is stronger evidence than a shape, so
    /// a bad line may spoil more of it.
    pub(super) fn is_convincing(&self) -> bool {
        let wanted = if self.checked {
            CHECKED_SHARE
        } else {
            SHAPE_SHARE
        };
        self.share.max(self.explained_share) >= wanted
    }

    /// True if it explains the stream about as well as `other` but reads
    /// another value from the same line.
    pub(super) fn contradicts(&self, other: &Self) -> bool {
        // a checksum that fits, or a dialect made for the shape, outweighs a guess
        let weaker = (other.checked && !self.checked) || (self.generic && !other.generic);
        // check values that fit for both: one line with two sensors, and both are right
        let two_sensors = self.checked
            && other.checked
            && is_for_pressure(&self.dialect) != is_for_pressure(&other.dialect);
        !weaker
            && !two_sensors
            && self.share >= other.share - 0.1
            && self.example.line_no == other.example.line_no
            && !same(&self.example.sensed, &other.example.sensed)
    }

    /// A dialect file to keep: this dialect with the port settings that worked.
    #[must_use]
    pub fn to_toml(&self, port: PortSettings) -> String {
        with_port(self.dialect.source(), port)
    }
}

/// What to make of what was heard.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Conclusion {
    /// The first candidate is it.
    Recognised,
    /// There are candidates, but none is certain.
    Unsure {
        /// Why not.
        why: String,
    },
    /// Bytes came that no dialect understands.
    NotUnderstood {
        /// What it looks like.
        why: String,
    },
    /// Nothing came. The gauge may be off, on another port, or wait to be asked.
    Silence,
}

/// True of a dialect of pressure transmitters: its gauge measures far above the air.
pub(super) fn is_for_pressure(dialect: &Dialect) -> bool {
    let end = dialect.over_bound();
    end.is_some_and(|end| end.pa() > HIGHEST_PLAUSIBLE_PA)
}

/// False if the sample is a pressure that no system open to the air has, of a gauge that is
/// not made to measure more.
pub(super) fn is_plausible(sample: &Sample, dialect: &Dialect) -> bool {
    let pressure = sample.pressure();
    is_for_pressure(dialect) || pressure.is_none_or(|p| p.pa() <= HIGHEST_PLAUSIBLE_PA)
}

fn same(a: &Sensed, b: &Sensed) -> bool {
    match (a, b) {
        (Sensed::Measured(a), Sensed::Measured(b)) => (a.pa() - b.pa()).abs() <= 1e-9 * a.pa(),
        _ => std::mem::discriminant(a) == std::mem::discriminant(b),
    }
}

/// One dialect, listening.
#[derive(Debug)]
pub(super) struct Ear {
    dialect: Dialect,
    generic: bool,
    decoder: Decoder,
    decoded: Vec<Decoded>,
    understood: u64,
    rejected: u64,
    example: Option<Sample>,
    /// Bytes since the last line or frame, understood or not.
    pending: u64,
    explained_bytes: u64,
    unexplained_bytes: u64,
    measured: u64,
    implausible: u64,
}

impl Ear {
    pub(super) fn new(dialect: Dialect, generic: bool) -> Self {
        Self {
            decoder: Decoder::joining(&dialect),
            dialect,
            generic,
            decoded: Vec::new(),
            understood: 0,
            rejected: 0,
            example: None,
            pending: 0,
            explained_bytes: 0,
            unexplained_bytes: 0,
            measured: 0,
            implausible: 0,
        }
    }

    pub(super) fn hear(&mut self, bytes: &[u8]) {
        // one by one, to know which bytes made up which line
        for byte in bytes {
            self.pending += 1;
            self.decoder.push(&[*byte], &mut self.decoded);
            for decoded in std::mem::take(&mut self.decoded) {
                self.take(decoded);
            }
        }
    }

    fn take(&mut self, decoded: Decoded) {
        match decoded {
            Decoded::Sample(sample) => {
                self.understood += 1;
                self.measured += u64::from(sample.pressure().is_some());
                self.implausible += u64::from(!is_plausible(&sample, &self.dialect));
                self.example = Some(sample);
                let own = match &self.dialect.shape().framing {
                    Framing::Frames(rule) => rule.length as u64,
                    _ => self.pending,
                };
                self.explained_bytes += own;
                self.unexplained_bytes += self.pending.saturating_sub(own);
            }
            // the shape fits, the gauge only has nothing to say yet
            Decoded::Busy { .. } => self.explained_bytes += self.pending,
            // told beside the line that shows it
            Decoded::Sequence(_) => return,
            Decoded::Rejected(r) if r.why == RejectReason::CutAtStart => {}
            Decoded::Rejected(_) => {
                self.rejected += 1;
                self.unexplained_bytes += self.pending;
            }
        }
        self.pending = 0;
    }

    fn candidate(&self) -> Option<Candidate> {
        let lines = self.understood + self.rejected;
        Some(Candidate {
            example: self.example.clone()?,
            dialect: self.dialect.clone(),
            generic: self.generic,
            share: self.understood as f64 / lines as f64,
            explained_share: self.explained_bytes as f64
                / (self.explained_bytes + self.unexplained_bytes).max(1) as f64,
            plausible_share: 1.0 - self.implausible as f64 / self.measured.max(1) as f64,
            binary: matches!(self.dialect.shape().framing, Framing::Frames(_)),
            understood: self.understood,
            lines,
            assumed_unit: self.dialect.fixed_unit(),
            checked: self.dialect.shape().checksum.is_some(),
        })
    }

    /// How much a line must have in common with the dialect to be understood.
    fn specificity(&self) -> u8 {
        let shape = self.dialect.shape();
        let fields = [Field::Temperature, Field::State, Field::Seconds];
        let mut score = fields.into_iter().filter(|f| shape.has(*f)).count() as u8;
        score += 4 * u8::from(shape.checksum.is_some());
        score += 2 * u8::from(shape.has(Field::Unit));
        if self.generic { 0 } else { score + 1 }
    }
}

/// All dialects to listen with.
pub(super) fn ears() -> Vec<Ear> {
    let builtin = Dialect::builtin_names()
        .into_iter()
        // every built-in dialect is loaded by a test
        .filter_map(|name| Dialect::builtin(name).ok())
        // a gauge that must be asked is not found by listening
        .filter(|dialect| !dialect.asks())
        .map(|dialect| Ear::new(dialect, false));
    let generic = ["point", "comma"]
        .into_iter()
        .filter_map(|decimal| Dialect::from_toml(&generic_toml(decimal), "generic").ok())
        .map(|dialect| Ear::new(dialect, true));
    builtin.chain(generic).collect()
}

/// A dialect that takes the first number followed by a unit of absolute
/// pressure, wherever it stands in the line.
fn generic_toml(decimal: &str) -> String {
    let sign = if decimal == "comma" { "," } else { r"\." };
    format!(
        r#"name = "number-with-unit-{decimal}"
description = "A guess made by listening: the first number that has a pressure unit behind it"

[port]
baud = 9600

[line]
pattern = '''(?:^|[^0-9.,+eE-])(?<value>[-+]?[0-9]+(?:{sign}[0-9]+)?(?:[eE][-+]?[0-9]+)?)[ ;,:]*(?<unit>(?i:microns?|mtorr|torr|mmhg|mbar|hpa|kpa|pa|(?:\xC2?\xB5|u)m(?:hg)?|psia|atm))(?:[^A-Za-z]|$)'''

[value]
decimal = "{decimal}"
"#
    )
}

/// Candidates, best first: those whose checksum fits line after line (a false
/// fit of three 8-bit sums has odds of 1 in 16 million), of these the one whose sensor
/// measured more often (a line may carry two sensors, and the other is out of its range),
/// then by share of lines understood in steps of 5 %, then by how particular the dialect is.
pub(super) fn rank(ears: &[Ear]) -> Vec<Candidate> {
    let mut scored: Vec<((bool, u64, u32, u8), Candidate)> = ears
        .iter()
        .filter_map(|ear| {
            let candidate = ear.candidate()?;
            let proven = candidate.checked && candidate.understood >= ENOUGH_LINES;
            let measured = if proven { ear.measured } else { 0 };
            let step = (candidate.share * 20.0).round() as u32;
            Some(((proven, measured, step, ear.specificity()), candidate))
        })
        .collect();
    scored.sort_by_key(|(merit, _)| std::cmp::Reverse(*merit));
    scored.into_iter().map(|(_, candidate)| candidate).collect()
}

/// The text of a dialect with its `[port]` table replaced; the gauge's address stays.
#[must_use]
pub fn with_port(source: &str, port: PortSettings) -> String {
    let parity = match port.parity {
        crate::Parity::None => "none",
        crate::Parity::Even => "even",
        crate::Parity::Odd => "odd",
    };
    let address: String = source
        .lines()
        .skip_while(|line| line.trim() != "[port]")
        .skip(1)
        .take_while(|line| !line.trim_start().starts_with('['))
        .filter(|line| line.trim_start().starts_with("address"))
        .map(|line| format!("{line}\n"))
        .collect();
    let table = format!(
        "[port]\nbaud = {}\ndata_bits = {}\nparity = \"{parity}\"\nstop_bits = {}\nflow_control = \"{}\"\n{address}",
        port.baud,
        port.data_bits,
        port.stop_bits,
        port.flow_control.word(),
    );
    let mut out = String::new();
    let mut inside = false;
    let mut written = false;
    for line in source.lines() {
        let header = line.trim_start().starts_with('[');
        if header && line.trim() == "[port]" {
            inside = true;
            continue;
        }
        if header && !written {
            // ahead of the first other table, where it is easy to find
            out.push_str(&table);
            out.push('\n');
            written = true;
        }
        if header {
            inside = false;
        }
        if !inside {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Parity;

    #[test]
    fn generic_dialects_are_valid() {
        for decimal in ["point", "comma"] {
            Dialect::from_toml(&generic_toml(decimal), "generic").unwrap();
        }
        let heard = |name: &&str| !Dialect::builtin(name).unwrap().asks();
        let streams = Dialect::builtin_names().into_iter().filter(heard).count();
        assert_eq!(ears().len(), streams + 2);
    }

    #[test]
    fn kept_file_carries_the_port_that_worked() {
        let port = PortSettings {
            baud: 2400,
            data_bits: 7,
            parity: Parity::Odd,
            stop_bits: 2,
            ..PortSettings::default()
        };
        for name in Dialect::builtin_names() {
            let source = Dialect::builtin(name).unwrap();
            let text = with_port(source.source(), port);
            let kept = Dialect::from_toml(&text, name).unwrap();
            assert_eq!(kept.port(), port, "{text}");
            assert_eq!(kept.name(), name);
        }
    }
}
