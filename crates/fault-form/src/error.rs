//! Why the answers make no case.

use thiserror::Error;

/// Why the answers make no case.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum FormError {
    /// One answer cannot be used.
    #[error("{key}: {why}")]
    Answer {
        /// Which one, as its key.
        key: &'static str,
        /// Why, and what to give instead.
        why: String,
    },
    /// Something has to be known.
    #[error("{key} is missing: give it as an option, or in the file ({question})")]
    Missing {
        /// Its key.
        key: &'static str,
        /// What is asked.
        question: &'static str,
    },
    /// Nothing is called so.
    #[error("nothing is called \"{given}\" here{near}")]
    UnknownKey {
        /// What was given, cut to 40 characters.
        given: String,
        /// ": did you mean …?", where there is something near.
        near: String,
    },
    /// The file cannot be read.
    #[error("{path}: {why}")]
    File {
        /// The file.
        path: String,
        /// Why.
        why: String,
    },
    /// No rehearsal is called so.
    #[error("no rehearsal is called \"{given}\": there are {all}")]
    NoRehearsal {
        /// What was given.
        given: String,
        /// Their names.
        all: String,
    },
    /// The person left before the end.
    #[error("nothing was answered to the end, so there is nothing to say")]
    Left,
    /// The file says too little for a hold to settle.
    #[error("{path}: {why}")]
    NoQuestion {
        /// The file.
        path: String,
        /// What is missing.
        why: String,
    },
}
