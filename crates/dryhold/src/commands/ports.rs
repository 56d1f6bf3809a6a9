//! `dryhold ports`: lists serial ports, with the fix where one cannot be opened.

use sensor_reader::PortInfo;

use console::say;

use crate::outcome::{Failure, Outcome};

/// Lists them.
pub(crate) fn run() -> Result<Outcome, Failure> {
    let ports = sensor_reader::ports().map_err(Failure::other)?;
    if ports.is_empty() {
        say("No serial ports are listed. Plug the gauge or its adapter in and try again;");
        say("a path such as /dev/ttyUSB0 or tcp://HOST:PORT may be given without being listed.");
    }
    for port in ports {
        lines(&port).iter().for_each(say);
    }
    Ok(Outcome::Done)
}

/// What is said about a port: its name and what it is, then one indented line
/// for each thing worth knowing.
fn lines(port: &PortInfo) -> Vec<String> {
    let mut lines = vec![format!("{}  {}", port.path.display(), port.description)];
    let mut add = |text: String| lines.push(format!("    {text}"));
    if let Some(usb) = &port.usb {
        let serial = usb.serial.as_ref().map_or_else(
            || "no serial number: after replugging it is recognised in the same socket only".into(),
            |serial| format!("serial number {serial}"),
        );
        add(format!(
            "USB {:04x}:{:04x}, {serial}",
            usb.vendor_id, usb.product_id
        ));
    }
    if let Some(stable) = &port.stable_path {
        let while_what = match &port.usb {
            Some(usb) if usb.serial.is_none() => "in the same socket",
            _ => "when replugged",
        };
        add(format!("stays the same {while_what}: {}", stable.display()));
    }
    if let Some(trouble) = &port.trouble {
        add(format!("cannot be opened by you: {trouble}"));
    }
    if let Some(holder) = &port.held_by {
        add(format!(
            "in use by {holder}: close that program before you use the port here"
        ));
    }
    lines
}

#[cfg(test)]
mod tests {
    use sensor_reader::{UsbIdentity, transport::Holder};

    use super::*;

    #[test]
    fn a_port_with_every_trouble() {
        let mut port = PortInfo::new("/dev/ttyUSB0".into(), "Invented adapter".into());
        assert_eq!(lines(&port), ["/dev/ttyUSB0  Invented adapter"]);
        port.usb = Some(UsbIdentity {
            vendor_id: 0x1209,
            product_id: 0xabc,
            serial: Some("G7".into()),
        });
        port.stable_path = Some("/dev/serial/by-id/usb-invented".into());
        port.trouble = Some("it belongs to the group dialout".into());
        port.held_by = Some(Holder {
            name: "other".into(),
            process: 77,
        });
        assert_eq!(
            lines(&port)[1..],
            [
                "    USB 1209:0abc, serial number G7",
                "    stays the same when replugged: /dev/serial/by-id/usb-invented",
                "    cannot be opened by you: it belongs to the group dialout",
                "    in use by other (process 77): close that program before you use the port here",
            ]
        );
    }

    #[test]
    fn an_adapter_without_serial_number_is_bound_to_its_socket() {
        let mut port = PortInfo::new("/dev/ttyUSB0".into(), "Invented adapter".into());
        port.usb = Some(UsbIdentity {
            vendor_id: 1,
            product_id: 2,
            serial: None,
        });
        port.stable_path = Some("/dev/serial/by-path/usb-1".into());
        let lines = lines(&port);
        assert!(lines[1].contains("USB 0001:0002, no serial number"));
        assert!(lines[2].contains("in the same socket: /dev/serial/by-path/usb-1"));
    }
}
