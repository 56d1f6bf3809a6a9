//! The chain of links that makes an edited, dropped or swapped row show.

use std::{fmt, path::Path};

use crate::{link::Link, parts::file_name, trace::RowParts};

/// What a check of the chain said.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum ChainStatus {
    /// Nobody asked for the check.
    NotChecked,
    /// Every row fits the one before it.
    Intact {
        /// Rows checked.
        rows: u64,
    },
    /// The first row that does not fit.
    Broken(ChainBreak),
}

impl ChainStatus {
    /// True when every row was checked and fits.
    #[must_use]
    pub fn is_intact(&self) -> bool {
        matches!(self, Self::Intact { .. })
    }
}

impl fmt::Display for ChainStatus {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotChecked => f.write_str("the chain of links was not checked"),
            Self::Intact { rows } => write!(
                f,
                "the chain of links is intact over {rows} rows: no row was changed, dropped, \
                 inserted or swapped (rows cut off the very end would not show)"
            ),
            Self::Broken(b) => b.fmt(f),
        }
    }
}

/// Where a chain breaks first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChainBreak {
    /// Name of the file it is in: `trace.csv`, or a part that continues it.
    pub file: String,
    /// Row of that file, counted from 1 as an editor counts lines.
    pub row: u64,
    /// What the row numbers around it suggest.
    pub kind: BreakKind,
}

/// What a break in the chain looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum BreakKind {
    /// The header row is not the one this program writes.
    Header,
    /// `job.toml` is missing, so the first link cannot be checked.
    JobMissing,
    /// The first row does not fit: it, the header or `job.toml` was changed.
    FirstRow,
    /// The row's own text or link was changed.
    Changed,
    /// Rows before it are missing.
    Dropped {
        /// How many, by their numbers.
        missing: u64,
    },
    /// It stands where another row should: inserted, repeated or swapped.
    OutOfPlace,
    /// It has not the nine columns of a row.
    Damaged,
    /// A row of the same number in an earlier file says something else.
    Differs,
}

impl fmt::Display for ChainBreak {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { file, row, .. } = self;
        match self.kind {
            BreakKind::Header => write!(f, "row {row}: the header row of {file} was changed"),
            BreakKind::JobMissing => write!(
                f,
                "job.toml is missing, so row {row} of {file} cannot be tied to its job"
            ),
            BreakKind::FirstRow => write!(
                f,
                "row {row} does not fit: job.toml or this first row of {file} was changed"
            ),
            BreakKind::Changed => write!(
                f,
                "row {row} of {file} does not fit the row before it: its text or its link was \
                 changed"
            ),
            BreakKind::Dropped { missing } => write!(
                f,
                "row {row} of {file} does not fit the row before it: {missing} {} missing in \
                 between",
                if missing == 1 { "row is" } else { "rows are" }
            ),
            BreakKind::OutOfPlace => write!(
                f,
                "row {row} of {file} does not fit the row before it: it was inserted, repeated \
                 or moved"
            ),
            BreakKind::Damaged => write!(
                f,
                "row {row} of {file} is damaged: it has not the nine columns of a row"
            ),
            BreakKind::Differs => write!(
                f,
                "row {row} of {file} says something else than an earlier file does under the \
                 same number: one of the two was written afterwards"
            ),
        }
    }
}

/// Walks along the rows and remembers the first that does not fit.
#[derive(Debug)]
pub(crate) struct ChainCheck {
    before: Option<Link>,
    last_seq: u64,
    rows: u64,
    broken: Option<ChainBreak>,
}

impl ChainCheck {
    /// Starts from the seed; `None` when `job.toml` is missing.
    pub(crate) fn new(seed: Option<Link>) -> Self {
        Self {
            before: seed,
            last_seq: 0,
            rows: 0,
            broken: None,
        }
    }

    /// Takes the next row, which is line `line` of `file`.
    pub(crate) fn row(&mut self, file: &Path, line: u64, row: &RowParts<'_>) {
        self.rows += 1;
        if self.broken.is_some() {
            return;
        }
        let fits = self
            .before
            .is_some_and(|before| before.next(row.text).as_bytes() == row.link);
        if !fits {
            self.breaks(file, line, self.kind_of_break(row.seq));
            return;
        }
        self.before = Link::from_text(row.link);
        self.last_seq = row.seq.unwrap_or(self.last_seq + 1);
    }

    /// Takes a row that is no row.
    pub(crate) fn damaged(&mut self, file: &Path, line: u64) {
        self.rows += 1;
        self.breaks(file, line, BreakKind::Damaged);
    }

    /// Remembers a break, if it is the first.
    pub(crate) fn breaks(&mut self, file: &Path, row: u64, kind: BreakKind) {
        self.broken.get_or_insert_with(|| ChainBreak {
            file: file_name(file),
            row,
            kind,
        });
    }

    fn kind_of_break(&self, seq: Option<u64>) -> BreakKind {
        let expected = self.last_seq + 1;
        match seq {
            _ if self.before.is_none() => BreakKind::JobMissing,
            Some(n) if n > expected => BreakKind::Dropped {
                missing: n - expected,
            },
            Some(n) if n < expected => BreakKind::OutOfPlace,
            _ if expected == 1 => BreakKind::FirstRow,
            _ => BreakKind::Changed,
        }
    }

    pub(crate) fn status(&self) -> ChainStatus {
        match &self.broken {
            Some(b) => ChainStatus::Broken(b.clone()),
            None => ChainStatus::Intact { rows: self.rows },
        }
    }
}
