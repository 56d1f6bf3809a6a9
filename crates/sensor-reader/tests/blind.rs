//! Every unasked sample played blind: through an emulated serial line, bit by
//! bit, so that the listener hears what a real port hears at a wrong speed.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use std::{path::Path, sync::Arc};

use sensor_reader::{
    Decoded, Decoder, Dialect, Parity, PortSettings,
    listen::{COMMON_BAUDS, Conclusion, PortHearing, try_with},
    transport::{Link, Opening, Transport},
};
use tokio::io::{AsyncWriteExt, duplex};

fn capture(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/dialects");
    std::fs::read(folder.join(format!("{name}.capture"))).unwrap()
}

/// The line's level, bit by bit, as a gauge set to `port` drives it.
fn levels(bytes: &[u8], port: PortSettings) -> Vec<bool> {
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
fn heard(levels: &[bool], sent_baud: u32, port: PortSettings) -> Vec<u8> {
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

/// A gauge that talks again and again over an emulated line.
struct EmulatedLine {
    bytes: Vec<u8>,
    sent: PortSettings,
    port: PortSettings,
}

impl Transport for EmulatedLine {
    fn address(&self) -> String {
        "emulated line".into()
    }

    fn open(&self) -> Opening {
        let many = self.bytes.repeat(1 + 4000 / self.bytes.len().max(1));
        // joined somewhere
        let many = many.get(3..).unwrap_or_default();
        let arriving = heard(&levels(many, self.sent), self.sent.baud, self.port);
        Box::pin(async move {
            let (near, mut far) = duplex(256);
            tokio::spawn(async move {
                for chunk in arriving.chunks(37) {
                    if far.write_all(chunk).await.is_err() {
                        return;
                    }
                }
                // says nothing more, but stays plugged in
                std::future::pending::<()>().await;
            });
            Ok(Box::new(near) as Box<dyn Link>)
        })
    }
}

async fn blind(bytes: &[u8], sent: PortSettings) -> PortHearing {
    let at = |port| {
        let bytes = bytes.to_vec();
        Arc::new(EmulatedLine { bytes, sent, port }) as Arc<dyn Transport>
    };
    try_with(at, &COMMON_BAUDS, |_| {}).await.unwrap()
}

fn readings(dialect: &Dialect, bytes: &[u8]) -> Vec<Decoded> {
    let mut out = Vec::new();
    Decoder::new(dialect).push(bytes, &mut out);
    out.retain(|d| matches!(d, Decoded::Sample(_)));
    out
}

#[tokio::test]
async fn nine_in_ten_samples_are_recognised_blind() {
    let unasked = Dialect::builtin_names()
        .into_iter()
        .map(|name| Dialect::builtin(name).unwrap())
        .filter(|dialect| !dialect.asks());
    let (mut right, mut all, mut table) = (0, 0, String::new());
    for dialect in unasked {
        let bytes = capture(dialect.name());
        let found = blind(&bytes, dialect.port()).await;
        let best = found.best().unwrap();
        let first = best.hearing.candidates.first();
        let same = first.is_some_and(|c| {
            let port = best.port;
            // the file to keep must read what the sample dialect reads
            let kept = Dialect::from_toml(&c.to_toml(port), "kept.toml").unwrap();
            kept.port() == port && readings(&kept, &bytes) == readings(&dialect, &bytes)
        });
        let recognised = best.hearing.conclusion == Conclusion::Recognised;
        let ok = recognised && same && best.port.baud == dialect.port().baud;
        all += 1;
        right += u32::from(ok);
        table += &format!(
            "{:30} sent {:10} heard {:10} as {:30} lines {:3.0} % bytes {:3.0} % {} {:?}\n",
            dialect.name(),
            dialect.port().to_string(),
            best.port.to_string(),
            first.map_or("nothing", |c| c.dialect.name()),
            first.map_or(0.0, |c| c.share * 100.0),
            first.map_or(0.0, |c| c.explained_share * 100.0),
            if ok { "right" } else { "WRONG" },
            best.hearing.conclusion,
        );
    }
    println!("{table}{right} of {all}");
    assert!(all >= 13, "{table}");
    assert!(right * 10 >= all * 9, "{right} of {all}\n{table}");
}

#[test]
fn the_emulated_line_is_true_at_the_right_speed_only() {
    let bytes = b"512.3 micron\r\n499.0 micron\r\n";
    for (data_bits, parity) in [(8, Parity::None), (8, Parity::Even), (7, Parity::Odd)] {
        let port = PortSettings {
            data_bits,
            parity,
            ..PortSettings::default()
        };
        let line = levels(bytes, port);
        assert_eq!(heard(&line, port.baud, port), bytes);
        for baud in COMMON_BAUDS.into_iter().filter(|b| *b != port.baud) {
            let other = PortSettings { baud, ..port };
            let garbage = heard(&line, port.baud, other);
            assert!(!garbage.is_empty() && garbage != bytes, "{baud}");
        }
    }
}

#[tokio::test]
async fn garbage_and_silence_are_not_recognised() {
    let port = PortSettings::default();
    let mut x = 1_u32;
    let mut noise = |mask: u8, base: u8| -> Vec<u8> {
        (0..3000)
            .map(|_| {
                x = x.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                ((x >> 24) as u8 & mask) + base
            })
            .collect()
    };
    let streams = [
        noise(0xFF, 0),
        noise(0x3F, 0x20),
        b"status nominal, lid closed\r\n".to_vec(),
        vec![0; 500],
    ];
    for bytes in streams {
        let found = blind(&bytes, port).await;
        let trial = found.best().unwrap();
        assert!(
            !matches!(trial.hearing.conclusion, Conclusion::Recognised),
            "{trial:#?}"
        );
    }
    let nothing = blind(b"", port).await;
    assert_eq!(nothing.trials.len(), COMMON_BAUDS.len());
    let silence = &nothing.best().unwrap().hearing;
    assert_eq!(silence.conclusion, Conclusion::Silence);
}
