//! Bytes of a file as clean text: UTF-8 or single-byte, line ends as `\n`.

use std::io::{self, Read};

/// Bytes read from the file at once.
const CHUNK: usize = 1 << 16;

/// Longest row: a file without line ends, or with an open quotation mark, must
/// not be read into memory whole.
const LONGEST_ROW: usize = 1 << 20;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Encoding {
    /// UTF-8, or any single-byte code page.
    Bytes,
    Utf16Le,
    Utf16Be,
}

/// Why a file is not text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NotText {
    pub(crate) hint: &'static str,
}

/// Decodes a file while reading: drops a byte-order mark, turns UTF-16 into
/// UTF-8, CRLF and lone CR into LF, and on request runs of blanks into one.
#[derive(Debug)]
pub(crate) struct TextReader<R> {
    inner: R,
    encoding: Encoding,
    raw: Vec<u8>,
    /// Bytes of a character cut in two by the end of a chunk.
    raw_kept: usize,
    text: Vec<u8>,
    at: usize,
    after_cr: bool,
    after_blank: bool,
    join_blanks: bool,
    ended: bool,
    since_row: usize,
    last_given: u8,
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
            after_cr: false,
            after_blank: true,
            join_blanks: false,
            ended: false,
            since_row: 0,
            last_given: b'\n',
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
        let mut kept = self.at;
        for i in self.at..self.text.len() {
            let b = self.text[i];
            if self.keeps(b) {
                self.text[kept] = b;
                kept += 1;
            }
        }
        self.text.truncate(kept);
    }

    /// Tells that a whole row was taken.
    pub(crate) fn row_taken(&mut self) {
        self.since_row = 0;
    }

    fn keeps(&mut self, byte: u8) -> bool {
        let blank = byte == b' ';
        let keep = !(blank && self.after_blank);
        self.after_blank = blank || byte == b'\n';
        keep
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
            let mut kept = from;
            for i in from..self.text.len() {
                let b = self.text[i];
                if self.keeps(b) {
                    self.text[kept] = b;
                    kept += 1;
                }
            }
            self.text.truncate(kept);
        }
        self.since_row += self.text.len() - from;
    }

    fn decode_bytes(&mut self, length: usize) {
        if !self.after_cr && !self.raw[..length].contains(&b'\r') {
            self.text.extend_from_slice(&self.raw[..length]);
            return;
        }
        for i in 0..length {
            self.push_unit(self.raw[i]);
        }
    }

    /// One byte of text with its line end made `\n`.
    fn push_unit(&mut self, byte: u8) {
        let second_of_crlf = self.after_cr && byte == b'\n';
        self.after_cr = byte == b'\r';
        if !second_of_crlf {
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

/// Encoding and length of the byte-order mark, or why it is no text.
fn sniff(head: &[u8]) -> Result<(Encoding, usize), NotText> {
    if head.starts_with(b"\xef\xbb\xbf") {
        return plain(head).map(|e| (e, 3));
    }
    if head.starts_with(b"\xff\xfe") {
        return Ok((Encoding::Utf16Le, 2));
    }
    if head.starts_with(b"\xfe\xff") {
        return Ok((Encoding::Utf16Be, 2));
    }
    // Latin text in UTF-16 without a mark has a zero in nearly every second byte
    let sample = &head[..head.len().min(512)];
    let zeros = |from: usize| {
        sample
            .iter()
            .skip(from)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd, half) = (zeros(0), zeros(1), sample.len() / 2);
    if half >= 8 && odd * 10 >= half * 9 && even == 0 {
        return Ok((Encoding::Utf16Le, 0));
    }
    if half >= 8 && even * 10 >= half * 9 && odd == 0 {
        return Ok((Encoding::Utf16Be, 0));
    }
    plain(head).map(|e| (e, 0))
}

fn plain(head: &[u8]) -> Result<Encoding, NotText> {
    let hint = if head.starts_with(b"PK\x03\x04") {
        " but a spreadsheet workbook or an archive"
    } else if head.starts_with(b"%PDF") {
        " but a PDF"
    } else {
        ""
    };
    let control = |b: &u8| *b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x0c | 0x1a | 0x1b);
    // zeros behind good text are the mark of a power cut, not of a binary file
    let text_end = head.iter().rposition(|b| *b != 0).map_or(0, |i| i + 1);
    let strange = head[..text_end].iter().filter(|b| control(b)).count();
    if hint.is_empty() && strange * 50 <= text_end && (text_end > 0 || head.is_empty()) {
        Ok(Encoding::Bytes)
    } else {
        Err(NotText { hint })
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
