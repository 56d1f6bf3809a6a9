//! The serial ports of this computer.

use std::path::{Path, PathBuf};

use serialport::SerialPortType;

use crate::access;

/// A serial port the system lists.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PortInfo {
    /// The device path to open.
    pub path: PathBuf,
    /// A name that stays the same when the adapter is replugged, where the
    /// system keeps one. Prefer it.
    pub stable_path: Option<PathBuf>,
    /// What it is, for a person.
    pub description: String,
    /// USB identity, where it is a USB device.
    pub usb: Option<UsbIdentity>,
    /// Why this user cannot read and write it, with the fix; `None` if it can
    /// be opened as far as permissions go. (Whether another program holds it
    /// shows only on opening.)
    pub trouble: Option<String>,
}

/// What a USB adapter says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsbIdentity {
    /// Vendor number.
    pub vendor_id: u16,
    /// Product number.
    pub product_id: u16,
    /// Serial number.
    pub serial: Option<String>,
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
    let stable = stable_names(Path::new("/dev/serial/by-id"));
    let mut ports: Vec<PortInfo> = found
        .into_iter()
        .map(|port| describe(port.port_name.into(), port.port_type, &stable))
        .collect();
    ports.sort_by(|a, b| (a.usb.is_none(), &a.path).cmp(&(b.usb.is_none(), &b.path)));
    Ok(ports)
}

fn describe(path: PathBuf, kind: SerialPortType, stable: &[(PathBuf, PathBuf)]) -> PortInfo {
    let (description, usb) = match kind {
        SerialPortType::UsbPort(info) => {
            let words: Vec<String> = [info.manufacturer, info.product]
                .into_iter()
                .flatten()
                .collect();
            let text = if words.is_empty() {
                "USB serial adapter".to_owned()
            } else {
                words.join(" ")
            };
            let usb = UsbIdentity {
                vendor_id: info.vid,
                product_id: info.pid,
                serial: info.serial_number,
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
        stable_path: stable
            .iter()
            .find(|(device, _)| *device == path)
            .map(|(_, link)| link.clone()),
        description,
        usb,
        trouble: access::may_use(&path).err(),
        path,
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

    #[test]
    fn usb_port_is_described_and_gets_its_stable_name() {
        let info = serialport::UsbPortInfo {
            vid: 0x1234,
            pid: 0x5678,
            serial_number: Some("A1".into()),
            manufacturer: None,
            product: Some("Invented adapter".into()),
        };
        let stable = [("/dev/ttyX9".into(), "/dev/serial/by-id/x".into())];
        let port = describe("/dev/ttyX9".into(), SerialPortType::UsbPort(info), &stable);
        assert_eq!(port.description, "Invented adapter");
        assert_eq!(
            port.stable_path.as_deref(),
            Some(Path::new("/dev/serial/by-id/x"))
        );
        assert_eq!(port.usb.map(|u| u.serial), Some(Some("A1".into())));
        assert!(port.trouble.is_some(), "the device does not exist");
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
