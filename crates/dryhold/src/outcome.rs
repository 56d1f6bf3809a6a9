//! How a command ends: exit statuses, and why it could not do its work.

use std::{fmt::Display, process::ExitCode};

use analyser::Verdict;
use custody::{CustodyError, NoKey};
use desk_options::DeskError;
use job_form::MemoryError;
use recorder::RecorderError;
use run_record::{RecordError, SealError};
use run_review::{ProductError, ReviewError};
use seal_keys::KeyError;

use crate::option_advice;

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
        CustodyError::from(error).into()
    }
}

impl From<KeyError> for Failure {
    fn from(error: KeyError) -> Self {
        CustodyError::from(error).into()
    }
}

impl From<ReviewError> for Failure {
    fn from(error: ReviewError) -> Self {
        match error {
            ReviewError::Record(error) => error.into(),
            ReviewError::NotPlaced { .. } => Self::usage(error),
            ReviewError::IsolatedOutside {
                path,
                at_s,
                from_s,
                to_s,
            } => Self::usage(format!(
                "{}: --isolated-at {at_s} lies outside of the record, which runs from {from_s:.0} s \
                 to {to_s:.0} s: give the time at which the pump-side valve was shut in seconds of \
                 the record",
                path.display()
            )),
            _ => Self::other(error),
        }
    }
}

impl From<ProductError> for Failure {
    fn from(error: ProductError) -> Self {
        match error {
            ProductError::Write { .. } => Self::other(format!(
                "{error}; check the folder and free space, or give --out DIR"
            )),
            _ => Self::other(error),
        }
    }
}

impl From<RecorderError> for Failure {
    fn from(error: RecorderError) -> Self {
        use RecorderError as E;
        match &error {
            E::Dialect(_) | E::Address(_) => Self::usage(error),
            E::SamePort { port } => Self::usage(format!(
                "two of --port, --pump-port and --scale-port are both {port}; give each its own"
            )),
            E::PumpPortMissing => Self::usage(format!("{error}: give --pump-port")),
            E::RecordedWithOneGauge => Self::usage(format!(
                "{error}: leave --pump-port out, or record a new run"
            )),
            E::ScaleDialectMissing { .. } => Self::usage(format!("{error}: give --scale-dialect")),
            E::RecordedWithoutScale => Self::usage(format!(
                "{error}: leave --scale-port out, or record a new run"
            )),
            E::OtherChannels => Self::usage(format!(
                "{error}: give the dialect file of that time with --dialect, or record a new run"
            )),
            E::RunsFolder { .. } => Self::other(format!("{error}; choose another --out")),
            E::Record(_) => match error {
                E::Record(error) => error.into(),
                error => Self::other(error),
            },
            _ => Self::other(error),
        }
    }
}

impl From<CustodyError> for Failure {
    fn from(error: CustodyError) -> Self {
        match error {
            CustodyError::Usage(words) => Self::Usage(words),
            CustodyError::Record(error) => error.into(),
            _ => Self::other(error),
        }
    }
}

impl From<DeskError> for Failure {
    fn from(error: DeskError) -> Self {
        match error {
            DeskError::Usage(words) => Self::Usage(words),
            DeskError::Other(words) => Self::Other(words),
        }
    }
}

impl From<NoKey> for Failure {
    fn from(why: NoKey) -> Self {
        CustodyError::from(why).into()
    }
}

impl From<MemoryError> for Failure {
    fn from(error: MemoryError) -> Self {
        Self::other(error)
    }
}
