//! The line of a gauge node: the decoder, the receiver, and there and back.
//!
//! Input: any bytes as heard on the wire; the same bytes as the fields of a line.
//!
//! Promises: what decodes is written again byte by byte; a receiver that gets
//! single bytes hears exactly the lines between the line feeds; every line that
//! can be written is read back as it was; and a line with any one bit wrong is
//! refused or says the same.

use node_line::{
    Barometer, Continuity, Decimal, HighPressure, LONGEST, Line, Receiver, Reference, Unit, Uptime,
    Value, decode, encode,
};

use super::choices::Choices;

/// Checks one input.
pub fn check(data: &[u8]) {
    spelling(data);
    receiving(data);
    if let Some(line) = line(&mut Choices::new(data)) {
        there_and_back(&line);
    }
}

/// Every line has one spelling.
fn spelling(data: &[u8]) {
    let Ok(line) = decode(data) else {
        return;
    };
    let mut room = [0; LONGEST];
    let Ok(written) = encode(&line, &mut room) else {
        panic!("{line:?} was read but cannot be written");
    };
    let body = |bytes: &'_ [u8]| {
        let bytes = bytes.strip_suffix(b"\n").unwrap_or(bytes);
        bytes.strip_suffix(b"\r").unwrap_or(bytes).to_vec()
    };
    assert_eq!(body(written), body(data), "{line:?} has two spellings");
}

fn receiving(data: &[u8]) {
    let mut receiver = Receiver::new();
    let mut continuity = Continuity::new();
    let heard: Vec<_> = data.iter().filter_map(|b| receiver.push(*b)).collect();
    let mut lines = data.split(|b| *b == b'\n').collect::<Vec<_>>();
    // behind the last line feed nothing is whole
    lines.pop();
    let wanted: Vec<_> = lines
        .into_iter()
        .filter(|line| !matches!(line, [] | [b'\r']))
        .map(decode)
        .collect();
    assert_eq!(heard, wanted);
    for line in heard.iter().flatten() {
        continuity.follow(line);
    }
}

/// A line from fuzzed fields, if they can be one.
fn line(choices: &mut Choices<'_>) -> Option<Line> {
    let number = |choices: &mut Choices<'_>| Decimal::new(choices.u32(), choices.byte() % 8);
    let sequence = choices.u16();
    let uptime = Uptime::new(choices.u32(), choices.u16() % 1024)?;
    let value = |choices: &mut Choices<'_>| {
        Some(match choices.byte() % 4 {
            0 => Value::Measured(number(choices)?),
            1 => Value::Over(number(choices)?),
            2 => Value::Under(number(choices)?),
            _ => Value::Fault,
        })
    };
    let vacuum = value(choices)?;
    let unit = Unit::ALL[usize::from(choices.byte() % 4)];
    let temperature_tenths_c = (choices.byte() != 0).then(|| choices.u16().cast_signed());
    let high = match choices.byte() % 4 {
        0 | 1 => None,
        reference => Some(HighPressure {
            value: value(choices)?,
            reference: Reference::ALL[usize::from(reference - 2)],
        }),
    };
    let barometer = match choices.byte() % 2 {
        0 => None,
        _ => Some(Barometer::new(choices.u16())?),
    };
    Some(Line {
        sequence,
        uptime,
        value: vacuum,
        unit,
        temperature_tenths_c,
        high,
        barometer,
    })
}

fn there_and_back(line: &Line) {
    let mut room = [0; LONGEST];
    let too_cold = line
        .temperature_tenths_c
        .is_some_and(|t| t < node_line::COLDEST_TENTHS_C);
    let written = match encode(line, &mut room) {
        Ok(written) => written.to_vec(),
        Err(error) => return assert!(too_cold, "{line:?}: {error:?}"),
    };
    assert!(!too_cold, "{line:?} was written");
    assert_eq!(decode(&written).as_ref(), Ok(line));
    for bit in 0..8 * written.len() {
        let mut damaged = written.clone();
        damaged[bit / 8] ^= 1 << (bit % 8);
        if let Ok(read) = decode(&damaged) {
            assert_eq!(read, *line, "bit {bit} of {} wrong", written.escape_ascii());
        }
    }
}
