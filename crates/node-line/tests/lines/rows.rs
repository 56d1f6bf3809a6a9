//! Rows as in `firmware-notes/vectors.txt`:
//! sequence | seconds | milliseconds | digits | decimals | unit | tenths of °C or - | state | line

use std::path::{Path, PathBuf};

use node_line::{Decimal, Line, Unit, Uptime, Value};

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
    assert!(all.len() >= 22, "vectors are missing");
    all
}

/// The line of a row; `None` when the types of this crate cannot hold it.
pub(crate) fn line(row: &str) -> Option<Line> {
    let fields: Vec<&str> = row.split(" | ").collect();
    let number = |i: usize| fields[i].parse::<u32>().expect("a number");
    let small = |i: usize| u8::try_from(number(i)).expect("a small number");
    let middling = |i: usize| u16::try_from(number(i)).expect("a number of 16 bits");
    let decimal = || Decimal::new(number(3), small(4));
    let value = match fields[7] {
        "ok" => Value::Measured(decimal()?),
        "over" => Value::Over(decimal()?),
        "under" => Value::Under(decimal()?),
        "fault" => Value::Fault,
        other => panic!("{other}"),
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
    })
}

/// The row of a line.
pub(crate) fn row(line: &Line) -> String {
    let (digits, decimals) = match line.value {
        Value::Measured(d) | Value::Over(d) | Value::Under(d) => (d.digits(), d.decimals()),
        Value::Fault => (0, 0),
    };
    let temperature = line
        .temperature_tenths_c
        .map_or("-".into(), |t| t.to_string());
    format!(
        "{} | {} | {} | {digits} | {decimals} | {} | {temperature} | {}",
        line.sequence,
        line.uptime.seconds(),
        line.uptime.milliseconds(),
        line.unit.word(),
        line.value.state_word(),
    )
}
