//! Rows as in `firmware-notes/vectors.txt`:
//! sequence | seconds | milliseconds | digits | decimals | unit | tenths of °C or - | state | line
//! and in front of a line of version 2
//! digits or - | decimals | abs or gauge | state | tenths of hPa or -

use std::path::{Path, PathBuf};

use node_line::{Barometer, Decimal, HighPressure, Line, Reference, Unit, Uptime, Value};

/// The firmware notes.
pub(crate) fn notes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../firmware-notes")
}

/// Every vector: its row, and the line that should come out, if any.
pub(crate) fn vectors() -> Vec<(String, Option<String>)> {
    let text = std::fs::read_to_string(notes().join("vectors.txt")).expect("vectors.txt");
    let rows = text
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'));
    let all: Vec<_> = rows
        .map(|row| {
            let (fields, line) = row.rsplit_once(" | ").expect("a line at the end");
            (
                fields.to_owned(),
                (line != "refused").then(|| line.to_owned()),
            )
        })
        .collect();
    assert!(all.len() >= 34, "vectors are missing");
    all
}

/// The line of a row; `None` when the types of this crate cannot hold it.
pub(crate) fn line(row: &str) -> Option<Line> {
    let fields: Vec<&str> = row.split(" | ").collect();
    let number = |i: usize| fields[i].parse::<u32>().expect("a number");
    let small = |i: usize| u8::try_from(number(i)).expect("a small number");
    let middling = |i: usize| u16::try_from(number(i)).expect("a number of 16 bits");
    let stated = |digits: usize, state: usize| {
        let decimal = || Decimal::new(number(digits), small(digits + 1));
        Some(match fields[state] {
            "ok" => Value::Measured(decimal()?),
            "over" => Value::Over(decimal()?),
            "under" => Value::Under(decimal()?),
            "fault" => Value::Fault,
            other => panic!("{other}"),
        })
    };
    let value = stated(3, 7)?;
    let high = match fields.get(8) {
        None | Some(&"-") => None,
        Some(_) => Some(HighPressure {
            value: stated(8, 11)?,
            reference: Reference::ALL
                .into_iter()
                .find(|r| r.word() == fields[10])
                .expect("a reference"),
        }),
    };
    let barometer = match fields.get(12) {
        None | Some(&"-") => None,
        Some(_) => Some(Barometer::new(middling(12))?),
    };
    Some(Line {
        sequence: middling(0),
        uptime: Uptime::new(number(1), middling(2))?,
        value,
        unit: Unit::ALL
            .into_iter()
            .find(|u| u.word() == fields[5])
            .expect("a unit"),
        temperature_tenths_c: match fields[6] {
            "-" => None,
            tenths => Some(tenths.parse().expect("tenths of °C")),
        },
        high,
        barometer,
    })
}

/// The row of a line.
pub(crate) fn row(line: &Line) -> String {
    let number = |value| match value {
        Value::Measured(d) | Value::Over(d) | Value::Under(d) => (d.digits(), d.decimals()),
        Value::Fault => (0, 0),
    };
    let (digits, decimals) = number(line.value);
    let more = match (line.high, line.barometer) {
        (None, None) => String::new(),
        (high, barometer) => {
            let high = high.map_or("- | - | - | -".into(), |high| {
                let (digits, decimals) = number(high.value);
                let (reference, state) = (high.reference.word(), high.value.state_word());
                format!("{digits} | {decimals} | {reference} | {state}")
            });
            let barometer = barometer.map_or("-".into(), |b| b.tenths_hpa().to_string());
            format!(" | {high} | {barometer}")
        }
    };
    let temperature = line
        .temperature_tenths_c
        .map_or("-".into(), |t| t.to_string());
    format!(
        "{} | {} | {} | {digits} | {decimals} | {} | {temperature} | {}{more}",
        line.sequence,
        line.uptime.seconds(),
        line.uptime.milliseconds(),
        line.unit.word(),
        line.value.state_word(),
    )
}
