//! Cuts a byte stream into lines, bounded, whatever the chunks.

use crate::dialect::Terminator;

/// A piece of the stream that [`Framer::next`] found complete.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Piece<'l> {
    /// A line without its terminator, not blank.
    Line {
        bytes: &'l [u8],
        /// The end of another line, perhaps a blank one, was seen right before it.
        behind_an_end: bool,
    },
    /// The line in progress outgrew the limit: its first bytes. The rest, up to
    /// the next terminator, is dropped without further notice.
    TooLong(&'l [u8]),
}

/// Line framing state: pure, one byte stream.
#[derive(Debug)]
pub(crate) struct Framer {
    terminator: Terminator,
    max_bytes: usize,
    line: Vec<u8>,
    /// The current line is too long and already reported.
    skipping: bool,
    /// `line` was handed out and must be emptied before the next byte.
    handed_out: bool,
    /// A terminator was seen, be it that of a blank line.
    end_seen: bool,
}

impl Framer {
    pub(crate) fn new(terminator: Terminator, max_bytes: usize) -> Self {
        Self {
            terminator,
            max_bytes,
            line: Vec::new(),
            skipping: false,
            handed_out: false,
            end_seen: false,
        }
    }

    /// Takes bytes from the front of `bytes` until a piece is complete or the
    /// bytes are used up.
    pub(crate) fn next<'s>(&'s mut self, bytes: &mut &[u8]) -> Option<Piece<'s>> {
        if std::mem::take(&mut self.handed_out) {
            self.line.clear();
        }
        match self.terminator {
            Terminator::Any => self.next_any(bytes),
            Terminator::Exact(_) => self.next_exact(bytes),
        }
    }

    fn next_any<'s>(&'s mut self, bytes: &mut &[u8]) -> Option<Piece<'s>> {
        while !bytes.is_empty() {
            let end = bytes.iter().position(|b| matches!(b, b'\r' | b'\n'));
            let (head, rest) = bytes.split_at(end.unwrap_or(bytes.len()));
            *bytes = rest;
            if !self.skipping {
                let room = self.max_bytes - self.line.len();
                if head.len() > room {
                    self.line.extend_from_slice(&head[..room]);
                    self.skipping = true;
                    self.handed_out = true;
                    return Some(Piece::TooLong(&self.line));
                }
                self.line.extend_from_slice(head);
            }
            if end.is_some() {
                *bytes = &bytes[1..];
                let behind_an_end = std::mem::replace(&mut self.end_seen, true);
                if std::mem::take(&mut self.skipping) {
                    self.line.clear();
                } else if self.line.trim_ascii().is_empty() {
                    // the second half of CRLF, or a blank line
                    self.line.clear();
                } else {
                    self.handed_out = true;
                    return Some(Piece::Line {
                        bytes: &self.line,
                        behind_an_end,
                    });
                }
            }
        }
        None
    }

    fn next_exact<'s>(&'s mut self, bytes: &mut &[u8]) -> Option<Piece<'s>> {
        let Terminator::Exact(mark) = &self.terminator else {
            return None;
        };
        while let Some((&byte, rest)) = bytes.split_first() {
            *bytes = rest;
            self.line.push(byte);
            if self.line.ends_with(mark) {
                let body = self.line.len() - mark.len();
                let behind_an_end = std::mem::replace(&mut self.end_seen, true);
                if std::mem::take(&mut self.skipping) || self.line[..body].trim_ascii().is_empty() {
                    self.line.clear();
                } else {
                    self.handed_out = true;
                    return Some(Piece::Line {
                        bytes: &self.line[..body],
                        behind_an_end,
                    });
                }
            } else if self.skipping {
                // keep only what may be the beginning of a terminator
                let surplus = self.line.len().saturating_sub(mark.len());
                self.line.drain(..surplus);
            } else if self.line.len() >= self.max_bytes + mark.len() {
                self.skipping = true;
                // not emptied: its tail may begin a terminator
                return Some(Piece::TooLong(&self.line[..self.max_bytes]));
            }
        }
        None
    }

    /// Bytes kept of a line in progress, or of the end of one that is skipped.
    pub(crate) fn held_bytes(&self) -> usize {
        if self.handed_out { 0 } else { self.line.len() }
    }

    /// Bytes of a line begun but not ended.
    pub(crate) fn unfinished(&self) -> &[u8] {
        if self.handed_out || self.skipping {
            &[]
        } else {
            self.line.trim_ascii()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(terminator: Terminator, max: usize, chunks: &[&[u8]]) -> Vec<String> {
        let mut framer = Framer::new(terminator, max);
        let mut out = Vec::new();
        for chunk in chunks {
            let mut rest = *chunk;
            while let Some(piece) = framer.next(&mut rest) {
                out.push(match piece {
                    Piece::Line { bytes, .. } => String::from_utf8_lossy(bytes).into_owned(),
                    Piece::TooLong(l) => format!("!{}", String::from_utf8_lossy(l)),
                });
            }
        }
        out.push(format!("?{}", String::from_utf8_lossy(framer.unfinished())));
        out
    }

    #[test]
    fn any_mix_of_ends() {
        let out = cut(
            Terminator::Any,
            8,
            &[b"a\r", b"\nb\n\n\rc\r \r\nd", b"e\nf"],
        );
        assert_eq!(out, ["a", "b", "c", "de", "?f"]);
    }

    #[test]
    fn too_long_is_reported_once_and_skipped() {
        let out = cut(Terminator::Any, 4, &[b"abcd\nabcdefg", b"hij", b"k\nx\n"]);
        assert_eq!(out, ["abcd", "!abcd", "x", "?"]);
        let two = || Terminator::Exact(b"\r\n".to_vec());
        let out = cut(two(), 4, &[b"abcd\r\nabcdefg", b"hij\r", b"k\r\nx\r\ny"]);
        assert_eq!(out, ["abcd", "!abcd", "x", "?y"]);
    }

    #[test]
    fn exact_end_right_behind_an_over_long_line() {
        // the terminator straddles the point where the limit is noticed
        let out = cut(Terminator::Exact(b"\r\n".to_vec()), 4, &[b"abcde\r\nx\r\n"]);
        assert_eq!(out, ["!abcd", "x", "?"]);
    }
}
