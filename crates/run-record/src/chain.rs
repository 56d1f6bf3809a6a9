//! The chain of links that makes an edited, dropped or swapped row show.

use std::{fmt, path::Path};

use sha2::{Digest, Sha256};

use crate::{parts::file_name, trace::RowParts};

/// Length of a link in the file: 16 hexadecimal characters (64 bits).
pub(crate) const LINK_LEN: usize = 16;

/// One link: the first 16 hexadecimal characters of a SHA-256.
///
/// The chain starts from `SHA-256(header row ‖ hex SHA-256 of job.toml)`; each
/// row then carries `SHA-256(previous link ‖ row without its link and the comma
/// before it)`. SHA-256: FIPS 180-4.
///
/// What it shows: any row changed, dropped, inserted or swapped by someone who
/// did not recompute every later link. What it cannot show: rows cut off the
/// very end, or a chain recomputed from scratch. Those need a seal that keeps
/// the last link.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Link([u8; LINK_LEN]);

impl Link {
    /// The link before the first row.
    #[must_use]
    pub fn seed(header_row: &[u8], job_toml: &[u8]) -> Self {
        let mut digest = [0; 64];
        hex(&Sha256::digest(job_toml), &mut digest);
        Self::of(header_row, &digest)
    }

    /// The link before the first row of a gauge recorded beside the judged one:
    /// `SHA-256(header row ‖ "," ‖ file name ‖ hex SHA-256 of job.toml)`. The
    /// file name is in it so that two traces cannot change places.
    #[must_use]
    pub fn seed_beside(file_name: &str, header_row: &[u8], job_toml: &[u8]) -> Self {
        Self::seed(&[header_row, b",", file_name.as_bytes()].concat(), job_toml)
    }

    /// The link of a row, given the link before it and the row's text up to,
    /// but without, the comma before its link.
    #[must_use]
    pub fn next(&self, row: &[u8]) -> Self {
        Self::of(&self.0, row)
    }

    fn of(first: &[u8], second: &[u8]) -> Self {
        let digest = Sha256::new()
            .chain_update(first)
            .chain_update(second)
            .finalize();
        let mut out = [0; LINK_LEN];
        hex(&digest[..LINK_LEN / 2], &mut out);
        Self(out)
    }

    /// Takes the text of a link as it stands in a file; `None` when it has not
    /// the shape of one.
    #[must_use]
    pub fn from_text(text: &[u8]) -> Option<Self> {
        let bytes: [u8; LINK_LEN] = text.try_into().ok()?;
        bytes
            .iter()
            .all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
            .then_some(Self(bytes))
    }

    /// The 16 characters.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; LINK_LEN] {
        &self.0
    }
}

impl fmt::Display for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&String::from_utf8_lossy(&self.0))
    }
}

impl fmt::Debug for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Link({self})")
    }
}

fn hex(bytes: &[u8], out: &mut [u8]) {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    for (b, pair) in bytes.iter().zip(out.chunks_exact_mut(2)) {
        pair[0] = DIGITS[usize::from(b >> 4)];
        pair[1] = DIGITS[usize::from(b & 15)];
    }
}

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
