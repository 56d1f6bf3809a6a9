//! Why a table is not made.

/// Why a table is not made, in one line.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// An option, or a file that one names, is not right.
    #[error("{0}")]
    Usage(String),
    /// Anything else.
    #[error("{0}")]
    Other(String),
}
