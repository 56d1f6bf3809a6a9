//! Bytes in, readings out: no I/O, no clock.

use vacuum::Pressure;

use crate::{
    Dialect,
    dialect::{Framing, Shape, Terminator},
    find::{Content, Field, Finding},
    framer::{Framer, Piece},
    frames::{Block, ChecksumPlace, FrameCutter, MOST_RUBBISH},
    sample::{Decoded, RejectReason, Rejected, Sample},
    sequence::Continuity,
    understand::{Line, Meaning, Understood, understand_block, understand_line},
};

/// A push decoder for one byte stream.
///
/// Gives the same output however the bytes are cut into chunks. Never fails:
/// what it cannot understand comes out as [`Decoded::Rejected`], and the next
/// line is read afresh. Memory is bounded by the dialect's longest line.
///
/// ```
/// use sensor_reader::{Decoded, Decoder, Dialect};
/// let dialect = Dialect::builtin("number-unit-line")?;
/// let mut decoder = Decoder::new(&dialect);
/// let mut out = Vec::new();
/// decoder.push(b"512.3 mic", &mut out);
/// assert!(out.is_empty());
/// decoder.push(b"ron\r\n", &mut out);
/// let [Decoded::Sample(sample)] = out.as_slice() else { panic!() };
/// assert_eq!(sample.pressure().unwrap().micron().round(), 512.0);
/// # Ok::<(), sensor_reader::DialectError>(())
/// ```
///
/// # Joining in the middle of a line
/// A serial port opened while the gauge is talking starts anywhere: `1234
/// micron` may arrive as `34 micron`. [`Decoder::joining`] therefore trusts the
/// first line only when it can be shown to be whole: a line end (of a blank
/// line, say) came before it, or its checksum is right, or its first field
/// stands behind something that is not part of a number, or it is at least as
/// long as the line after it (for which it is held back).
/// Otherwise it is rejected as [`RejectReason::CutAtStart`].
/// A binary frame without a checksum is believed when another begins right
/// behind it, and from then on.
///
/// # Modbus
/// Registers do not come as a stream; for such a dialect the decoder rejects
/// whatever it is given.
#[derive(Debug)]
pub struct Decoder {
    dialect: Dialect,
    cutter: Cutter,
    told: Told,
}

/// What was told of the stream so far.
#[derive(Debug)]
struct Told {
    start: Start,
    line_no: u64,
    continuity: Continuity,
    /// The barometer that a line told last.
    barometer: Option<Pressure>,
}

/// What cuts the stream.
#[derive(Debug)]
enum Cutter {
    Lines(Framer),
    Frames(FrameCutter),
}

impl Cutter {
    fn new(shape: &Shape, joining: bool) -> Self {
        match &shape.framing {
            Framing::Lines {
                terminator,
                max_bytes,
            } => Self::Lines(Framer::new(terminator.clone(), *max_bytes)),
            Framing::Frames(rule) => {
                Self::Frames(FrameCutter::new(rule, checksum_place(shape), joining))
            }
            Framing::Registers(_) => Self::Lines(Framer::new(Terminator::Any, shape.max_bytes())),
        }
    }
}

/// Where in a frame the check value stands.
fn checksum_place(shape: &Shape) -> Option<ChecksumPlace> {
    let rule = shape.checksum.clone()?;
    let Finding::Binary(at) = &shape.finding else {
        return None;
    };
    let place = at.get(Field::Checksum)?;
    let width = match place.content {
        Content::Text(bytes) => bytes,
        Content::Number(..) => rule.kind.width_bytes(),
    };
    Some(ChecksumPlace {
        rule,
        start: place.start,
        width,
    })
}

/// What is known about the first line.
#[derive(Debug)]
enum Start {
    /// Lines are whole from here on.
    Whole,
    /// Nothing complete seen yet.
    Unseen,
    /// A first line that may be cut waits for the second.
    Held { sample: Sample, line: Vec<u8> },
}

impl Decoder {
    /// For a stream that starts at the beginning of a line (a recorded capture).
    #[must_use]
    pub fn new(dialect: &Dialect) -> Self {
        Self::starting(dialect, Start::Whole)
    }

    /// For a stream joined at any point (a port just opened).
    #[must_use]
    pub fn joining(dialect: &Dialect) -> Self {
        Self::starting(dialect, Start::Unseen)
    }

    fn starting(dialect: &Dialect, start: Start) -> Self {
        let joining = matches!(start, Start::Unseen);
        Self {
            cutter: Cutter::new(dialect.shape(), joining),
            dialect: dialect.clone(),
            told: Told {
                start,
                line_no: 0,
                continuity: Continuity::default(),
                barometer: None,
            },
        }
    }

    /// Takes bytes, appends what they complete to `out`, and returns how many
    /// bytes were consumed: always all of them, a line in progress is kept
    /// inside.
    pub fn push(&mut self, bytes: &[u8], out: &mut Vec<Decoded>) -> usize {
        let mut rest = bytes;
        let shape = self.dialect.shape();
        match &mut self.cutter {
            Cutter::Lines(framer) => {
                while let Some(piece) = framer.next(&mut rest) {
                    self.told.line(shape, piece, out);
                }
            }
            Cutter::Frames(cutter) => {
                while let Some(block) = cutter.next(&mut rest) {
                    self.told.block(shape, &block, out);
                }
            }
        }
        bytes.len() - rest.len()
    }

    /// The stream has ended: a line without its end, and a first line still
    /// held back, are reported as rejected, for they may be cut.
    pub fn finish(&mut self, out: &mut Vec<Decoded>) {
        if let Start::Held { sample, line } = std::mem::replace(&mut self.told.start, Start::Whole)
        {
            out.push(Decoded::Rejected(Rejected::new(
                &line,
                sample.line_no,
                RejectReason::CutAtStart,
            )));
        }
        let shape = self.dialect.shape();
        let (rubbish, tail) = match &mut self.cutter {
            Cutter::Lines(framer) => (Vec::new(), framer.unfinished().to_vec()),
            Cutter::Frames(cutter) => cutter.finish(),
        };
        for (bytes, why) in [
            (rubbish, RejectReason::NoFrame),
            (tail, RejectReason::CutAtEnd),
        ] {
            let echo = shape.ask.as_ref().is_some_and(|a| a.is_echo_or_ack(&bytes));
            if !bytes.is_empty() && !echo {
                self.told.line_no += 1;
                out.push(Decoded::Rejected(match &self.cutter {
                    Cutter::Lines(_) => Rejected::new(&bytes, self.told.line_no, why),
                    Cutter::Frames(_) => Rejected::binary(&bytes, self.told.line_no, why),
                }));
            }
        }
        self.cutter = Cutter::new(shape, false);
    }

    /// True while a first line waits to be confirmed by the second.
    #[must_use]
    pub fn is_holding(&self) -> bool {
        match &self.cutter {
            Cutter::Lines(_) => matches!(self.told.start, Start::Held { .. }),
            Cutter::Frames(cutter) => cutter.is_holding(),
        }
    }

    /// Bytes kept inside: a line or frame in progress, a first line held back,
    /// rubbish not yet reported. At most [`Decoder::most_held_bytes`].
    #[must_use]
    pub fn held_bytes(&self) -> usize {
        let first = match &self.told.start {
            Start::Held { line, .. } => line.len(),
            Start::Whole | Start::Unseen => 0,
        };
        first
            + match &self.cutter {
                Cutter::Lines(framer) => framer.held_bytes(),
                Cutter::Frames(cutter) => cutter.held_bytes(),
            }
    }

    /// The most bytes a decoder of this dialect ever keeps inside, however long
    /// the gauge says nothing that is whole.
    #[must_use]
    pub fn most_held_bytes(dialect: &Dialect) -> usize {
        let longest = dialect.max_line_bytes();
        match &dialect.shape().framing {
            Framing::Lines {
                terminator: Terminator::Exact(mark),
                ..
            } => 2 * (longest + mark.len()),
            Framing::Lines { .. } | Framing::Registers(_) => 2 * longest,
            // a frame, and the sync of the next by which it is believed
            Framing::Frames(rule) => longest + rule.sync.len() + MOST_RUBBISH,
        }
    }

    /// Lines seen so far: samples, busy and rejected lines, over-long lines; blank
    /// lines, and what a gauge says before its answer, do not count.
    #[must_use]
    pub fn lines(&self) -> u64 {
        self.told.line_no
    }
}

impl Told {
    fn line(&mut self, shape: &Shape, piece: Piece<'_>, out: &mut Vec<Decoded>) {
        let (understood, line) = match piece {
            Piece::Line {
                bytes,
                behind_an_end,
            } => {
                if behind_an_end && matches!(self.start, Start::Unseen) {
                    self.start = Start::Whole;
                }
                let line = match &shape.ask {
                    Some(ask) => ask.strip(bytes),
                    None => bytes,
                };
                if line.is_empty() {
                    return;
                }
                (understand_line(shape, line, self.barometer), line)
            }
            Piece::TooLong(head) => {
                let limit_bytes = shape.max_bytes();
                let why = RejectReason::TooLong { limit_bytes };
                (Line::rejected(why), head)
            }
        };
        self.line_no += 1;
        self.barometer = understood.barometer.or(self.barometer);
        if !self.came_again(shape, &understood, out) {
            self.settle(understood.meaning, line, out);
        }
    }

    fn block(&mut self, shape: &Shape, block: &Block, out: &mut Vec<Decoded>) {
        let (understood, bytes) = match block {
            Block::Rubbish(bytes) => {
                if shape.ask.as_ref().is_some_and(|a| a.is_echo_or_ack(bytes)) {
                    return;
                }
                // before the first frame it is most likely the end of another
                let why = match std::mem::replace(&mut self.start, Start::Whole) {
                    Start::Whole => RejectReason::NoFrame,
                    _ => RejectReason::CutAtStart,
                };
                (Line::rejected(why), bytes)
            }
            Block::Frame(bytes) => {
                self.start = Start::Whole;
                (understand_block(shape, bytes), bytes)
            }
        };
        self.line_no += 1;
        if self.came_again(shape, &understood, out) {
            return;
        }
        let line_no = self.line_no;
        match understood.meaning {
            Ok(Meaning::OtherChannel) => {}
            Ok(Meaning::Busy) => out.push(Decoded::Busy { line_no }),
            Ok(Meaning::Reading(understood)) => {
                out.push(Decoded::Sample(understood.reading.into_sample(line_no)));
            }
            Err(why) => out.push(Decoded::Rejected(Rejected::binary(bytes, line_no, why))),
        }
    }

    /// Follows the gauge's own count and tells where it breaks; true if this is
    /// the line before once more.
    fn came_again(&mut self, shape: &Shape, line: &Line, out: &mut Vec<Decoded>) -> bool {
        let (Some(rule), Some(turn)) = (shape.sequence, line.turn) else {
            return false;
        };
        let (content, whole) = match &line.meaning {
            Ok(Meaning::Reading(u)) => (Some(u.reading.content()), u.whole),
            // only a checksum vouches for these
            _ => (None, shape.checksum.is_some()),
        };
        // the count of a line that may be cut is no count
        if !whole && !matches!(self.start, Start::Whole) {
            return false;
        }
        let (broken, again) = self.continuity.follow(rule, turn, content);
        out.extend(broken.map(Decoded::Sequence));
        again && matches!(line.meaning, Ok(Meaning::Reading(_)))
    }

    /// Decides what becomes of a line, given what is known about the first one.
    fn settle(
        &mut self,
        meaning: Result<Meaning, RejectReason>,
        line: &[u8],
        out: &mut Vec<Decoded>,
    ) {
        let line_no = self.line_no;
        let understood = match meaning {
            Ok(Meaning::OtherChannel) => return,
            Ok(Meaning::Reading(understood)) => Ok(Some(understood)),
            Ok(Meaning::Busy) => Ok(None),
            Err(why) => Err(why),
        };
        let reject = |why| Decoded::Rejected(Rejected::new(line, line_no, why));
        match std::mem::replace(&mut self.start, Start::Whole) {
            Start::Whole => {}
            Start::Unseen => {
                match understood {
                    Err(_) => out.push(reject(RejectReason::CutAtStart)),
                    // whatever was cut off, no value is taken from it
                    Ok(None) => out.push(Decoded::Busy { line_no }),
                    Ok(Some(Understood { reading, whole })) => {
                        let sample = reading.into_sample(line_no);
                        if whole {
                            out.push(Decoded::Sample(sample));
                        } else {
                            self.start = Start::Held {
                                sample,
                                line: line.to_vec(),
                            };
                        }
                    }
                }
                return;
            }
            Start::Held {
                sample,
                line: first,
            } => {
                if understood.is_ok() && first.len() >= line.len() {
                    out.push(Decoded::Sample(sample));
                } else {
                    out.push(Decoded::Rejected(Rejected::new(
                        &first,
                        sample.line_no,
                        RejectReason::CutAtStart,
                    )));
                }
            }
        }
        out.push(match understood {
            Ok(Some(u)) => Decoded::Sample(u.reading.into_sample(line_no)),
            Ok(None) => Decoded::Busy { line_no },
            Err(why) => reject(why),
        });
    }
}
