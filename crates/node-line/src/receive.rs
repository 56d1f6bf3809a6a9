use crate::{DecodeError, LONGEST, Line, decode};

/// Puts bytes that come in pieces together to lines.
///
/// After damage it is back in step at the next line feed. Its memory is one
/// line, however long rubbish goes on.
///
/// ```
/// let mut receiver = node_line::Receiver::new();
/// let mut heard = Vec::new();
/// for piece in [&b"1.0 micr"[..], b"on\nN1 417 208.500 501.2 mic", b"ron 23.1 ok 3BFB\r\n"] {
///     heard.extend(piece.iter().filter_map(|byte| receiver.push(*byte)));
/// }
/// assert!(heard[0].is_err());
/// assert_eq!(heard[1].map(|line| line.sequence), Ok(417));
/// ```
#[derive(Debug, Clone)]
pub struct Receiver {
    // one more than a whole line without its line feed: a carriage return
    held: [u8; LONGEST],
    used: usize,
    too_long: bool,
}

impl Receiver {
    /// Nothing heard yet.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            held: [0; LONGEST],
            used: 0,
            too_long: false,
        }
    }

    /// Takes one byte; at a line feed says what the line was. Empty lines say nothing.
    pub fn push(&mut self, byte: u8) -> Option<Result<Line, DecodeError>> {
        if byte != b'\n' {
            match self.held.get_mut(self.used) {
                Some(place) => {
                    *place = byte;
                    self.used += 1;
                }
                None => self.too_long = true,
            }
            return None;
        }
        let line = self.held.get(..self.used).unwrap_or_default();
        let heard = match line {
            _ if self.too_long => Some(Err(DecodeError::TooLong)),
            b"" | b"\r" => None,
            line => Some(decode(line)),
        };
        self.used = 0;
        self.too_long = false;
        heard
    }
}

impl Default for Receiver {
    fn default() -> Self {
        Self::new()
    }
}
