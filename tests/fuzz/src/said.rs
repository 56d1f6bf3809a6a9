//! Well-formed lines and frames of the dialects that tell a state, made here by
//! rule with fuzzed values and states.

use super::{
    choices::Choices,
    sums::{crc, crc_modbus, sum},
};

/// A line, and whether its state says that the value is a measurement.
pub(crate) struct Said {
    pub(crate) bytes: Vec<u8>,
    pub(crate) is_ok: bool,
}

/// What may stand in a text field: no delimiter and no line end of any dialect.
const LETTERS: &[u8; 64] = b"0123456789.+-eE<>0123456789abcdfghijklmnopqrsABCDFGHIJKLNOPRTUVW";

/// A word of at most `most` letters; digits where the input is small numbers.
fn word(choices: &mut Choices<'_>, most: usize) -> String {
    let length = usize::from(choices.byte() % 8).min(most);
    let letters = choices.bytes::<8>();
    letters[..length]
        .iter()
        .map(|b| char::from(LETTERS[usize::from(b % 64)]))
        .collect()
}

/// A number of `digits` digits.
fn digits(choices: &mut Choices<'_>, digits: usize) -> String {
    let number = choices.u32() % 10_u32.pow(digits as u32);
    format!("{number:0digits$}")
}

/// The word for "all is well" where the choice is 0, else any word.
fn state_word(choices: &mut Choices<'_>, well: &str) -> (String, bool) {
    if choices.byte() == 0 {
        return (well.to_owned(), true);
    }
    let word = word(choices, 6);
    // an empty state counts as well, and case does not matter
    let is_ok = word.is_empty() || word.eq_ignore_ascii_case(well);
    (word, is_ok)
}

/// The next line of a dialect; `None` for one that tells no state.
pub(crate) fn line(dialect: &str, choices: &mut Choices<'_>) -> Option<Said> {
    Some(match dialect {
        "channel-tagged-fields" => channel_tagged(choices),
        "clocked-comma-fields" => clocked(choices),
        "fixed-width-status-code" => fixed_width(choices),
        "hex-counts-line" => hex_counts(choices),
        "labelled-fields-crc" => labelled(choices),
        "polled-confirmed-line" => confirmed(choices),
        "polled-mantissa-exponent" => mantissa_line(choices),
        "pressure-temperature-line" => transmitter(choices),
        "sync-frame-float-crc" => float_frame(choices),
        "sync-frame-mantissa-exponent" => mantissa_frame(choices),
        "sync-frame-scaled-integer" => integer_frame(choices),
        _ => return None,
    })
}

fn channel_tagged(choices: &mut Choices<'_>) -> Said {
    let value = word(choices, 8);
    let (state, is_ok) = state_word(choices, "OK");
    let body = format!("2;{value};Pa;{state};");
    let check = body.bytes().fold(0, |x, b| x ^ b);
    Said {
        bytes: format!("!{body}{check:02X}\r\n").into_bytes(),
        is_ok,
    }
}

fn transmitter(choices: &mut Choices<'_>) -> Said {
    let value = word(choices, 8);
    let (state, is_ok) = state_word(choices, "OK");
    let body = format!("{value};bar abs;22.4;{state};");
    let check = body.bytes().fold(0, |x, b| x ^ b);
    Said {
        bytes: format!("={body}{check:02X}\r\n").into_bytes(),
        is_ok,
    }
}

fn clocked(choices: &mut Choices<'_>) -> Said {
    let value = word(choices, 8);
    let (state, is_ok) = state_word(choices, "ok");
    Said {
        bytes: format!("@12.300,{value},micron,21.4,{state}\n").into_bytes(),
        is_ok,
    }
}

fn fixed_width(choices: &mut Choices<'_>) -> Said {
    let (whole, tenth) = (choices.u16(), choices.byte() % 10);
    let state = choices.byte() % 10;
    let body = format!("01{whole:06}.{tenth}{state}");
    Said {
        bytes: format!("{body}{:03}\r", sum(body.as_bytes())).into_bytes(),
        is_ok: state == 0,
    }
}

fn hex_counts(choices: &mut Choices<'_>) -> Said {
    let (value, bits) = (choices.u16(), choices.byte());
    let body = format!("V={value:04X},S={bits:02X},T=00D6");
    Said {
        bytes: format!(":{body},{:02X}\n", crc(body.as_bytes(), 8, 0x07, 0)).into_bytes(),
        is_ok: bits & 0x83 == 0 && bits & 0x30 != 0x30,
    }
}

fn labelled(choices: &mut Choices<'_>) -> Said {
    let value = word(choices, 8);
    let state = choices.byte();
    let body = format!("P={value};U=micron;T=21.4;S={state}");
    let check = crc(body.as_bytes(), 16, 0x1021, 0xFFFF);
    Said {
        bytes: format!("${body}*{check:04X}\r\n").into_bytes(),
        is_ok: state == 0,
    }
}

fn confirmed(choices: &mut Choices<'_>) -> Said {
    let value = word(choices, 8);
    let (state, mut is_ok) = state_word(choices, "N");
    // without a word there the fields move up, and the value becomes the state
    if state.is_empty() {
        is_ok = value.is_empty() || value.eq_ignore_ascii_case("N");
    }
    let body = format!("{state} {value} micron");
    Said {
        bytes: format!("{body} {:02X}\r\n", sum(body.as_bytes())).into_bytes(),
        is_ok,
    }
}

fn mantissa_line(choices: &mut Choices<'_>) -> Said {
    let (mantissa, sign) = (digits(choices, 4), choices.byte() % 3);
    let (exponent, state) = (digits(choices, 2), choices.byte() % 10);
    let body = format!("07{mantissa}{sign}{exponent}{state}");
    let mut bytes = body.into_bytes();
    bytes.push(sum(&bytes) % 64 + 64);
    bytes.push(b'\r');
    Said {
        bytes,
        is_ok: state == 0,
    }
}

fn float_frame(choices: &mut Choices<'_>) -> Said {
    let value = f32::from_bits(choices.u32());
    let (unit, state) = (choices.byte() % 4, choices.byte());
    let mut bytes = vec![0xAA, 0x55, 1, 2, 3, 4];
    bytes.extend(value.to_le_bytes());
    bytes.extend([unit, state]);
    let check = crc_modbus(&bytes[2..]);
    bytes.extend(check.to_le_bytes());
    Said {
        bytes,
        is_ok: state == 0,
    }
}

fn mantissa_frame(choices: &mut Choices<'_>) -> Said {
    let [high, low] = choices.u16().to_be_bytes();
    let (exponent, state) = (choices.byte(), choices.byte());
    Said {
        bytes: vec![0x02, b'M', high, low, exponent, state, 0x03],
        is_ok: state == 0,
    }
}

fn integer_frame(choices: &mut Choices<'_>) -> Said {
    let value: [u8; 3] = choices.bytes();
    let (bits, temperature) = (choices.byte(), choices.byte());
    let mut bytes = vec![0xA5, 0x5A];
    bytes.extend(value);
    bytes.extend([bits, temperature]);
    bytes.push(sum(&bytes[2..]));
    Said {
        bytes,
        is_ok: bits & 0x4F == 0,
    }
}
