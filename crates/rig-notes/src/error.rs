//! What may be wrong with notes.

use std::{io, path::PathBuf};

use thiserror::Error;

/// Why notes cannot be read or written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum NotesError {
    /// The file cannot be read or written.
    #[error("{}: {why}", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// Why.
        why: io::Error,
    },
    /// It is no plain file.
    #[error("{}: this is no plain file; nothing is written into it", path.display())]
    NotPlain {
        /// The file.
        path: PathBuf,
    },
    /// It is too large to be one of these.
    #[error("{}: the file is too large to be a list of notes", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// It begins otherwise.
    #[error(
        "{}: the first line is not that of a list of notes; move the file away, or name another folder",
        path.display()
    )]
    NotNotes {
        /// The file.
        path: PathBuf,
    },
    /// Another program writes to it.
    #[error("{}: another program is writing to it; try again", path.display())]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// What was to be noted is none.
    #[error("this cannot be noted: {why}")]
    NoNote {
        /// Why.
        why: &'static str,
    },
}

/// What is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Problem {
    /// A row is none.
    #[error("line {line}: this is no note, and is passed over")]
    NoNote {
        /// From 1, as an editor counts.
        line: usize,
    },
    /// The last row has no end.
    #[error("line {line}: the last note was not written whole, and is passed over")]
    Torn {
        /// From 1.
        line: usize,
    },
    /// The row does not follow from the one before.
    #[error(
        "line {line}: this note does not follow from the one before: a note was changed, taken out or put in"
    )]
    NotLinked {
        /// From 1.
        line: usize,
    },
    /// The signature is not that of the row.
    #[error("line {line}: the signature of this note is wrong: it was changed after it was signed")]
    WrongSignature {
        /// From 1.
        line: usize,
    },
}
