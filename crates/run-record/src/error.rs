//! What can go wrong with a record, in one line a technician can act on.

use std::{
    fmt, io,
    path::{Path, PathBuf},
};

use vacuum::{PressureUnit, UnitWord};

/// Why a record could not be written, read or imported.
///
/// Its text is always one line: the file, the row where there is one (counted
/// from 1, as an editor counts lines), what is wrong and what to do.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", one_line(.path))]
pub struct RecordError {
    path: PathBuf,
    problem: Box<Problem>,
}

impl RecordError {
    pub(crate) fn new(path: &Path, problem: Problem) -> Self {
        Self {
            path: path.to_owned(),
            problem: Box::new(problem),
        }
    }

    /// True when a command-line option would settle it: a column or a unit has
    /// to be named.
    #[must_use]
    pub fn is_usage(&self) -> bool {
        matches!(
            *self.problem,
            Problem::UnitMissing { .. }
                | Problem::ColumnMissing { .. }
                | Problem::ColumnUnknown { .. }
                | Problem::ColumnsAmbiguous { .. }
                | Problem::UnitRefused { .. }
                | Problem::UnitContradicted { .. }
        )
    }

    /// True when the disk does not take the record (full disk, missing rights,
    /// failing card).
    #[must_use]
    pub fn is_storage(&self) -> bool {
        matches!(
            *self.problem,
            Problem::Unwritten { .. } | Problem::Create(_)
        )
    }

    /// True when another program is recording into the same folder.
    #[must_use]
    pub fn is_locked(&self) -> bool {
        matches!(*self.problem, Problem::Locked)
    }

    /// True when a newer version of this program recorded it in a way that this
    /// one would misread.
    #[must_use]
    pub fn is_newer(&self) -> bool {
        matches!(*self.problem, Problem::Newer { .. })
    }

    /// True when a file is not the beginning of a trace: empty, or another header.
    pub(crate) fn is_not_a_run(&self) -> bool {
        matches!(*self.problem, Problem::NotARun | Problem::Empty)
    }

    /// The file or folder concerned.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The row concerned, counted from 1 as an editor counts lines.
    #[must_use]
    pub fn row(&self) -> Option<u64> {
        match *self.problem {
            Problem::NotANumber { row, .. }
            | Problem::AmbiguousTime { row, .. }
            | Problem::Backwards { row, .. }
            | Problem::TimesMixed { row, .. }
            | Problem::Misunderstood { row, .. }
            | Problem::TooManyCells { row, .. }
            | Problem::RowTooLong { row } => Some(row),
            Problem::UnitMissing { row, .. } => row,
            _ => None,
        }
    }
}

#[derive(Debug, thiserror::Error)]
pub(crate) enum Problem {
    #[error("cannot be read: {}", io_words(.0))]
    Read(io::Error),
    #[error("cannot be made: {}", io_words(.0))]
    Create(io::Error),
    #[error("{why}; {rows} rows are not on disk")]
    Unwritten { rows: u64, why: String },
    #[error("another program is recording into this folder: stop it first, or record elsewhere")]
    Locked,
    #[error("this is not a folder: name the run folder itself")]
    NoFolder,
    #[error("this record is sealed, so nothing may be added to it: record into a new folder")]
    Sealed,
    #[error("this record cannot be resumed: {broken}. Record into a new folder")]
    ChainBroken { broken: String },
    #[error(
        "this folder holds no trace.csv, so it is not a run folder: name a run folder or a CSV file"
    )]
    NotARun,
    #[error(
        "a newer version of this program recorded this (format {found}; this version reads up to {known}): read it with the newer version"
    )]
    Newer { found: u32, known: u32 },
    #[error("the file is empty: there is nothing to read")]
    Empty,
    #[error("there is a header but no row below it: nothing was recorded")]
    NoRows,
    #[error("this is not a text file{hint}: export the readings as CSV and name that file")]
    Binary { hint: &'static str },
    #[error(
        "no table of time and pressure was found in this text: a header row naming the columns is needed"
    )]
    NoTable,
    #[error("no {what} column was recognised; columns seen: {seen}. Name it with {option}")]
    ColumnMissing {
        what: &'static str,
        option: &'static str,
        seen: String,
    },
    #[error("there is no column \"{name}\"; columns seen: {seen}. Correct {option}")]
    ColumnUnknown {
        name: String,
        option: &'static str,
        seen: String,
    },
    #[error("several columns could be the pressure: {seen}. Choose one with --pressure-column")]
    ColumnsAmbiguous { seen: String },
    #[error(
        "{}the unit of pressure column \"{}\" is not stated: say it with --pressure-unit ({})",
        row_prefix(*.row), excerpt(.column.as_bytes()), PressureUnit::LISTED
    )]
    UnitMissing { column: String, row: Option<u64> },
    #[error(
        "{}: {}",
        .word.problem(&excerpt(.unit.as_bytes())).unwrap_or_default(), unit_remedy(*.word)
    )]
    UnitRefused { unit: String, word: UnitWord },
    #[error(
        "pressure column \"{}\" counts from the air around the gauge, and --pressure-unit {given} does not change what was measured: set the gauge to micron, Torr, Pa or mbar, counted from full vacuum, and record again",
        excerpt(.column.as_bytes())
    )]
    UnitContradicted { column: String, given: PressureUnit },
    #[error("row {row}: {what} \"{text}\" is not a number: correct or delete this row")]
    NotANumber {
        row: u64,
        what: &'static str,
        text: String,
    },
    #[error(
        "row {row}: time \"{text}\" could be hours:minutes or minutes:seconds: write hours:minutes:seconds, or name the column \"time (mm:ss)\" or \"time (hh:mm)\""
    )]
    AmbiguousTime { row: u64, text: String },
    #[error("row {row}: the time goes backwards, from {before_s} s to {after_s} s: {}", backwards_hint(*.newest_first))]
    Backwards {
        row: u64,
        before_s: f64,
        after_s: f64,
        newest_first: bool,
    },
    #[error(
        "row {row}: the time goes backwards again and again (here from {before_s} s to {after_s} s): sort the rows by time, or name another column with --time-column"
    )]
    TimesMixed {
        row: u64,
        before_s: f64,
        after_s: f64,
    },
    #[error(
        "{left_out} of {rows} rows ({}) were not understood, too many to trust the rest; the first is row {row}: {first}. Correct or delete such rows, or name the right columns with --time-column and --pressure-column",
        percent(*.left_out, *.rows)
    )]
    Misunderstood {
        left_out: u64,
        rows: u64,
        row: u64,
        first: String,
    },
    #[error(
        "row {row}: there are {cells} cells under {names} column names: the same sign stands between cells and inside numbers. Export the file with semicolons or tabs between cells, or with decimal points"
    )]
    TooManyCells {
        row: u64,
        cells: usize,
        names: usize,
    },
    #[error("row {row}: no end of this row within 1 MB: is a quotation mark left open?")]
    RowTooLong { row: u64 },
    #[error("none of the {rows} rows can be used; {first}")]
    NothingUsable { rows: u64, first: String },
    #[error("{}{message}", row_prefix(*.row))]
    Toml { row: Option<u64>, message: String },
    #[error("{key} = {value} cannot be right: {wanted}")]
    JobValue {
        key: &'static str,
        value: String,
        wanted: &'static str,
    },
    #[error("a note may have at most {limit} characters; this one has {length}: shorten it")]
    NoteTooLong { limit: usize, length: usize },
}

/// What to write instead of a unit in a file, which is not to be edited.
fn unit_remedy(word: UnitWord) -> String {
    match word {
        UnitWord::Ambiguous(Some(unit)) => format!(
            "say --pressure-unit \"{unit}\" if the gauge reads 0 at full vacuum; a gauge that \
             reads 0 in open air cannot judge a vacuum"
        ),
        other => other.remedy().map_or_else(String::new, |r| r.to_string()),
    }
}

fn row_prefix(row: Option<u64>) -> String {
    row.map(|r| format!("row {r}: ")).unwrap_or_default()
}

const fn backwards_hint(newest_first: bool) -> &'static str {
    if newest_first {
        "the file seems to run newest first; sort it oldest first and try again"
    } else {
        "rows are out of order or the clock was reset; sort them or cut the file there"
    }
}

fn percent(part: u64, whole: u64) -> String {
    format!("{:.0} %", 100.0 * part as f64 / whole.max(1) as f64)
}

/// The operating system's reason in plain words, for a person who has a file in mind.
#[must_use]
pub fn io_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".into(),
        io::ErrorKind::PermissionDenied => {
            "permission is denied; check who owns it and its rights".into()
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "the disk is full; free some space".into()
        }
        io::ErrorKind::ReadOnlyFilesystem => {
            "the disk is read-only; choose another folder or unlock the card".into()
        }
        io::ErrorKind::NotADirectory => "a part of this path is a file, not a folder".into(),
        io::ErrorKind::IsADirectory => "it is a folder, not a file".into(),
        io::ErrorKind::AlreadyExists => "it exists already".into(),
        _ => one_line(&error.to_string()),
    }
}

/// A path or text on one line, whatever control characters it carries.
pub(crate) fn one_line<T: AsRef<std::ffi::OsStr> + ?Sized>(text: &T) -> String {
    text.as_ref()
        .to_string_lossy()
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// A cell as it can be shown inside an error: one line, at most 40 characters.
pub(crate) fn excerpt(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(&cell[..cell.len().min(400)]);
    let mut out = String::new();
    for (i, c) in text.trim().chars().enumerate() {
        if i == 40 {
            out.push('…');
            break;
        }
        out.push(if c.is_control() { '\u{fffd}' } else { c });
    }
    out
}

/// Column names as they are listed inside an error.
pub(crate) fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    const MOST: usize = 12;
    let mut out = String::new();
    for (i, name) in names.into_iter().enumerate() {
        if i == MOST {
            out.push_str(", …");
            break;
        }
        if i > 0 {
            out.push_str(", ");
        }
        out.push('"');
        out.push_str(&excerpt(name.as_bytes()));
        out.push('"');
    }
    if out.is_empty() {
        out.push_str("none");
    }
    out
}

/// Attaches a path to an I/O result.
pub(crate) trait AtPath<T> {
    fn reading(self, path: &Path) -> Result<T, RecordError>;
    fn creating(self, path: &Path) -> Result<T, RecordError>;
}

impl<T> AtPath<T> for io::Result<T> {
    fn reading(self, path: &Path) -> Result<T, RecordError> {
        self.map_err(|e| RecordError::new(path, Problem::Read(e)))
    }

    fn creating(self, path: &Path) -> Result<T, RecordError> {
        self.map_err(|e| RecordError::new(path, Problem::Create(e)))
    }
}

/// Why a text given as a unit of pressure is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitRefused {
    pub(crate) message: String,
}

impl fmt::Display for UnitRefused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for UnitRefused {}

impl UnitRefused {
    pub(crate) fn new(text: &str, word: UnitWord) -> Self {
        let text = excerpt(text.as_bytes());
        let problem = word.problem(&text).unwrap_or_default();
        let remedy = word.remedy().map_or_else(String::new, |r| r.to_string());
        Self {
            message: format!("{problem}: {remedy}"),
        }
    }
}
