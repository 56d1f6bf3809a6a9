//! Bytes of a file as clean text: UTF-8 or single-byte, line ends as `\n`.

use std::io::{self, Read};

use super::encoding::{Encoding, NotText, sniff};

/// Bytes read from the file at once.
const CHUNK: usize = 1 << 16;

/// Longest row: a file without line ends, or with an open quotation mark, must
/// not be read into memory whole.
const LONGEST_ROW: usize = 1 << 20;

/// What the bytes before decide about the next one.
#[derive(Debug, Clone, Copy, Default)]
struct Before {
    cr: bool,
    zero: bool,
}

/// Decodes a file while reading: drops a byte-order mark, turns UTF-16 into
/// UTF-8, CRLF and lone CR into LF, a run of zeros into one, and on request
/// runs of blanks into one.
#[derive(Debug)]
pub(crate) struct TextReader<R> {
    inner: R,
    encoding: Encoding,
    raw: Vec<u8>,
    /// Bytes of a character cut in two by the end of a chunk.
    raw_kept: usize,
    text: Vec<u8>,
    at: usize,
    before: Before,
    after_blank: bool,
    join_blanks: bool,
    ended: bool,
    since_row: usize,
    last_given: u8,
    cut_off: bool,
}

impl<R: Read> TextReader<R> {
    pub(crate) fn new(inner: R) -> io::Result<Result<Self, NotText>> {
        let mut reader = Self {
            inner,
            encoding: Encoding::Bytes,
            raw: vec![0; CHUNK],
            raw_kept: 0,
            text: Vec::with_capacity(CHUNK),
            at: 0,
            before: Before::default(),
            after_blank: true,
            join_blanks: false,
            ended: false,
            since_row: 0,
            last_given: b'\n',
            cut_off: false,
        };
        let length = reader.read_raw()?;
        let (encoding, skip) = match sniff(&reader.raw[..length]) {
            Ok(found) => found,
            Err(not_text) => return Ok(Err(not_text)),
        };
        reader.encoding = encoding;
        reader.raw.copy_within(skip..length, 0);
        reader.decode(length - skip);
        Ok(Ok(reader))
    }

    /// True once the end was reached and no line end stood there.
    pub(crate) fn is_cut_off(&self) -> bool {
        self.cut_off
    }

    /// The text not yet read, as far as it is in memory: at least one chunk of
    /// the file, or all of it.
    pub(crate) fn head(&self) -> &[u8] {
        &self.text[self.at..]
    }

    /// Skips text of the head.
    pub(crate) fn skip(&mut self, bytes: usize) {
        self.at = (self.at + bytes).min(self.text.len());
    }

    /// From here on, runs of blanks are one blank and rows begin without any.
    pub(crate) fn join_blanks(&mut self) {
        self.join_blanks = true;
        self.drop_blanks(self.at);
    }

    /// Takes the blanks behind others, and those a row begins with, out of the text
    /// from here on.
    fn drop_blanks(&mut self, from: usize) {
        let mut kept = from;
        for i in from..self.text.len() {
            let byte = self.text[i];
            let blank = byte == b' ';
            if !(blank && self.after_blank) {
                self.text[kept] = byte;
                kept += 1;
            }
            self.after_blank = blank || byte == b'\n';
        }
        self.text.truncate(kept);
    }

    /// Tells that a whole row was taken.
    pub(crate) fn row_taken(&mut self) {
        self.since_row = 0;
    }

    /// Fills the raw buffer behind what was kept; the number of bytes in it.
    fn read_raw(&mut self) -> io::Result<usize> {
        let mut length = self.raw_kept;
        while length < self.raw.len() {
            match self.inner.read(&mut self.raw[length..]) {
                Ok(0) => {
                    self.ended = true;
                    break;
                }
                Ok(n) => length += n,
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e),
            }
        }
        Ok(length)
    }

    fn fill(&mut self) -> io::Result<()> {
        self.text.drain(..self.at);
        self.at = 0;
        let length = self.read_raw()?;
        self.decode(length);
        Ok(())
    }

    /// Appends the decoded raw bytes to the text.
    fn decode(&mut self, length: usize) {
        let from = self.text.len();
        self.raw_kept = 0;
        match self.encoding {
            Encoding::Bytes => self.decode_bytes(length),
            Encoding::Utf16Le => self.decode_utf16(length, u16::from_le_bytes),
            Encoding::Utf16Be => self.decode_utf16(length, u16::from_be_bytes),
        }
        if self.join_blanks {
            self.drop_blanks(from);
        }
        self.since_row += self.text.len() - from;
    }

    fn decode_bytes(&mut self, length: usize) {
        let raw = &self.raw[..length];
        // no early end, so that many bytes are looked at at once
        let odd = raw
            .iter()
            .fold(false, |odd, b| odd | (*b == b'\r') | (*b == 0));
        if !self.before.cr && !odd {
            self.before.zero &= raw.is_empty();
            self.text.extend_from_slice(raw);
            return;
        }
        for i in 0..length {
            self.push_unit(self.raw[i]);
        }
    }

    /// One byte of text with its line end made `\n`.
    fn push_unit(&mut self, byte: u8) {
        let second = self.before.cr && byte == b'\n' || self.before.zero && byte == 0;
        self.before = Before {
            cr: byte == b'\r',
            zero: byte == 0,
        };
        if !second {
            self.text.push(if byte == b'\r' { b'\n' } else { byte });
        }
    }

    fn decode_utf16(&mut self, length: usize, unit: fn([u8; 2]) -> u16) {
        let mut whole = length - length % 2;
        let units: Vec<u16> = self.raw[..whole]
            .chunks_exact(2)
            .map(|b| unit([b[0], b[1]]))
            .collect();
        let cut = units
            .last()
            .is_some_and(|u| (0xd800..0xdc00).contains(u) && !self.ended);
        let units = if cut {
            whole -= 2;
            &units[..units.len() - 1]
        } else {
            &units[..]
        };
        for c in char::decode_utf16(units.iter().copied()) {
            let c = c.unwrap_or(char::REPLACEMENT_CHARACTER);
            for b in c.encode_utf8(&mut [0; 4]).bytes() {
                self.push_unit(b);
            }
        }
        self.raw.copy_within(whole..length, 0);
        self.raw_kept = length - whole;
    }
}

impl<R: Read> Read for TextReader<R> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        while self.at == self.text.len() {
            if self.ended {
                // the last row ends like every other, so rows can be counted by ends
                if self.last_given == b'\n' || buf.is_empty() {
                    return Ok(0);
                }
                self.cut_off = true;
                self.last_given = b'\n';
                buf[0] = b'\n';
                return Ok(1);
            }
            if self.since_row > LONGEST_ROW {
                return Err(io::ErrorKind::FileTooLarge.into());
            }
            self.fill()?;
        }
        let n = buf.len().min(self.text.len() - self.at);
        buf[..n].copy_from_slice(&self.text[self.at..self.at + n]);
        self.at += n;
        if n > 0 {
            self.last_given = buf[n - 1];
        }
        Ok(n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives a few bytes at a time, so that every character is cut somewhere.
    struct Drip<'a>(&'a [u8], usize);

    impl Read for Drip<'_> {
        fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
            let n = self.1.min(self.0.len()).min(buf.len());
            buf[..n].copy_from_slice(&self.0[..n]);
            self.0 = &self.0[n..];
            Ok(n)
        }
    }

    fn decoded(bytes: &[u8]) -> String {
        let mut out = String::new();
        TextReader::new(Drip(bytes, 3))
            .unwrap()
            .unwrap()
            .read_to_string(&mut out)
            .unwrap();
        out
    }

    fn utf16(text: &str, unit: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(unit).collect()
    }

    #[test]
    fn every_line_end_is_one() {
        assert_eq!(decoded(b"a\r\nb\rc\nd\r\r\ne"), "a\nb\nc\nd\n\ne\n");
    }

    #[test]
    fn byte_order_marks_and_utf16_are_understood() {
        assert_eq!(decoded("\u{feff}t,µm\n".as_bytes()), "t,µm\n");
        let text = "time;p (µm)\r\n1;2 𝄞\r\n".repeat(20_000);
        let clean = text.replace('\r', "");
        let mut le = vec![0xff, 0xfe];
        le.extend(utf16(&text, u16::to_le_bytes));
        assert_eq!(decoded(&le), clean);
        let mut be = vec![0xfe, 0xff];
        be.extend(utf16(&text, u16::to_be_bytes));
        assert_eq!(decoded(&be), clean);
        assert_eq!(decoded(&le[2..]), clean);
    }

    #[test]
    fn binary_files_are_told_from_text() {
        let not_text = |bytes: &[u8]| TextReader::new(bytes).unwrap().is_err();
        assert!(not_text(
            b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0\0\0\x03\0>\0\x01\0\0\0"
        ));
        assert!(not_text(b"PK\x03\x04 zipped"));
        assert!(not_text(&[0; 100]));
        assert!(!not_text(b"t,p\n1,2\n\0\0\0\0\0\0\0\0\0\0"));
        assert!(!not_text("t;p (\u{b5}m) \u{b0}C\n".as_bytes()));
    }

    #[test]
    fn blanks_join_into_one() {
        let mut reader = TextReader::new(&b"  t   p\n 1    2\n"[..])
            .unwrap()
            .unwrap();
        reader.join_blanks();
        let mut out = String::new();
        reader.read_to_string(&mut out).unwrap();
        assert_eq!(out, "t p\n1 2\n");
    }
}
