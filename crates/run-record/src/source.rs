//! One way in for every record: a run folder, its trace, or a foreign CSV.

use std::{
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use foreign_csv::{FirstStamp, ImportOptions, TableReader};
use vacuum::Entry;

use crate::{
    error::{AtPath, RecordError},
    header::RunHeader,
    parts::{is_trace_header, links_to, read_line},
    run::{RunReader, trace_path},
    summary::Summary,
};

/// Readings and marks of one record, one by one, in flat memory.
///
/// `PATH` may be a run folder, its `trace.csv`, or any CSV with a time and a
/// pressure column; [`foreign_csv`] says what is understood of one.
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
    /// are not clear ([`RecordError::missing`]).
    pub fn open(path: &Path, options: &ImportOptions) -> Result<Self, RecordError> {
        Self::open_with(path, options, false)
    }

    /// As [`Source::open`]; of a run folder, every link is recomputed while reading
    /// ([`Summary::chain`]).
    ///
    /// # Errors
    /// As [`Source::open`].
    pub fn open_and_check(path: &Path, options: &ImportOptions) -> Result<Self, RecordError> {
        Self::open_with(path, options, true)
    }

    fn open_with(
        path: &Path,
        options: &ImportOptions,
        check_chain: bool,
    ) -> Result<Self, RecordError> {
        let file = trace_path(path)?;
        let kind = if starts_like_a_trace(&file)? {
            Kind::Run(Box::new(RunReader::open(&file, check_chain)?))
        } else {
            let table = TableReader::open(&file, links_to(&file), options)?;
            Kind::Table(Box::new(table))
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
            Kind::Table(table) => Ok(table.next_entry()?),
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

    /// The time of the first row of a foreign CSV by its own clock, where it writes times of
    /// day; known once the first entry was read.
    #[must_use]
    pub fn first_stamp(&self) -> Option<FirstStamp> {
        match &self.kind {
            Kind::Run(_) => None,
            Kind::Table(table) => table.first_stamp(),
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
            Kind::Table(table) => table.summary().into(),
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

/// True when a file begins with the header row of a trace.
fn starts_like_a_trace(path: &Path) -> Result<bool, RecordError> {
    let mut line = Vec::new();
    let file = plain_file::open(path, links_to(path)).reading(path)?;
    let mut reader = BufReader::with_capacity(256, file);
    // one look at its first bytes is enough, whatever the file is
    let head = reader.fill_buf().reading(path)?;
    read_line(&mut &head[..], &mut line).reading(path)?;
    Ok(is_trace_header(&line))
}
