//! What the disk does to a record being written, in words for the screen.

use std::{fmt, path::PathBuf};

use crate::{
    backlog::{MEMORY_BYTES, RETRY_AFTER},
    storage::{Disturbance, Disturbed},
};

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
