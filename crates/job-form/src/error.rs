//! Why nothing is remembered of the shop.

use thiserror::Error;

/// Why what is remembered of the shop cannot be used.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum MemoryError {
    /// There is no place for it.
    #[error("no home folder is known, so nothing can be remembered of the shop")]
    NoHome,
    /// It is no job file.
    #[error(transparent)]
    JobFile(#[from] run_record::RecordError),
    /// The file is there and cannot be used.
    #[error("what is remembered of the shop cannot be used: {why}; mend that file or remove it")]
    Unusable {
        /// The file, and why.
        why: String,
    },
}
