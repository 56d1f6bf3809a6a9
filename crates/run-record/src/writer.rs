//! Recording a run.

use std::{
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use chrono::{DateTime, Utc};
use vacuum::{Entry, Reading, Weighing};
use whole_file::sync_folder;

use crate::{
    chained::{ChainedTrace, Row},
    error::{AtPath, Problem, RecordError},
    header::{JOB_NAME, RunHeader},
    health::{DiskHealth, Told, health},
    link::Link,
    notice::DiskNotice,
    run_folder::make_run_folder,
    storage::{FolderStorage, Storage},
    trace::{HEADER_ROW, SCALE_HEADER_ROW, SCALE_NAME, TRACE_NAME},
};

/// Age of the oldest row not yet on disk at which a sync is due. Half of the
/// second that may be lost, so that a slow tick and a slow card still keep it.
const SYNC_AFTER: Duration = Duration::from_millis(500);

/// How often the files are looked after: others may delete or cut them.
const LOOK_AFTER: Duration = Duration::from_millis(200);

/// Records one run into a folder of its own.
///
/// Every row goes to the operating system at once, so a killed program loses
/// nothing, and to the disk within a second, so a power cut loses at most that
/// second, provided [`RunWriter::append`] or [`RunWriter::sync_if_due`] is
/// called at least every 400 ms.
///
/// A file that once failed to be written or synced is never written to again.
/// The rows it did not sync begin a fresh file beside it (`trace.2.csv`,
/// `trace.3.csv` …), and recording goes on there. When no such file can be made
/// (a full disk), rows stay in memory, at most 64 MB of them, and go to the disk
/// when it takes them again. [`RunWriter::take_notice`] says what the technician
/// should know of this, [`RunWriter::rescue`] keeps the rest elsewhere.
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
    /// What a scale says, where there is one.
    scale: Option<ChainedTrace>,
    told: Told,
    looked_at: Option<Instant>,
    rescued: Option<Rescued>,
}

impl std::fmt::Debug for RunWriter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("RunWriter")
            .field("folder", &self.folder)
            .field("rows", &self.trace.rows)
            .field("health", &self.health())
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
    /// Where the end of the record is, if its own disk did not take it.
    pub rescued: Option<Rescued>,
}

/// The end of a record that its own disk did not take, kept elsewhere. Copying
/// the files into the run folder makes the record whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rescued {
    /// The folder they are in.
    pub folder: PathBuf,
    /// Their names.
    pub files: Vec<String>,
    /// Rows in them.
    pub rows: u64,
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
        let scale = match &header.scale {
            Some(_) => Some(Self::start_scale(&mut *storage, folder, job.as_bytes())?),
            None => None,
        };
        Ok(Self::over(storage, folder, trace, beside, scale))
    }

    /// Makes the file of the scale.
    pub(crate) fn start_scale(
        storage: &mut dyn Storage,
        folder: &Path,
        job: &[u8],
    ) -> Result<ChainedTrace, RecordError> {
        let seed = Link::seed_beside(SCALE_NAME, SCALE_HEADER_ROW, job);
        ChainedTrace::start(storage, folder, SCALE_NAME.into(), seed)
    }

    pub(crate) fn over(
        storage: Box<dyn Storage>,
        folder: &Path,
        trace: ChainedTrace,
        beside: Vec<ChainedTrace>,
        scale: Option<ChainedTrace>,
    ) -> Self {
        Self {
            told: Told::of(std::iter::once(&trace).chain(&beside).chain(&scale)),
            storage,
            folder: folder.to_owned(),
            trace,
            beside,
            scale,
            looked_at: None,
            rescued: None,
        }
    }

    /// Adds one reading or mark, stamped `utc`. Trouble with the disk is no
    /// error: the row is kept, see [`RunWriter::health`].
    ///
    /// Its elapsed time is written in whole milliseconds and never before that
    /// of the row above: a mark handed in a moment late keeps its order.
    ///
    /// # Errors
    /// When the note is longer than 10,000 characters: nothing is written, the
    /// record goes on.
    pub fn append(&mut self, entry: &Entry, utc: DateTime<Utc>) -> Result<(), RecordError> {
        self.trace.check(entry)?;
        let now = Instant::now();
        self.trace
            .append(&mut *self.storage, Row::Entry(entry), utc, now);
        self.sync_if_due(now);
        Ok(())
    }

    /// Adds one reading of a gauge or channel recorded beside the judged one;
    /// `index` is its place in [`RunHeader::beside`]. An index beyond that is
    /// passed over.
    pub fn append_beside(&mut self, index: usize, reading: &Reading, utc: DateTime<Utc>) {
        let Some(trace) = self.beside.get_mut(index) else {
            return;
        };
        let now = Instant::now();
        let entry = Entry::Reading(*reading);
        trace.append(&mut *self.storage, Row::Entry(&entry), utc, now);
        self.sync_if_due(now);
    }

    /// Adds what a scale said. Passed over where the run has none
    /// ([`RunHeader::scale`]).
    pub fn append_weighing(&mut self, weighing: &Weighing, utc: DateTime<Utc>) {
        let Some(scale) = &mut self.scale else {
            return;
        };
        let now = Instant::now();
        scale.append(&mut *self.storage, Row::Weighing(weighing), utc, now);
        self.sync_if_due(now);
    }

    /// Syncs when the oldest row not yet on disk is half a second old, and tries
    /// again what the disk did not take. Call it on a tick, so that the last
    /// rows before a silence reach the disk too.
    pub fn sync_if_due(&mut self, now: Instant) {
        let looked = |at: Instant| now.saturating_duration_since(at) < LOOK_AFTER;
        if !self.looked_at.is_some_and(looked) {
            self.look_after_files(now);
        }
        for trace in std::iter::once(&mut self.trace)
            .chain(&mut self.beside)
            .chain(&mut self.scale)
        {
            trace.tick(&mut *self.storage, now);
        }
        let oldest = self.traces().filter_map(ChainedTrace::unsynced_since).min();
        if oldest.is_some_and(|since| now.saturating_duration_since(since) >= SYNC_AFTER) {
            for trace in std::iter::once(&mut self.trace)
                .chain(&mut self.beside)
                .chain(&mut self.scale)
            {
                trace.sync(&mut *self.storage, now);
            }
        }
    }

    /// Looks whether the files are still there as they were written, and goes on in
    /// fresh ones where they are not.
    fn look_after_files(&mut self, now: Instant) {
        self.looked_at = Some(now);
        for found in self.storage.disturbed() {
            let mut traces = std::iter::once(&mut self.trace)
                .chain(&mut self.beside)
                .chain(&mut self.scale);
            if let Some(trace) = traces.find(|t| t.owns(&found.name)) {
                trace.disturbed(&mut *self.storage, &found, now);
            }
        }
        for trace in std::iter::once(&mut self.trace)
            .chain(&mut self.beside)
            .chain(&mut self.scale)
        {
            trace.write_owed(&mut *self.storage, now);
            trace.take_first_name(&mut *self.storage);
        }
    }

    /// Brings everything to the disk now, rows kept in memory too.
    ///
    /// # Errors
    /// When the disk does not take them ([`RecordError::is_storage`]): they stay
    /// in memory, and it may be tried again.
    pub fn sync(&mut self) -> Result<(), RecordError> {
        let now = Instant::now();
        self.look_after_files(now);
        for trace in std::iter::once(&mut self.trace)
            .chain(&mut self.beside)
            .chain(&mut self.scale)
        {
            trace.flush(&mut *self.storage, now);
        }
        match self.traces().find(|t| t.rows_waiting() > 0) {
            Some(trace) => {
                let why = trace.trouble().map(|t| t.why.clone()).unwrap_or_default();
                let rows = self.rows_waiting();
                Err(RecordError::new(
                    &trace.path(),
                    Problem::Unwritten { rows, why },
                ))
            }
            None => Ok(()),
        }
    }

    /// Writes the rows that the disk did not take into a fresh folder below
    /// `place`, on another disk, as files that belong into the run folder.
    ///
    /// # Errors
    /// When they cannot be written there either. They stay in memory.
    pub fn rescue(&mut self, place: &Path) -> Result<Rescued, RecordError> {
        let name = self
            .folder
            .file_name()
            .unwrap_or_default()
            .to_string_lossy();
        let name = format!("dryhold-rescued-{name}");
        let folder = make_run_folder(place, &name).creating(&place.join(&name))?;
        let files = match self.keep_rest(&folder) {
            Ok(files) => files,
            Err(e) => {
                // half a rescue would only mislead
                let _ = std::fs::remove_dir_all(&folder);
                return Err(e);
            }
        };
        let rows = self.traces().map(ChainedTrace::rows_in_memory).sum();
        let rescued = Rescued {
            folder,
            files,
            rows,
        };
        self.rescued = Some(rescued.clone());
        Ok(rescued)
    }

    /// Puts what is in memory into files below `folder`; gives their names.
    fn keep_rest(&self, folder: &Path) -> Result<Vec<String>, RecordError> {
        let mut storage = FolderStorage::new(folder);
        let mut files = Vec::new();
        for (name, bytes) in self.traces().filter_map(ChainedTrace::whole_rest) {
            storage
                .create(&name, &bytes)
                .creating(&folder.join(&name))?;
            files.push(name);
        }
        Ok(files)
    }

    /// Closes the record and releases its lock.
    ///
    /// # Errors
    /// When rows in memory can neither be written nor were rescued
    /// ([`RecordError::is_storage`]): they are lost.
    pub fn finish(mut self) -> Result<FinishedRun, RecordError> {
        if self.rescued.is_none() {
            self.sync()?;
        }
        Ok(FinishedRun {
            folder: self.folder,
            rows: self.trace.rows,
            last_link: self.trace.link,
            rescued: self.rescued,
        })
    }

    /// How the record stands with its disk.
    #[must_use]
    pub fn health(&self) -> DiskHealth {
        health(&self.traces().collect::<Vec<_>>())
    }

    /// What the technician should be told about the disk, each thing once and
    /// trouble that lasts every minute. Ask on a tick.
    pub fn take_notice(&mut self, now: Instant) -> Option<DiskNotice> {
        for trace in std::iter::once(&mut self.trace)
            .chain(&mut self.beside)
            .chain(&mut self.scale)
        {
            if !trace.notices.is_empty() {
                return Some(trace.notices.remove(0));
            }
        }
        let traces: Vec<_> = std::iter::once(&self.trace)
            .chain(&self.beside)
            .chain(&self.scale)
            .collect();
        self.told.next(&traces, &self.folder, now)
    }

    /// Keeps at most so many bytes of rows in memory for each gauge while the
    /// disk takes none, instead of 64 MB.
    pub fn limit_memory(&mut self, bytes: usize) {
        for trace in std::iter::once(&mut self.trace)
            .chain(&mut self.beside)
            .chain(&mut self.scale)
        {
            trace.limit_memory(bytes);
        }
    }

    /// Rows not known to be on disk, of every gauge.
    #[must_use]
    pub fn rows_waiting(&self) -> u64 {
        self.traces().map(ChainedTrace::rows_waiting).sum()
    }

    fn traces(&self) -> impl Iterator<Item = &ChainedTrace> {
        std::iter::once(&self.trace)
            .chain(&self.beside)
            .chain(&self.scale)
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
}

/// `<started>-<job id>`, with nothing in it that could leave the folder.
fn folder_name(job_id: &str, started: DateTime<Utc>) -> String {
    format!("{}-{}", started.format("%Y%m%dT%H%M%SZ"), safe_name(job_id))
}

/// A job id as it stands in the name of a run folder: letters, digits, `-`, `_` and
/// inner dots are kept, all else becomes `-`; at most 80 bytes, never empty.
#[must_use]
pub fn safe_name(job_id: &str) -> String {
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
