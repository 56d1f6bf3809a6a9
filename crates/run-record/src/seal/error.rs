//! What can go wrong with a seal, in one line a technician can act on.

use std::{
    io,
    path::{Path, PathBuf},
};

use plain_file::{io_words, one_line};
use seal_keys::{KeyError, KeyProblem};

use crate::error::RecordError;

/// Why a record could not be sealed.
///
/// Its text is always one line: the file, what is wrong and what to do. None of
/// these harms a record: it stays as it was, without a seal.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", one_line(.path))]
pub struct SealError {
    path: PathBuf,
    #[source]
    problem: Box<SealProblem>,
}

impl SealError {
    pub(crate) fn new(path: &Path, problem: SealProblem) -> Self {
        Self {
            path: path.to_owned(),
            problem: Box::new(problem),
        }
    }

    /// What is wrong with the key, where that is the reason.
    #[must_use]
    pub fn key_problem(&self) -> Option<&KeyProblem> {
        match &*self.problem {
            SealProblem::Key(problem) => Some(problem),
            _ => None,
        }
    }
}

impl From<KeyError> for SealError {
    fn from(error: KeyError) -> Self {
        let (path, problem) = error.into_parts();
        Self::new(&path, SealProblem::Key(problem))
    }
}

#[derive(Debug, thiserror::Error)]
pub(crate) enum SealProblem {
    #[error(transparent)]
    Key(KeyProblem),
    #[error("cannot be read for the seal: {}", io_words(.0))]
    Read(#[source] io::Error),
    #[error(transparent)]
    Record(#[from] RecordError),
    #[error(
        "a program is recording into this folder: stop it first, the seal comes when the record is whole"
    )]
    BeingRecorded,
    #[error(
        "the record does not hold together ({what}), so it is not sealed: a seal would vouch for what is wrong"
    )]
    NotSound { what: String },
    #[error(
        "the record has changed since its last row was written, so it is not sealed: see what else writes into this folder"
    )]
    ChangedMeanwhile,
    #[error(
        "there is a seal already, and it does not fit ({what}). It is left as it is, because a new one would hide that: run verify on this folder"
    )]
    OldSealDoesNotFit { what: String },
    #[error(
        "this record is sealed with another key (fingerprint {fingerprint}): only that key can seal what is written beside it now"
    )]
    OtherKey { fingerprint: String },
    #[error("there is no seal in this folder")]
    NoSeal,
}
