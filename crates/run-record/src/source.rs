//! One way in for every record: a run folder, its trace, or a foreign CSV.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use vacuum::{Entry, PressureUnit, RecordUnit, UnitWord};

use crate::{
    chain::ChainStatus,
    error::{Problem, RecordError, UnitRefused},
    header::RunHeader,
    import::TableReader,
    parts::TornTail,
    run::{RunReader, starts_like_a_trace, trace_path},
};

/// Most rejected rows that a summary lists one by one.
const REJECTED_LISTED: usize = 50;

/// What a person says about a CSV whose header does not say it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImportOptions {
    /// Name (or number, counted from 1) of the time column.
    pub time_column: Option<String>,
    /// Unit of the time column, when it holds plain numbers.
    pub time_unit: Option<TimeUnit>,
    /// Name (or number, counted from 1) of the pressure column.
    pub pressure_column: Option<String>,
    /// Unit of the pressure column; wins over the header.
    pub pressure_unit: Option<PressureUnit>,
    /// Recompute every link of a run folder while reading.
    pub check_chain: bool,
}

/// A unit of a time column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeUnit {
    /// microsecond.
    Microsecond,
    /// millisecond.
    Millisecond,
    /// second.
    Second,
    /// minute.
    Minute,
    /// hour.
    Hour,
    /// day.
    Day,
}

impl TimeUnit {
    /// Seconds in one of this unit.
    #[must_use]
    pub const fn seconds(self) -> f64 {
        match self {
            Self::Microsecond => 1e-6,
            Self::Millisecond => 1e-3,
            Self::Second => 1.0,
            Self::Minute => 60.0,
            Self::Hour => 3600.0,
            Self::Day => 86_400.0,
        }
    }

    /// The word printed behind a number.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Microsecond => "microseconds",
            Self::Millisecond => "milliseconds",
            Self::Second => "seconds",
            Self::Minute => "minutes",
            Self::Hour => "hours",
            Self::Day => "days",
        }
    }

    /// Reads a unit as people and headers write it ("s", "min", "hours" …).
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Some(match name.trim().to_lowercase().as_str() {
            "us" | "µs" | "μs" | "usec" | "microseconds" => Self::Microsecond,
            "ms" | "msec" | "msecs" | "millis" | "millisecond" | "milliseconds" => {
                Self::Millisecond
            }
            "s" | "sec" | "secs" | "second" | "seconds" => Self::Second,
            "min" | "mins" | "minute" | "minutes" => Self::Minute,
            "h" | "hr" | "hrs" | "hour" | "hours" => Self::Hour,
            "d" | "day" | "days" => Self::Day,
            _ => return None,
        })
    }
}

/// Reads a unit given as an option, and says why one is refused.
///
/// # Errors
/// When the unit counts from the air around the gauge ("inHg vacuum", "psig"), when
/// it may do so (bare "psi", "bar", "inHg"), or when it is not known.
pub fn parse_pressure_unit(text: &str) -> Result<PressureUnit, UnitRefused> {
    let word = UnitWord::read(text);
    word.absolute().ok_or_else(|| UnitRefused::new(text, word))
}

/// A row left out, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RejectedRow {
    /// Row, counted from 1 as an editor counts lines.
    pub row: u64,
    /// Why, in words.
    pub reason: String,
}

/// What was read from a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Rows below the header.
    pub rows: u64,
    /// Rows that gave a reading or a mark.
    pub used: u64,
    /// Rows left out.
    pub rejected: u64,
    /// The first 50 of them.
    pub rejected_rows: Vec<RejectedRow>,
    /// What a cut-off recording left at the end, if anything.
    pub torn_tail: Option<TornTail>,
    /// The chain of links, when its check was asked for.
    pub chain: ChainStatus,
    /// In which unit the pressures came and who says so; `None` of a run folder
    /// whose gauge states its unit line by line.
    pub unit: Option<RecordUnit>,
    /// How the file was understood, for a person to confirm ("pressure column
    /// \"P (mbar)\" read as mbar").
    pub notes: Vec<String>,
}

/// Rows after which the share of those not understood is looked at once already.
const EARLY_LOOK: u64 = 10_000;

/// Counts rows while reading.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    rows: u64,
    used: u64,
    rejected: u64,
    /// Of those, rows in which something was not understood.
    doubted: u64,
    first_doubt: Option<RejectedRow>,
    rejected_rows: Vec<RejectedRow>,
    notes: Vec<String>,
}

impl Tally {
    pub(crate) fn with_notes(notes: Vec<String>) -> Self {
        Self {
            notes,
            ..Self::default()
        }
    }

    #[inline]
    pub(crate) fn row(&mut self) {
        self.rows += 1;
    }

    pub(crate) fn rows(&self) -> u64 {
        self.rows
    }

    #[inline]
    pub(crate) fn used(&mut self) {
        self.used += 1;
    }

    pub(crate) fn reject(&mut self, row: u64, reason: impl FnOnce() -> String) {
        self.rejected += 1;
        if self.rejected_rows.len() < REJECTED_LISTED {
            let reason = reason();
            self.rejected_rows.push(RejectedRow { row, reason });
        }
    }

    /// Leaves out `count` rows from `row` on, the first of which was counted
    /// already, because something in it was not understood.
    pub(crate) fn doubt(&mut self, row: u64, count: u64, reason: impl FnOnce() -> String) {
        self.rows += count - 1;
        self.rejected += count - 1;
        self.doubted += count;
        let reason = reason();
        self.first_doubt.get_or_insert_with(|| RejectedRow {
            row,
            reason: reason.clone(),
        });
        self.reject(row, || reason);
    }

    /// Adds a note once.
    pub(crate) fn note(&mut self, note: String) {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// Stops early where hardly anything is understood.
    pub(crate) fn check_so_far(&self, path: &Path) -> Result<(), RecordError> {
        if self.rows >= EARLY_LOOK && self.doubted * 2 > self.rows {
            return self.check_doubts(path);
        }
        Ok(())
    }

    /// Where more than a fifth of the rows was not understood, the rest may not
    /// have been either.
    fn check_doubts(&self, path: &Path) -> Result<(), RecordError> {
        match &self.first_doubt {
            Some(first) if self.doubted * 5 > self.rows => Err(RecordError::new(
                path,
                Problem::Misunderstood {
                    left_out: self.doubted,
                    rows: self.rows,
                    row: first.row,
                    first: first.reason.clone(),
                },
            )),
            _ => Ok(()),
        }
    }

    /// A record without one usable row, or one that was mostly not understood,
    /// is an error, not an empty or a short record.
    pub(crate) fn check_end(&self, path: &Path) -> Result<(), RecordError> {
        if self.used > 0 {
            return self.check_doubts(path);
        }
        let problem = match self.rejected_rows.first() {
            Some(first) => Problem::NothingUsable {
                rows: self.rows,
                first: format!("row {}: {}", first.row, first.reason),
            },
            None => Problem::NoRows,
        };
        Err(RecordError::new(path, problem))
    }

    pub(crate) fn summary(&self) -> Summary {
        let mut rejected_rows = self.rejected_rows.clone();
        // rows held back to be looked at come later than those behind them
        rejected_rows.sort_by_key(|r| r.row);
        Summary {
            rows: self.rows,
            used: self.used,
            rejected: self.rejected,
            rejected_rows,
            torn_tail: None,
            chain: ChainStatus::NotChecked,
            unit: None,
            notes: self.notes.clone(),
        }
    }
}

/// Readings and marks of one record, one by one, in flat memory.
///
/// `PATH` may be a run folder, its `trace.csv`, or any CSV with a time and a
/// pressure column; see the crate's documentation for what is understood.
///
/// ```
/// use run_record::{ImportOptions, Source};
/// use vacuum::Entry;
///
/// # let folder = tempfile::tempdir()?;
/// let path = folder.path().join("foreign.csv");
/// std::fs::write(&path, "Time (min);P (mbar)\n0;20,5\n0,5;18,25\n")?;
/// let mut source = Source::open(&path, &ImportOptions::default())?;
/// let mut last = 0.0;
/// while let Some(entry) = source.next_entry()? {
///     if let Entry::Reading(reading) = entry {
///         last = reading.pressure().map_or(last, |p| p.mbar());
///     }
/// }
/// assert!((last - 18.25).abs() < 1e-9);
/// assert_eq!(source.summary().used, 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Source {
    path: PathBuf,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    Run(Box<RunReader>),
    Table(Box<TableReader>),
}

impl Source {
    /// Opens a record and understands its columns.
    ///
    /// # Errors
    /// When it cannot be read, is empty or not text, or its columns or units
    /// are not clear ([`RecordError::is_usage`]).
    pub fn open(path: &Path, options: &ImportOptions) -> Result<Self, RecordError> {
        let file = trace_path(path)?;
        let kind = if starts_like_a_trace(&file)? {
            Kind::Run(Box::new(RunReader::open(&file, options.check_chain)?))
        } else {
            Kind::Table(Box::new(TableReader::open(&file, options)?))
        };
        Ok(Self { path: file, kind })
    }

    /// The next reading or mark, or `None` at the end.
    ///
    /// # Errors
    /// When the file cannot be read on, time goes backwards (in a foreign CSV:
    /// again and again), more than a fifth of its rows was not understood, or
    /// the end is reached without one usable row.
    pub fn next_entry(&mut self) -> Result<Option<Entry>, RecordError> {
        match &mut self.kind {
            Kind::Run(run) => run.next_entry(),
            Kind::Table(table) => table.next_entry(),
        }
    }

    /// What `job.toml` says, when this is a run folder.
    #[must_use]
    pub fn header(&self) -> Option<&RunHeader> {
        match &self.kind {
            Kind::Run(run) => run.header(),
            Kind::Table(_) => None,
        }
    }

    /// When the run began, if the record says so with a time zone. For a
    /// foreign CSV it is known once the first entry was read.
    #[must_use]
    pub fn started_utc(&self) -> Option<DateTime<Utc>> {
        match &self.kind {
            Kind::Run(run) => run.started_utc(),
            Kind::Table(table) => table.started_utc(),
        }
    }

    /// What was read; whole once [`Source::next_entry`] has returned `None`.
    #[must_use]
    pub fn summary(&self) -> Summary {
        match &self.kind {
            Kind::Run(run) => {
                let mut summary = run.summary();
                summary.unit = self.header().and_then(RunHeader::record_unit);
                summary
            }
            Kind::Table(table) => table.summary(),
        }
    }

    /// The file that is read.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// True when this is a trace of a run folder.
    #[must_use]
    pub fn is_run(&self) -> bool {
        matches!(self.kind, Kind::Run(_))
    }
}
