//! Bytes in, readings out: no I/O, no clock.

use crate::{
    Dialect,
    framer::{Framer, Piece},
    sample::{Decoded, RejectReason, Rejected, Sample},
    understand::{Understood, understand},
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
#[derive(Debug)]
pub struct Decoder {
    dialect: Dialect,
    framer: Framer,
    start: Start,
    line_no: u64,
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
        let shape = dialect.shape();
        Self {
            dialect: dialect.clone(),
            framer: Framer::new(shape.terminator.clone(), shape.max_bytes),
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
        while let Some(piece) = self.framer.next(&mut rest) {
            self.line_no += 1;
            let (understood, line) = match piece {
                Piece::Line {
                    bytes,
                    behind_an_end,
                } => {
                    if behind_an_end && matches!(self.start, Start::Unseen) {
                        self.start = Start::Whole;
                    }
                    (understand(shape, bytes), bytes)
                }
                Piece::TooLong(head) => {
                    let limit_bytes = shape.max_bytes;
                    (Err(RejectReason::TooLong { limit_bytes }), head)
                }
            };
            settle(&mut self.start, understood, line, self.line_no, out);
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
        let tail = self.framer.unfinished();
        if !tail.is_empty() {
            out.push(Decoded::Rejected(Rejected::new(
                tail,
                self.line_no + 1,
                RejectReason::CutAtEnd,
            )));
        }
        let shape = self.dialect.shape();
        self.framer = Framer::new(shape.terminator.clone(), shape.max_bytes);
    }

    /// True while a first line waits to be confirmed by the second.
    #[must_use]
    pub fn is_holding(&self) -> bool {
        matches!(self.start, Start::Held { .. })
    }

    /// Lines seen so far: samples, rejected lines and over-long lines; blank
    /// lines do not count.
    #[must_use]
    pub fn lines(&self) -> u64 {
        self.line_no
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
