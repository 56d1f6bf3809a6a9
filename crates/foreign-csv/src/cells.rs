//! Numbers and pressure cells of a foreign CSV.

use table_rows::short_number;
use vacuum::{PressureUnit, UnitWord};

use super::{
    names::unit_of,
    words::{Word, word_of},
};

/// How a column writes its numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Decimal {
    /// `1,234.5`
    Point,
    /// `1.234,5`
    Comma,
}

/// What the commas in some cells of a column tell about the rest of it.
#[derive(Debug, Default)]
pub(crate) struct DecimalEvidence {
    /// A comma that cannot stand before thousands.
    comma_decimal: bool,
    /// A point that cannot stand before thousands.
    point_decimal: bool,
    /// A comma with three digits behind it.
    comma_open: bool,
    /// A whole number without any mark.
    plain: bool,
}

impl DecimalEvidence {
    pub(crate) fn cell(&mut self, cell: &[u8]) {
        let digits = number_text(cell.trim_ascii());
        let commas = digits.iter().filter(|b| **b == b',').count();
        let points = digits.iter().filter(|b| **b == b'.').count();
        let last = digits.iter().rposition(|b| matches!(b, b',' | b'.'));
        match (commas, points, last) {
            (0, 0, _) => self.plain |= !digits.is_empty(),
            (0, 1, _) => self.point_decimal = true,
            (1, 0, Some(at)) => {
                let after = digits.len() - at - 1;
                let before = digits[..at].iter().filter(|b| b.is_ascii_digit()).count();
                let zero = digits[..at].ends_with(b"0") && before == 1;
                if after == 3 && (1..=3).contains(&before) && !zero {
                    self.comma_open = true;
                } else {
                    self.comma_decimal = true;
                }
            }
            (1.., 1.., Some(at)) if digits[at] == b'.' => self.point_decimal = true,
            (1.., 1.., Some(_)) => self.comma_decimal = true,
            (2.., 0, _) => self.point_decimal = true,
            _ => {}
        }
    }

    /// The answer, and whether commas had to be judged by the delimiter alone.
    pub(crate) fn settle(&self, delimiter: u8) -> (Decimal, bool) {
        if self.point_decimal {
            (Decimal::Point, false)
        } else if self.comma_decimal {
            (Decimal::Comma, false)
        } else if self.comma_open {
            // whole numbers beside "1,234" say that the comma groups thousands
            let grouped = self.plain || delimiter == b',';
            let decimal = if grouped {
                Decimal::Point
            } else {
                Decimal::Comma
            };
            (decimal, true)
        } else {
            // none seen: commas that come later follow the delimiter's custom
            let decimal = if delimiter == b';' && !self.plain {
                Decimal::Comma
            } else {
                Decimal::Point
            };
            (decimal, false)
        }
    }
}

/// The number at the start of a cell, marks included.
fn number_text(cell: &[u8]) -> &[u8] {
    let mut end = 0;
    while let Some(b) = cell.get(end) {
        let exponent = matches!(b, b'e' | b'E')
            && end > 0
            && cell[end - 1].is_ascii_digit()
            && cell
                .get(end + 1)
                .is_some_and(|n| n.is_ascii_digit() || matches!(n, b'+' | b'-'));
        let sign = matches!(b, b'+' | b'-') && (end == 0 || matches!(cell[end - 1], b'e' | b'E'));
        if !(b.is_ascii_digit() || matches!(b, b'.' | b',') || exponent || sign) {
            break;
        }
        end += 1;
    }
    &cell[..end]
}

/// A finite number, written the way its column writes numbers.
pub(crate) fn parse_number(cell: &[u8], decimal: Decimal) -> Option<f64> {
    let cell = cell.trim_ascii();
    let mark = match decimal {
        Decimal::Point => b'.',
        Decimal::Comma => b',',
    };
    short_number(cell, mark).or_else(|| long_number(cell, decimal))
}

/// Numbers that are neither short nor plain: exponents, thousands, 16 digits.
fn long_number(cell: &[u8], decimal: Decimal) -> Option<f64> {
    let text = std::str::from_utf8(cell).ok()?;
    let plain = |b: &u8| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E');
    let point_only = cell.iter().all(plain);
    if point_only && (decimal == Decimal::Point || !cell.contains(&b'.')) {
        return text.parse().ok().filter(|x: &f64| x.is_finite());
    }
    let (decimal_mark, group_mark) = match decimal {
        Decimal::Point => ('.', ','),
        Decimal::Comma => (',', '.'),
    };
    let (whole, fraction) = match text.split_once(decimal_mark) {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (text, None),
    };
    let is_group = |c: char| {
        c == group_mark
            || matches!(
                c,
                ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' | '\'' | '\u{2019}'
            )
    };
    let mut out = String::with_capacity(text.len());
    let groups: Vec<&str> = whole.split(is_group).collect();
    if !grouped_well(&groups) {
        return None;
    }
    out.extend(groups);
    if let Some(fraction) = fraction {
        out.push('.');
        out.push_str(fraction);
    }
    let allowed = |b: u8| plain(&b);
    out.bytes()
        .all(allowed)
        .then(|| out.parse().ok())
        .flatten()
        .filter(|x: &f64| x.is_finite())
}

/// Thousands (`1,234,567`), or lakhs as India writes them (`12,34,567`).
fn grouped_well(groups: &[&str]) -> bool {
    let [first, rest @ ..] = groups else {
        return false;
    };
    let digits = first.trim_start_matches(['+', '-']).len();
    let Some((last, middle)) = rest.split_last() else {
        return !first.is_empty();
    };
    let of = |size: usize| {
        last.len() == 3
            && middle.iter().all(|g| g.len() == size)
            && rest.iter().all(|g| g.bytes().all(|b| b.is_ascii_digit()))
    };
    (1..=3).contains(&digits) && of(3) || (1..=2).contains(&digits) && !middle.is_empty() && of(2)
}

/// A number with the unit written behind it, if any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Amount {
    pub(crate) value: f64,
    pub(crate) unit: Option<PressureUnit>,
}

/// What a pressure cell says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PressureCell {
    Missing,
    Amount(Amount),
    /// Above range, with the bound if it is written (`> 25000`).
    Over(Option<Amount>),
    /// Below range, likewise.
    Under(Option<Amount>),
    /// The gauge said it is not well.
    Fault,
    /// The gauge said it is switched off or not there.
    Off,
    /// A unit that states no absolute pressure, as written.
    Refused(String, UnitWord),
    Text,
}

/// Reads a pressure cell.
pub(crate) fn parse_pressure(cell: &[u8], decimal: Decimal) -> PressureCell {
    let cell = cell.trim_ascii();
    if cell.is_empty() {
        return PressureCell::Missing;
    }
    if let Some(value) = parse_number(cell, decimal) {
        return PressureCell::Amount(Amount { value, unit: None });
    }
    if let Some(word) = word_of(cell) {
        return match word {
            Word::Over => PressureCell::Over(None),
            Word::Under => PressureCell::Under(None),
            Word::Fault => PressureCell::Fault,
            Word::Off => PressureCell::Off,
            Word::Good | Word::Missing => PressureCell::Missing,
        };
    }
    match cell {
        [b'>', rest @ ..] | [0xe2, 0x89, 0xa5, rest @ ..] => {
            bound(rest, decimal, PressureCell::Over)
        }
        [b'<', rest @ ..] | [0xe2, 0x89, 0xa4, rest @ ..] => {
            bound(rest, decimal, PressureCell::Under)
        }
        _ => match typeset(cell) {
            Some(plain) => amount(plain.as_bytes(), decimal),
            None => amount(cell, decimal),
        },
    }
}

/// A cell with what word processors and spreadsheets put into it taken out:
/// blanks that do not break, marks of byte order, the minus sign of
/// typesetting, `×10^` before an exponent. `None` when there is none of it.
fn typeset(cell: &[u8]) -> Option<String> {
    if cell.is_ascii() && !cell.contains(&b'*') && !cell.starts_with(b"'") {
        return None;
    }
    let text = match std::str::from_utf8(cell) {
        Ok(text) => text.to_owned(),
        Err(_) => cell.iter().map(|b| char::from(*b)).collect(),
    };
    let plain: String = text
        .trim_matches(|c: char| c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}' | '\''))
        .replace(['\u{2212}', '\u{2013}'], "-")
        .replace(['\u{d7}', '\u{b7}'], "*")
        .replace(" *", "*")
        .replace("* ", "*")
        .replace("*10^", "e")
        .replace(" e", "e");
    Some(plain)
}

fn bound(rest: &[u8], decimal: Decimal, make: fn(Option<Amount>) -> PressureCell) -> PressureCell {
    let rest = rest.strip_prefix(b"=").unwrap_or(rest).trim_ascii();
    match amount(rest, decimal) {
        PressureCell::Amount(amount) => make(Some(amount)),
        other => other,
    }
}

/// A number with a unit behind it.
fn amount(cell: &[u8], decimal: Decimal) -> PressureCell {
    let digits = number_text(cell);
    let Some(value) = parse_number(digits, decimal) else {
        return PressureCell::Text;
    };
    let unit = String::from_utf8_lossy(&cell[digits.len()..]);
    if unit.trim().is_empty() {
        return PressureCell::Amount(Amount { value, unit: None });
    }
    match unit_of(&unit) {
        UnitWord::Absolute(unit) => PressureCell::Amount(Amount {
            value,
            unit: Some(unit),
        }),
        word @ (UnitWord::Relative(_) | UnitWord::Ambiguous(_)) => {
            PressureCell::Refused(unit.trim().to_owned(), word)
        }
        UnitWord::Unknown => PressureCell::Text,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn point(text: &str) -> Option<f64> {
        parse_number(text.as_bytes(), Decimal::Point)
    }

    fn comma(text: &str) -> Option<f64> {
        parse_number(text.as_bytes(), Decimal::Comma)
    }

    #[test]
    fn numbers_are_read_the_way_their_column_writes_them() {
        assert_eq!(point(" 512.5 "), Some(512.5));
        assert_eq!(point("1,234.5"), Some(1234.5));
        assert_eq!(point("18,764"), Some(18_764.0));
        assert_eq!(point("1 234 567"), Some(1_234_567.0));
        assert_eq!(point("6.7E+01"), Some(67.0));
        assert_eq!(point("512,5"), None);
        assert_eq!(point("7,60,000"), Some(760_000.0));
        assert_eq!(point("1,23,45,678.5"), Some(12_345_678.5));
        assert_eq!(point("1,23"), None);
        assert_eq!(point("123,45,678"), None);
        assert_eq!(point("1\u{2019}234.5"), Some(1234.5));
        assert_eq!(point("12345,678"), None);
        assert_eq!(comma("512,5"), Some(512.5));
        assert_eq!(comma("1.234,5"), Some(1234.5));
        assert_eq!(comma("-0,25"), Some(-0.25));
        assert_eq!(comma("512"), Some(512.0));
        assert_eq!(comma("5.12"), None);
        assert_eq!(comma("6,7e-1"), Some(0.67));
        for text in ["", "abc", "inf", "nan", "1.2.3", "--5", "0x10", "1e999"] {
            assert_eq!(point(text), None, "{text}");
        }
    }

    fn settle(cells: &[&str], delimiter: u8) -> (Decimal, bool) {
        let mut evidence = DecimalEvidence::default();
        for cell in cells {
            evidence.cell(cell.as_bytes());
        }
        evidence.settle(delimiter)
    }

    #[test]
    fn commas_are_judged_by_the_whole_column() {
        assert_eq!(settle(&["12,345", "950"], b'\t'), (Decimal::Point, true));
        assert_eq!(settle(&["12,345", "0,950"], b'\t'), (Decimal::Comma, false));
        assert_eq!(settle(&["12,345", "11,500"], b';'), (Decimal::Comma, true));
        assert_eq!(settle(&["12,345", "11,500"], b','), (Decimal::Point, true));
        assert_eq!(settle(&["12,345.5"], b';'), (Decimal::Point, false));
        assert_eq!(settle(&["1.234,5"], b','), (Decimal::Comma, false));
        assert_eq!(settle(&["512,3 micron"], b';'), (Decimal::Comma, false));
    }

    #[test]
    fn cells_say_more_than_numbers() {
        let cell = |t: &str| parse_pressure(t.as_bytes(), Decimal::Point);
        let amount = |value, unit| Amount { value, unit };
        let micron = Some(PressureUnit::Micron);
        assert_eq!(
            cell("512 micron"),
            PressureCell::Amount(amount(512.0, micron))
        );
        assert_eq!(cell("0.5mTorr"), PressureCell::Amount(amount(0.5, micron)));
        assert_eq!(
            cell("66 \u{b5}m"),
            PressureCell::Amount(amount(66.0, micron))
        );
        assert_eq!(
            cell(">25,000"),
            PressureCell::Over(Some(amount(25_000.0, None)))
        );
        assert_eq!(
            cell("< 1 micron"),
            PressureCell::Under(Some(amount(1.0, micron)))
        );
        assert_eq!(cell("OL"), PressureCell::Over(None));
        assert_eq!(cell(""), PressureCell::Missing);
        assert_eq!(cell("n/a"), PressureCell::Missing);
        assert_eq!(cell("off"), PressureCell::Off);
        assert_eq!(cell("Err"), PressureCell::Fault);
        assert_eq!(
            cell("\u{2265} 25000"),
            PressureCell::Over(Some(amount(25_000.0, None)))
        );
        for plain in [
            "\u{a0}500\u{a0}",
            "\u{feff}500",
            "'500",
            "5\u{d7}10^2",
            "5.0 * 10^2",
        ] {
            assert_eq!(
                cell(plain),
                PressureCell::Amount(amount(500.0, None)),
                "{plain}"
            );
        }
        assert_eq!(cell("\u{2212}3"), PressureCell::Amount(amount(-3.0, None)));
        assert_eq!(
            cell("29.1 inHg vac"),
            PressureCell::Refused(
                "inHg vac".into(),
                UnitWord::Relative(Some(PressureUnit::InHg))
            )
        );
        assert_eq!(
            cell("0.0 psi"),
            PressureCell::Refused("psi".into(), UnitWord::Ambiguous(Some(PressureUnit::Psi)))
        );
        assert_eq!(cell("abc"), PressureCell::Text);
        assert_eq!(cell("12 apples"), PressureCell::Text);
    }

    proptest! {
        #[test]
        fn any_cell_is_read_without_panic(cell in any::<Vec<u8>>()) {
            let mut evidence = DecimalEvidence::default();
            evidence.cell(&cell);
            for decimal in [Decimal::Point, Decimal::Comma] {
                let _ = parse_pressure(&cell, decimal);
            }
        }

        #[test]
        fn numbers_come_back(x in -1e9..1e9_f64) {
            let text = format!("{x}");
            prop_assert_eq!(point(&text), Some(x));
            prop_assert_eq!(comma(&text.replace('.', ",")), Some(x));
        }
    }
}
