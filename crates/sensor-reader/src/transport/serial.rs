//! Serial devices, recognised again when they come back under another name.

use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use tokio_serial::SerialStream;

use super::{
    holder::Holder,
    identity::{Identity, Search},
    link::{Link, Opening, Transport, TransportError},
    system::SystemFiles,
};
use crate::{Parity, PortSettings, access};

/// A serial device, opened for this program alone.
///
/// The first opening learns which USB adapter is behind the path. From then on
/// it is that adapter that is opened, whatever its name: a gauge that comes back
/// as `ttyUSB1` is found, and another device that took `ttyUSB0` is not. An
/// adapter without a serial number is recognised in the same USB socket only.
///
/// The path alone decides where the system does not tell (pseudo-terminals,
/// ports on the board, systems other than Linux) and for paths under
/// `/dev/serial/by-path`, which name a socket and not a device.
#[derive(Debug, Clone)]
pub struct SerialTransport {
    path: PathBuf,
    port: PortSettings,
    system: SystemFiles,
    known: Arc<Mutex<Known>>,
}

/// What was learnt by opening.
#[derive(Debug, Default)]
struct Known {
    identity: Option<Identity>,
    /// Where it was opened last, if not at the path given.
    elsewhere: Option<PathBuf>,
}

impl SerialTransport {
    /// For the device at `path`, set as `port` says.
    #[must_use]
    pub fn new(path: &Path, port: PortSettings) -> Self {
        Self {
            path: path.to_owned(),
            port,
            system: SystemFiles::default(),
            known: Arc::default(),
        }
    }

    /// The same, with devices looked for in other folders.
    #[must_use]
    pub fn with_system(mut self, system: SystemFiles) -> Self {
        self.system = system;
        self
    }

    fn known(&self) -> MutexGuard<'_, Known> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The path at which the device is to be opened now.
    fn whereabouts(&self) -> Result<PathBuf, TransportError> {
        let known = self.known();
        let Some(identity) = &known.identity else {
            return Ok(self.path.clone());
        };
        match identity.find(&self.system) {
            Search::Found(name)
                if self.system.terminal_name(&self.path).as_ref() == Some(&name) =>
            {
                Ok(self.path.clone())
            }
            Search::Found(name) => Ok(self.system.device(&name)),
            Search::Absent => Err(self.gone(identity)),
            Search::Alike(count) => Err(TransportError::Stranger {
                address: self.path.display().to_string(),
                hint: format!(
                    "{count} adapters with its serial number are plugged in; put the gauge into \
                     the USB socket it was in, or unplug the others"
                ),
            }),
        }
    }

    fn gone(&self, identity: &Identity) -> TransportError {
        let address = self.path.display().to_string();
        let hint = identity.way_back();
        if self.path.exists() {
            TransportError::Stranger { address, hint }
        } else {
            TransportError::NotFound { address, hint }
        }
    }

    /// Learns or checks what was opened at `path`. While it is open its name
    /// cannot pass to another device.
    fn confirm(&self, path: &Path) -> Result<(), TransportError> {
        let name = self.system.terminal_name(path);
        let mut known = self.known();
        if let Some(identity) = &known.identity {
            if !name.is_some_and(|name| identity.is(&self.system, &name)) {
                return Err(self.gone(identity));
            }
        } else if !self.path.starts_with(self.system.names_by_socket()) {
            known.identity = name.and_then(|name| Identity::of(&self.system, &name));
        }
        known.elsewhere = (path != self.path).then(|| path.to_owned());
        Ok(())
    }

    fn open_now(&self) -> Result<Box<dyn Link>, TransportError> {
        let path = self.whereabouts()?;
        let stream = SerialStream::open(&builder(&path, self.port))
            .map_err(|error| explain(&self.system, &path, &error))?;
        self.confirm(&path)?;
        Ok(Box::new(stream))
    }
}

impl Transport for SerialTransport {
    fn address(&self) -> String {
        let known = self.known();
        known
            .elsewhere
            .as_ref()
            .unwrap_or(&self.path)
            .display()
            .to_string()
    }

    fn open(&self) -> Opening {
        let this = self.clone();
        Box::pin(async move { this.open_now() })
    }

    /// A driver may miss that its adapter was pulled; the system's list does not.
    fn is_gone(&self) -> bool {
        let known = self.known();
        match &known.identity {
            Some(identity) => identity.find(&self.system) == Search::Absent,
            None => !self.path.exists(),
        }
    }

    fn explain_loss(&self, error: Option<&std::io::Error>) -> String {
        // a pulled adapter shows as a plain end or as an I/O error, depending
        // on which of the two the kernel notices first
        const EIO: i32 = 5;
        let address = self.address();
        match error {
            Some(error) if error.raw_os_error() != Some(EIO) => {
                format!("reading {address} failed: {error}")
            }
            _ => format!("{address} is gone: gauge or adapter unplugged"),
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
fn explain(system: &SystemFiles, path: &Path, error: &tokio_serial::Error) -> TransportError {
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
            hint: access::permission_hint(system, path),
            address,
        },
        // the serial library reports a port locked by someone else as "no
        // device"; a path that is gone is told apart by looking
        Kind::NoDevice if metadata.is_err() => gone(),
        Kind::NoDevice => TransportError::Busy {
            address,
            holder: Holder::of(system, path),
        },
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::FlowControl;

    /// Every setting is handed on. A pseudo-terminal ignores data bits and
    /// parity, so this looks at what the system is asked for.
    #[test]
    fn every_setting_is_asked_of_the_system() {
        let words = ["Five", "Six", "Seven", "Eight"];
        for (data_bits, word) in (5..=8).zip(words) {
            for parity in [Parity::None, Parity::Even, Parity::Odd] {
                for (stop_bits, stops) in [(1, "One"), (2, "Two")] {
                    for flow_control in FlowControl::ALL {
                        let port = PortSettings {
                            baud: 4800,
                            data_bits,
                            parity,
                            stop_bits,
                            flow_control,
                        };
                        let asked = format!("{:?}", builder(Path::new("/dev/x"), port));
                        for part in [
                            "baud_rate: 4800".to_owned(),
                            format!("data_bits: {word}"),
                            format!("parity: {parity:?}"),
                            format!("stop_bits: {stops}"),
                            format!("flow_control: {flow_control:?}"),
                        ] {
                            assert!(asked.contains(&part), "{part} in {asked}");
                        }
                    }
                }
            }
        }
    }
}
