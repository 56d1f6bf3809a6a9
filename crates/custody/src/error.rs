//! Why a key, a seal or a time stamp is not to be had.

use std::fmt::Display;

use run_record::{RecordError, SealError};
use seal_keys::KeyError;
use thiserror::Error;

use crate::advice::{key_error, seal_error};

/// Why a key, a seal or a time stamp is not to be had.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum CustodyError {
    /// It was not asked for rightly.
    #[error("{0}")]
    Usage(String),
    /// Anything else.
    #[error("{0}")]
    Other(String),
    /// The key.
    #[error("{}", key_error(.0))]
    Key(#[from] KeyError),
    /// The seal.
    #[error("{}", seal_error(.0))]
    Seal(#[from] SealError),
    /// The record.
    #[error(transparent)]
    Record(#[from] RecordError),
}

impl CustodyError {
    pub(crate) fn usage(what: impl Display) -> Self {
        Self::Usage(what.to_string())
    }

    pub(crate) fn other(what: impl Display) -> Self {
        Self::Other(what.to_string())
    }
}
