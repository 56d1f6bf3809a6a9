//! A file that runs newest first, read from its end: the same rows, oldest
//! first, in flat memory.
//!
//! One pass notes where every quarter of a megabyte begins, always at the start
//! of a row; then the blocks are read from the last to the first, and the rows
//! of each are handed on from its last to its first.

use std::{
    fs::File,
    io::{self, Read, Seek, SeekFrom},
};

use super::{
    encoding::Encoding,
    text::{LONGEST_ROW, Place, TextReader},
};

/// Least text in a block.
const BLOCK: usize = 1 << 18;

/// Tells where rows end, with the rules for quotation marks of RFC 4180: they
/// count at the start of a cell only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Quoting {
    CellStart,
    Plain,
    Inside,
    MaybeClosed,
}

impl Quoting {
    /// What comes after `byte`; a row ends where a line end gives `CellStart`.
    fn after(self, byte: u8, delimiter: u8) -> Self {
        match (self, byte) {
            (Self::Inside, b'"') => Self::MaybeClosed,
            (Self::Inside, _) | (Self::CellStart | Self::MaybeClosed, b'"') => Self::Inside,
            (_, b'\n') => Self::CellStart,
            (_, b) if b == delimiter => Self::CellStart,
            _ => Self::Plain,
        }
    }
}

/// Some whole rows of the file.
#[derive(Debug, Clone, Copy)]
struct Block {
    /// Where decoding begins.
    place: Place,
    /// Text before its first row there.
    skip: usize,
    length: usize,
}

/// Walks through a file once and cuts it into blocks.
struct Cutter {
    delimiter: u8,
    quoting: Quoting,
    blocks: Vec<Block>,
    open: Block,
    lines: u64,
    /// Text since the last row end.
    row: usize,
}

/// Why a file could not be cut into blocks.
#[derive(Debug)]
pub(super) enum CutError {
    Io(io::Error),
    /// The row, counted from the first one of the body, that has no end.
    RowTooLong(u64),
}

impl Cutter {
    /// Takes the text of a chunk, `skip` bytes of which come before the table.
    fn chunk(&mut self, text: &[u8], place: Place, skip: usize) -> Result<(), CutError> {
        let body = &text[skip..];
        if body.contains(&b'"') || matches!(self.quoting, Quoting::Inside | Quoting::MaybeClosed) {
            for (i, b) in body.iter().enumerate() {
                self.quoting = self.quoting.after(*b, self.delimiter);
                self.open.length += 1;
                self.row += 1;
                self.lines += u64::from(*b == b'\n');
                if *b == b'\n' && self.quoting == Quoting::CellStart {
                    self.row = 0;
                    self.row_ended(place, skip + i + 1);
                }
            }
        } else {
            self.plain_chunk(body, place, skip);
        }
        if self.row > LONGEST_ROW {
            return Err(CutError::RowTooLong(self.lines));
        }
        Ok(())
    }

    /// A chunk without any quotation mark: every line end ends a row.
    fn plain_chunk(&mut self, body: &[u8], place: Place, skip: usize) {
        self.lines += body.iter().filter(|b| **b == b'\n').count() as u64;
        let last_end = body.iter().rposition(|b| *b == b'\n');
        self.row = last_end.map_or(self.row + body.len(), |at| body.len() - at - 1);
        self.quoting = match body.last() {
            None => self.quoting,
            Some(b) => Quoting::Plain.after(*b, self.delimiter),
        };
        let short = BLOCK.saturating_sub(self.open.length + 1);
        let from = short.min(body.len());
        match body[from..].iter().position(|b| *b == b'\n') {
            Some(at) => {
                let end = from + at + 1;
                self.open.length += end;
                self.row_ended(place, skip + end);
                self.open.length += body.len() - end;
            }
            None => self.open.length += body.len(),
        }
    }

    fn row_ended(&mut self, place: Place, skip: usize) {
        if self.open.length >= BLOCK {
            self.blocks.push(self.open);
            self.open = Block {
                place,
                skip,
                length: 0,
            };
        }
    }
}

/// Gives the text of a table with its rows in reverse order.
#[derive(Debug)]
pub(super) struct NewestFirst {
    file: File,
    encoding: Encoding,
    delimiter: u8,
    blocks: Vec<Block>,
    text: Vec<u8>,
    at: usize,
    /// Lines of the table.
    pub(super) lines: u64,
}

impl NewestFirst {
    /// Cuts the table that begins `skip` bytes into the text of `file`.
    pub(super) fn new(mut file: File, skip: usize, delimiter: u8) -> Result<Self, CutError> {
        file.rewind().map_err(CutError::Io)?;
        let mut text = match TextReader::new(&file).map_err(CutError::Io)? {
            Ok(text) => text,
            // it was text a moment ago
            Err(_) => return Err(CutError::Io(io::ErrorKind::InvalidData.into())),
        };
        let open = Block {
            place: text.place(),
            skip,
            length: 0,
        };
        let mut cutter = Cutter {
            delimiter,
            quoting: Quoting::CellStart,
            blocks: Vec::new(),
            open,
            lines: 0,
            row: 0,
        };
        let mut skip = skip;
        loop {
            cutter.chunk(text.head(), text.place(), skip)?;
            skip = 0;
            if !text.next_chunk().map_err(CutError::Io)? {
                break;
            }
        }
        let (encoding, mut lines) = (text.encoding(), cutter.lines);
        if cutter.open.length > 0 {
            cutter.blocks.push(cutter.open);
        }
        lines += u64::from(cutter.row > 0);
        Ok(Self {
            file,
            encoding,
            delimiter,
            blocks: cutter.blocks,
            text: Vec::new(),
            at: 0,
            lines,
        })
    }

    /// Reads a block and turns its rows round.
    fn load(&mut self, block: Block) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(block.place.raw_at()))?;
        let mut reader = TextReader::resume(&self.file, self.encoding, block.place);
        let mut skip = block.skip;
        let mut rows = Vec::with_capacity(block.length + 1);
        while rows.len() < block.length && reader.next_chunk()? {
            let head = reader.head();
            let from = skip.min(head.len());
            skip -= from;
            let to = head.len().min(from + block.length - rows.len());
            rows.extend_from_slice(&head[from..to]);
        }
        if rows.len() < block.length {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        if rows.last() != Some(&b'\n') {
            rows.push(b'\n');
        }
        self.text.clear();
        self.at = 0;
        if !rows.contains(&b'"') {
            for row in rows.split_inclusive(|b| *b == b'\n').rev() {
                self.give_row(row);
            }
            return Ok(());
        }
        let mut quoting = Quoting::CellStart;
        let mut starts = vec![0];
        for (i, b) in rows.iter().enumerate() {
            quoting = quoting.after(*b, self.delimiter);
            if *b == b'\n' && quoting == Quoting::CellStart {
                starts.push(i + 1);
            }
        }
        // what a quotation mark left open swallows stays one row, and is closed
        // so that it does not swallow what now comes behind it
        if starts.last() != Some(&rows.len()) {
            rows.pop();
            rows.extend_from_slice(b"\"\n");
            starts.push(rows.len());
        }
        for ends in starts.windows(2).rev() {
            self.give_row(&rows[ends[0]..ends[1]]);
        }
        Ok(())
    }

    fn give_row(&mut self, row: &[u8]) {
        if self.delimiter != b' ' {
            self.text.extend_from_slice(row);
            return;
        }
        let mut after_blank = true;
        for b in row {
            if !(*b == b' ' && after_blank) {
                self.text.push(*b);
            }
            after_blank = matches!(b, b' ' | b'\n');
        }
    }
}

impl Read for NewestFirst {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        while self.at == self.text.len() {
            match self.blocks.pop() {
                Some(block) => self.load(block)?,
                None => return Ok(0),
            }
        }
        let n = buf.len().min(self.text.len() - self.at);
        buf[..n].copy_from_slice(&self.text[self.at..self.at + n]);
        self.at += n;
        Ok(n)
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use proptest::prelude::*;

    use super::*;

    fn reversed(text: &[u8], skip: usize, delimiter: u8) -> (Vec<u8>, u64) {
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(text).unwrap();
        let mut rows = NewestFirst::new(file, skip, delimiter).unwrap();
        let mut out = Vec::new();
        rows.read_to_end(&mut out).unwrap();
        (out, rows.lines)
    }

    fn records(text: &[u8]) -> Vec<csv::ByteRecord> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .terminator(csv::Terminator::Any(b'\n'))
            .from_reader(text)
            .byte_records()
            .map(Result::unwrap)
            .collect()
    }

    #[test]
    fn rows_come_back_from_the_last_to_the_first() {
        let text = b"t,p\n3,\"a\nb\"\r\n2,x\"y\r\n\r\n1,z";
        let (out, lines) = reversed(text, 4, b',');
        assert_eq!(out, b"1,z\n\n2,x\"y\n3,\"a\nb\"\n");
        assert_eq!(lines, 5);
    }

    #[test]
    fn blocks_of_a_large_file_meet_without_a_seam() {
        for ends in ["\n", "\r\n", "\r"] {
            for quoted in ["", "\""] {
                let row = |i: u32| format!("{i},{quoted}{}{quoted}", "7".repeat(i as usize % 40));
                let mut text = format!("t,p{ends}");
                let mut wanted = String::new();
                for i in (0..60_000).rev() {
                    text += &row(i);
                    text += ends;
                }
                for i in 0..60_000 {
                    wanted += &row(i);
                    wanted.push('\n');
                }
                let (out, lines) = reversed(text.as_bytes(), 4, b',');
                assert!(out == wanted.as_bytes(), "{ends:?} {quoted:?}");
                assert_eq!(lines, 60_000);
                let utf16: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
                let (out, _) = reversed(&utf16, 4, b',');
                assert!(out == wanted.as_bytes(), "UTF-16 {ends:?} {quoted:?}");
            }
        }
    }

    proptest! {
        /// The csv crate, which cuts rows by its own rules, is the reference.
        #[test]
        fn rows_are_cut_as_the_csv_reader_cuts_them(text in "[a,\"\n]{1,40}") {
            let mut wanted = records(text.as_bytes());
            wanted.reverse();
            let (out, _) = reversed(text.as_bytes(), 0, b',');
            let found = records(&out);
            let end = text.bytes().fold(Quoting::CellStart, |q, b| q.after(b, b','));
            if end != Quoting::Inside {
                prop_assert_eq!(found, wanted);
            }
        }
    }
}
