//! Which USB adapter is behind a port, whatever number the port got today.

use std::path::Path;

use super::system::{SystemFiles, harmless};
use crate::usb::UsbIdentity;

/// What stays the same about a USB adapter when it is pulled and plugged in
/// again, while `ttyUSB0` may become `ttyUSB1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Identity {
    pub(crate) usb: UsbIdentity,
    /// What it calls itself; may be empty.
    words: String,
    /// Bus and sockets on the way to it, such as `1-2.4`.
    socket: String,
    /// Which of several ports of one adapter: interface and port within it.
    part: (Option<String>, Option<String>),
}

/// Outcome of looking for an adapter.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Search {
    /// It is this terminal now.
    Found(String),
    /// It is not plugged in.
    Absent,
    /// So many adapters that say the same about themselves, none of them in the
    /// socket the gauge was in.
    Alike(usize),
}

impl Identity {
    /// Of the terminal called `name`; `None` if it is not on USB or the system
    /// does not tell.
    pub(crate) fn of(system: &SystemFiles, name: &str) -> Option<Self> {
        let device = system.terminals().join(name).join("device");
        let device = device.canonicalize().ok()?;
        let adapter = device.ancestors().find(|d| d.join("idVendor").exists())?;
        let number = |name| u16::from_str_radix(&attribute(adapter, name)?, 16).ok();
        let words: Vec<String> = ["manufacturer", "product"]
            .iter()
            .filter_map(|name| attribute(adapter, name))
            .collect();
        Some(Self {
            usb: UsbIdentity {
                vendor_id: number("idVendor")?,
                product_id: number("idProduct")?,
                serial: attribute(adapter, "serial"),
            },
            words: words.join(" "),
            socket: adapter.file_name()?.to_str()?.to_owned(),
            part: (
                device
                    .ancestors()
                    .find_map(|d| attribute(d, "bInterfaceNumber")),
                attribute(&device, "port_number"),
            ),
        })
    }

    /// Where this adapter is now.
    ///
    /// An adapter with a serial number is found in any socket. One without can
    /// only be told from others of its kind by the socket it is in.
    pub(crate) fn find(&self, system: &SystemFiles) -> Search {
        let Ok(entries) = system.terminals().read_dir() else {
            return Search::Absent;
        };
        let alike: Vec<(String, Self)> = entries
            .flatten()
            .filter_map(|entry| entry.file_name().into_string().ok())
            .filter_map(|name| Some((Self::of(system, &name)?, name)))
            .filter(|(found, _)| found.usb == self.usb && found.part == self.part)
            .map(|(found, name)| (name, found))
            .collect();
        if let Some((name, _)) = alike.iter().find(|(_, found)| found.socket == self.socket) {
            return Search::Found(name.clone());
        }
        match alike.as_slice() {
            _ if self.usb.serial.is_none() => Search::Absent,
            [] => Search::Absent,
            [(name, _)] => Search::Found(name.clone()),
            several => Search::Alike(several.len()),
        }
    }

    /// True if the terminal called `name` is this adapter.
    pub(crate) fn is(&self, system: &SystemFiles, name: &str) -> bool {
        Self::of(system, name).is_some_and(|found| {
            found.usb == self.usb
                && found.part == self.part
                && (self.usb.serial.is_some() || found.socket == self.socket)
        })
    }

    /// How to get the gauge back, for a person.
    pub(crate) fn way_back(&self) -> String {
        let words = if self.words.is_empty() {
            "the USB adapter"
        } else {
            &self.words
        };
        match &self.usb.serial {
            Some(serial) => format!(
                "plug the gauge's adapter ({words}, serial number {serial}) in again, in any socket"
            ),
            None => format!(
                "plug the gauge's adapter ({words}) into the same USB socket as before: it has \
                 no serial number to be recognised by in another"
            ),
        }
    }
}

/// One line the system keeps about a device; `None` if missing or blank.
fn attribute(folder: &Path, name: &str) -> Option<String> {
    let text = harmless(&std::fs::read(folder.join(name)).ok()?);
    (!text.is_empty()).then_some(text)
}
