//! Every unasked sample played blind: through an emulated serial line, bit by
//! bit, so that the listener hears what a real port hears at a wrong speed.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

#[path = "pty/emulated.rs"]
mod emulated;

use std::sync::Arc;

use emulated::{capture, heard, levels};
use sensor_reader::{
    Decoded, Decoder, Dialect, Parity, PortSettings,
    listen::{COMMON_BAUDS, Conclusion, PortHearing, try_with},
    transport::{Link, Opening, Transport},
};
use tokio::io::{AsyncWriteExt, duplex};

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
                while !arriving.is_empty() {
                    for chunk in arriving.chunks(37) {
                        if far.write_all(chunk).await.is_err() {
                            return;
                        }
                    }
                }
                // silent, but plugged in
                std::future::pending::<()>().await;
            });
            Ok(Box::new(near) as Box<dyn Link>)
        })
    }
}

async fn blind(bytes: &[u8], sent: PortSettings, bauds: &[u32]) -> PortHearing {
    let at = |port| {
        let bytes = bytes.to_vec();
        Arc::new(EmulatedLine { bytes, sent, port }) as Arc<dyn Transport>
    };
    try_with(at, bauds, |_| {}).await.unwrap()
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
        let found = blind(&bytes, dialect.port(), &COMMON_BAUDS).await;
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
async fn nothing_is_recognised_where_the_right_speed_is_not_tried() {
    for name in Dialect::builtin_names() {
        let dialect = Dialect::builtin(name).unwrap();
        if dialect.asks() {
            continue;
        }
        let mut bauds = COMMON_BAUDS.to_vec();
        bauds.retain(|baud| *baud != dialect.port().baud);
        let found = blind(&capture(name), dialect.port(), &bauds).await;
        let trial = found.best().unwrap();
        assert!(
            found.trials.len() > bauds.len() && trial.hearing.conclusion != Conclusion::Recognised,
            "{name}: {trial:#?}"
        );
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
        let found = blind(&bytes, port, &COMMON_BAUDS).await;
        let trial = found.best().unwrap();
        assert!(
            !matches!(trial.hearing.conclusion, Conclusion::Recognised),
            "{trial:#?}"
        );
    }
    let nothing = blind(b"", port, &COMMON_BAUDS).await;
    assert_eq!(nothing.trials.len(), COMMON_BAUDS.len());
    let silence = &nothing.best().unwrap().hearing;
    assert_eq!(silence.conclusion, Conclusion::Silence);
}
