//! The fast path for numbers as gauges write them.

/// Reads digits with at most one decimal mark, up to 15 digits, with a sign or
/// without; `None` for anything else, which may still be a number.
///
/// Exact: a whole number below 2^53 divided by a power of ten up to 10^22 is
/// one correctly rounded operation on two exact numbers (IEEE 754), the same
/// that the standard library gives.
///
/// ```
/// use table_rows::short_number;
///
/// assert_eq!(short_number(b"-512,25", b','), Some(-512.25));
/// assert_eq!(short_number(b"5.1e2", b'.'), None);
/// ```
#[must_use]
pub fn short_number(cell: &[u8], mark: u8) -> Option<f64> {
    const POWERS: [f64; 16] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    ];
    let (negative, digits) = match cell {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, cell),
    };
    let (mut value, mut count, mut mark_at) = (0_u64, 0, None);
    if digits.len() > 16 {
        return None;
    }
    for (i, b) in digits.iter().enumerate() {
        if b.is_ascii_digit() {
            value = value * 10 + u64::from(b - b'0');
            count += 1;
        } else if *b == mark && mark_at.is_none() {
            mark_at = Some(i);
        } else {
            return None;
        }
    }
    if !(1..=15).contains(&count) {
        return None;
    }
    let decimals = mark_at.map_or(0, |at| digits.len() - at - 1);
    let value = value as f64 / POWERS.get(decimals)?;
    Some(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::short_number;

    proptest! {
        /// The standard library is the outside reference.
        #[test]
        fn short_numbers_are_exactly_those_of_the_standard_library(
            text in "[-+]?[0-9]{0,9}\\.?[0-9]{0,7}",
        ) {
            if let Some(x) = short_number(text.as_bytes(), b'.') {
                prop_assert_eq!(x.to_bits(), text.parse::<f64>().unwrap().to_bits());
            } else {
                let digits = text.bytes().filter(u8::is_ascii_digit).count();
                prop_assert!(digits == 0 || digits > 15);
            }
        }

        #[test]
        fn other_text_is_left_to_others(text in "[-+.,0-9eE a]{0,20}") {
            if let Some(x) = short_number(text.as_bytes(), b'.') {
                prop_assert_eq!(x.to_bits(), text.parse::<f64>().unwrap().to_bits());
            }
        }
    }
}
