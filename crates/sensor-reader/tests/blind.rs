//! Every unasked sample played blind: through an emulated serial line, bit by
//! bit, so that the listener hears what a real port hears at a wrong speed.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

#[path = "pty/emulated.rs"]
mod emulated;

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use emulated::{capture, heard, levels};
use sensor_reader::{
    Decoded, Decoder, Dialect, Parity, PortSettings,
    listen::{
        Answer, COMMON_BAUDS, Conclusion, PortHearing, ask, longest, longest_asking, questions,
        try_with,
    },
    transport::{Link, Opening, Transport},
};
use tokio::io::{AsyncReadExt, AsyncWriteExt, duplex};

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

#[test]
fn listening_is_bounded() {
    let seconds = longest(COMMON_BAUDS.len()).as_secs_f64();
    assert!(seconds < 60.0, "{seconds} s");
    assert!(longest_asking(questions(None).len()).as_secs_f64() < 30.0);
}

/// A line of text that nobody understands, five times a second: the worst case
/// keeps its promise.
#[tokio::test]
async fn a_gauge_that_is_not_recognised_is_given_up_in_time() {
    struct Status;
    impl Transport for Status {
        fn address(&self) -> String {
            "a line".into()
        }
        fn open(&self) -> Opening {
            Box::pin(async {
                let (near, mut far) = duplex(256);
                tokio::spawn(async move {
                    while far.write_all(b"status nominal\r\n").await.is_ok() {
                        tokio::time::sleep(Duration::from_millis(200)).await;
                    }
                });
                Ok(Box::new(near) as Box<dyn Link>)
            })
        }
    }
    let started = Instant::now();
    let at = |_| Arc::new(Status) as Arc<dyn Transport>;
    let found = try_with(at, &[9600], |_| {}).await.unwrap();
    let took = started.elapsed();
    // a loaded computer may be late
    assert!(took < longest(1) + Duration::from_secs(5), "{took:?}");
    let conclusion = &found.best().unwrap().hearing.conclusion;
    assert!(
        matches!(conclusion, Conclusion::NotUnderstood { .. }),
        "{conclusion:?}"
    );
}

/// What a gauge hears, and what it answers.
type Script = &'static [(&'static [u8], Vec<u8>)];

/// A gauge that answers its query, at the far end of an emulated line. It heeds
/// a query only if it arrives whole and with the right parity.
struct AskedLine {
    gauge: PortSettings,
    /// What it hears, and what it answers.
    script: Script,
    port: PortSettings,
}

impl Transport for AskedLine {
    fn address(&self) -> String {
        "emulated line".into()
    }

    fn open(&self) -> Opening {
        let (gauge, port, script) = (self.gauge, self.port, self.script);
        Box::pin(async move {
            let (near, mut far) = duplex(256);
            tokio::spawn(async move {
                let mut said = Vec::new();
                let mut chunk = [0; 64];
                while let Ok(count @ 1..) = far.read(&mut chunk).await {
                    let line = levels(&chunk[..count], port);
                    said.extend(heard(&line, port.baud, gauge));
                    let frame = (port.data_bits, port.parity) == (gauge.data_bits, gauge.parity);
                    let known = script.iter().find(|(query, _)| said.ends_with(query));
                    let Some((_, answer)) = known.filter(|_| frame) else {
                        continue;
                    };
                    said.clear();
                    tokio::time::sleep(Duration::from_millis(60)).await;
                    let line = levels(answer, gauge);
                    let bytes = heard(&line, gauge.baud, port);
                    if far.write_all(&bytes).await.is_err() {
                        return;
                    }
                }
            });
            Ok(Box::new(near) as Box<dyn Link>)
        })
    }
}

/// What each gauge that must be asked answers, from its sample capture. The CRC
/// of the Modbus question was computed outside this crate (polynomial 8005
/// reflected, start FFFF).
fn scripts() -> Vec<(&'static str, Script)> {
    let (confirmed, columns, registers) = (
        capture("polled-confirmed-line"),
        capture("polled-mantissa-exponent"),
        capture("modbus-float-registers"),
    );
    let line = confirmed[3..].split_inclusive(|b| *b == b'\n').next();
    let column = columns.split_inclusive(|b| *b == b'\r').next();
    let leaked = |script: Vec<(&'static [u8], Vec<u8>)>| &*script.leak();
    vec![
        (
            "polled-confirmed-line",
            leaked(vec![
                (b"READ\r", confirmed[..3].to_vec()),
                (b"\x05", line.unwrap().to_vec()),
            ]),
        ),
        (
            "polled-mantissa-exponent",
            leaked(vec![(b"?07\r", column.unwrap().to_vec())]),
        ),
        (
            "modbus-float-registers",
            leaked(vec![(MODBUS_QUESTION, registers[..13].to_vec())]),
        ),
    ]
}

const MODBUS_QUESTION: &[u8] = &[5, 3, 0, 100, 0, 4, 4, 82];

/// Asks all questions in turn, as the program does.
async fn asked(gauge: PortSettings, script: Script) -> Option<Answer> {
    let at = move |port| {
        Arc::new(AskedLine {
            gauge,
            script,
            port,
        }) as Arc<dyn Transport>
    };
    let mut unsure = None;
    for question in questions(None) {
        let answer = ask(at, &question).await.unwrap();
        match answer.conclusion {
            Conclusion::Recognised => return Some(answer),
            Conclusion::Unsure { .. } if unsure.is_none() => unsure = Some(answer),
            _ => {}
        }
    }
    unsure
}

/// The samples that must be asked, each at the settings of its dialect and at
/// others that are usual. Modbus registers are found, and it is said that only
/// the manual tells what they hold.
#[tokio::test]
async fn samples_that_must_be_asked_are_found_at_the_usual_settings() {
    let other = [
        (19_200, 7, Parity::Even),
        (2400, 8, Parity::None),
        (9600, 8, Parity::None),
    ];
    let mut tasks = Vec::new();
    for ((name, script), (baud, data_bits, parity)) in scripts().into_iter().zip(other) {
        let own = Dialect::builtin(name).unwrap().port();
        let usual = PortSettings {
            baud,
            data_bits,
            parity,
            ..own
        };
        for gauge in [own, usual] {
            tasks.push(tokio::spawn(async move {
                let started = Instant::now();
                let answer = asked(gauge, script).await.expect(name);
                (name, gauge, answer, started.elapsed())
            }));
        }
    }
    for task in tasks {
        let (name, gauge, answer, took) = task.await.unwrap();
        println!(
            "{name:26} at {gauge:10} found at {:10} in {:.1} s: {:?}",
            answer.question.port.to_string(),
            took.as_secs_f64(),
            answer.conclusion
        );
        assert_eq!(answer.question.dialect.name(), name);
        assert_eq!(answer.question.port, gauge, "{name}");
        let by_the_manual =
            matches!(&answer.conclusion, Conclusion::Unsure { why } if why.contains("manual"));
        if name.starts_with("modbus") {
            assert!(by_the_manual, "{:?}", answer.conclusion);
        } else {
            assert_eq!(answer.conclusion, Conclusion::Recognised, "{name}");
        }
        assert!(took < Duration::from_secs(60), "{name}: {took:?}");
    }
}
