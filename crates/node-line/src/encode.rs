use core::fmt;

use crate::{COLDEST_TENTHS_C, Decimal, Line, Value, crc16};

/// Why a line was not written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum EncodeError {
    /// The line does not fit; [`LONGEST`](crate::LONGEST) bytes always do.
    NoRoom,
    /// The temperature is below absolute zero.
    TooCold {
        /// What was to be written, tenths of °C.
        tenths_c: i16,
    },
}

impl fmt::Display for EncodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRoom => {
                let longest = crate::LONGEST;
                write!(
                    f,
                    "the line does not fit; {longest} bytes are always enough"
                )
            }
            Self::TooCold { tenths_c } => write!(
                f,
                "{tenths_c} tenths of a degree Celsius is below absolute zero; \
                 leave the temperature out if it is not measured"
            ),
        }
    }
}

impl core::error::Error for EncodeError {}

/// Writes a line with its line feed into `out` and gives back the part to send.
///
/// # Errors
/// When it does not fit, or the temperature cannot be; `out` then holds rubbish.
pub fn encode<'a>(line: &Line, out: &'a mut [u8]) -> Result<&'a [u8], EncodeError> {
    if let Some(tenths_c) = line.temperature_tenths_c
        && tenths_c < COLDEST_TENTHS_C
    {
        return Err(EncodeError::TooCold { tenths_c });
    }
    let mut sink = Sink { out, used: 0 };
    sink.version_and_more(line)?;
    sink.number(line.sequence.into(), 0)?;
    sink.text(" ")?;
    sink.number(line.uptime.seconds(), 0)?;
    sink.text(".")?;
    sink.digits_behind(u32::from(line.uptime.milliseconds()), 3)?;
    sink.text(" ")?;
    sink.value(line.value)?;
    sink.text(" ")?;
    sink.text(line.unit.word())?;
    sink.text(" ")?;
    sink.temperature(line.temperature_tenths_c)?;
    sink.text(" ")?;
    sink.text(line.value.state_word())?;
    sink.text(" ")?;
    sink.check()?;
    sink.text("\n")?;
    let Sink { out, used } = sink;
    out.get(..used).ok_or(EncodeError::NoRoom)
}

struct Sink<'a> {
    out: &'a mut [u8],
    used: usize,
}

impl Sink<'_> {
    fn byte(&mut self, byte: u8) -> Result<(), EncodeError> {
        let place = self.out.get_mut(self.used).ok_or(EncodeError::NoRoom)?;
        *place = byte;
        self.used += 1;
        Ok(())
    }

    fn text(&mut self, text: &str) -> Result<(), EncodeError> {
        text.bytes().try_for_each(|byte| self.byte(byte))
    }

    /// `number` / 10^`decimals`, every decimal written, at least one digit in front.
    fn number(&mut self, number: u32, decimals: u8) -> Result<(), EncodeError> {
        let scale = 10_u32.pow(decimals.into());
        let whole = number / scale;
        self.digits_behind(whole, whole.checked_ilog10().unwrap_or(0) + 1)?;
        if decimals > 0 {
            self.byte(b'.')?;
            self.digits_behind(number % scale, decimals.into())?;
        }
        Ok(())
    }

    /// The last `count` digits, zeros in front included.
    fn digits_behind(&mut self, number: u32, count: u32) -> Result<(), EncodeError> {
        (0..count).rev().try_for_each(|place| {
            let digit = number / 10_u32.pow(place) % 10;
            // 0 to 9
            self.byte(b'0' + digit as u8)
        })
    }

    fn decimal(&mut self, decimal: Decimal) -> Result<(), EncodeError> {
        self.number(decimal.digits(), decimal.decimals())
    }

    fn value(&mut self, value: Value) -> Result<(), EncodeError> {
        match value {
            Value::Measured(decimal) => self.decimal(decimal),
            // the sign keeps a careless reader from taking a bound for a measurement
            Value::Over(bound) => self.byte(b'>').and_then(|()| self.decimal(bound)),
            Value::Under(bound) => self.byte(b'<').and_then(|()| self.decimal(bound)),
            Value::Fault => self.byte(b'-'),
        }
    }

    /// The version, and behind `N2` what it has more than `N1`.
    fn version_and_more(&mut self, line: &Line) -> Result<(), EncodeError> {
        if line.high.is_none() && line.barometer.is_none() {
            return self.text("N1 ");
        }
        self.text("N2 ")?;
        match line.high {
            Some(high) => {
                self.value(high.value)?;
                self.text(" kPa ")?;
                self.text(high.reference.word())?;
                self.text(" ")?;
                self.text(high.value.state_word())?;
            }
            None => self.text("-")?,
        }
        self.text(" ")?;
        match line.barometer {
            Some(barometer) => {
                self.number(barometer.tenths_hpa().into(), 1)?;
                self.text(" hPa ")
            }
            None => self.text("- "),
        }
    }

    fn temperature(&mut self, tenths_c: Option<i16>) -> Result<(), EncodeError> {
        let Some(tenths_c) = tenths_c else {
            return self.byte(b'-');
        };
        if tenths_c < 0 {
            self.byte(b'-')?;
        }
        self.number(tenths_c.unsigned_abs().into(), 1)
    }

    /// The check value of everything so far.
    fn check(&mut self) -> Result<(), EncodeError> {
        let crc = crc16(self.out.get(..self.used).unwrap_or_default());
        [12, 8, 4, 0].into_iter().try_for_each(|shift| {
            let nibble = usize::from(crc >> shift & 0xF);
            self.byte(b"0123456789ABCDEF"[nibble])
        })
    }
}
