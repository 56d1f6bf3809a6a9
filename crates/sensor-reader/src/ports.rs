//! The serial ports of this computer.

use std::path::{Path, PathBuf};

use serialport::SerialPortType;

use crate::{
    access,
    transport::{Holder, SystemFiles, system::harmless},
    usb::UsbIdentity,
};

/// A serial port the system lists.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PortInfo {
    /// The device path to open.
    pub path: PathBuf,
    /// A name that stays the same when the adapter is replugged, where the
    /// system keeps one. For a USB adapter without a serial number it stays the
    /// same only in the same socket. Prefer it.
    pub stable_path: Option<PathBuf>,
    /// What it is, for a person.
    pub description: String,
    /// USB identity, where it is a USB device.
    pub usb: Option<UsbIdentity>,
    /// Why this user cannot read and write it, with the fix; `None` if it can
    /// be opened as far as permissions go.
    pub trouble: Option<String>,
    /// The program that has it open, where the system tells. A program of
    /// another user may stay unseen and show only on opening.
    pub held_by: Option<Holder>,
}

impl PortInfo {
    /// A port of which no more than this is known.
    #[must_use]
    pub fn new(path: PathBuf, description: String) -> Self {
        Self {
            path,
            stable_path: None,
            description,
            usb: None,
            trouble: None,
            held_by: None,
        }
    }
}

/// The ports cannot be listed.
#[derive(Debug, thiserror::Error)]
#[error(
    "this system does not list its serial ports ({cause}); give the port's path directly, for instance /dev/ttyUSB0"
)]
pub struct PortsError {
    cause: String,
}

/// Lists the serial ports, USB adapters first.
///
/// Pseudo-terminals and network gauges are not listed; their paths work all the
/// same.
///
/// # Errors
/// [`PortsError`] when the system offers no list.
pub fn ports() -> Result<Vec<PortInfo>, PortsError> {
    // the serial library panics where this folder is missing
    #[cfg(target_os = "linux")]
    if !Path::new("/sys/class/tty").is_dir() {
        return Err(PortsError {
            cause: "/sys/class/tty is missing".into(),
        });
    }
    let found = serialport::available_ports().map_err(|error| PortsError {
        cause: error.to_string(),
    })?;
    let system = SystemFiles::default();
    let stable = StableNames::of(&system);
    let mut ports: Vec<PortInfo> = found
        .into_iter()
        .map(|port| describe(&system, port.port_name.into(), port.port_type, &stable))
        .collect();
    ports.sort_by(|a, b| (a.usb.is_none(), &a.path).cmp(&(b.usb.is_none(), &b.path)));
    Ok(ports)
}

fn describe(
    system: &SystemFiles,
    path: PathBuf,
    kind: SerialPortType,
    stable: &StableNames,
) -> PortInfo {
    let (description, usb) = match kind {
        SerialPortType::UsbPort(info) => {
            let words: Vec<String> = [info.manufacturer, info.product]
                .into_iter()
                .flatten()
                .map(|word| harmless(word.as_bytes()))
                .collect();
            let text = if words.is_empty() {
                "USB serial adapter".to_owned()
            } else {
                words.join(" ")
            };
            let usb = UsbIdentity {
                vendor_id: info.vid,
                product_id: info.pid,
                serial: info
                    .serial_number
                    .map(|serial| harmless(serial.as_bytes()))
                    .filter(|serial| !serial.is_empty()),
            };
            (text, Some(usb))
        }
        SerialPortType::BluetoothPort => ("Bluetooth serial port".to_owned(), None),
        SerialPortType::PciPort => ("serial port on a card in the computer".to_owned(), None),
        SerialPortType::Unknown => (
            "serial port of the computer (may lead nowhere)".to_owned(),
            None,
        ),
    };
    PortInfo {
        stable_path: stable.pick(&path, usb.as_ref()),
        description,
        usb,
        trouble: access::may_use(system, &path).err(),
        held_by: Holder::of(system, &path),
        path,
    }
}

/// Device paths and the names that stay the same.
struct StableNames {
    by_id: Vec<(PathBuf, PathBuf)>,
    by_socket: Vec<(PathBuf, PathBuf)>,
}

impl StableNames {
    fn of(system: &SystemFiles) -> Self {
        Self {
            by_id: stable_names(&system.names_by_id()),
            by_socket: stable_names(&system.names_by_socket()),
        }
    }

    /// The best name for a device. Two adapters of a kind without serial numbers
    /// share one name by what they are; only the socket tells them apart.
    fn pick(&self, path: &Path, usb: Option<&UsbIdentity>) -> Option<PathBuf> {
        let (first, second) = if usb.is_some_and(|usb| usb.serial.is_none()) {
            (&self.by_socket, &self.by_id)
        } else {
            (&self.by_id, &self.by_socket)
        };
        first
            .iter()
            .chain(second)
            .find(|(device, _)| device == path)
            .map(|(_, link)| link.clone())
    }
}

/// Device path and stable name of every link in `folder`; empty if there is none.
fn stable_names(folder: &Path) -> Vec<(PathBuf, PathBuf)> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    entries
        .flatten()
        .filter_map(|entry| Some((entry.path().canonicalize().ok()?, entry.path())))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn listing_never_panics_and_every_port_has_words() {
        // what is there depends on the machine; the call itself must hold
        if let Ok(ports) = ports() {
            assert!(ports.iter().all(|p| !p.description.is_empty()));
        }
    }

    fn invented(serial: Option<&str>) -> SerialPortType {
        SerialPortType::UsbPort(serialport::UsbPortInfo {
            vid: 0x1234,
            pid: 0x5678,
            serial_number: serial.map(str::to_owned),
            manufacturer: None,
            product: Some("Invented\x1b adapter".into()),
        })
    }

    #[test]
    fn usb_port_is_described_and_gets_its_stable_name() {
        let stable = StableNames {
            by_id: vec![("/dev/ttyX9".into(), "/dev/serial/by-id/x".into())],
            by_socket: vec![("/dev/ttyX9".into(), "/dev/serial/by-path/1".into())],
        };
        let system = SystemFiles::default();
        let about = |kind| describe(&system, "/dev/ttyX9".into(), kind, &stable);
        let port = about(invented(Some("A1")));
        assert_eq!(port.description, "Invented adapter");
        assert_eq!(
            port.stable_path.as_deref(),
            Some(Path::new("/dev/serial/by-id/x"))
        );
        assert_eq!(port.usb.map(|u| u.serial), Some(Some("A1".into())));
        assert!(port.trouble.is_some(), "the device does not exist");
        assert_eq!(port.held_by, None);
        // without a serial number the socket is what tells two of a kind apart
        assert_eq!(
            about(invented(None)).stable_path.as_deref(),
            Some(Path::new("/dev/serial/by-path/1"))
        );
    }

    #[cfg(unix)]
    #[test]
    fn stable_names_follow_links() {
        let folder = tempfile::tempdir().unwrap();
        let device = folder.path().join("device");
        std::fs::write(&device, "").unwrap();
        let by_id = folder.path().join("by-id");
        std::fs::create_dir(&by_id).unwrap();
        std::os::unix::fs::symlink(&device, by_id.join("name")).unwrap();
        assert_eq!(
            stable_names(&by_id),
            [(device.canonicalize().unwrap(), by_id.join("name"))]
        );
    }
}
