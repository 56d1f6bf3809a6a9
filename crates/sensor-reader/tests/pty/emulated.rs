//! A serial line, bit by bit: what a port set to one speed hears of a gauge
//! that sends at another.

use std::path::Path;

use sensor_reader::{Parity, PortSettings};

pub(crate) fn capture(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/dialects");
    std::fs::read(folder.join(format!("{name}.capture"))).unwrap()
}

/// The line's level, bit by bit, as a gauge set to `port` drives it.
pub(crate) fn levels(bytes: &[u8], port: PortSettings) -> Vec<bool> {
    let mut out = vec![true; 4];
    for &byte in bytes {
        out.push(false);
        let bits: Vec<bool> = (0..port.data_bits).map(|i| byte >> i & 1 == 1).collect();
        let odd = bits.iter().filter(|b| **b).count() % 2 == 1;
        out.extend(&bits);
        match port.parity {
            Parity::None => {}
            Parity::Even => out.push(odd),
            Parity::Odd => out.push(!odd),
        }
        out.extend((0..port.stop_bits).map(|_| true));
        // a pause behind what may be a line's or frame's end
        if matches!(byte, b'\n' | b'\r' | 3) {
            out.extend([true; 25]);
        }
    }
    out
}

/// What a port set to `port` makes of these levels, sent at `sent_baud`. A bit
/// is sampled in its middle. A byte whose stop bit is low is delivered all the
/// same, and the low bit is taken for the next start bit, as common serial
/// chips do; a line that stays low is waited out.
pub(crate) fn heard(levels: &[bool], sent_baud: u32, port: PortSettings) -> Vec<u8> {
    let ratio = f64::from(sent_baud) / f64::from(port.baud);
    let level = |t: f64| levels.get(t as usize).copied();
    let parity_bits = u8::from(port.parity != Parity::None);
    let mut out = Vec::new();
    let mut t = 0.0;
    // looks for a start 16 times a bit
    while let Some(high) = level(t) {
        if high {
            t += ratio.min(1.0) / 16.0;
            continue;
        }
        let mut byte = 0_u8;
        for i in 0..port.data_bits {
            let at = t + (f64::from(i) + 1.5) * ratio;
            byte |= u8::from(level(at).unwrap_or(true)) << i;
        }
        out.push(byte);
        t += (f64::from(port.data_bits + parity_bits) + 1.5) * ratio;
        if level(t) == Some(false) && byte == 0 {
            while level(t) == Some(false) {
                t += ratio.min(1.0) / 16.0;
            }
        }
    }
    out
}
