//! Why a simulated gauge cannot speak.

use std::{io, path::PathBuf};

use crate::far_end::Line;

/// Why the bench did not open or broke down.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum BenchError {
    /// No line to be had.
    #[error("cannot open {} for the rehearsal: {cause}", words_of(*line))]
    NoLine {
        /// What was asked for.
        line: Line,
        /// What the system said.
        cause: io::Error,
    },
    /// The link could not be made.
    #[error("cannot make the device link {}: {cause}", path.display())]
    Link {
        /// The link.
        path: PathBuf,
        /// What the system said.
        cause: io::Error,
    },
    /// Unplugging asked for without a link path.
    #[error("to pull the plug, the bench needs a link path that outlives the terminal")]
    NoLink,
    /// A speed that is no speed.
    #[error("a speed of {speed} is not above zero")]
    Speed {
        /// As given.
        speed: f64,
    },
    /// Writing failed.
    #[error("the simulated gauge could not write: {0}")]
    Write(#[source] io::Error),
    /// The thread of the gauge ended abnormally.
    #[error("the simulated gauge broke down")]
    Broken,
}

/// The line in the words of an error.
fn words_of(line: Line) -> &'static str {
    match line {
        #[cfg(unix)]
        Line::PseudoTerminal => "a pseudo-terminal",
        Line::Loopback => "a connection on this computer",
    }
}
