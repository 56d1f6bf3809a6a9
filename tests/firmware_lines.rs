//! The lines of the firmware notes, read by the code that reads gauges.

use std::path::{Path, PathBuf};

use sensor_reader::{Decoded, Decoder, Dialect};
use vacuum::{Pressure, ReadingState};

/// One row of `vectors.txt` that gives a line.
struct Vector {
    seconds: f64,
    value: f64,
    unit: String,
    temperature_c: Option<f64>,
    state: ReadingState,
    line: String,
}

fn notes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../firmware-notes")
}

fn vectors() -> Vec<Vector> {
    let text = std::fs::read_to_string(notes().join("vectors.txt")).expect("vectors.txt");
    let number = |field: &str| field.parse::<f64>().expect("a number");
    let vector = |row: &str| {
        let fields: Vec<&str> = row.split(" | ").collect();
        assert_eq!(fields.len(), 9, "{row}");
        Vector {
            seconds: number(fields[1]) + number(fields[2]) / 1e3,
            value: number(fields[3]) / 10_f64.powf(number(fields[4])),
            unit: fields[5].to_owned(),
            temperature_c: (fields[6] != "-").then(|| number(fields[6]) / 10.0),
            state: ReadingState::from_word(fields[7]).expect("a state"),
            line: fields[8].to_owned(),
        }
    };
    let rows = text
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'));
    let all: Vec<Vector> = rows.map(vector).filter(|v| v.line != "refused").collect();
    assert!(all.len() >= 16, "vectors are missing");
    all
}

fn dialect() -> Dialect {
    let path = notes().join("node-line.toml");
    Dialect::load(path.to_str().expect("a path in UTF-8")).expect("node-line.toml")
}

fn decode(dialect: &Dialect, line: &[u8]) -> Vec<Decoded> {
    let mut out = Vec::new();
    let mut decoder = Decoder::new(dialect);
    decoder.push(line, &mut out);
    decoder.push(b"\n", &mut out);
    out
}

#[test]
fn every_vector_reads_as_it_was_meant() {
    let dialect = dialect();
    for vector in vectors() {
        let line = &vector.line;
        let decoded = decode(&dialect, line.as_bytes());
        let [Decoded::Sample(sample)] = decoded.as_slice() else {
            panic!("{line}: {decoded:?}");
        };
        assert_eq!(sample.device_s, Some(vector.seconds), "{line}");
        assert_eq!(sample.temperature_c, vector.temperature_c, "{line}");
        let reading = vacuum::Reading {
            elapsed_s: 0.0,
            sensed: sample.sensed,
            temperature_c: sample.temperature_c,
        };
        assert_eq!(reading.state(), vector.state, "{line}");
        if vector.state == ReadingState::Ok {
            let wanted: Pressure = format!("{} {}", vector.value, vector.unit)
                .parse()
                .expect("a pressure");
            let got = sample.pressure().expect("a measurement");
            assert!((got.pa() / wanted.pa() - 1.0).abs() < 1e-12, "{line}");
        } else {
            assert_eq!(sample.pressure(), None, "{line}");
        }
    }
}

#[test]
fn a_line_with_a_flipped_bit_gives_no_reading() {
    let dialect = dialect();
    for vector in vectors() {
        for at in 0..vector.line.len() {
            for bit in 0..8 {
                let mut line = vector.line.clone().into_bytes();
                line[at] ^= 1 << bit;
                let decoded = decode(&dialect, &line);
                assert!(
                    !decoded.iter().any(|d| matches!(d, Decoded::Sample(_))),
                    "{:?} from {}",
                    String::from_utf8_lossy(&line),
                    vector.line
                );
            }
        }
    }
}

#[test]
fn a_line_that_has_lost_its_beginning_or_end_gives_no_reading() {
    let dialect = dialect();
    for vector in vectors() {
        let line = vector.line.as_bytes();
        for cut in 1..line.len() {
            for part in [&line[cut..], &line[..cut]] {
                let decoded = decode(&dialect, part);
                assert!(
                    !decoded.iter().any(|d| matches!(d, Decoded::Sample(_))),
                    "{}",
                    String::from_utf8_lossy(part)
                );
            }
        }
    }
}
