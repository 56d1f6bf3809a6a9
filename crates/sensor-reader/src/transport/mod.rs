//! The ways bytes travel, behind one narrow trait.

mod file;
mod holder;
pub(crate) mod identity;
mod link;
mod serial;
pub(crate) mod system;
mod tcp;

use std::sync::Arc;

use crate::{Address, PortSettings};

pub use file::FileTransport;
pub use holder::Holder;
pub use link::{Link, Opening, Transport, TransportError};
pub use serial::SerialTransport;
pub use system::SystemFiles;
pub use tcp::TcpTransport;

/// The transport of an address; `port` matters to serial devices only.
#[must_use]
pub fn transport(address: &Address, port: PortSettings) -> Arc<dyn Transport> {
    match address {
        Address::Serial(path) => Arc::new(SerialTransport::new(path, port)),
        Address::Tcp { host, port } => Arc::new(TcpTransport::new(host, *port)),
        Address::File(path) => Arc::new(FileTransport::new(path)),
    }
}
