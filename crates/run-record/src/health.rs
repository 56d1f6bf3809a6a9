//! What the disk does to a record being written, for the screen.

use std::{
    fmt,
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use crate::{
    chained::{ChainedTrace, MEMORY_BYTES, RETRY_AFTER},
    storage::{Disturbance, Disturbed},
};

/// So often trouble that lasts is told again.
const REMIND_AFTER: Duration = Duration::from_secs(60);

/// Fresh files are told no more often than this.
const CONTINUED_AFTER: Duration = Duration::from_secs(10);

/// How a record being written stands with its disk.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum DiskHealth {
    /// The disk takes every row, and always did.
    Fine,
    /// A file failed; every row goes to a fresh one beside it.
    Continued {
        /// Name of the file written now.
        file: String,
        /// Why the one before failed, in words.
        why: String,
    },
    /// The disk takes no rows: they are kept in memory and would be lost if the
    /// computer were switched off.
    InMemory {
        /// Rows not known to be on disk.
        rows: u64,
        /// Why, in words.
        why: String,
    },
}

/// Something about the disk that the technician should know. Its text says what
/// happened, what goes on and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum DiskNotice {
    /// A file failed, and recording goes on in a fresh one. Nothing is lost.
    Continued {
        /// Name of the file that failed.
        failed: String,
        /// Name of the file written now.
        file: String,
        /// Why, in words.
        why: String,
    },
    /// The disk takes no rows, they are kept in memory. Told again every minute.
    InMemory {
        /// Rows not known to be on disk.
        rows: u64,
        /// Why, in words.
        why: String,
        /// The run folder.
        folder: PathBuf,
    },
    /// Memory is full as well: readings are lost. Told again every minute.
    NotKept {
        /// Readings lost so far.
        readings: u64,
        /// Why the disk takes none, in words.
        why: String,
    },
    /// Somebody else touched a file of the record while it was being written.
    Disturbed {
        /// Name of the file.
        file: String,
        /// What was done to it.
        what: Disturbance,
        /// The file that holds all of it again, where it was gone and still open here.
        into: Option<String>,
    },
    /// The rows kept in memory are on disk.
    WrittenOut {
        /// Name of the file they went to.
        file: String,
        /// Readings lost before, because memory was full.
        not_kept: u64,
    },
}

impl DiskNotice {
    pub(crate) fn disturbed(found: &Disturbed, into: Option<&str>) -> Self {
        Self::Disturbed {
            file: found.name.clone(),
            what: found.what,
            into: into.map(str::to_owned),
        }
    }
}

/// What to do so that it does not happen again.
const LEAVE_ALONE: &str = "Let no other program touch the run folder while it records";

impl fmt::Display for DiskNotice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Continued { failed, file, why } => write!(
                f,
                "{failed} could not be written on: {why}. Recording goes on in {file} beside it; \
                 nothing is lost. If this happens again, change the disk"
            ),
            Self::InMemory { rows, why, folder } => write!(
                f,
                "the record cannot be written: {why} ({}). {rows} rows are kept in memory and go \
                 to the disk as soon as it takes them (tried every {} s); until then keep the \
                 computer running",
                folder.display(),
                RETRY_AFTER.as_secs()
            ),
            Self::NotKept { readings, why } => write!(
                f,
                "READINGS ARE BEING LOST ({readings} so far): {why}, and the {} MB of memory \
                 kept for rows are full. The rows in memory stay, marks are still kept, new \
                 readings are not",
                MEMORY_BYTES >> 20
            ),
            Self::Disturbed { file, what, into } => match (what, into) {
                (Disturbance::Gone, Some(into)) => write!(
                    f,
                    "{file} was deleted, moved or replaced while it was being recorded: all of \
                     it is written again to {into}, nothing is lost. {LEAVE_ALONE}"
                ),
                (Disturbance::Gone, None) => write!(
                    f,
                    "{file} was deleted, moved or replaced while it was being recorded, and what \
                     stood in it CANNOT BE WRITTEN AGAIN: those rows are missing in the record. \
                     {LEAVE_ALONE}"
                ),
                (Disturbance::WrittenInto, _) => write!(
                    f,
                    "another program wrote into {file} while it was being recorded: the record \
                     goes on in a fresh file. {LEAVE_ALONE}"
                ),
                (Disturbance::Cut { bytes }, _) => write!(
                    f,
                    "another program cut {bytes} bytes off {file} while it was being recorded: \
                     THOSE ROWS ARE MISSING in the record, which goes on in a fresh file. \
                     {LEAVE_ALONE}"
                ),
            },
            Self::WrittenOut { file, not_kept: 0 } => write!(
                f,
                "the disk takes rows again: everything kept in memory is written to {file}, \
                 nothing is lost"
            ),
            Self::WrittenOut { file, not_kept } => write!(
                f,
                "the disk takes rows again: everything kept in memory is written to {file}. \
                 {not_kept} readings found no room and are missing; the record shows the gap"
            ),
        }
    }
}

/// What was told, so that each thing is told once and lasting trouble now and
/// then.
#[derive(Debug, Default)]
pub(crate) struct Told {
    in_memory_at: Option<Instant>,
    /// Readings lost, as told in this stretch of trouble, and before it.
    not_kept: u64,
    not_kept_before: u64,
    parts: u32,
    continued_at: Option<Instant>,
}

impl Told {
    /// Nothing is to be told of parts that were there before.
    pub(crate) fn of<'a>(traces: impl IntoIterator<Item = &'a ChainedTrace>) -> Self {
        Self {
            parts: traces.into_iter().map(ChainedTrace::number).sum(),
            ..Self::default()
        }
    }

    /// What is new, or due again.
    pub(crate) fn next(
        &mut self,
        traces: &[&ChainedTrace],
        folder: &Path,
        now: Instant,
    ) -> Option<DiskNotice> {
        let troubled = traces.iter().find(|t| t.file().is_none() && t.is_behind());
        let parts = traces.iter().map(|t| t.number()).sum();
        if let Some(troubled) = troubled {
            return self.lasting(traces, troubled, folder, now);
        }
        // the last that had trouble, and where its rows go now
        let (trouble, file) = traces
            .iter()
            .rev()
            .find_map(|t| t.trouble().zip(t.file()))?;
        let file = file.to_owned();
        if self.in_memory_at.is_some() {
            if traces.iter().any(|t| t.is_behind()) {
                return None;
            }
            let not_kept = traces.iter().map(|t| t.not_kept).sum::<u64>() - self.not_kept_before;
            self.not_kept_before += not_kept;
            (self.in_memory_at, self.parts, self.not_kept) = (None, parts, 0);
            return Some(DiskNotice::WrittenOut { file, not_kept });
        }
        let soon = |at: Instant| now.saturating_duration_since(at) < CONTINUED_AFTER;
        if parts == self.parts || self.continued_at.is_some_and(soon) {
            return None;
        }
        (self.parts, self.continued_at) = (parts, Some(now));
        Some(DiskNotice::Continued {
            failed: trouble.file.clone(),
            file,
            why: trouble.why.clone(),
        })
    }

    fn lasting(
        &mut self,
        traces: &[&ChainedTrace],
        troubled: &ChainedTrace,
        folder: &Path,
        now: Instant,
    ) -> Option<DiskNotice> {
        let why = troubled.trouble()?.why.clone();
        let not_kept = traces.iter().map(|t| t.not_kept).sum::<u64>() - self.not_kept_before;
        let recently = |at: Instant| now.saturating_duration_since(at) < REMIND_AFTER;
        let first_lost = not_kept > 0 && self.not_kept == 0;
        if self.in_memory_at.is_some_and(recently) && !first_lost {
            return None;
        }
        self.in_memory_at = Some(now);
        if not_kept > self.not_kept {
            self.not_kept = not_kept;
            let readings = not_kept;
            return Some(DiskNotice::NotKept { readings, why });
        }
        let rows = traces.iter().map(|t| t.rows_waiting()).sum();
        let folder = folder.to_owned();
        Some(DiskNotice::InMemory { rows, why, folder })
    }
}

/// How these traces stand with their disk; the worst of them counts.
pub(crate) fn health(traces: &[&ChainedTrace]) -> DiskHealth {
    let rows = traces.iter().map(|t| t.rows_waiting()).sum();
    let behind = traces.iter().find(|t| t.is_behind());
    if let Some(trouble) = behind.and_then(|t| t.trouble()) {
        let why = trouble.why.clone();
        return DiskHealth::InMemory { rows, why };
    }
    let mut troubles = traces.iter().filter_map(|t| t.trouble().zip(t.file()));
    match troubles.next() {
        Some((trouble, file)) => DiskHealth::Continued {
            file: file.to_owned(),
            why: trouble.why.clone(),
        },
        None => DiskHealth::Fine,
    }
}
