//! A way to a gauge, whatever the bytes travel on, and why it cannot be gone.

use std::{future::Future, pin::Pin};

use tokio::io::{AsyncRead, AsyncWrite};

use super::holder::Holder;

/// An open connection to a gauge. Writing is there for gauges that must be asked.
pub trait Link: AsyncRead + AsyncWrite + Send + Unpin {}

impl<T: AsyncRead + AsyncWrite + Send + Unpin> Link for T {}

/// A connection attempt in progress. Independent of the transport that began
/// it, and harmless to drop at any time.
pub type Opening = Pin<Box<dyn Future<Output = Result<Box<dyn Link>, TransportError>> + Send>>;

/// A way to reach a gauge again and again.
///
/// The three here are serial, TCP and a recorded capture; implement it to bring
/// another to [`GaugeStream::over`](crate::GaugeStream::over).
pub trait Transport: Send + Sync {
    /// The address as a person writes it.
    fn address(&self) -> String;

    /// Begins to open a connection.
    fn open(&self) -> Opening;

    /// True if a connection that ended may be opened again; false if its end is
    /// the end.
    fn reconnects(&self) -> bool {
        true
    }

    /// True if a fresh connection starts at the beginning of a line.
    fn starts_whole(&self) -> bool {
        false
    }

    /// True if the other end has certainly gone although the connection still
    /// stands. Asked when the gauge has been silent for long; must be quick.
    fn is_gone(&self) -> bool {
        false
    }

    /// True if the other end may vanish without a sign, as over a network: then
    /// a connection that stays silent is made anew after a while.
    fn may_be_half_open(&self) -> bool {
        false
    }

    /// Says in plain words why a connection ended: `error` is what reading
    /// gave, `None` for a plain end of the stream.
    fn explain_loss(&self, error: Option<&std::io::Error>) -> String {
        match error {
            None => "the other side closed the connection".to_owned(),
            Some(error) => format!("the connection broke: {error}"),
        }
    }
}

/// Why a gauge could not be reached. The text tells a technician what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TransportError {
    /// Nothing there by that name.
    #[error("there is no {address}; {hint}")]
    NotFound {
        /// The address.
        address: String,
        /// What to check.
        hint: String,
    },
    /// Another program holds the port.
    #[error("{address} is in use by {}; {}", .holder.as_ref().map_or_else(|| "another program".to_owned(), who), busy_cure(.holder.as_ref()))]
    Busy {
        /// The address.
        address: String,
        /// Who holds it, where the system tells.
        holder: Option<Holder>,
    },
    /// The port is there, but what is behind it is not the device read before.
    #[error("{address} is not the gauge that was read before; {hint}")]
    Stranger {
        /// The address.
        address: String,
        /// How to get the gauge back.
        hint: String,
    },
    /// The user may not open the port.
    #[error("no permission to open {address}; {hint}")]
    Denied {
        /// The address.
        address: String,
        /// How to get it.
        hint: String,
    },
    /// It exists but is no serial port.
    #[error("{address} is not a serial port; {hint}")]
    NotAPort {
        /// The address.
        address: String,
        /// What to write instead.
        hint: String,
    },
    /// Nobody answers there.
    #[error(
        "cannot connect to {address}: {cause}; check that the other side is switched on, reachable, and listening on that port"
    )]
    Unreachable {
        /// The address.
        address: String,
        /// What the system said.
        cause: String,
    },
    /// It cannot be read as a recording.
    #[error("{address} is not read: {cause}")]
    NotACapture {
        /// The address.
        address: String,
        /// What the system said.
        cause: String,
    },
    /// A recording, and a dialect whose gauge answers only when asked.
    #[error(
        "{address} is a recording and cannot be asked for registers; give the port or address of the gauge"
    )]
    CannotBeAsked {
        /// The address.
        address: String,
    },
    /// Anything else the system said.
    #[error("cannot open {address}: {cause}; unplug the adapter, plug it in again, and retry")]
    Other {
        /// The address.
        address: String,
        /// What the system said.
        cause: String,
    },
    /// The reading thread could not be started.
    #[error("cannot start reading {address}: {cause}; close other programs and try again")]
    Start {
        /// The address.
        address: String,
        /// What the system said.
        cause: String,
    },
}

fn who(holder: &Holder) -> String {
    if holder.is_this_program() {
        "this program already".to_owned()
    } else {
        format!("another program, {holder}")
    }
}

fn busy_cure(holder: Option<&Holder>) -> &'static str {
    if holder.is_some_and(Holder::is_this_program) {
        "each gauge needs a port of its own"
    } else {
        "close that program (or the other window of this one) and try again"
    }
}
