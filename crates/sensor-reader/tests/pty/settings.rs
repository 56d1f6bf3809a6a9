//! The port settings of a dialect, as the device gets them. A pseudo-terminal
//! keeps speed, stop bits and flow control; data bits and parity it ignores, so
//! those are tested where they are handed to the system (`transport::serial`).

use std::path::Path;

use sensor_reader::{
    Dialect, FlowControl, PortSettings,
    transport::{SerialTransport, Transport},
};
use serialport::{SerialPort, StopBits, TTYPort};

use crate::gauge::one_at_a_time;

#[tokio::test]
async fn port_settings_reach_the_device() {
    let _lock = one_at_a_time().await;
    for (flow, shown) in [
        ("none", serialport::FlowControl::None),
        ("hardware", serialport::FlowControl::Hardware),
        ("software", serialport::FlowControl::Software),
    ] {
        for (stop_bits, stops) in [(1, StopBits::One), (2, StopBits::Two)] {
            for baud in [2400, 115_200] {
                let text = format!(
                    "name = 'a'\n[port]\nbaud = {baud}\nstop_bits = {stop_bits}\n\
                     flow_control = '{flow}'\n[line]\npattern = '^(?<value>[0-9]+)$'\n\
                     [value]\nunit = 'Pa'\n"
                );
                let port = Dialect::from_toml(&text, "a.toml").unwrap().port();
                let (_far, near) = TTYPort::pair().unwrap();
                let path = near.name().unwrap();
                let link = SerialTransport::new(Path::new(&path), port).open().await;
                assert!(link.is_ok(), "{port} {flow}");
                assert_eq!(near.baud_rate().unwrap(), baud);
                assert_eq!(near.stop_bits().unwrap(), stops, "{port} {flow}");
                assert_eq!(near.flow_control().unwrap(), shown, "{port} {flow}");
            }
        }
    }
}

#[test]
fn every_port_key_of_a_dialect_is_read() {
    let text = "name = 'a'\n[port]\nbaud = 4800\ndata_bits = 7\nparity = 'odd'\nstop_bits = 2\n\
                flow_control = 'software'\naddress = '07'\n[poll]\nsend = '?{address}\\r'\n\
                [line]\npattern = '^{address}(?<value>[0-9]+)$'\n[value]\nunit = 'Pa'\n";
    let dialect = Dialect::from_toml(text, "a.toml").unwrap();
    let wanted = PortSettings {
        baud: 4800,
        data_bits: 7,
        parity: sensor_reader::Parity::Odd,
        stop_bits: 2,
        flow_control: FlowControl::Software,
    };
    assert_eq!(dialect.port(), wanted);
    assert_eq!(dialect.query(), Some(&b"?07\r"[..]));
    let mut out = Vec::new();
    // the answer of another address on the same line is no reading
    sensor_reader::Decoder::new(&dialect).push(b"08512\r\n07513\r\n", &mut out);
    let read: Vec<_> = out.iter().filter_map(|d| d.sample()).collect();
    assert_eq!(read.len(), 1, "{out:?}");
    assert!((read[0].pressure().unwrap().pa() - 513.0).abs() < 1e-9);
}
