//! A pressure as people write it: printing and parsing.

use std::{fmt, str::FromStr};

use crate::{Pressure, PressureError, PressureUnit, UnitWord};

impl fmt::Display for Pressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.display(PressureUnit::Micron).fmt(f)
    }
}

impl Pressure {
    /// Prints the value with three significant digits and its unit
    /// (whole numbers keep all their digits: "18,764 micron").
    #[must_use]
    pub fn display(self, unit: PressureUnit) -> DisplayPressure {
        DisplayPressure {
            pressure: self,
            unit,
        }
    }
}

/// Formats a [`Pressure`]; made by [`Pressure::display`].
#[derive(Debug, Clone, Copy)]
pub struct DisplayPressure {
    pressure: Pressure,
    unit: PressureUnit,
}

impl fmt::Display for DisplayPressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = three_digits(self.pressure.get(self.unit));
        write!(f, "{number} {}", self.unit)
    }
}

/// Three significant digits, or every digit of the whole number above 100.
///
/// The decade is taken after rounding, so that 0.09996 is "0.100" like its
/// neighbours and not "0.1000".
fn three_digits(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let scientific = format!("{value:.2e}");
    let decade: i32 = scientific
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0);
    match decade {
        2.. => grouped(value),
        -3..=1 => format!(
            "{value:.*}",
            2_usize.saturating_add_signed(-decade as isize)
        ),
        _ => scientific,
    }
}

/// A whole number with a comma between thousands once it has four digits.
fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    if digits.len() < 4 {
        return digits;
    }
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

impl FromStr for Pressure {
    type Err = PressureError;

    /// Parses a number and a unit: `500 micron`, `0.667mbar`, `6.7e1 Pa`,
    /// `1,200 micron`. The unit is required.
    ///
    /// A comma only groups thousands, in threes and before the decimal point.
    /// Every other comma (`1,5 Torr`, `0,667 mbar`) is refused, because it is
    /// most likely a decimal comma and dropping it would be wrong tenfold or
    /// more. The one form that cannot be told apart, `1,200`, is read as 1200.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let (number, unit) = text.split_at(number_length(text));
        let digits = without_thousands_commas(number).ok_or_else(|| PressureError::StrayComma {
            text: text.to_owned(),
        })?;
        let value: f64 = digits.parse().map_err(|_| PressureError::NotANumber {
            text: text.to_owned(),
        })?;
        let unit = unit.trim();
        let word = UnitWord::read(unit);
        let unit = word.absolute().ok_or_else(|| PressureError::Unit {
            text: unit.to_owned(),
            word,
        })?;
        Self::new(value, unit)
    }
}

/// Length of the number at the start of `text`: digits, points, commas, sign,
/// exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let exponent = matches!(bytes[i], b'e' | b'E')
            && i > 0
            && bytes
                .get(i + 1)
                .is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-'));
        let sign =
            matches!(bytes[i], b'+' | b'-') && (i == 0 || matches!(bytes[i - 1], b'e' | b'E'));
        if bytes[i].is_ascii_digit() || matches!(bytes[i], b'.' | b',') || exponent || sign {
            i += 1;
        } else {
            break;
        }
    }
    i
}

/// The number without its commas, or `None` when they do not group thousands.
fn without_thousands_commas(number: &str) -> Option<String> {
    if !number.contains(',') {
        return Some(number.to_owned());
    }
    let unsigned = number.trim_start_matches(['+', '-']);
    let whole_end = unsigned.find(['.', 'e', 'E']).unwrap_or(unsigned.len());
    let (whole, rest) = unsigned.split_at(whole_end);
    let mut groups = whole.split(',');
    let first = groups.next()?;
    // "0,667" is a decimal comma: nobody writes a leading group of zero
    let grouped = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3)
        && !rest.contains(',');
    grouped.then(|| number.replace(',', ""))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: f64, unit: PressureUnit) -> String {
        Pressure::new(value, unit)
            .expect("a pressure")
            .display(unit)
            .to_string()
    }

    #[test]
    fn prints_only_the_digits_it_deserves() {
        use PressureUnit::{Micron, Millibar, Pascal, Psi, Torr};
        for (value, unit, expected) in [
            (0.0, Micron, "0 micron"),
            (-0.0, Micron, "0 micron"),
            (500.0, Micron, "500 micron"),
            (499.6, Micron, "500 micron"),
            (1234.5, Micron, "1,234 micron"),
            (9999.6, Micron, "10,000 micron"),
            (18_764.2, Micron, "18,764 micron"),
            (760_000.0, Micron, "760,000 micron"),
            (1_234_567.0, Pascal, "1,234,567 Pa"),
            (99.94, Micron, "99.9 micron"),
            (99.96, Micron, "100 micron"),
            (9.994, Micron, "9.99 micron"),
            (9.996, Micron, "10.0 micron"),
            (0.666_612, Millibar, "0.667 mbar"),
            (0.9996, Millibar, "1.00 mbar"),
            (0.099_96, Torr, "0.100 Torr"),
            (0.009_668_39, Psi, "0.00967 psia"),
            (0.001, Torr, "0.00100 Torr"),
            (0.000_999_6, Torr, "0.00100 Torr"),
            (0.000_123_4, Torr, "1.23e-4 Torr"),
        ] {
            assert_eq!(shown(value, unit), expected, "{value} {unit:?}");
        }
    }

    #[test]
    fn a_bare_pressure_prints_in_micron() {
        assert_eq!(Pressure::ATMOSPHERE.to_string(), "760,000 micron");
    }

    #[test]
    fn reads_what_people_write() {
        for (text, pa) in [
            ("500 micron", 66.661_184_210_526_31),
            ("500micron", 66.661_184_210_526_31),
            ("  500   Microns ", 66.661_184_210_526_31),
            ("500. micron", 66.661_184_210_526_31),
            ("+5E2 mTorr", 66.661_184_210_526_31),
            ("6.7e1 Pa", 67.0),
            ("6.7E+1Pa", 67.0),
            (".5 mbar", 50.0),
            ("1,200 Pa", 1200.0),
            ("101,325 Pa", 101_325.0),
            ("1,000,000.5 Pa", 1_000_000.5),
            ("29.92 inHg abs", 29.92 * 3386.389),
            ("1 atm", 101_325.0),
        ] {
            let read: Pressure = text.parse().unwrap_or_else(|e| panic!("{text:?}: {e}"));
            assert!(
                (read.pa() / pa - 1.0).abs() < 1e-12,
                "{text:?}: {}",
                read.pa()
            );
        }
    }

    #[test]
    fn a_decimal_comma_never_becomes_a_bigger_number() {
        for text in [
            "1,5 Torr",
            "0,667 mbar",
            "12,34 Pa",
            "1,2345 Pa",
            ",500 Pa",
            "500, micron",
            "1,200,5 Pa",
            "1.200,5 Pa",
            "1.5,000 Pa",
            "1234,567 Pa",
            "1e3,000 Pa",
            "1,,200 Pa",
        ] {
            let error = text.parse::<Pressure>().expect_err(text);
            assert!(
                matches!(&error, PressureError::StrayComma { text: t } if t == text),
                "{text:?}: {error:?}"
            );
            assert!(error.to_string().contains("decimal point"), "{error}");
        }
    }

    #[test]
    fn says_what_is_wrong_with_a_text() {
        for (text, part) in [
            ("", "does not begin with a number"),
            ("micron", "does not begin with a number"),
            ("1.2.3 Pa", "does not begin with a number"),
            ("- 5 Pa", "does not begin with a number"),
            ("nan Pa", "does not begin with a number"),
            ("inf Pa", "does not begin with a number"),
            ("500", "the unit is missing"),
            ("500 furlong", "\"furlong\" is not a pressure unit"),
            ("500 e", "\"e\" is not a pressure unit"),
            ("29 inHg vac", "\"inHg vac\" counts from the air"),
            ("0 psig", "\"psig\" counts from the air"),
            (
                "0.01 psi",
                "write \"psia\" if the gauge reads 0 at full vacuum",
            ),
            (
                "1 bar",
                "\"bar\" may count from full vacuum or from the air",
            ),
            ("-3 micron", "-3 micron is not an absolute pressure"),
            ("1e999 Pa", "is not an absolute pressure"),
            ("101 bar abs", "101 bar abs is not an absolute pressure"),
        ] {
            let message = text.parse::<Pressure>().expect_err(text).to_string();
            assert!(message.contains(part), "{text:?}: {message}");
        }
    }
}
