//! Why a seal cannot be stamped.

use std::path::{Path, PathBuf};

use plain_file::one_line;
use time_stamp::Refusal;

use crate::error::RecordError;

/// Why a seal got no time stamp. The seal itself is as it was.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", one_line(path.as_os_str()))]
pub struct StampError {
    path: PathBuf,
    #[source]
    problem: StampProblem,
}

#[derive(Debug, thiserror::Error)]
pub(super) enum StampProblem {
    #[error(transparent)]
    Record(#[from] RecordError),
    #[error("it is not sealed, and a time stamp is made for a seal: seal it first")]
    NotSealed,
    #[error(
        "it is not as it was sealed ({what}), so a time stamp would be of no use: run verify on this folder"
    )]
    NotAsSealed { what: String },
    #[error(
        "there is a time stamp already, and it does not fit ({why}). It is left as it is: to ask \
         for a new one, move seal.tsr and stamped-seal.json out of the folder first"
    )]
    OldOneDoesNotFit { why: String },
    #[error("the answer is no time stamp of this seal: {0}")]
    Refused(#[from] Refusal),
}

impl StampError {
    pub(super) fn new(path: &Path, problem: impl Into<StampProblem>) -> Self {
        Self {
            path: path.to_owned(),
            problem: problem.into(),
        }
    }
}
