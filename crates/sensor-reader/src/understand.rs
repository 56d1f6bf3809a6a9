//! One line, frame or block of registers to one reading.

use std::sync::Arc;

use vacuum::{Pressure, PressureUnit, Sensed, UnitWord, Weighed};

use crate::{
    checksum::ChecksumText,
    curve::Meant,
    dialect::{Clock, Shape, Terms},
    field_text::field_text,
    find::{Field, Found},
    number::{Written, hex},
    sample::{RejectReason, Sample, shown},
    sequence::Turn,
    state::State,
    value::{number, state},
    weight::{NO_PRESSURE, weighed},
};

/// The fields of a line, before it has a number in a stream.
#[derive(Debug)]
pub(crate) struct Fields {
    sensed: Sensed,
    temperature_c: Option<f64>,
    device_s: Option<f64>,
    sequence: Option<u32>,
    channel: Option<Arc<str>>,
    weighed: Option<Weighed>,
}

impl Fields {
    /// What a line that was sent twice says twice.
    pub(crate) fn content(&self) -> (Sensed, Option<f64>, Option<Weighed>) {
        (self.sensed, self.temperature_c, self.weighed)
    }

    pub(crate) fn into_sample(self, line_no: u64) -> Sample {
        Sample {
            sensed: self.sensed,
            temperature_c: self.temperature_c,
            device_s: self.device_s,
            sequence: self.sequence,
            channel: self.channel,
            weighed: self.weighed,
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

/// What a line means.
#[derive(Debug)]
pub(crate) enum Meaning {
    Reading(Understood),
    /// The gauge has no new value yet.
    Busy,
    /// Of a channel that is not recorded.
    OtherChannel,
}

/// What a line turned out to be.
#[derive(Debug)]
pub(crate) struct Line {
    /// Where it stands in the gauge's own count, if it tells and arrived whole.
    pub(crate) turn: Option<Turn>,
    /// The barometer that it tells, if it arrived whole.
    pub(crate) barometer: Option<Pressure>,
    pub(crate) meaning: Result<Meaning, RejectReason>,
}

impl Line {
    pub(crate) fn rejected(why: RejectReason) -> Self {
        Self {
            turn: None,
            barometer: None,
            meaning: Err(why),
        }
    }
}

/// Reads a line without its terminator. `air` is the barometer that an earlier line told: it
/// counts where this one tells none.
pub(crate) fn understand_line(shape: &Shape, line: &[u8], air: Option<Pressure>) -> Line {
    // a bare check byte may look like a blank or a line end
    let binary = |c: &crate::checksum::ChecksumRule| c.text == ChecksumText::Binary;
    if shape.checksum.as_ref().is_some_and(binary) {
        return understand(shape, line, line, air);
    }
    // a CR or LF that is not this dialect's terminator is not part of the line
    let line = trim_line_ends(line);
    understand(shape, line, line.trim_ascii(), air)
}

/// Reads a frame or a block of registers.
pub(crate) fn understand_block(shape: &Shape, block: &[u8]) -> Line {
    understand(shape, block, block, None)
}

/// `text` is the part of `line` that is searched.
fn understand(shape: &Shape, line: &[u8], text: &[u8], air: Option<Pressure>) -> Line {
    let offset = line.len() - line.trim_ascii_start().len();
    let offset = if text.len() == line.len() { 0 } else { offset };
    let Some(found) = shape.finding.find(text) else {
        return Line::rejected(RejectReason::NoMatch);
    };
    let checked = match check_sum(shape, line, offset, &found) {
        Ok(checked) => checked,
        Err(why) => return Line::rejected(why),
    };
    let barometer = barometer(shape, &found);
    Line {
        turn: turn(shape, &found),
        meaning: meaning(shape, text, &found, (checked, barometer.or(air))),
        barometer,
    }
}

fn meaning(
    shape: &Shape,
    text: &[u8],
    found: &Found<'_>,
    (checked, air): (bool, Option<Pressure>),
) -> Result<Meaning, RejectReason> {
    let Some(of) = shape.channels.of(found.text(Field::Channel), shape.terms) else {
        return Ok(Meaning::OtherChannel);
    };
    // what was measured beside the gauge is better than what somebody gave
    let terms = Terms {
        air: of.terms.air.map(|given| air.unwrap_or(given)),
        around: air.or(of.terms.around),
        ..of.terms
    };
    let said = match &shape.weighs {
        Some(weighs) => weighed(shape, weighs, found)?.map(|w| (NO_PRESSURE, Some(w))),
        None => sensed(shape, terms, found)?.map(|sensed| (sensed, None)),
    };
    let Some((sensed, weighed)) = said else {
        return Ok(Meaning::Busy);
    };
    Ok(Meaning::Reading(Understood {
        reading: Fields {
            sensed,
            temperature_c: temperature(shape, found),
            device_s: device_time(shape, found)?,
            sequence: count(shape, found),
            channel: of.tag,
            weighed,
        },
        whole: checked || shape.finding.shows_it_is_whole(text, found),
    }))
}

/// Where the line stands in the gauge's own count and time.
fn turn(shape: &Shape, found: &Found<'_>) -> Option<Turn> {
    Some(Turn {
        count: count(shape, found)?,
        device_s: device_time(shape, found).ok().flatten(),
    })
}

/// The gauge's own number of the line. One that cannot be is no number, but the
/// reading beside it stays.
fn count(shape: &Shape, found: &Found<'_>) -> Option<u32> {
    let rule = shape.sequence?;
    let text = found.text(Field::Sequence)?;
    let number = match rule.written {
        Written::Decimal => std::str::from_utf8(text).ok()?.parse().ok()?,
        Written::Hex | Written::SignedHex => hex(text)?,
    };
    (u64::from(number) < rule.modulus).then_some(number)
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
    shape: &Shape,
    line: &[u8],
    offset: usize,
    found: &Found<'_>,
) -> Result<bool, RejectReason> {
    let Some(rule) = &shape.checksum else {
        return Ok(false);
    };
    let part = found
        .get(Field::Checksum)
        .ok_or_else(|| RejectReason::Checksum {
            wanted: None,
            found: "missing".into(),
        })?;
    rule.check(line, offset + part.start, &part.bytes)
        .map(|()| true)
        .map_err(|wanted| RejectReason::Checksum {
            wanted,
            found: match rule.text {
                ChecksumText::Binary => {
                    part.bytes
                        .iter()
                        .map(|b| format!("{b:02X}"))
                        .collect::<String>()
                        + " hex"
                }
                _ => shown(&field_text(&part.bytes)),
            },
        })
}

/// The pressure or the state the line reports; `None` if the gauge is busy.
fn sensed(shape: &Shape, terms: Terms, found: &Found<'_>) -> Result<Option<Sensed>, RejectReason> {
    let value = found.text(Field::Value).unwrap_or_default();
    let state = state(shape, found, &field_text(value))?;
    // a comparison is a bound, whatever the state says: ">25000"
    let (sign, number) = match value {
        [sign @ (b'<' | b'>'), number @ ..] => (Some(*sign), number),
        number => (None, number),
    };
    let own_bound = || match written(shape, terms, number, found) {
        Ok(Sensed::Measured(pressure)) => Some(pressure),
        _ => None,
    };
    Ok(Some(match (state, sign) {
        (State::Fault, _) => Sensed::Fault,
        (State::Off, _) => Sensed::Gap,
        (State::Busy, _) => return Ok(None),
        (State::Over | State::Ok | State::Stable | State::Moving, Some(b'>')) => {
            Sensed::Over(own_bound().or(terms.over))
        }
        (State::Under | State::Ok | State::Stable | State::Moving, Some(b'<')) => {
            Sensed::Under(own_bound().or(terms.under))
        }
        (State::Over, _) => Sensed::Over(terms.over),
        (State::Under, _) => Sensed::Under(terms.under),
        // only a scale says the other two
        (State::Ok | State::Stable | State::Moving, _) => {
            match written(shape, terms, number, found)? {
                Sensed::Measured(pressure) => within_bounds(terms, pressure),
                bound_or_fault => bound_or_fault,
            }
        }
    }))
}

/// The number and unit of a line as a pressure; a signal that lies beyond the
/// dialect's curve is a bound or a fault.
fn written(
    shape: &Shape,
    terms: Terms,
    digits: &[u8],
    found: &Found<'_>,
) -> Result<Sensed, RejectReason> {
    let value = number(shape, digits, found)?;
    let (unit, air) = unit(shape, terms, found)?;
    let pressure = |value: f64| match air {
        None => Pressure::new(value, unit).map_err(RejectReason::OutOfRange),
        Some(air) => {
            let above = Pressure::new(value.abs(), unit).map_err(RejectReason::OutOfRange)?;
            let pa = air.pa() + above.pa().copysign(value);
            Pressure::from_pa(pa).map_err(RejectReason::OutOfRange)
        }
    };
    if let Some(curve) = &shape.curve {
        return Ok(match curve.meaning(value) {
            Meant::Value(value) => Sensed::Measured(pressure(value)?),
            Meant::Above(end) => Sensed::Over(terms.over.or(pressure(end).ok())),
            Meant::Below(end) => Sensed::Under(terms.under.or(pressure(end).ok())),
            Meant::Broken => Sensed::Fault,
        });
    }
    // a zero that has drifted by less than what the gauge can resolve
    let drifted_zero =
        air.is_none() && value < 0.0 && terms.under.is_some_and(|low| -value <= low.get(unit));
    Ok(Sensed::Measured(pressure(if drifted_zero {
        0.0
    } else {
        value
    })?))
}

/// A measurement, or a bound if it lies at or beyond the dialect's bounds.
fn within_bounds(terms: Terms, pressure: Pressure) -> Sensed {
    match (terms.under, terms.over) {
        (Some(low), _) if pressure <= low => Sensed::Under(Some(low)),
        (_, Some(high)) if pressure >= high => Sensed::Over(Some(high)),
        _ => Sensed::Measured(pressure),
    }
}

/// The unit of the value, from the line if it carries one, else the fixed one; and the
/// pressure of the air it counts from, where it does.
fn unit(
    shape: &Shape,
    terms: Terms,
    found: &Found<'_>,
) -> Result<(PressureUnit, Option<Pressure>), RejectReason> {
    let Some(text) = found.text(Field::Unit) else {
        let missing = || RejectReason::Unit {
            text: String::new(),
            word: UnitWord::Unknown,
        };
        return Ok((terms.fixed_unit.ok_or_else(missing)?, terms.air));
    };
    let text = field_text(text);
    if let Some(listed) = shape.listed_unit(&text) {
        return Ok((listed, None));
    }
    let word = UnitWord::read(&text);
    match (word, terms.around) {
        (UnitWord::Relative(Some(unit)), Some(air)) => Ok((unit, Some(air))),
        _ => word
            .absolute()
            .map(|unit| (unit, None))
            .ok_or_else(|| RejectReason::Unit {
                text: shown(&text),
                word,
            }),
    }
}

/// The barometer in hPa; what no place on land has is no barometer.
fn barometer(shape: &Shape, found: &Found<'_>) -> Option<Pressure> {
    let text = found.text(Field::Barometer)?;
    let hpa = shape.numbers.parse_as(Written::Decimal, text)?;
    let plausible = (500.0..=1_100.0).contains(&hpa);
    plausible.then(|| Pressure::from_pa(100.0 * hpa).ok())?
}

/// The temperature in °C; one below absolute zero is no temperature.
fn temperature(shape: &Shape, found: &Found<'_>) -> Option<f64> {
    let style = shape.temperature;
    let text = found.text(Field::Temperature)?;
    let number = shape.numbers.parse_as(style.written, text)? * style.scale;
    let celsius = style.unit.to_celsius(number);
    (celsius >= -vacuum::ZERO_CELSIUS_K).then_some(celsius)
}

/// The gauge's own time, s.
fn device_time(shape: &Shape, found: &Found<'_>) -> Result<Option<f64>, RejectReason> {
    let Some(text) = found.text(Field::Seconds) else {
        return match shape.clock {
            Clock::Host => Ok(None),
            Clock::Device => Err(RejectReason::NoDeviceTime {
                text: String::new(),
            }),
        };
    };
    match shape.numbers.parse_as(Written::Decimal, text) {
        Some(count) => Ok(Some(count * shape.seconds_per_count)),
        None if shape.clock == Clock::Host => Ok(None),
        None => Err(RejectReason::NoDeviceTime {
            text: shown(&field_text(text)),
        }),
    }
}
