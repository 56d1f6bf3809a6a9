//! Why a recording cannot be reached.

use std::io;

/// Why a recording that goes on cannot be found, looked at, stopped or begun.
#[derive(Debug, thiserror::Error)]
pub enum LiveError {
    /// Nothing is being recorded.
    #[error("no recording goes on on this computer")]
    NoneGoesOn,
    /// Nothing of this name is being recorded.
    #[error("no recording called {name} goes on; these do: {others}")]
    NoneOfThatName {
        /// What was asked for.
        name: String,
        /// Those that go on.
        others: String,
    },
    /// Several may be meant.
    #[error("several recordings go on; name one of them: {names}")]
    Several {
        /// Those that may be meant.
        names: String,
    },
    /// No home folder is known.
    #[error("no home folder is known; set XDG_DATA_HOME")]
    NoHome,
    /// The folder or socket cannot be used.
    #[error("{what}: {why}")]
    Unusable {
        /// Which.
        what: String,
        /// Why.
        why: io::Error,
    },
    /// It does not answer as a recording does.
    #[error("process {process} does not answer; if it hangs, end it with kill {process}")]
    NoAnswer {
        /// Its process.
        process: u32,
    },
    /// A terminal is needed.
    #[error("this needs a terminal")]
    NoTerminal,
    /// The recording did not begin.
    #[error("the recording did not begin: {said}")]
    NotBegun {
        /// What it said.
        said: String,
    },
}
