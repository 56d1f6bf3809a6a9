//! One file of chained rows being written.

use std::{
    io,
    path::{Path, PathBuf},
    time::Instant,
};

use chrono::{DateTime, Utc};
use vacuum::Entry;

use crate::{
    chain::Link,
    error::{AtPath, Problem, RecordError},
    storage::Storage,
    trace::{HEADER_ROW, NOTE_LIMIT, write_row},
};

/// Rows of one gauge: the file they go to and the link they have reached.
#[derive(Debug)]
pub(crate) struct ChainedTrace {
    name: String,
    path: PathBuf,
    row: Vec<u8>,
    pub(crate) link: Link,
    pub(crate) rows: u64,
    pub(crate) rows_synced: u64,
    last_ms: u64,
    pub(crate) unsynced_since: Option<Instant>,
}

impl ChainedTrace {
    /// Makes the file and writes its header row.
    pub(crate) fn start(
        storage: &mut dyn Storage,
        folder: &Path,
        name: String,
        seed: Link,
    ) -> Result<Self, RecordError> {
        let path = folder.join(&name);
        storage.create(&name).map_err(|e| {
            let problem = if e.kind() == io::ErrorKind::WouldBlock {
                Problem::Locked
            } else {
                Problem::Create(e)
            };
            RecordError::new(&path, problem)
        })?;
        let mut row = HEADER_ROW.to_vec();
        row.push(b'\n');
        storage.append(&name, &row).creating(&path)?;
        storage.sync(&name).creating(&path)?;
        Ok(Self {
            name,
            path,
            row,
            link: seed,
            rows: 0,
            rows_synced: 0,
            last_ms: 0,
            unsynced_since: None,
        })
    }

    /// Where it is, for messages.
    pub(crate) fn path(&self) -> &Path {
        &self.path
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
        Err(RecordError::new(&self.path, problem))
    }

    /// Adds one row.
    pub(crate) fn append(
        &mut self,
        storage: &mut dyn Storage,
        entry: &Entry,
        utc: DateTime<Utc>,
    ) -> io::Result<()> {
        // a saturating cast: a time that is not a number counts as "no later"
        let elapsed_ms = (entry.elapsed_s() * 1000.0).round() as u64;
        self.last_ms = self.last_ms.max(elapsed_ms);
        self.row.clear();
        write_row(&mut self.row, self.rows + 1, self.last_ms, utc, entry);
        let link = self.link.next(&self.row);
        self.row.push(b',');
        self.row.extend_from_slice(link.as_bytes());
        self.row.push(b'\n');
        storage.append(&self.name, &self.row)?;
        self.link = link;
        self.rows += 1;
        self.unsynced_since.get_or_insert_with(Instant::now);
        Ok(())
    }

    /// Brings its rows to the disk.
    pub(crate) fn sync(&mut self, storage: &mut dyn Storage) -> io::Result<()> {
        if self.unsynced_since.is_some() {
            storage.sync(&self.name)?;
            self.unsynced_since = None;
            self.rows_synced = self.rows;
        }
        Ok(())
    }
}
