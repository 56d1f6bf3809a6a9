//! One line to one reading.

use regex::bytes::Captures;
use vacuum::{Pressure, PressureUnit, ReadingState, Sensed};

use crate::{
    dialect::{Clock, LineShape},
    sample::{RejectReason, Sample},
    unit::{UnitWord, field_text, unit_word},
};

/// The fields of a line, before it has a number in a stream.
#[derive(Debug)]
pub(crate) struct Fields {
    sensed: Sensed,
    temperature_c: Option<f64>,
    device_s: Option<f64>,
}

impl Fields {
    pub(crate) fn into_sample(self, line_no: u64) -> Sample {
        Sample {
            sensed: self.sensed,
            temperature_c: self.temperature_c,
            device_s: self.device_s,
            line_no,
        }
    }
}

/// A line with a meaning.
#[derive(Debug)]
pub(crate) struct Understood {
    pub(crate) reading: Fields,
    /// The line shows by itself that nothing is missing at its beginning.
    pub(crate) whole: bool,
}

/// Reads a line (without its terminator).
pub(crate) fn understand(shape: &LineShape, line: &[u8]) -> Result<Understood, RejectReason> {
    // a CR or LF that is not this dialect's terminator is not part of the line
    let line = trim_line_ends(line);
    let text = line.trim_ascii();
    let offset = line.len() - line.trim_ascii_start().len();
    let fields = shape.pattern.captures(text).ok_or(RejectReason::NoMatch)?;
    let checked = check_sum(shape, line, offset, &fields)?;
    let sensed = sensed(shape, &fields)?;
    Ok(Understood {
        reading: Fields {
            sensed,
            temperature_c: temperature(shape, &fields),
            device_s: device_time(shape, &fields)?,
        },
        whole: checked || stands_behind_a_mark(text, &fields),
    })
}

fn trim_line_ends(line: &[u8]) -> &[u8] {
    let is_end = |b: &u8| matches!(b, b'\r' | b'\n');
    let start = line.iter().take_while(|b| is_end(b)).count();
    let line = line.get(start..).unwrap_or_default();
    let ends = line.iter().rev().take_while(|b| is_end(b)).count();
    line.get(..line.len() - ends).unwrap_or_default()
}

/// Checks the checksum if the dialect has one. True if there was one.
fn check_sum(
    shape: &LineShape,
    line: &[u8],
    offset: usize,
    fields: &Captures<'_>,
) -> Result<bool, RejectReason> {
    let Some(rule) = &shape.checksum else {
        return Ok(false);
    };
    let found = shape
        .groups
        .checksum
        .and_then(|g| fields.get(g))
        .ok_or_else(|| RejectReason::Checksum {
            wanted: None,
            found: "missing".into(),
        })?;
    rule.check(line, offset + found.start(), found.as_bytes())
        .map(|()| true)
        .map_err(|wanted| RejectReason::Checksum {
            wanted,
            found: field_text(found.as_bytes()),
        })
}

/// True if something that cannot be part of a number or word precedes the first
/// named field, so that the field cannot have lost its beginning.
fn stands_behind_a_mark(text: &[u8], fields: &Captures<'_>) -> bool {
    let first = (1..fields.len())
        .filter_map(|g| fields.get(g))
        .map(|m| m.start())
        .min()
        .unwrap_or(0);
    text[..first]
        .iter()
        .any(|b| !b.is_ascii_digit() && !matches!(b, b' ' | b'\t' | b'+' | b'-' | b'.' | b','))
}

/// Text of an optional group; `None` when absent or blank.
fn group<'l>(fields: &Captures<'l>, index: Option<usize>) -> Option<&'l [u8]> {
    let text = fields.get(index?)?.as_bytes().trim_ascii();
    (!text.is_empty()).then_some(text)
}

/// The pressure or the state the line reports.
fn sensed(shape: &LineShape, fields: &Captures<'_>) -> Result<Sensed, RejectReason> {
    let state = match group(fields, shape.groups.state) {
        None => ReadingState::Ok,
        Some(word) => {
            let word = field_text(word);
            shape
                .state(&word)
                .ok_or(RejectReason::UnknownState { word })?
        }
    };
    let value = group(fields, Some(shape.groups.value)).unwrap_or_default();
    let word = field_text(value);
    // a state word may stand in the value's place; the worse of the two counts
    let state = match (state, shape.state(&word)) {
        (ReadingState::Ok, Some(in_place)) => in_place,
        (state, _) => state,
    };
    // and so may a comparison: ">25000" is a bound, whatever the state says
    let (sign, number) = match value {
        [sign @ (b'<' | b'>'), number @ ..] => (Some(*sign), number),
        number => (None, number),
    };
    let own_bound = || written(shape, number, fields).ok();
    match (state, sign) {
        (ReadingState::Fault | ReadingState::Gap, _) => Ok(Sensed::Fault),
        (ReadingState::Over | ReadingState::Ok, Some(b'>')) => {
            Ok(Sensed::Over(own_bound().or(shape.over)))
        }
        (ReadingState::Under | ReadingState::Ok, Some(b'<')) => {
            Ok(Sensed::Under(own_bound().or(shape.under)))
        }
        (ReadingState::Over, _) => Ok(Sensed::Over(shape.over)),
        (ReadingState::Under, _) => Ok(Sensed::Under(shape.under)),
        (ReadingState::Ok, _) => measured(shape, number, fields),
    }
}

/// The number and unit of a line as a pressure.
fn written(
    shape: &LineShape,
    number: &[u8],
    fields: &Captures<'_>,
) -> Result<Pressure, RejectReason> {
    let value = shape
        .numbers
        .parse(number)
        .ok_or_else(|| RejectReason::NotANumber {
            text: field_text(number),
        })?;
    let unit = unit(shape, fields)?;
    // a zero that has drifted by less than what the gauge can resolve
    let drifted_zero = value < 0.0 && shape.under.is_some_and(|low| -value <= low.get(unit));
    let value = if drifted_zero { 0.0 } else { value };
    Pressure::new(value, unit).map_err(RejectReason::OutOfRange)
}

/// A value without a bad state: a measurement, or a bound if it lies at or
/// beyond the dialect's bounds.
fn measured(
    shape: &LineShape,
    number: &[u8],
    fields: &Captures<'_>,
) -> Result<Sensed, RejectReason> {
    let pressure = written(shape, number, fields)?;
    match (shape.under, shape.over) {
        (Some(low), _) if pressure <= low => Ok(Sensed::Under(Some(low))),
        (_, Some(high)) if pressure >= high => Ok(Sensed::Over(Some(high))),
        _ => Ok(Sensed::Measured(pressure)),
    }
}

/// The unit of the value: from the line if it carries one, else the fixed one.
fn unit(shape: &LineShape, fields: &Captures<'_>) -> Result<PressureUnit, RejectReason> {
    let Some(text) = group(fields, shape.groups.unit) else {
        return shape.fixed_unit.ok_or_else(|| RejectReason::UnknownUnit {
            unit: String::new(),
        });
    };
    let unit = field_text(text);
    if let Some(listed) = shape.listed_unit(&unit) {
        return Ok(listed);
    }
    match unit_word(&unit) {
        UnitWord::Absolute(known) => Ok(known),
        UnitWord::GaugeRelative => Err(RejectReason::GaugeRelativeUnit { unit }),
        UnitWord::Ambiguous => Err(RejectReason::AmbiguousUnit { unit }),
        UnitWord::Unknown => Err(RejectReason::UnknownUnit { unit }),
    }
}

/// The temperature in °C; one below absolute zero is no temperature.
fn temperature(shape: &LineShape, fields: &Captures<'_>) -> Option<f64> {
    let number = shape
        .numbers
        .parse(group(fields, shape.groups.temperature)?)?;
    let celsius = shape.temperature_unit.to_celsius(number);
    (celsius >= -vacuum::ZERO_CELSIUS_K).then_some(celsius)
}

/// The gauge's own time, s.
fn device_time(shape: &LineShape, fields: &Captures<'_>) -> Result<Option<f64>, RejectReason> {
    let Some(text) = group(fields, shape.groups.seconds) else {
        return match shape.clock {
            Clock::Host => Ok(None),
            Clock::Device => Err(RejectReason::NoDeviceTime {
                text: String::new(),
            }),
        };
    };
    match shape.numbers.parse(text) {
        Some(count) => Ok(Some(count * shape.seconds_per_count)),
        None if shape.clock == Clock::Host => Ok(None),
        None => Err(RejectReason::NoDeviceTime {
            text: field_text(text),
        }),
    }
}
