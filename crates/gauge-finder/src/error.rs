use std::path::PathBuf;

use sensor_reader::{DialectError, transport::TransportError};

/// Why no dialect was found or kept. The text tells a technician what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FinderError {
    /// The gauge could not be reached.
    #[error(transparent)]
    Transport(#[from] TransportError),
    /// The dialect that was made cannot be used: a fault of the program.
    #[error("the dialect proposed cannot be used: {0}")]
    Proposal(#[from] DialectError),
    /// Nothing was tried.
    #[error("no speed was tried")]
    NothingTried,
    /// Nothing came over a serial port.
    #[error(
        "nothing was heard: the gauge may be off, on another port, {}", if *.asked {
            "or want a query of its own (nothing answered the queries that were sent)"
        } else {
            "or wait to be asked (--ask sends a few queries that only read)"
        }
    )]
    Silence {
        /// The queries were sent, and nothing answered.
        asked: bool,
    },
    /// Nothing came over the network.
    #[error(
        "{address} takes the connection and sends nothing. Check there, not here: that the gauge \
         is on and wired to the serial server, that the speed set in the server is the gauge's, \
         and that no other program is connected to it{}",
        if *.asked {
            "; nothing answered the queries either"
        } else {
            ". A gauge that waits to be asked sends nothing either (--ask sends a few queries \
             that only read)"
        }
    )]
    NetworkSilence {
        /// The address.
        address: String,
        /// The queries were sent, and nothing answered.
        asked: bool,
    },
    /// The capture is empty.
    #[error("{address} is empty")]
    EmptyCapture {
        /// The address.
        address: String,
    },
    /// Bytes came that no dialect fits.
    #[error("something speaks, but not understandably: {why}")]
    NotUnderstood {
        /// What it looks like and what to do.
        why: String,
    },
    /// A column was named that is not there.
    #[error("--pressure-column {given}: {why}")]
    NoColumn {
        /// The column given, from 1.
        given: usize,
        /// What there is.
        why: String,
    },
    /// A column was named without a unit.
    #[error(
        "--pressure-column needs --pressure-unit beside it: {}",
        vacuum::PressureUnit::LISTED
    )]
    NoUnit,
    /// The person left before the end.
    #[error("left before the end: nothing was kept")]
    Left,
    /// The dialect file could not be written.
    #[error("{} cannot be written: {why}", .path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
}

impl FinderError {
    /// True where the command has to be given otherwise.
    #[must_use]
    pub const fn is_usage(&self) -> bool {
        matches!(self, Self::NoColumn { .. } | Self::NoUnit)
    }
}

impl From<console::Left> for FinderError {
    fn from(_: console::Left) -> Self {
        Self::Left
    }
}
