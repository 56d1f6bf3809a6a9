//! Recording a run.

use std::{
    io,
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use chrono::{DateTime, Utc};
use vacuum::{Entry, Reading};

use crate::{
    chain::Link,
    chained::ChainedTrace,
    error::{AtPath, Problem, RecordError},
    header::{JOB_NAME, RunHeader},
    storage::{FolderStorage, Storage, make_run_folder, sync_folder},
    trace::{HEADER_ROW, TRACE_NAME},
};

/// Age of the oldest row not yet on disk at which a sync is due. Half of the
/// second that may be lost, so that a slow tick and a slow card still keep it.
const SYNC_AFTER: Duration = Duration::from_millis(500);

/// Records one run into a folder of its own.
///
/// Every row goes to the operating system at once, so a killed program loses
/// nothing, and to the disk within a second, so a power cut loses at most that
/// second, provided [`RunWriter::append`] or [`RunWriter::sync_if_due`] is
/// called at least every 400 ms.
///
/// After a failed write nothing more is written to the record: what is on disk
/// stays as it is, and every later call says why.
///
/// ```
/// use chrono::{TimeZone, Utc};
/// use run_record::{RunHeader, RunWriter, Source, ImportOptions};
/// use vacuum::{Entry, Job, Pressure, Reading};
///
/// # let parent = tempfile::tempdir()?;
/// let header = RunHeader {
///     job: Job { id: "INVENTED-7".into(), invented: true, ..Job::default() },
///     software: "example".into(),
///     ..RunHeader::default()
/// };
/// let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap();
/// let mut writer = RunWriter::create(parent.path(), &header, started)?;
/// let reading = Reading::measured(0.0, Pressure::from_micron(18_500.0)?);
/// writer.append(&Entry::Reading(reading), started)?;
/// let folder = writer.finish()?.folder;
/// assert!(folder.ends_with("20260314T091500Z-INVENTED-7"));
///
/// let mut source = Source::open(&folder, &ImportOptions::default())?;
/// assert_eq!(source.next_entry()?, Some(Entry::Reading(reading)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct RunWriter {
    storage: Box<dyn Storage>,
    folder: PathBuf,
    trace: ChainedTrace,
    beside: Vec<ChainedTrace>,
    failed: Option<String>,
}

impl std::fmt::Debug for RunWriter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("RunWriter")
            .field("folder", &self.folder)
            .field("rows", &self.trace.rows)
            .field("failed", &self.failed)
            .finish_non_exhaustive()
    }
}

/// What a finished run leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishedRun {
    /// The run folder.
    pub folder: PathBuf,
    /// Rows written.
    pub rows: u64,
    /// The last link: whoever keeps it can show that no row was cut off the end.
    pub last_link: Link,
}

impl RunWriter {
    /// Makes the folder `<started UTC>-<job id>` below `parent` (with -2, -3 …
    /// behind it when that is taken) and starts the record in it.
    ///
    /// # Errors
    /// When folder or files cannot be made; [`RecordError::is_locked`] when
    /// another program records there.
    pub fn create(
        parent: &Path,
        header: &RunHeader,
        started: DateTime<Utc>,
    ) -> Result<Self, RecordError> {
        let name = folder_name(&header.job.id, started);
        let folder = make_run_folder(parent, &name).creating(&parent.join(&name))?;
        sync_folder(parent).creating(parent)?;
        let storage = FolderStorage::new(&folder);
        let writer = Self::create_on(Box::new(storage), &folder, header, started)?;
        sync_folder(&folder).creating(&folder)?;
        Ok(writer)
    }

    /// Starts a record on a storage of the caller's own; `folder` only names it
    /// in messages.
    ///
    /// # Errors
    /// When the storage fails.
    pub fn create_on(
        mut storage: Box<dyn Storage>,
        folder: &Path,
        header: &RunHeader,
        started: DateTime<Utc>,
    ) -> Result<Self, RecordError> {
        let job_path = folder.join(JOB_NAME);
        let header = RunHeader {
            started: Some(started),
            ..header.clone()
        };
        let job = header.to_toml(&job_path)?;
        storage.put(JOB_NAME, job.as_bytes()).creating(&job_path)?;
        let seed = Link::seed(HEADER_ROW, job.as_bytes());
        let trace = ChainedTrace::start(&mut *storage, folder, TRACE_NAME.into(), seed)?;
        let mut beside = Vec::new();
        for companion in &header.beside {
            let name = companion.file_name();
            let seed = Link::seed_beside(&name, HEADER_ROW, job.as_bytes());
            beside.push(ChainedTrace::start(&mut *storage, folder, name, seed)?);
        }
        Ok(Self {
            storage,
            folder: folder.to_owned(),
            trace,
            beside,
            failed: None,
        })
    }

    /// Adds one reading or mark, stamped `utc`.
    ///
    /// Its elapsed time is written in whole milliseconds and never before that
    /// of the row above: a mark handed in a moment late keeps its order.
    ///
    /// # Errors
    /// When the note is longer than 10,000 characters (nothing is written, the
    /// record goes on), or when writing fails now or has failed before
    /// ([`RecordError::is_storage`]).
    pub fn append(&mut self, entry: &Entry, utc: DateTime<Utc>) -> Result<(), RecordError> {
        self.check_alive()?;
        self.trace.check(entry)?;
        if let Err(e) = self.trace.append(&mut *self.storage, entry, utc) {
            return Err(self.fail(e));
        }
        self.sync_if_due(Instant::now())
    }

    /// Adds one reading of a gauge or channel recorded beside the judged one;
    /// `index` is its place in [`RunHeader::beside`]. An index beyond that is
    /// passed over.
    ///
    /// # Errors
    /// As [`RunWriter::append`].
    pub fn append_beside(
        &mut self,
        index: usize,
        reading: &Reading,
        utc: DateTime<Utc>,
    ) -> Result<(), RecordError> {
        self.check_alive()?;
        let Some(trace) = self.beside.get_mut(index) else {
            return Ok(());
        };
        let entry = Entry::Reading(*reading);
        if let Err(e) = trace.append(&mut *self.storage, &entry, utc) {
            return Err(self.fail(e));
        }
        self.sync_if_due(Instant::now())
    }

    /// Syncs when the oldest row not yet on disk is half a second old. Call it
    /// on a tick, so that the last rows before a silence reach the disk too.
    ///
    /// # Errors
    /// As [`RunWriter::sync`].
    pub fn sync_if_due(&mut self, now: Instant) -> Result<(), RecordError> {
        let traces = std::iter::once(&self.trace).chain(&self.beside);
        match traces.filter_map(|t| t.unsynced_since).min() {
            Some(since) if now.saturating_duration_since(since) >= SYNC_AFTER => self.sync(),
            _ => Ok(()),
        }
    }

    /// Brings everything to the disk now.
    ///
    /// # Errors
    /// When the disk fails now or has failed before.
    pub fn sync(&mut self) -> Result<(), RecordError> {
        self.check_alive()?;
        for trace in std::iter::once(&mut self.trace).chain(&mut self.beside) {
            if let Err(e) = trace.sync(&mut *self.storage) {
                return Err(self.fail(e));
            }
        }
        Ok(())
    }

    /// Closes the record and releases its lock.
    ///
    /// # Errors
    /// As [`RunWriter::sync`].
    pub fn finish(mut self) -> Result<FinishedRun, RecordError> {
        self.sync()?;
        Ok(FinishedRun {
            folder: self.folder,
            rows: self.trace.rows,
            last_link: self.trace.link,
        })
    }

    /// The run folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Rows written so far.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.trace.rows
    }

    /// Rows known to survive a power cut.
    #[must_use]
    pub fn rows_synced(&self) -> u64 {
        self.trace.rows_synced
    }

    /// The link of the last row, or the seed before the first.
    #[must_use]
    pub fn last_link(&self) -> Link {
        self.trace.link
    }

    fn check_alive(&self) -> Result<(), RecordError> {
        match &self.failed {
            None => Ok(()),
            Some(first) => {
                let first = first.clone();
                Err(RecordError::new(
                    self.trace.path(),
                    Problem::Stopped { first },
                ))
            }
        }
    }

    fn fail(&mut self, cause: io::Error) -> RecordError {
        let problem = Problem::Write {
            cause,
            rows_kept: self.trace.rows_synced,
        };
        self.failed = Some(problem.to_string());
        RecordError::new(self.trace.path(), problem)
    }
}

/// `<started>-<job id>`, with nothing in it that could leave the folder.
fn folder_name(job_id: &str, started: DateTime<Utc>) -> String {
    format!("{}-{}", started.format("%Y%m%dT%H%M%SZ"), safe_name(job_id))
}

/// Letters, digits, `-`, `_` and inner dots are kept; all else becomes `-`.
fn safe_name(job_id: &str) -> String {
    const MOST_BYTES: usize = 80;
    let mut name = String::new();
    for c in job_id.trim().chars() {
        let c = if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') {
            c
        } else {
            '-'
        };
        if name.len() + c.len_utf8() > MOST_BYTES {
            break;
        }
        // runs of dots or dashes say nothing and look like a path
        if !(matches!(c, '-' | '.') && (name.is_empty() || name.ends_with(['-', '.']))) {
            name.push(c);
        }
    }
    name.truncate(name.trim_end_matches(['-', '.']).len());
    if name.is_empty() { "job".into() } else { name }
}

#[cfg(test)]
mod tests {
    use super::safe_name;

    #[test]
    fn a_job_id_never_leaves_its_folder() {
        assert_eq!(safe_name("4711"), "4711");
        assert_eq!(safe_name("../../etc/passwd"), "etc-passwd");
        assert_eq!(safe_name("a/b\\c:d\0e\nf"), "a-b-c-d-e-f");
        assert_eq!(safe_name(".."), "job");
        assert_eq!(safe_name(""), "job");
        assert_eq!(safe_name("Küche 12.b"), "Küche-12.b");
        assert!(safe_name(&"ü".repeat(500)).len() <= 80);
    }
}
