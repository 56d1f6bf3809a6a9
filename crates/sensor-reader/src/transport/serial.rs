use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
};

use tokio_serial::SerialStream;

use super::{Link, Opening, Transport, TransportError};
use crate::{Parity, PortSettings, access};

/// A serial device, opened for this program alone.
#[derive(Debug, Clone)]
pub struct SerialTransport {
    path: PathBuf,
    port: PortSettings,
}

impl SerialTransport {
    /// For the device at `path`, set as `port` says.
    #[must_use]
    pub fn new(path: &Path, port: PortSettings) -> Self {
        Self {
            path: path.to_owned(),
            port,
        }
    }
}

impl Transport for SerialTransport {
    fn address(&self) -> String {
        self.path.display().to_string()
    }

    fn open(&self) -> Opening {
        let this = self.clone();
        Box::pin(async move {
            match SerialStream::open(&builder(&this.path, this.port)) {
                Ok(stream) => Ok(Box::new(stream) as Box<dyn Link>),
                Err(error) => Err(explain(&this.path, &error)),
            }
        })
    }

    fn explain_loss(&self, error: Option<&std::io::Error>) -> String {
        // a pulled adapter shows as a plain end or as an I/O error, depending
        // on which of the two the kernel notices first
        const EIO: i32 = 5;
        match error {
            Some(error) if error.raw_os_error() != Some(EIO) => {
                format!("reading {} failed: {error}", self.path.display())
            }
            _ => format!(
                "{} is gone: gauge or adapter unplugged",
                self.path.display()
            ),
        }
    }
}

fn builder(path: &Path, port: PortSettings) -> tokio_serial::SerialPortBuilder {
    use tokio_serial::{DataBits, FlowControl, StopBits};
    tokio_serial::new(path.to_string_lossy(), port.baud)
        .data_bits(match port.data_bits {
            5 => DataBits::Five,
            6 => DataBits::Six,
            7 => DataBits::Seven,
            _ => DataBits::Eight,
        })
        .parity(match port.parity {
            Parity::None => tokio_serial::Parity::None,
            Parity::Even => tokio_serial::Parity::Even,
            Parity::Odd => tokio_serial::Parity::Odd,
        })
        .stop_bits(if port.stop_bits == 2 {
            StopBits::Two
        } else {
            StopBits::One
        })
        .flow_control(match port.flow_control {
            crate::FlowControl::None => FlowControl::None,
            crate::FlowControl::Hardware => FlowControl::Hardware,
            crate::FlowControl::Software => FlowControl::Software,
        })
}

/// What the failure means on the bench.
fn explain(path: &Path, error: &tokio_serial::Error) -> TransportError {
    use tokio_serial::ErrorKind as Kind;
    let address = path.display().to_string();
    let gone = || TransportError::NotFound {
        address: address.clone(),
        hint: "check that the gauge is plugged in, and list the ports to find its name".into(),
    };
    let metadata = std::fs::metadata(path);
    match error.kind() {
        Kind::Io(ErrorKind::NotFound) => gone(),
        Kind::Io(ErrorKind::PermissionDenied) => TransportError::Denied {
            hint: access::permission_hint(path),
            address,
        },
        // the serial library reports a port locked by someone else as "no
        // device"; a path that is gone is told apart by looking
        Kind::NoDevice if metadata.is_err() => gone(),
        Kind::NoDevice => TransportError::Busy { address },
        _ => match metadata {
            Ok(m) if m.is_file() => TransportError::NotAPort {
                hint: format!("to replay a recorded capture write file:{address}"),
                address,
            },
            Ok(m) if m.is_dir() => TransportError::NotAPort {
                address,
                hint: "that path is a folder; give the device inside it".into(),
            },
            _ => TransportError::Other {
                address,
                cause: error.to_string(),
            },
        },
    }
}
