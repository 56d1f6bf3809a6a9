//! What can go wrong with a foreign CSV: data for a program, one line for a person.

use std::{
    fmt, io,
    path::{Path, PathBuf},
};

use plain_file::{io_words, one_line};
use table_rows::{TallyProblem, excerpt};
use vacuum::{PressureUnit, UnitWord};

/// Why a CSV could not be read.
///
/// Its text is one line: the file, the row where there is one (counted from 1, as an
/// editor counts lines), and what is wrong. How a person settles it
/// ([`ImportProblem::Missing`]) is left to the program that asks the person.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", one_line(.path))]
pub struct ImportError {
    path: PathBuf,
    #[source]
    problem: Box<ImportProblem>,
}

impl ImportError {
    pub(crate) fn new(path: &Path, problem: impl Into<ImportProblem>) -> Self {
        Self {
            path: path.to_owned(),
            problem: Box::new(problem.into()),
        }
    }

    /// The file concerned.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What is wrong with it.
    #[must_use]
    pub fn problem(&self) -> &ImportProblem {
        &self.problem
    }

    /// The file concerned and what is wrong with it.
    #[must_use]
    pub fn into_parts(self) -> (PathBuf, ImportProblem) {
        (self.path, *self.problem)
    }
}

/// A column that must be known before a table can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RequiredColumn {
    /// The time of a row.
    Time,
    /// The pressure that is judged.
    Pressure,
}

impl fmt::Display for RequiredColumn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Time => "time",
            Self::Pressure => "pressure",
        })
    }
}

/// What the file does not say and a person has to, through
/// [`ImportOptions`](crate::ImportOptions).
///
/// ```
/// use foreign_csv::{ImportOptions, ImportProblem, Missing, TableReader, parse_pressure_unit};
/// use plain_file::Links;
///
/// # let folder = tempfile::tempdir()?;
/// let path = folder.path().join("foreign.csv");
/// std::fs::write(&path, "t_s,pressure\n0,500\n")?;
/// let mut options = ImportOptions::default();
/// let error = TableReader::open(&path, Links::Follow, &options).unwrap_err();
/// let ImportProblem::Missing(Missing::PressureUnit { column, .. }) = error.problem() else {
///     panic!("{error}");
/// };
/// assert_eq!(column, "pressure");
///
/// options.pressure_unit = Some(parse_pressure_unit("micron")?);
/// assert!(TableReader::open(&path, Links::Follow, &options).is_ok());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Missing {
    /// No column was recognised as this one.
    #[error("no {column} column was recognised; columns seen: {seen}")]
    Column {
        /// The column wanted.
        column: RequiredColumn,
        /// The columns of the table, to be shown.
        seen: String,
    },
    /// The column that was named does not exist.
    #[error("there is no column \"{name}\"; columns seen: {seen}")]
    NamedColumn {
        /// The name that was given.
        name: String,
        /// What it was given for.
        column: RequiredColumn,
        /// The columns of the table, to be shown.
        seen: String,
    },
    /// Several columns could be the pressure.
    #[error("several columns could be the pressure: {seen}")]
    WhichPressure {
        /// Those columns, to be shown.
        seen: String,
    },
    /// A pressure without a unit.
    #[error(
        "{}the unit of pressure column \"{}\" is not stated",
        row_prefix(*.row), excerpt(.column.as_bytes())
    )]
    PressureUnit {
        /// Name of the pressure column.
        column: String,
        /// The row, where others do state a unit.
        row: Option<u64>,
    },
    /// A unit that may count from full vacuum or from the air around the gauge, or
    /// that does count from the air around it.
    #[error("{}", unit_problem(.unit, *.word))]
    AbsoluteUnit {
        /// The unit as written.
        unit: String,
        /// What it can mean.
        word: UnitWord,
    },
    /// Several of these at once.
    #[error("{}", together(.0))]
    Several(Vec<Missing>),
    /// A unit was given for a column that says it counts from the air around the gauge.
    #[error(
        "pressure column \"{}\" counts from the air around the gauge",
        excerpt(.column.as_bytes())
    )]
    AbsoluteColumn {
        /// Name of the pressure column.
        column: String,
        /// The unit that was given.
        given: PressureUnit,
    },
}

/// What is wrong with a CSV.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ImportProblem {
    /// The disk does not give it.
    #[error("cannot be read: {}", io_words(.0))]
    Read(#[source] io::Error),
    /// No bytes, or blank lines only.
    #[error("the file is empty: there is nothing to read")]
    Empty,
    /// It is not text.
    #[error("this is not a text file{hint}: export the readings as CSV and name that file")]
    Binary {
        /// What it is, as far as its first bytes tell; begins with a blank, or is empty.
        hint: &'static str,
    },
    /// No line has two cells that could be a time and a pressure.
    #[error(
        "no table of time and pressure was found in this text: a header row naming the columns is needed"
    )]
    NoTable,
    /// A person has to say something about the file.
    #[error(transparent)]
    Missing(#[from] Missing),
    /// `12:34`, and nothing says what that is.
    #[error(
        "row {row}: time \"{text}\" could be hours:minutes or minutes:seconds: write hours:minutes:seconds, or name the column \"time (mm:ss)\" or \"time (hh:mm)\""
    )]
    AmbiguousTime {
        /// The row.
        row: u64,
        /// The cell.
        text: String,
    },
    /// The time goes backwards more often than a clock is set.
    #[error(
        "row {row}: the time goes backwards again and again (here from {before_s} s to {after_s} s): sort the rows by time"
    )]
    TimesMixed {
        /// The row.
        row: u64,
        /// Time of the row above, s.
        before_s: f64,
        /// Time of the row, s.
        after_s: f64,
    },
    /// The delimiter stands inside numbers too.
    #[error(
        "row {row}: there are {cells} cells under {names} column names: the same sign stands between cells and inside numbers. Export the file with semicolons or tabs between cells, or with decimal points"
    )]
    TooManyCells {
        /// The row.
        row: u64,
        /// Cells in it.
        cells: usize,
        /// Names in the header.
        names: usize,
    },
    /// A row without an end.
    #[error("row {row}: no end of this row within 1 MB: is a quotation mark left open?")]
    RowTooLong {
        /// The row.
        row: u64,
    },
    /// Newest first, and more than is kept in memory.
    #[error(
        "the rows run newest first, and only {rows} of them fit into {most_mb} MB of memory: sort the file oldest first and read it again"
    )]
    TooLargeNewestFirst {
        /// Rows that fit.
        rows: u64,
        /// Most memory that rows may take, MB.
        most_mb: u64,
    },
    /// Too few rows can be used.
    #[error(transparent)]
    Rows(#[from] TallyProblem),
}

impl ImportProblem {
    /// The row concerned, counted from 1 as an editor counts lines.
    #[must_use]
    pub fn row(&self) -> Option<u64> {
        match self {
            Self::AmbiguousTime { row, .. }
            | Self::TimesMixed { row, .. }
            | Self::TooManyCells { row, .. }
            | Self::RowTooLong { row }
            | Self::Rows(TallyProblem::NotUnderstood {
                first: table_rows::RejectedRow { row, .. },
                ..
            }) => Some(*row),
            Self::Missing(Missing::PressureUnit { row, .. }) => *row,
            _ => None,
        }
    }
}

/// What is wrong with a unit in a file, and what to do about it where no answer helps.
fn unit_problem(unit: &str, word: UnitWord) -> String {
    let problem = word.problem(&excerpt(unit.as_bytes())).unwrap_or_default();
    match (word, word.remedy()) {
        (UnitWord::Ambiguous(Some(_)), _) => problem,
        (_, Some(remedy)) => format!("{problem}: {remedy}"),
        (_, None) => problem,
    }
}

/// Several things that are missing, one after the other; columns are listed once.
fn together(all: &[Missing]) -> String {
    let mut listed: Option<&str> = None;
    let mut said: Vec<String> = Vec::new();
    for missing in all {
        said.push(match missing {
            Missing::Column { column, seen } => {
                listed = listed.or(Some(seen));
                format!("no {column} column was recognised")
            }
            Missing::NamedColumn { name, seen, .. } => {
                listed = listed.or(Some(seen));
                format!("there is no column \"{name}\"")
            }
            other => other.to_string(),
        });
    }
    let seen = listed.map(|seen| format!("; columns seen: {seen}"));
    said.join("; ") + &seen.unwrap_or_default()
}

fn row_prefix(row: Option<u64>) -> String {
    row.map(|r| format!("row {r}: ")).unwrap_or_default()
}

/// Column names as they are listed inside an error.
pub(crate) fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    const MOST: usize = 12;
    let mut names = names
        .into_iter()
        .map(|name| format!("\"{}\"", excerpt(name.as_bytes())));
    let mut shown: Vec<String> = names.by_ref().take(MOST).collect();
    if names.next().is_some() {
        shown.push("…".into());
    }
    match shown.is_empty() {
        true => "none".into(),
        false => shown.join(", "),
    }
}

/// Why a text given as a unit of pressure is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct UnitRefused {
    message: String,
}

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
