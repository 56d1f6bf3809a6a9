//! The lines of the firmware notes, read by the code that reads gauges.

use std::path::{Path, PathBuf};

use sensor_reader::{Decoded, Decoder, Dialect};
use vacuum::{Pressure, ReadingState, Sensed};

/// One row of `vectors.txt` that gives a line.
struct Vector {
    seconds: f64,
    value: f64,
    unit: String,
    temperature_c: Option<f64>,
    state: ReadingState,
    high: Option<High>,
    line: String,
}

/// What a row says of the high-pressure sensor.
struct High {
    value: f64,
    counts_from_air: bool,
    state: ReadingState,
}

fn notes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../firmware-notes")
}

fn vectors() -> Vec<Vector> {
    let text = std::fs::read_to_string(notes().join("vectors.txt")).expect("vectors.txt");
    let number = |field: &str| field.parse::<f64>().expect("a number");
    let vector = |row: &str| {
        let fields: Vec<&str> = row.split(" | ").collect();
        assert!(matches!(fields.len(), 9 | 14), "{row}");
        let state = |word| ReadingState::from_word(word).expect("a state");
        Vector {
            seconds: number(fields[1]) + number(fields[2]) / 1e3,
            value: number(fields[3]) / 10_f64.powf(number(fields[4])),
            unit: fields[5].to_owned(),
            temperature_c: (fields[6] != "-").then(|| number(fields[6]) / 10.0),
            state: state(fields[7]),
            high: (fields.len() == 14 && fields[8] != "-").then(|| High {
                value: number(fields[8]) / 10_f64.powf(number(fields[9])),
                counts_from_air: fields[10] == "gauge",
                state: state(fields[11]),
            }),
            line: fields.last().copied().unwrap_or_default().to_owned(),
        }
    };
    let rows = text
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'));
    let all: Vec<Vector> = rows.map(vector).filter(|v| v.line != "refused").collect();
    assert!(all.len() >= 28, "vectors are missing");
    all
}

fn dialect() -> Dialect {
    Dialect::builtin("node-line").expect("it ships with the program")
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

/// The other sensor of the same vectors. The barometer of the line counts, and where it tells
/// none the one that was given; a line without that sensor gives nothing.
#[test]
fn the_high_pressure_of_every_vector_reads_as_it_was_meant() {
    let air = Pressure::from_mbar(900.0).expect("air");
    let dialect = Dialect::load_under_pressure("node-pressure-line", air).expect("it ships");
    let without_air = Dialect::builtin("node-pressure-line").expect("it ships");
    let (mut measured, mut from_air) = (0, 0);
    for vector in vectors() {
        let line = &vector.line;
        let decoded = decode(&dialect, line.as_bytes());
        let Some(high) = &vector.high else {
            assert!(matches!(decoded[..], [Decoded::Rejected(_)]), "{line}");
            continue;
        };
        let [Decoded::Sample(sample)] = decoded.as_slice() else {
            panic!("{line}: {decoded:?}");
        };
        assert_eq!(sample.temperature_c, vector.temperature_c, "{line}");
        let reading = vacuum::Reading {
            elapsed_s: 0.0,
            sensed: sample.sensed,
            temperature_c: None,
        };
        assert_eq!(reading.state(), high.state, "{line}");
        let said = match sample.sensed {
            Sensed::Measured(p) | Sensed::Over(Some(p)) | Sensed::Under(Some(p)) => Some(p),
            _ => None,
        };
        if high.state == ReadingState::Fault {
            assert_eq!(said, None, "{line}");
            continue;
        }
        let words: Vec<&str> = line.split(' ').collect();
        let unit = words.iter().position(|word| *word == "hPa");
        let told = unit.map(|at| 100.0 * words[at - 1].parse::<f64>().expect(line));
        let base = match high.counts_from_air {
            true => told.unwrap_or(air.pa()),
            false => 0.0,
        };
        let wanted = high.value * 1e3 + base;
        let got = said.expect(line).pa();
        assert!((got / wanted - 1.0).abs() < 1e-12, "{line}: {got} Pa");
        measured += 1;
        if high.counts_from_air && high.state == ReadingState::Ok {
            from_air += 1;
            let decoded = decode(&without_air, line.as_bytes());
            let same = match decoded.as_slice() {
                [Decoded::Sample(other)] => other.sensed == sample.sensed,
                _ => false,
            };
            assert_eq!(same, told.is_some(), "{line}: {decoded:?}");
        }
    }
    assert!(measured >= 7 && from_air >= 1, "{measured} {from_air}");
}

#[test]
fn a_line_with_a_flipped_bit_gives_no_reading() {
    let dialects = [
        dialect(),
        Dialect::builtin("node-pressure-line").expect("it ships"),
    ];
    for vector in vectors() {
        for at in 0..vector.line.len() {
            for bit in 0..8 {
                let mut line = vector.line.clone().into_bytes();
                line[at] ^= 1 << bit;
                let decoded = dialects.iter().flat_map(|d| decode(d, &line));
                assert!(
                    !decoded.into_iter().any(|d| matches!(d, Decoded::Sample(_))),
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

/// The Rust encoder's lines and the dialect: two readers of the same grammar.
#[test]
fn lines_of_the_rust_encoder_read_as_they_were_meant() {
    use node_line::{Barometer, Decimal, HighPressure, Line, Reference, Unit, Uptime, Value};

    let dialect = dialect();
    // any sequence that visits every combination will do; this is a linear congruence
    let mut state = 1_u64;
    let mut below = |limit: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 33) % limit
    };
    for _ in 0..20_000 {
        let unit = Unit::ALL[usize::try_from(below(4)).expect("small")];
        let decimals = u8::try_from(below(7)).expect("small");
        // up to an atmosphere: the reader refuses pressures that cannot be
        let most = if unit == Unit::Micron || decimals >= 3 {
            760_000
        } else {
            760
        };
        let digits = u32::try_from(1 + below(most)).expect("small");
        let decimal = Decimal::new(digits, decimals).expect("in range");
        let line = Line {
            sequence: u16::try_from(below(65_536)).expect("16 bits"),
            uptime: Uptime::from_milliseconds(below(1 << 31)).expect("in range"),
            value: match below(4) {
                0 => Value::Measured(decimal),
                1 => Value::Over(decimal),
                2 => Value::Under(decimal),
                _ => Value::Fault,
            },
            unit,
            temperature_tenths_c: match below(5) {
                0 => None,
                _ => Some(i16::try_from(below(2000)).expect("small") - 600),
            },
            high: (below(2) == 0).then(|| HighPressure {
                value: match below(4) {
                    0 => Value::Measured(decimal),
                    1 => Value::Over(decimal),
                    2 => Value::Under(decimal),
                    _ => Value::Fault,
                },
                reference: Reference::ALL[usize::from(below(2) == 0)],
            }),
            barometer: Barometer::new(u16::try_from(below(20_000)).expect("small")),
        };
        let mut room = [0; node_line::LONGEST];
        let sent = node_line::encode(&line, &mut room).expect("it fits");
        let shown = String::from_utf8_lossy(sent);
        let decoded = decode(&dialect, &sent[..sent.len() - 1]);
        let [Decoded::Sample(sample)] = decoded.as_slice() else {
            panic!("{shown}: {decoded:?}");
        };
        let seconds: f64 = format!("{}e-3", line.uptime.as_milliseconds())
            .parse()
            .expect("a number");
        assert_eq!(sample.device_s, Some(seconds), "{shown}");
        let celsius = line.temperature_tenths_c.map(|t| f64::from(t) / 10.0);
        assert_eq!(sample.temperature_c, celsius, "{shown}");
        let reading = vacuum::Reading {
            elapsed_s: 0.0,
            sensed: sample.sensed,
            temperature_c: None,
        };
        assert_eq!(reading.state().word(), line.value.state_word(), "{shown}");
        if let Value::Measured(_) = line.value {
            let wanted: Pressure = format!("{digits}e-{decimals} {}", line.unit.word())
                .parse()
                .expect("a pressure");
            let got = sample.pressure().expect("a measurement");
            assert!((got.pa() / wanted.pa() - 1.0).abs() < 1e-12, "{shown}");
        } else {
            assert_eq!(sample.pressure(), None, "{shown}");
        }
    }
}

#[test]
fn the_notes_show_the_patterns_of_the_dialects() {
    let notes = std::fs::read_to_string(notes().join("README.md")).expect("README.md");
    for name in ["node-line", "node-pressure-line"] {
        let dialect = Dialect::builtin(name).expect("it ships with the program");
        let pattern = dialect.source().split("'''").nth(1).expect("a pattern");
        let shown = notes.lines().any(|line| line == pattern);
        assert!(shown, "README.md shows another pattern for {name}");
    }
}

/// One step of the converter multiplies the pressure by 10^(1/counts per decade).
#[test]
fn the_table_of_converters_is_what_its_formula_gives() {
    let text = std::fs::read_to_string(notes().join("building.md")).expect("building.md");
    let mut rows = 0;
    for line in text.lines() {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let Some(bits) = cells[0].strip_suffix(" bit") else {
            continue;
        };
        rows += 1;
        let counts = 2_f64.powi(bits.parse().expect("bits")) * 0.6 / 6.0;
        let step = 10_f64.powf(1.0 / counts) - 1.0;
        for (cell, exact) in cells[1..].iter().zip([counts, step * 100.0, step * 500.0]) {
            let shown: f64 = cell.parse().expect("a number");
            // three figures
            assert!((shown / exact - 1.0).abs() < 5e-3, "{line}: {exact}");
        }
    }
    assert_eq!(rows, 5, "rows of the table");
    let needed = (1.0 / 1.001_f64.log10(), 23_040_f64.log2());
    assert!((needed.0 - 2304.0).abs() < 0.5 && (needed.1 - 14.5).abs() < 0.05);
}

/// Two readers of the same count: what the dialect finds is what the firmware's
/// own crate finds, through losses, repeats, restarts and a full count.
#[test]
fn the_dialect_counts_lost_lines_as_the_firmware_crate_does() {
    use node_line::{Continuity, Decimal, Line, Step, Unit, Uptime, Value};
    use sensor_reader::SequenceBreak;

    let mut state = 7_u64;
    let mut below = |limit: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 33) % limit
    };
    let mut decoder = Decoder::new(&dialect());
    let mut continuity = Continuity::new();
    let (mut sequence, mut milliseconds) = (65_000_u16, 10_u64);
    let mut met = std::collections::BTreeSet::new();
    for round in 0..5000_u32 {
        match below(20) {
            0 => (sequence, milliseconds) = (0, below(10)),
            1 => {}
            2 => sequence = sequence.wrapping_add(2 + below(300) as u16),
            _ => sequence = sequence.wrapping_add(1),
        }
        milliseconds += 1 + below(1000);
        let line = Line {
            sequence,
            uptime: Uptime::from_milliseconds(milliseconds).expect("in range"),
            value: Value::Measured(Decimal::new(1 + round, 0).expect("in range")),
            unit: Unit::Micron,
            temperature_tenths_c: None,
            high: None,
            barometer: None,
        };
        let mut room = [0; node_line::LONGEST];
        let mut out = Vec::new();
        decoder.push(node_line::encode(&line, &mut room).expect("fits"), &mut out);
        let wanted = match continuity.follow(&line) {
            Step::First | Step::Next => None,
            Step::Lost(lines) => Some(SequenceBreak::Missing {
                lines: lines.into(),
            }),
            Step::Restarted => Some(SequenceBreak::Restarted),
            Step::Repeated => Some(SequenceBreak::Repeated),
        };
        let found = out.iter().find_map(|d| match d {
            Decoded::Sequence(broken) => Some(*broken),
            _ => None,
        });
        assert_eq!(found, wanted, "{line:?}");
        met.insert(format!("{wanted:?}").chars().take(9).collect::<String>());
        // another value: the count stood still, the reading counts all the same
        assert_eq!(out.iter().filter_map(Decoded::sample).count(), 1, "{out:?}");
    }
    assert_eq!(met.len(), 4, "{met:?}");
}
