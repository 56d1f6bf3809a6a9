//! Numbers as gauges write them.

/// In which digits a number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Written {
    Decimal,
    Hex,
    /// Hexadecimal in two's complement: with four digits FFFF is -1.
    SignedHex,
}

impl Written {
    /// The words of a dialect file.
    pub(crate) const WORDS: [(&'static str, Self); 3] = [
        ("decimal", Self::Decimal),
        ("hex", Self::Hex),
        ("signed-hex", Self::SignedHex),
    ];
}

/// Reads one to eight hexadecimal digits.
pub(crate) fn hex(text: &[u8]) -> Option<u32> {
    let digits = (1..=8).contains(&text.len()) && text.iter().all(u8::is_ascii_hexdigit);
    let text = std::str::from_utf8(text).ok().filter(|_| digits)?;
    u32::from_str_radix(text, 16).ok()
}

/// Two's complement of as many bits as the digits carry.
fn signed_hex(text: &[u8]) -> Option<i32> {
    let unused = 32 - 4 * text.len().clamp(1, 8) as u32;
    // the shift back carries the sign
    Some(((hex(text)? << unused) as i32) >> unused)
}

/// How a dialect writes numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NumberStyle {
    pub(crate) written: Written,
    /// `12,5` instead of `12.5`.
    pub(crate) decimal_comma: bool,
    /// Sign between thousands, if the gauge writes one.
    pub(crate) thousands: Option<u8>,
}

impl NumberStyle {
    /// Reads a number written as this dialect writes values.
    pub(crate) fn parse(self, text: &[u8]) -> Option<f64> {
        self.parse_as(self.written, text)
    }

    /// Reads a number written in the digits given.
    pub(crate) fn parse_as(self, written: Written, text: &[u8]) -> Option<f64> {
        let text = text.trim_ascii();
        match written {
            Written::Decimal => self.decimal(text),
            Written::Hex => hex(text).map(f64::from),
            Written::SignedHex => signed_hex(text).map(f64::from),
        }
    }

    /// Reads a plain decimal number, with an exponent if it has one.
    ///
    /// Strict on purpose: `1,234` with a decimal point dialect is refused
    /// rather than read as 1.234 or as 1234, because both are plausible
    /// pressures. Words such as `inf` and `nan` are not numbers.
    fn decimal(self, text: &[u8]) -> Option<f64> {
        let decimal = if self.decimal_comma { b',' } else { b'.' };
        let mut plain = String::with_capacity(text.len());
        let mut exponent = false;
        let trimmed = text.trim_ascii();
        for (i, &b) in trimmed.iter().enumerate() {
            match b {
                b'0'..=b'9' => plain.push(char::from(b)),
                _ if b == decimal && !exponent => plain.push('.'),
                _ if Some(b) == self.thousands && grouped(trimmed, i) => {}
                b'e' | b'E' => {
                    exponent = true;
                    plain.push('e');
                }
                b'+' | b'-' => plain.push(char::from(b)),
                // a sign padded away from its digits: "-  12.3"
                b' ' if plain == "-" || plain == "+" => {}
                _ => return None,
            }
        }
        let value: f64 = plain.parse().ok()?;
        value.is_finite().then_some(value)
    }
}

/// True if the sign at `i` stands between groups of thousands: behind one to
/// three digits that do not begin with a zero (or behind another group), and
/// before exactly three digits. `0.667` is therefore never read as 667.
fn grouped(text: &[u8], i: usize) -> bool {
    let sign = text[i];
    let digits_after = text[i + 1..]
        .iter()
        .take_while(|b| b.is_ascii_digit())
        .count();
    let head: Vec<u8> = text[..i]
        .iter()
        .rev()
        .copied()
        .take_while(u8::is_ascii_digit)
        .collect();
    let behind_a_group = head.len() == 3 && text[..i - 3].last() == Some(&sign);
    let leading_group = (1..=3).contains(&head.len()) && head.last() != Some(&b'0');
    digits_after == 3 && (behind_a_group || leading_group)
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINT: NumberStyle = NumberStyle {
        written: Written::Decimal,
        decimal_comma: false,
        thousands: None,
    };

    fn check(style: NumberStyle, text: &str, expected: Option<f64>) {
        assert_eq!(style.parse(text.as_bytes()), expected, "{text:?}");
    }

    #[test]
    fn point_numbers() {
        let style = POINT;
        check(style, "512.3", Some(512.3));
        check(style, "  007 ", Some(7.0));
        check(style, "6.66E-1", Some(0.666));
        check(style, "+1.2e+03", Some(1200.0));
        check(style, "-   3", Some(-3.0));
        check(style, ".5", Some(0.5));
        for bad in [
            "", "-", "1,234", "12 3", "1.2.3", "nan", "inf", "1e999", "0x10", "12e", "\u{b5}",
        ] {
            check(style, bad, None);
        }
    }

    #[test]
    fn comma_and_thousands() {
        let comma = NumberStyle {
            written: Written::Decimal,
            decimal_comma: true,
            thousands: Some(b'.'),
        };
        check(comma, "0,667", Some(0.667));
        check(comma, "12.345,6", Some(12345.6));
        check(comma, "1.2", None);
        let grouped = NumberStyle {
            written: Written::Decimal,
            decimal_comma: false,
            thousands: Some(b','),
        };
        check(grouped, "760,000", Some(760_000.0));
        check(grouped, "76,00", None);
        check(grouped, "1,000,000.5", Some(1_000_000.5));
        check(comma, "0.667", None);
        for bad in [",500", "0,667", "7600,000", "1,2345", "760,000,", "1,,000"] {
            check(grouped, bad, None);
        }
    }

    #[test]
    fn hexadecimal_digits() {
        let style = |written| NumberStyle { written, ..POINT };
        check(style(Written::Hex), "01F4", Some(500.0));
        check(style(Written::Hex), " ffff ", Some(65_535.0));
        check(style(Written::SignedHex), "FFFF", Some(-1.0));
        check(style(Written::SignedHex), "7FFF", Some(32_767.0));
        check(style(Written::SignedHex), "0FFFF", Some(65_535.0));
        check(
            style(Written::SignedHex),
            "80000000",
            Some(-2_147_483_648.0),
        );
        for bad in ["", "0x1F", "123456789", "-1", "1G"] {
            check(style(Written::Hex), bad, None);
            check(style(Written::SignedHex), bad, None);
        }
    }
}
