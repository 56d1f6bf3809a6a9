//! What a line says of its value: the state it gives to it, and its number.

use crate::{
    dialect::Shape,
    field_text::field_text,
    find::{Field, Found},
    number::{Written, hex},
    sample::{RejectReason, shown},
    state::State,
};

/// The largest power of ten a gauge can mean.
const LARGEST_EXPONENT: i32 = 99;

/// The state the line gives to its value: from the state field, from a word in
/// the value's place, from bits. The worst of them counts.
pub(crate) fn state(shape: &Shape, found: &Found<'_>, value: &str) -> Result<State, RejectReason> {
    // a code of digits is a code in the state field only, for in the value's
    // place the same digits may be a value
    let may_be_code = !shape.has(Field::State) || shape.numbers.parse(value.as_bytes()).is_none();
    let in_place = may_be_code
        .then(|| shape.state(value))
        .flatten()
        .unwrap_or(State::Ok);
    let Some(text) = found.text(Field::State) else {
        return Ok(in_place);
    };
    let word = field_text(text);
    let listed = shape.state(&word);
    let bits = match shape.state_written {
        _ if shape.state_bits.is_empty() => None,
        Written::Decimal => word.parse::<u32>().ok(),
        Written::Hex | Written::SignedHex => hex(text),
    };
    let told = match (listed, bits) {
        (Some(listed), _) => listed,
        (None, Some(bits)) => shape
            .state_bits
            .iter()
            .filter(|rule| rule.fit(bits))
            .map(|rule| rule.means)
            .max()
            .unwrap_or(State::Ok),
        (None, None) => return Err(RejectReason::UnknownState { word: shown(&word) }),
    };
    Ok(told.max(in_place))
}

/// The number of a line as sent: digits, scale and power of ten.
pub(crate) fn number(shape: &Shape, digits: &[u8], found: &Found<'_>) -> Result<f64, RejectReason> {
    let value = shape
        .numbers
        .parse(digits)
        .ok_or_else(|| RejectReason::NotANumber {
            text: shown(&field_text(digits)),
        })?;
    let power = exponent(shape, found)?;
    // dividing keeps 6.66 · 10^-1 at 0.666, where multiplying would not
    Ok(if power < 0 {
        value * shape.scale / 10_f64.powi(-power)
    } else {
        value * shape.scale * 10_f64.powi(power)
    })
}

/// The power of ten beside the value; 0 if the dialect has none.
fn exponent(shape: &Shape, found: &Found<'_>) -> Result<i32, RejectReason> {
    if !shape.has(Field::Exponent) {
        return Ok(0);
    }
    let digits = field_text(found.text(Field::Exponent).unwrap_or_default());
    let sign = field_text(found.text(Field::ExponentSign).unwrap_or_default());
    let wrong = || RejectReason::NotAnExponent {
        text: shown(&format!("{sign}{digits}")),
    };
    let sent: i32 = digits.parse().map_err(|_| wrong())?;
    let signed = match (shape.has(Field::ExponentSign), sent >= 0) {
        (false, _) => sent,
        (true, true) if sign == shape.exponent.minus => -sent,
        (true, true) if sign == shape.exponent.plus => sent,
        (true, _) => return Err(wrong()),
    };
    signed
        .checked_add(shape.exponent.offset)
        .filter(|power| power.abs() <= LARGEST_EXPONENT)
        .ok_or_else(wrong)
}
