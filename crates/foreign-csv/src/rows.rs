//! The rows of the table, oldest first, with their numbers.

use std::{fs::File, io};

use csv::{ByteRecord, ReaderBuilder, Terminator};

use super::{
    error::ImportProblem,
    newest_first::{Full, KeptRows},
    text::TextReader,
};

/// Gives row after row of a table.
pub(crate) struct Rows {
    csv: csv::Reader<TextReader<File>>,
    /// Number of the first row, counted from 1.
    first_row: u64,
    /// The rows still to come, where the file runs newest first.
    kept: Option<KeptRows>,
    /// Number of the row just read, where it was kept.
    kept_row: u64,
}

impl Rows {
    /// The rows of a text that stands at its first row.
    pub(crate) fn new(mut text: TextReader<File>, delimiter: u8, first_row: u64) -> Self {
        if delimiter == b' ' {
            text.join_blanks();
        }
        let csv = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .terminator(Terminator::Any(b'\n'))
            .buffer_capacity(1 << 16)
            .from_reader(text);
        Self {
            csv,
            first_row,
            kept: None,
            kept_row: 0,
        }
    }

    /// Reads the whole table, to give its rows from the last to the first.
    pub(crate) fn reverse(&mut self) -> Result<(), ImportProblem> {
        let mut kept = KeptRows::default();
        let mut record = ByteRecord::new();
        while self.next(&mut record)? {
            let pushed = kept.push(self.number_of(&record), &record);
            pushed.map_err(
                |Full { rows, most_mb }| ImportProblem::TooLargeNewestFirst {
                    rows: rows as u64,
                    most_mb: most_mb as u64,
                },
            )?;
        }
        self.kept = Some(kept);
        Ok(())
    }

    /// Reads the next row; false at the end.
    #[inline]
    pub(crate) fn next(&mut self, record: &mut ByteRecord) -> Result<bool, ImportProblem> {
        if let Some(kept) = &mut self.kept {
            let row = kept.pop(record);
            self.kept_row = row.unwrap_or(self.kept_row);
            return Ok(row.is_some());
        }
        let line = self.csv.position().line();
        let more = self.csv.read_byte_record(record);
        self.csv.get_mut().row_taken();
        more.map_err(|e| match e.into_kind() {
            csv::ErrorKind::Io(io) if io.kind() == io::ErrorKind::FileTooLarge => {
                let row = self.first_row + line - 1;
                ImportProblem::RowTooLong { row }
            }
            csv::ErrorKind::Io(io) => ImportProblem::Read(io),
            _ => ImportProblem::NoTable,
        })
    }

    /// Number of the row just read, counted from 1 as an editor counts lines. Costs a
    /// look through the row, so only those ask that tell of it.
    pub(crate) fn number_of(&self, record: &ByteRecord) -> u64 {
        if self.kept.is_some() {
            return self.kept_row;
        }
        let lines = self.csv.position().line().saturating_sub(1);
        let from_end = lines.saturating_sub(lines_inside(record));
        // counted from its end it misses a line end that an open quotation mark
        // swallowed; counted from its start, blank lines above it
        let from_start = record.position().map_or(0, csv::Position::line);
        self.first_row + from_end.max(from_start) - 1
    }

    /// True when the row just read is the last of the file and has no line end.
    #[inline]
    pub(crate) fn is_cut_off(&self) -> bool {
        self.kept.is_none() && self.csv.get_ref().is_cut_off()
    }
}

/// Line ends inside a row.
pub(crate) fn lines_inside(record: &ByteRecord) -> u64 {
    let ends = record.as_slice().iter().filter(|b| **b == b'\n');
    ends.count() as u64
}
