//! One trace being written: its rows, and the files they go to.

mod again;

use std::{
    io,
    path::{Path, PathBuf},
    time::Instant,
};

use chrono::{DateTime, Utc};
use plain_file::io_words;
use vacuum::{Entry, Reading, Weighing};

use crate::{
    backlog::{Backlog, MEMORY_BYTES, RETRY_AFTER},
    error::{Problem, RecordError},
    link::Link,
    notice::DiskNotice,
    parts::{first_and_number, header_row_of, part_name},
    scale_row::write_weighing,
    storage::{Disturbance, Disturbed, Storage},
    trace::{NOTE_LIMIT, write_row},
};

/// So far marks may go beyond [`MEMORY_BYTES`], bytes: they are few and worth more
/// than readings.
const MARKS_BEYOND: usize = 1 << 20;

/// Most numbers that are passed over in search of one not taken.
const MOST_TAKEN: u32 = 1_000;

/// Rows of one gauge: the files they go to and the link they have reached.
///
/// After a failed write or sync nothing is ever written again to that file. The
/// rows it did not sync begin a fresh part, which is made whole and at once; as
/// long as no part can be made they stay in memory.
#[derive(Debug)]
pub(crate) struct ChainedTrace {
    /// Name of the first part.
    first: String,
    folder: PathBuf,
    /// Number of the last part that exists or was tried.
    number: u32,
    /// The part that is written; `None` while there is none.
    file: Option<String>,
    row: Vec<u8>,
    backlog: Backlog,
    pub(crate) link: Link,
    pub(crate) rows: u64,
    pub(crate) rows_synced: u64,
    /// Readings that found no room in memory.
    pub(crate) not_kept: u64,
    last_ms: u64,
    unsynced_since: Option<Instant>,
    trouble: Option<Trouble>,
    /// A file that is gone from its place: the next part tells all of it again.
    gone: Option<String>,
    /// Earlier parts that are gone and could not be written again, and when to try.
    owed: Vec<(String, Instant)>,
    /// The part that tells all from the first row on, since others took the first name.
    whole: Option<String>,
    /// What somebody else did to its files and what came of it, not told yet.
    pub(crate) notices: Vec<DiskNotice>,
    /// When the part now written was made, if it continues another.
    made_at: Option<Instant>,
    memory_bytes: usize,
    /// A reading found no room, and none has come that did since.
    overflows: bool,
}

/// What the disk said last.
#[derive(Debug, Clone)]
pub(crate) struct Trouble {
    /// The file that failed.
    pub(crate) file: String,
    /// Why, in words.
    pub(crate) why: String,
    /// When a fresh file is tried again.
    retry_at: Instant,
}

/// Where a trace to be continued ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Continuing {
    pub(crate) number: u32,
    pub(crate) link: Link,
    pub(crate) rows: u64,
    pub(crate) last_ms: u64,
}

impl ChainedTrace {
    /// Makes the first part, with its header row.
    pub(crate) fn start(
        storage: &mut dyn Storage,
        folder: &Path,
        first: String,
        seed: Link,
    ) -> Result<Self, RecordError> {
        storage.create(&first, &header(&first)).map_err(|e| {
            let problem = match e.kind() {
                io::ErrorKind::WouldBlock => Problem::Locked,
                _ => Problem::Create(e),
            };
            RecordError::new(&folder.join(&first), problem)
        })?;
        let from = Continuing {
            number: 1,
            link: seed,
            rows: 0,
            last_ms: 0,
        };
        let mut trace = Self::resume(folder, first, from);
        trace.file = Some(trace.first.clone());
        Ok(trace)
    }

    /// Goes on with a trace that is there; the next part is made when the first
    /// row comes.
    pub(crate) fn resume(folder: &Path, first: String, from: Continuing) -> Self {
        Self {
            first,
            folder: folder.to_owned(),
            number: from.number,
            file: None,
            row: Vec::new(),
            backlog: Backlog::default(),
            link: from.link,
            rows: from.rows,
            rows_synced: from.rows,
            not_kept: 0,
            last_ms: from.last_ms,
            unsynced_since: None,
            trouble: None,
            gone: None,
            owed: Vec::new(),
            whole: None,
            notices: Vec::new(),
            made_at: None,
            memory_bytes: MEMORY_BYTES,
            overflows: false,
        }
    }

    /// Keeps no more than this in memory.
    pub(crate) fn limit_memory(&mut self, bytes: usize) {
        self.memory_bytes = bytes;
    }

    /// Where it begins, for messages.
    pub(crate) fn path(&self) -> PathBuf {
        self.folder.join(&self.first)
    }

    /// Number of the part last made or tried.
    pub(crate) fn number(&self) -> u32 {
        self.number
    }

    /// The part written now; `None` while rows stay in memory.
    pub(crate) fn file(&self) -> Option<&str> {
        self.file.as_deref()
    }

    /// What the disk said last, if it ever failed.
    pub(crate) fn trouble(&self) -> Option<&Trouble> {
        self.trouble.as_ref()
    }

    /// True while rows stay in memory because no file takes them, or are on
    /// their way from there to a file.
    pub(crate) fn is_behind(&self) -> bool {
        let waits = self.file.is_none() || self.backlog.unhanded() > 0;
        self.gone.is_some() || !self.backlog.is_empty() && waits
    }

    /// Rows in memory, not known to be on disk.
    pub(crate) fn rows_in_memory(&self) -> u64 {
        self.rows - self.rows_synced
    }

    /// Rows not known to be on disk, under a name that can be read.
    pub(crate) fn rows_waiting(&self) -> u64 {
        match self.gone {
            Some(_) => self.rows,
            None => self.rows_in_memory(),
        }
    }

    /// Refuses what cannot be written as a row.
    pub(crate) fn check(&self, entry: &Entry) -> Result<(), RecordError> {
        let Entry::Mark(mark) = entry else {
            return Ok(());
        };
        let length = mark.note.chars().count();
        if length <= NOTE_LIMIT {
            return Ok(());
        }
        let limit = NOTE_LIMIT;
        let problem = Problem::NoteTooLong { limit, length };
        Err(RecordError::new(&self.path(), problem))
    }

    /// Adds one row, to the file or to what waits for one.
    pub(crate) fn append(
        &mut self,
        storage: &mut dyn Storage,
        row: Row<'_>,
        utc: DateTime<Utc>,
        now: Instant,
    ) {
        // a saturating cast: a time that is not a number counts as "no later"
        let elapsed_ms = (row.elapsed_s() * 1000.0).round() as u64;
        self.last_ms = self.last_ms.max(elapsed_ms);
        if !self.has_room(row) {
            if !std::mem::replace(&mut self.overflows, true) {
                // what is missing from here on must show in the record
                match row {
                    Row::Entry(entry) => {
                        let gap = Entry::Reading(Reading::gap(entry.elapsed_s()));
                        self.add(Row::Entry(&gap), utc, now);
                    }
                    Row::Weighing(weighing) => {
                        let gap = Weighing::gap(weighing.elapsed_s);
                        self.add(Row::Weighing(&gap), utc, now);
                    }
                }
            }
            self.not_kept += 1;
            return;
        }
        self.overflows = false;
        let caught_up = self.backlog.unhanded() == 0;
        self.add(row, utc, now);
        match &self.file {
            Some(_) if caught_up => self.hand_over(storage, now),
            None if self.trouble.is_none() => self.go_on(storage, now),
            _ => {}
        }
    }

    fn has_room(&self, row: Row<'_>) -> bool {
        let limit = match row.is_mark() {
            false => self.memory_bytes,
            true => self.memory_bytes + MARKS_BEYOND,
        };
        self.backlog.len() < limit
    }

    fn header(&self) -> Vec<u8> {
        header(&self.first)
    }

    fn add(&mut self, row: Row<'_>, utc: DateTime<Utc>, now: Instant) {
        self.row.clear();
        let (seq, last_ms) = (self.rows + 1, self.last_ms);
        match row {
            Row::Entry(entry) => write_row(&mut self.row, seq, last_ms, utc, entry),
            Row::Weighing(weighing) => {
                write_weighing(&mut self.row, seq, last_ms, utc, weighing);
            }
        }
        self.link = self.link.next(&self.row);
        self.row.push(b',');
        self.row.extend_from_slice(self.link.as_bytes());
        self.row.push(b'\n');
        self.backlog.push(&self.row);
        self.rows += 1;
        self.unsynced_since.get_or_insert(now);
    }

    /// When the oldest row not yet on disk came, while a file takes rows.
    pub(crate) fn unsynced_since(&self) -> Option<Instant> {
        self.unsynced_since.filter(|_| self.file.is_some())
    }

    /// Tries what is due: a fresh file, or more rows from memory.
    pub(crate) fn tick(&mut self, storage: &mut dyn Storage, now: Instant) {
        if self.backlog.is_empty() && self.gone.is_none() {
            return;
        }
        if self.file.is_none() {
            if self.trouble.as_ref().is_none_or(|t| now >= t.retry_at) {
                self.go_on(storage, now);
            }
        } else if self.backlog.unhanded() > 0 {
            self.hand_over(storage, now);
            self.sync(storage, now);
        }
    }

    /// Brings its rows to the disk.
    pub(crate) fn sync(&mut self, storage: &mut dyn Storage, now: Instant) {
        let Some(file) = self.file.as_deref().filter(|_| !self.backlog.is_empty()) else {
            return;
        };
        match storage.sync(file) {
            Ok(()) => {
                self.rows_synced += self.backlog.handed_is_durable();
                self.unsynced_since = (!self.backlog.is_empty()).then_some(now);
            }
            Err(e) => self.fails(storage, &e, now),
        }
    }

    /// Brings everything to the disk, from memory too; false when it cannot.
    pub(crate) fn flush(&mut self, storage: &mut dyn Storage, now: Instant) -> bool {
        if self.file.is_none() && (!self.backlog.is_empty() || self.gone.is_some()) {
            self.go_on(storage, now);
        }
        while self.file.is_some() && !self.backlog.is_empty() {
            if self.backlog.unhanded() > 0 {
                self.hand_over(storage, now);
            }
            self.sync(storage, now);
        }
        self.backlog.is_empty() && self.gone.is_none()
    }

    /// Gives the file the next rows.
    fn hand_over(&mut self, storage: &mut dyn Storage, now: Instant) {
        let Some(file) = self.file.as_deref() else {
            return;
        };
        match storage.append(file, self.backlog.next()) {
            Ok(()) => self.backlog.next_is_handed(),
            Err(e) => {
                // it may hold some of them: a fresh file tells them again
                self.backlog.next_is_handed();
                self.fails(storage, &e, now);
            }
        }
    }

    /// The file failed: nothing is written to it any more.
    fn fails(&mut self, storage: &mut dyn Storage, error: &io::Error, now: Instant) {
        let file = self.file.take().unwrap_or_else(|| self.first.clone());
        // a disk that takes files but no rows must not be littered with parts
        let earliest = self.made_at.map(|made| made + RETRY_AFTER);
        let retry_at = earliest.filter(|at| *at > now).unwrap_or(now);
        self.trouble = Some(Trouble {
            file,
            why: io_words(error),
            retry_at,
        });
        if retry_at <= now {
            self.go_on(storage, now);
        }
    }

    /// True for a name of one of its files.
    pub(crate) fn owns(&self, name: &str) -> bool {
        first_and_number(name).is_some_and(|(first, _)| first == self.first)
    }

    /// Somebody else touched one of its files: what was written is told again where
    /// that can be done, and recording goes on in a file that nobody touched.
    pub(crate) fn disturbed(&mut self, storage: &mut dyn Storage, found: &Disturbed, now: Instant) {
        let Disturbed { name, what } = found;
        let is_written = self.file.as_ref() == Some(name);
        match what {
            Disturbance::Gone if is_written => {
                self.file = None;
                self.gone = Some(name.clone());
                self.go_on(storage, now);
                return;
            }
            // an earlier part, to which nothing is added any more
            Disturbance::Gone => {
                self.earlier_part_is_gone(storage, found, now);
                return;
            }
            _ if is_written => {
                // should it fail, the rows that follow are worth more
                let _ = storage.mend_head(name, &self.header());
                self.file = None;
                if !self.backlog.is_empty() {
                    self.go_on(storage, now);
                }
            }
            _ => {}
        }
        self.notices.push(DiskNotice::disturbed(found, None));
    }

    /// Makes the next part, which begins with the rows not known to be on disk; where
    /// the file before is gone, with all that stood in it.
    fn go_on(&mut self, storage: &mut dyn Storage, now: Instant) {
        let mut bytes = self.header();
        bytes.extend_from_slice(self.backlog.first());
        if let Some(name) = self.gone.clone() {
            let renewed = match self.renew(storage, &name) {
                Ok(into) => Some(into),
                // it was cut before it went: what is in memory is all there is
                Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => None,
                Err(e) => return self.waits(&e, now),
            };
            self.gone = None;
            let what = Disturbance::Gone;
            let notice = DiskNotice::disturbed(&Disturbed { name, what }, renewed.as_deref());
            self.notices.push(notice);
            if let Some(into) = renewed {
                return self.goes_on_in(into, now);
            }
        }
        let mut number = self.number + 1;
        let last_try = number + MOST_TAKEN;
        let made = loop {
            let name = part_name(&self.first, number);
            match storage.create(&name, &bytes) {
                // a file that could not be made may be there all the same
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists && number < last_try => {
                    number += 1;
                }
                made => break made.map(|()| name),
            }
        };
        match made {
            Ok(name) => {
                self.number = number;
                self.goes_on_in(name, now);
            }
            Err(e) => self.waits(&e, now),
        }
    }

    /// This file holds [`Backlog::first`] for certain, and is written from here on.
    fn goes_on_in(&mut self, name: String, now: Instant) {
        self.file = Some(name);
        self.made_at = Some(now);
        self.rows_synced += self.backlog.first_is_durable();
        self.unsynced_since = (!self.backlog.is_empty()).then_some(now);
    }

    /// No file can be made: rows wait in memory.
    fn waits(&mut self, error: &io::Error, now: Instant) {
        let retry_at = now + RETRY_AFTER;
        let file = part_name(&self.first, self.number + 1);
        let trouble = self.trouble.get_or_insert_with(|| Trouble {
            file,
            why: String::new(),
            retry_at,
        });
        (trouble.why, trouble.retry_at) = (io_words(error), retry_at);
    }

    /// A part with everything that is in memory, to be kept elsewhere: its name
    /// and bytes. `None` when everything is on disk.
    pub(crate) fn whole_rest(&self) -> Option<(String, Vec<u8>)> {
        if self.backlog.is_empty() {
            return None;
        }
        let name = part_name(&self.first, self.number + 1);
        Some((name, [&self.header(), self.backlog.all()].concat()))
    }
}

/// The header row of a file with its line end.
fn header(first: &str) -> Vec<u8> {
    [header_row_of(first), b"\n"].concat()
}

/// What becomes a row.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Row<'a> {
    /// Of a gauge.
    Entry(&'a Entry),
    /// Of a scale.
    Weighing(&'a Weighing),
}

impl Row<'_> {
    fn elapsed_s(self) -> f64 {
        match self {
            Self::Entry(entry) => entry.elapsed_s(),
            Self::Weighing(weighing) => weighing.elapsed_s,
        }
    }

    fn is_mark(self) -> bool {
        matches!(self, Self::Entry(Entry::Mark(_)))
    }
}
