//! A charge as nameplates and people write it.

use std::fmt;

use crate::mass_unit::MassUnit;
pub use crate::mass_unit::{G_PER_LB, G_PER_OZ};

/// The heaviest charge that is believed, g.
pub const LARGEST_CHARGE_G: f64 = 1e6;

/// Why a text is no charge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargeError {
    /// A number without its unit.
    NoUnit,
    /// Neither number nor unit can be read.
    Unreadable,
    /// A comma with three figures behind it: thousands or decimals.
    Comma,
    /// Not above zero, or above [`LARGEST_CHARGE_G`].
    OutOfRange,
}

impl ChargeError {
    /// What to write instead, for a person.
    #[must_use]
    pub const fn wanted(self) -> &'static str {
        match self {
            Self::NoUnit => {
                "say the unit behind the number: g, kg, oz or lb, for instance \"58 g\""
            }
            Self::Unreadable => {
                "write a number and its unit (g, kg, oz or lb), for instance \"58 g\", \
                 \"2.05 oz\" or \"1 lb 3 oz\""
            }
            Self::Comma => {
                "a comma with three figures behind it may mean thousands or decimals: write a \
                 point, or leave the comma out"
            }
            Self::OutOfRange => "the nameplate charge lies above 0 and up to 1000 kg",
        }
    }
}

impl fmt::Display for ChargeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.wanted())
    }
}

impl std::error::Error for ChargeError {}

/// Reads a charge with its unit and gives it in g: "58 g", "0.058 kg", "2.05 oz",
/// "1 lb 3.5 oz". Ounces are those of weight, avoirdupois.
///
/// # Errors
/// When there is no unit, something cannot be read, or the mass is not above 0 and
/// at most [`LARGEST_CHARGE_G`].
///
/// ```
/// # use vacuum::mass::charge_g;
/// assert_eq!(charge_g("58 g")?, 58.0);
/// assert!((charge_g("2.05 oz")? - 58.116_522).abs() < 1e-6);
/// # Ok::<(), vacuum::mass::ChargeError>(())
/// ```
pub fn charge_g(text: &str) -> Result<f64, ChargeError> {
    let mut rest = text.trim();
    let mut total = 0.0;
    let mut smaller_than = f64::INFINITY;
    if rest.is_empty() {
        return Err(ChargeError::Unreadable);
    }
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
            .unwrap_or(rest.len());
        let (figures, behind) = rest.split_at(end);
        let amount = number(figures)?;
        let behind = behind.trim_start();
        let end = behind
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(behind.len());
        let (unit, behind) = behind.split_at(end);
        let unit_g = unit_g(unit)?;
        // pounds and then ounces, never the other way round nor twice
        let pounds_first = smaller_than.is_infinite() || smaller_than == G_PER_LB;
        if unit_g >= smaller_than || !pounds_first {
            return Err(ChargeError::Unreadable);
        }
        total += amount * unit_g;
        smaller_than = unit_g;
        rest = behind.trim_start_matches('.').trim_start();
    }
    if total > 0.0 && total <= LARGEST_CHARGE_G {
        Ok(total)
    } else {
        Err(ChargeError::OutOfRange)
    }
}

fn number(figures: &str) -> Result<f64, ChargeError> {
    let figures = match figures.split_once(',') {
        None => figures.to_owned(),
        Some((_, decimals)) if decimals.len() == 3 => return Err(ChargeError::Comma),
        Some((whole, decimals)) => format!("{whole}.{decimals}"),
    };
    figures.parse().map_err(|_| ChargeError::Unreadable)
}

fn unit_g(unit: &str) -> Result<f64, ChargeError> {
    match (unit, MassUnit::read(unit)) {
        ("", _) => Err(ChargeError::NoUnit),
        (_, Some(unit)) => Ok(unit.in_g()),
        (_, None) => Err(ChargeError::Unreadable),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_those_of_the_tables() {
        // NIST SP 811 (2008) B.8: 1 oz = 28.349 523 125 g, 1 lb = 453.592 37 g
        assert_eq!(G_PER_OZ, 28.349_523_125);
        for (text, g) in [
            ("58 g", 58.0),
            ("58g", 58.0),
            (" 0.058 KG ", 58.0),
            ("58,5 g", 58.5),
            ("1 oz", 28.349_523_125),
            ("1 oz.", 28.349_523_125),
            ("1lb", 453.592_37),
            ("1 lb 3.5 oz", 453.592_37 + 3.5 * 28.349_523_125),
        ] {
            let read = charge_g(text).expect(text);
            assert!((read - g).abs() < 1e-9, "{text}: {read}");
        }
    }

    #[test]
    fn what_could_be_meant_otherwise_is_refused() {
        for (text, error) in [
            ("58", ChargeError::NoUnit),
            ("1 lb 3", ChargeError::NoUnit),
            ("", ChargeError::Unreadable),
            ("g", ChargeError::Unreadable),
            ("58 gal", ChargeError::Unreadable),
            ("5 fl oz", ChargeError::Unreadable),
            ("1 oz 1 lb", ChargeError::Unreadable),
            ("1 kg 5 g", ChargeError::Unreadable),
            ("1..5 g", ChargeError::Unreadable),
            ("1,234 g", ChargeError::Comma),
            ("-3 g", ChargeError::OutOfRange),
            ("0 g", ChargeError::OutOfRange),
            ("1001 kg", ChargeError::OutOfRange),
            ("inf g", ChargeError::Unreadable),
            ("µ 5 ½ g", ChargeError::Unreadable),
        ] {
            assert_eq!(charge_g(text), Err(error), "{text:?}");
        }
    }
}
