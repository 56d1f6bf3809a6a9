//! Temperatures as people write them.

/// A temperature that was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypedTemperature {
    /// In °C; what was typed in °F is rounded to a tenth, as thermometers show it.
    pub celsius: f64,
    /// The unit stood behind the number.
    pub unit_said: bool,
}

/// Reads "21", "21 °C", "70F", "−13 °F", "294.2 K", with a point or a comma for decimals.
/// A number alone is taken as °C, and says so in [`TypedTemperature::unit_said`].
///
/// t/°C = (t/°F − 32)/1.8 and t/°C = T/K − 273.15, both exact (NIST SP 811 (2008)
/// appendix B.8).
///
/// ```
/// use vacuum::temperature::read;
/// assert_eq!(read("70F").unwrap().celsius, 21.1);
/// assert_eq!(read("-13 °F").unwrap().celsius, -25.0);
/// assert!(!read("21").unwrap().unit_said);
/// assert_eq!(read("warm"), None);
/// ```
#[must_use]
pub fn read(text: &str) -> Option<TypedTemperature> {
    let text = text.trim().replace('\u{2212}', "-").replace(',', ".");
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.')))
        .unwrap_or(text.len());
    let (figures, unit) = text.split_at(end);
    let number: f64 = figures.parse().ok()?;
    let tenths = |celsius: f64| (celsius * 10.0).round() / 10.0;
    let unit = unit.trim().to_lowercase();
    let (celsius, unit_said) = match unit.trim_start_matches(['°', 'º']).trim() {
        "" => (number, false),
        "c" | "celsius" | "degc" | "deg c" => (number, true),
        "f" | "fahrenheit" | "degf" | "deg f" => (tenths((number - 32.0) / 1.8), true),
        "k" | "kelvin" => (tenths(number - crate::ZERO_CELSIUS_K), true),
        _ => return None,
    };
    number
        .is_finite()
        .then_some(TypedTemperature { celsius, unit_said })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fixed points of the scales: NIST SP 811 (2008) appendix B.8 by its formulas, water
    /// freezes at 32 °F and boils at 212 °F, the scales meet at −40.
    #[test]
    fn units_are_those_of_the_tables() {
        for (text, celsius) in [
            ("32F", 0.0),
            ("212 °F", 100.0),
            ("-40 f", -40.0),
            ("\u{2212}40 C", -40.0),
            ("70 Fahrenheit", 21.1),
            ("21,5 °C", 21.5),
            ("21.5", 21.5),
            ("273.15K", 0.0),
        ] {
            assert_eq!(read(text).map(|t| t.celsius), Some(celsius), "{text}");
        }
        for text in ["", "F", "21 R", "warm", "1..2C", "70 F 3", "1e999", "--5"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
