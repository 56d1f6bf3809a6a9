//! What can go wrong with a record, in one line a technician can act on.

use std::{
    io,
    path::{Path, PathBuf},
};

use foreign_csv::{ImportError, ImportProblem, Missing};
use plain_file::{io_words, one_line};
use table_rows::TallyProblem;

/// Why a record could not be written, read or imported.
///
/// Its text is always one line: the file, the row where there is one (counted
/// from 1, as an editor counts lines), what is wrong and what to do.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", one_line(.path))]
pub struct RecordError {
    path: PathBuf,
    #[source]
    problem: Box<Problem>,
}

impl RecordError {
    pub(crate) fn new(path: &Path, problem: Problem) -> Self {
        Self {
            path: path.to_owned(),
            problem: Box::new(problem),
        }
    }

    /// The same error, of files in `read` said as of files in `shown`: for a folder that was
    /// unpacked into another.
    #[must_use]
    pub fn shown_in(mut self, read: &Path, shown: &Path) -> Self {
        if let Ok(below) = self.path.strip_prefix(read) {
            self.path = match below.as_os_str().is_empty() {
                true => shown.to_owned(),
                false => shown.join(below),
            };
        }
        self
    }

    /// What has to be said about a foreign CSV before it can be read: a column or a
    /// unit. `None` for every other error.
    #[must_use]
    pub fn missing(&self) -> Option<&Missing> {
        match self.import_problem() {
            Some(ImportProblem::Missing(missing)) => Some(missing),
            _ => None,
        }
    }

    /// What is wrong with a foreign CSV; `None` for every other error.
    #[must_use]
    pub fn import_problem(&self) -> Option<&ImportProblem> {
        match &*self.problem {
            Problem::Import(problem) => Some(problem),
            _ => None,
        }
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
        match &*self.problem {
            Problem::NotANumber { row, .. } | Problem::Backwards { row, .. } => Some(*row),
            Problem::Import(problem) => problem.row(),
            _ => None,
        }
    }
}

impl From<ImportError> for RecordError {
    fn from(error: ImportError) -> Self {
        let (path, problem) = error.into_parts();
        Self::new(&path, Problem::Import(problem))
    }
}

#[derive(Debug, thiserror::Error)]
pub(crate) enum Problem {
    #[error("cannot be read: {}", io_words(.0))]
    Read(#[source] io::Error),
    #[error("cannot be made: {}", io_words(.0))]
    Create(#[source] io::Error),
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
    #[error(transparent)]
    Import(ImportProblem),
    #[error(transparent)]
    Rows(#[from] TallyProblem),
    #[error("row {row}: {what} \"{text}\" is not a number: correct or delete this row")]
    NotANumber {
        row: u64,
        what: &'static str,
        text: String,
    },
    #[error(
        "row {row}: the time goes backwards, from {before_s} s to {after_s} s: rows are out of order or the clock was reset; sort them or cut the file there"
    )]
    Backwards {
        row: u64,
        before_s: f64,
        after_s: f64,
    },
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

fn row_prefix(row: Option<u64>) -> String {
    row.map(|r| format!("row {r}: ")).unwrap_or_default()
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
