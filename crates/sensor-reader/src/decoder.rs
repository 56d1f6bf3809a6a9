//! Bytes in, readings out: no I/O, no clock.

use crate::{
    Dialect,
    dialect::{Framing, Shape},
    find::{Content, Field, Finding},
    framer::{Framer, Piece},
    frames::{Block, ChecksumPlace, FrameCutter},
    sample::{Decoded, RejectReason, Rejected, Sample},
    understand::{Understood, understand_block, understand_line},
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
    start: Start,
    line_no: u64,
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
            Framing::Registers(_) => Self::Lines(Framer::new(
                crate::dialect::Terminator::Any,
                shape.max_bytes(),
            )),
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
            start,
            line_no: 0,
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
                    take_line(shape, piece, &mut self.start, &mut self.line_no, out);
                }
            }
            Cutter::Frames(cutter) => {
                while let Some(block) = cutter.next(&mut rest) {
                    take_block(shape, &block, &mut self.start, &mut self.line_no, out);
                }
            }
        }
        bytes.len() - rest.len()
    }

    /// The stream has ended: a line without its end, and a first line still
    /// held back, are reported as rejected, for they may be cut.
    pub fn finish(&mut self, out: &mut Vec<Decoded>) {
        if let Start::Held { sample, line } = std::mem::replace(&mut self.start, Start::Whole) {
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
            let courtesy = shape.ask.as_ref().is_some_and(|a| a.is_courtesy(&bytes));
            if !bytes.is_empty() && !courtesy {
                self.line_no += 1;
                out.push(Decoded::Rejected(match &self.cutter {
                    Cutter::Lines(_) => Rejected::new(&bytes, self.line_no, why),
                    Cutter::Frames(_) => Rejected::binary(&bytes, self.line_no, why),
                }));
            }
        }
        self.cutter = Cutter::new(shape, false);
    }

    /// True while a first line waits to be confirmed by the second.
    #[must_use]
    pub fn is_holding(&self) -> bool {
        match &self.cutter {
            Cutter::Lines(_) => matches!(self.start, Start::Held { .. }),
            Cutter::Frames(cutter) => cutter.is_holding(),
        }
    }

    /// Lines seen so far: samples, rejected lines and over-long lines; blank
    /// lines, and what a gauge says before its answer, do not count.
    #[must_use]
    pub fn lines(&self) -> u64 {
        self.line_no
    }
}

fn take_line(
    shape: &Shape,
    piece: Piece<'_>,
    start: &mut Start,
    line_no: &mut u64,
    out: &mut Vec<Decoded>,
) {
    let (understood, line) = match piece {
        Piece::Line {
            bytes,
            behind_an_end,
        } => {
            if behind_an_end && matches!(start, Start::Unseen) {
                *start = Start::Whole;
            }
            let line = match &shape.ask {
                Some(ask) => ask.strip(bytes),
                None => bytes,
            };
            if line.is_empty() {
                return;
            }
            *line_no += 1;
            (understand_line(shape, line), line)
        }
        Piece::TooLong(head) => {
            *line_no += 1;
            let limit_bytes = shape.max_bytes();
            (Err(RejectReason::TooLong { limit_bytes }), head)
        }
    };
    match understood {
        Ok(None) => {}
        Ok(Some(understood)) => settle(start, Ok(understood), line, *line_no, out),
        Err(why) => settle(start, Err(why), line, *line_no, out),
    }
}

fn take_block(
    shape: &Shape,
    block: &Block,
    start: &mut Start,
    line_no: &mut u64,
    out: &mut Vec<Decoded>,
) {
    let (understood, bytes) = match block {
        Block::Rubbish(bytes) => {
            if shape.ask.as_ref().is_some_and(|a| a.is_courtesy(bytes)) {
                return;
            }
            // before the first frame it is most likely the end of another
            let why = match std::mem::replace(start, Start::Whole) {
                Start::Whole => RejectReason::NoFrame,
                _ => RejectReason::CutAtStart,
            };
            (Err(why), bytes)
        }
        Block::Frame(bytes) => {
            *start = Start::Whole;
            (understand_block(shape, bytes), bytes)
        }
    };
    *line_no += 1;
    match understood {
        Ok(None) => {}
        Ok(Some(understood)) => {
            out.push(Decoded::Sample(understood.reading.into_sample(*line_no)));
        }
        Err(why) => out.push(Decoded::Rejected(Rejected::binary(bytes, *line_no, why))),
    }
}

/// Decides what becomes of a line, given what is known about the first one.
fn settle(
    start: &mut Start,
    understood: Result<Understood, RejectReason>,
    line: &[u8],
    line_no: u64,
    out: &mut Vec<Decoded>,
) {
    let reject = |why| Decoded::Rejected(Rejected::new(line, line_no, why));
    match std::mem::replace(start, Start::Whole) {
        Start::Whole => {}
        Start::Unseen => {
            match understood {
                Err(_) => out.push(reject(RejectReason::CutAtStart)),
                Ok(Understood { reading, whole }) => {
                    let sample = reading.into_sample(line_no);
                    if whole {
                        out.push(Decoded::Sample(sample));
                    } else {
                        *start = Start::Held {
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
        Ok(u) => Decoded::Sample(u.reading.into_sample(line_no)),
        Err(why) => reject(why),
    });
}
