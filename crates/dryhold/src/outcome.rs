//! How a command ends: exit statuses, and why it could not do its work.

use std::{fmt::Display, process::ExitCode};

use analyser::Verdict;
use run_record::{RecordError, SealError};
use seal_keys::KeyError;

use crate::option_advice;
pub(crate) use crate::output::{complain, say};

/// Exit statuses, the public table:
///
/// | status | meaning |
/// |---|---|
/// | 0 | done; for `review`: pass |
/// | 1 | any error that is not one of the below |
/// | 2 | usage: an option or a missing choice, for instance a unit |
/// | 10 | `review`: fail |
/// | 11 | `review`: not proven |
/// | 12 | `verify`: something is not as it was recorded or sealed, or what is sealed cannot be checked; a key that is revoked, or was replaced before it sealed; with `--public-key` also: no seal, or one by another key; with `--timestamp-root` also: no time stamp that it vouches for |
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// Done, or pass.
    Done,
    /// Not proven.
    NotProven,
    /// Fail.
    Fail,
    /// Usage.
    Usage,
    /// Any other error.
    Error,
    /// The record was altered, or its seal is not the one asked for. Of several paths
    /// this counts most: an error beside it must not hide it.
    Altered,
}

impl Outcome {
    /// The process exit status.
    pub(crate) fn exit_code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Done => 0,
            Self::Error => 1,
            Self::Usage => 2,
            Self::Fail => 10,
            Self::NotProven => 11,
            Self::Altered => 12,
        })
    }

    /// The outcome of a verdict.
    pub(crate) fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Pass => Self::Done,
            Verdict::Fail => Self::Fail,
            Verdict::NotProven => Self::NotProven,
        }
    }

    /// The worse of two, in the order of the variants.
    pub(crate) fn worse(self, other: Self) -> Self {
        if (other as u8) > (self as u8) {
            other
        } else {
            self
        }
    }
}

/// Why a command could not do its work, in one line.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The command was not asked rightly.
    Usage(String),
    /// Anything else.
    Other(String),
}

impl Failure {
    /// A usage failure.
    pub(crate) fn usage(what: impl Display) -> Self {
        Self::Usage(what.to_string())
    }

    /// Any other failure.
    pub(crate) fn other(what: impl Display) -> Self {
        Self::Other(what.to_string())
    }

    /// The exit status that goes with it.
    pub(crate) fn outcome(&self) -> Outcome {
        match self {
            Self::Usage(_) => Outcome::Usage,
            Self::Other(_) => Outcome::Error,
        }
    }
}

impl Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (Self::Usage(text) | Self::Other(text)) = self;
        // one line, whatever a library put into its message
        f.write_str(&text.split_whitespace().collect::<Vec<_>>().join(" "))
    }
}

impl From<RecordError> for Failure {
    fn from(error: RecordError) -> Self {
        let text = option_advice::record_error(&error);
        match error.missing() {
            Some(_) => Self::Usage(text),
            None => Self::Other(text),
        }
    }
}

impl From<SealError> for Failure {
    fn from(error: SealError) -> Self {
        Self::Other(option_advice::seal_error(&error))
    }
}

impl From<KeyError> for Failure {
    fn from(error: KeyError) -> Self {
        Self::Other(option_advice::key_error(&error))
    }
}
