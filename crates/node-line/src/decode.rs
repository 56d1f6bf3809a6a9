use core::fmt;

use crate::{
    Barometer, COLDEST_TENTHS_C, Decimal, HighPressure, LONGEST, Line, MOST_DECIMALS, Reference,
    Unit, Uptime, Value, crc16,
};

/// Why some bytes are no line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum DecodeError {
    /// Longer than any line: a line end was lost, or this is no node.
    TooLong,
    /// The check value does not fit the bytes in front of it: damaged on the way.
    WrongCheck {
        /// What the line says.
        said: u16,
        /// What its bytes give.
        computed: u16,
    },
    /// There is no check value where one belongs: cut off, damaged, or no node.
    NoCheck,
    /// The check value fits, but the line begins with another version than `N1` or `N2`.
    OtherVersion,
    /// The check value fits, but this field is not written as its version writes it.
    Malformed {
        /// Name of the field in the grammar.
        field: &'static str,
    },
}

impl fmt::Display for DecodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong => write!(f, "longer than the {LONGEST} bytes of the longest line"),
            Self::WrongCheck { said, computed } => write!(
                f,
                "damaged on the way: check value {said:04X}, its bytes give {computed:04X}"
            ),
            Self::NoCheck => write!(f, "no check value at the end: cut off or not from a node"),
            Self::OtherVersion => write!(f, "a whole line, but not of version N1 or N2"),
            Self::Malformed { field } => {
                write!(
                    f,
                    "the check value fits, but the {field} is not as its version writes it"
                )
            }
        }
    }
}

impl core::error::Error for DecodeError {}

/// Reads one line. Its end (LF or CR LF) may be there or not.
///
/// The check value is looked at first: no field of a damaged line is believed.
///
/// # Errors
/// [`DecodeError`] says what is wrong; nothing of the line should then be used.
pub fn decode(bytes: &[u8]) -> Result<Line, DecodeError> {
    let bytes = bytes.strip_suffix(b"\n").unwrap_or(bytes);
    let bytes = bytes.strip_suffix(b"\r").unwrap_or(bytes);
    if bytes.len() >= LONGEST {
        return Err(DecodeError::TooLong);
    }
    let (covered, check) = bytes.split_last_chunk::<4>().ok_or(DecodeError::NoCheck)?;
    let said = hex(*check).ok_or(DecodeError::NoCheck)?;
    let body = covered.strip_suffix(b" ").ok_or(DecodeError::NoCheck)?;
    let computed = crc16(covered);
    if said != computed {
        return Err(DecodeError::WrongCheck { said, computed });
    }
    fields(body)
}

fn fields(body: &[u8]) -> Result<Line, DecodeError> {
    let mut words = body.split(|byte| *byte == b' ');
    let (high, barometer) = match words.next() {
        Some(b"N1") => (None, None),
        Some(b"N2") => more_of_version_2(&mut words)?,
        _ => return Err(DecodeError::OtherVersion),
    };
    let mut field = |name| words.next().ok_or(malformed(name));
    let sequence = whole(field("sequence")?)
        .and_then(|n| u16::try_from(n).ok())
        .ok_or(malformed("sequence"))?;
    let uptime = uptime(field("seconds")?).ok_or(malformed("seconds"))?;
    let value = field("value")?;
    let unit = field("unit")?;
    let unit = Unit::ALL
        .into_iter()
        .find(|known| known.word().as_bytes() == unit)
        .ok_or(malformed("unit"))?;
    let temperature_tenths_c =
        temperature(field("temperature")?).ok_or(malformed("temperature"))?;
    let state = field("state")?;
    if words.next().is_some() {
        return Err(malformed("end"));
    }
    Ok(Line {
        sequence,
        uptime,
        value: stated(state, value).map_err(malformed)?,
        unit,
        temperature_tenths_c,
        high,
        barometer,
    })
}

/// What a line of version 2 says in front of what version 1 says.
fn more_of_version_2<'a>(
    words: &mut impl Iterator<Item = &'a [u8]>,
) -> Result<(Option<HighPressure>, Option<Barometer>), DecodeError> {
    let mut field = |name| words.next().ok_or(malformed(name));
    let value = field("high pressure")?;
    // a fault is "-" too, but a unit stands behind it
    let mut next = field("barometer")?;
    let high = if next == b"kPa" {
        let word = field("reference")?;
        let reference = Reference::ALL
            .into_iter()
            .find(|known| known.word().as_bytes() == word)
            .ok_or(malformed("reference"))?;
        let value = stated(field("high pressure's state")?, value).map_err(|field| {
            malformed(match field {
                "value" => "high pressure",
                _ => "high pressure's state",
            })
        })?;
        next = field("barometer")?;
        Some(HighPressure { value, reference })
    } else if value == b"-" {
        None
    } else {
        return Err(malformed("high pressure"));
    };
    let barometer = match next {
        // with neither it is a line of version 1
        b"-" if high.is_some() => None,
        number => {
            let known = tenths(number)
                .and_then(|n| u16::try_from(n).ok())
                .and_then(Barometer::new);
            if field("barometer")? != b"hPa" || known.is_none() {
                return Err(malformed("barometer"));
            }
            known
        }
    };
    Ok((high, barometer))
}

fn malformed(field: &'static str) -> DecodeError {
    DecodeError::Malformed { field }
}

/// State and value have to agree: a bound bears its sign, a fault no number.
/// Otherwise the name of the one that is wrong.
fn stated(state: &[u8], value: &[u8]) -> Result<Value, &'static str> {
    let number = |sign: &[u8]| {
        let number = value.strip_prefix(sign).and_then(decimal);
        number.ok_or("value")
    };
    match state {
        b"ok" => number(b"").map(Value::Measured),
        b"over" => number(b">").map(Value::Over),
        b"under" => number(b"<").map(Value::Under),
        b"fault" if value == b"-" => Ok(Value::Fault),
        b"fault" => Err("value"),
        _ => Err("state"),
    }
}

/// Four capital hexadecimal digits.
fn hex(digits: [u8; 4]) -> Option<u16> {
    digits.iter().try_fold(0, |number, digit| {
        let nibble = match digit {
            b'0'..=b'9' => digit - b'0',
            b'A'..=b'F' => digit - b'A' + 10,
            _ => return None,
        };
        Some(number << 4 | u16::from(nibble))
    })
}

/// Appends digits to a number; nothing else may be among them.
fn digits_onto(start: u32, text: &[u8]) -> Option<u32> {
    text.iter().try_fold(start, |number, byte| {
        let digit = byte.is_ascii_digit().then(|| u32::from(byte - b'0'))?;
        number.checked_mul(10)?.checked_add(digit)
    })
}

/// A whole number without a leading zero.
fn whole(text: &[u8]) -> Option<u32> {
    let padded = text.len() > 1 && text.first() == Some(&b'0');
    if text.is_empty() || padded {
        return None;
    }
    digits_onto(0, text)
}

/// Splits at the point, if there is one.
fn at_point(text: &[u8]) -> (&[u8], Option<&[u8]>) {
    match text.iter().position(|byte| *byte == b'.') {
        Some(at) => (&text[..at], Some(&text[at + 1..])),
        None => (text, None),
    }
}

fn decimal(text: &[u8]) -> Option<Decimal> {
    let (front, behind) = at_point(text);
    let front = whole(front)?;
    let Some(behind) = behind else {
        return Decimal::new(front, 0);
    };
    let decimals = u8::try_from(behind.len()).ok()?;
    if !(1..=MOST_DECIMALS).contains(&decimals) {
        return None;
    }
    Decimal::new(digits_onto(front, behind)?, decimals)
}

fn uptime(text: &[u8]) -> Option<Uptime> {
    let (seconds, Some(milliseconds)) = at_point(text) else {
        return None;
    };
    let seconds = whole(seconds)?;
    if milliseconds.len() != 3 {
        return None;
    }
    let milliseconds = digits_onto(0, milliseconds)?;
    Uptime::new(seconds, u16::try_from(milliseconds).ok()?)
}

/// A number with one decimal, in tenths.
fn tenths(text: &[u8]) -> Option<u32> {
    match at_point(text) {
        (front, Some(tenth)) if tenth.len() == 1 => digits_onto(whole(front)?, tenth),
        _ => None,
    }
}

/// `Some(None)` when the node does not measure it, `None` when it is malformed.
fn temperature(text: &[u8]) -> Option<Option<i16>> {
    if text == b"-" {
        return Some(None);
    }
    let (size, sign) = match text.strip_prefix(b"-") {
        Some(size) => (size, -1),
        None => (text, 1),
    };
    let tenths = tenths(size)?;
    // minus zero is not written
    if tenths == 0 && sign < 0 {
        return None;
    }
    let tenths = i16::try_from(i64::from(tenths) * sign).ok()?;
    (tenths >= COLDEST_TENTHS_C).then_some(Some(tenths))
}
