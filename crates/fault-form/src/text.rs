//! Answers as people type them.

use chrono::NaiveDate;
use refrigerant_tables::Substance;
use vacuum::{UnitWord, temperature};

use crate::fields::Kind;

/// A pressure, Pa, that may count from the air around the gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TypedPressure {
    pub(crate) pa: f64,
    pub(crate) from_air: bool,
}

/// What an appliance can have, Pa absolute.
const HIGHEST_PA: f64 = 15e6;
/// What thermometers of the trade meet, °C.
const TEMPERATURES_C: (f64, f64) = (-80.0, 150.0);

/// A number and what stands behind it.
fn number_and_rest(text: &str) -> Result<(f64, &str), String> {
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '\u{2212}' | '.' | ',')))
        .map_or(text.len(), |(at, _)| at);
    let (figures, rest) = text.split_at(end);
    let figures = figures.replace('\u{2212}', "-").replace(',', ".");
    let number: f64 = figures
        .parse()
        .map_err(|_| format!("\"{}\" does not begin with a number", short(text)))?;
    match number.is_finite() {
        true => Ok((number, rest.trim())),
        false => Err("that number is too large".into()),
    }
}

/// What was typed, cut for a message.
pub(crate) fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

pub(crate) fn pressure(text: &str) -> Result<TypedPressure, String> {
    let (number, unit) = number_and_rest(text.trim())?;
    let (unit, from_air) = match UnitWord::read(unit) {
        UnitWord::Absolute(unit) => (unit, false),
        UnitWord::Relative(Some(unit)) => (unit, true),
        UnitWord::Ambiguous(Some(_)) => {
            let typed = short(text.trim());
            return Err(format!(
                "from full vacuum, or from the air around the gauge? Write \"{typed} abs\" or \
                 \"{typed} gauge\""
            ));
        }
        _ => {
            return Err(format!(
                "the unit is not understood: write for instance \"{number} bar gauge\", \"{number} \
                 psi gauge\" or \"{number} kPa\" (which counts from full vacuum)"
            ));
        }
    };
    let pa = number * unit.pa();
    match from_air || pa > 0.0 {
        true if pa <= HIGHEST_PA => Ok(TypedPressure { pa, from_air }),
        true => Err("that is more than 150 bar: check number and unit".into()),
        false => Err(
            "a pressure counted from full vacuum is above 0: write \"gauge\" behind the unit if it \
             counts from the air around the gauge"
                .into(),
        ),
    }
}

pub(crate) fn celsius(text: &str) -> Result<f64, String> {
    let typed = temperature::read(text).ok_or("not a temperature: give for instance 24 or 75F")?;
    let (low, high) = TEMPERATURES_C;
    match (low..=high).contains(&typed.celsius) {
        true => Ok(typed.celsius),
        false => Err(format!(
            "{} °C is outside of {low} to {high} °C; write F behind it if it is in °F",
            typed.celsius
        )),
    }
}

/// Electrical draw: the number, and whether it is in W (else A).
pub(crate) fn draw(text: &str) -> Result<(f64, bool), String> {
    let (number, unit) = number_and_rest(text.trim())?;
    let watts = match unit.to_lowercase().as_str() {
        "w" | "watt" | "watts" => true,
        "a" | "amp" | "amps" | "ampere" => false,
        _ => {
            return Err(format!(
                "watts or amperes? Write \"{number} W\" or \"{number} A\""
            ));
        }
    };
    match number > 0.0 && number <= 20_000.0 {
        true => Ok((number, watts)),
        false => Err("must be above 0, and at most 20000".into()),
    }
}

pub(crate) fn yes_or_no(text: &str) -> Result<bool, String> {
    match text.trim().to_lowercase().as_str() {
        "y" | "yes" | "true" => Ok(true),
        "n" | "no" | "false" => Ok(false),
        _ => Err("answer yes or no".into()),
    }
}

pub(crate) fn number(text: &str, most: f64) -> Result<f64, String> {
    let text = text.trim().replace(',', ".");
    let number = text.parse::<f64>().ok().filter(|x| x.is_finite());
    match number {
        Some(x) if x > 0.0 && x <= most => Ok(x),
        Some(_) => Err(format!("must be above 0, and at most {most}")),
        None => Err(format!("\"{}\" is not a number", short(&text))),
    }
}

pub(crate) fn date(text: &str) -> Result<NaiveDate, String> {
    text.trim()
        .parse()
        .map_err(|_| "write the day as year-month-day, for instance 2026-05-14".into())
}

/// The word of a choice, however it is joined.
pub(crate) fn choice(text: &str, words: &[&'static str]) -> Result<&'static str, String> {
    let typed = text.trim().to_lowercase().replace([' ', '_'], "-");
    let found = words.iter().find(|word| **word == typed);
    found
        .copied()
        .ok_or_else(|| format!("give one of: {}", words.join(", ")))
}

/// Whether an answer can be used.
pub(crate) fn check(kind: Kind, text: &str) -> Result<(), String> {
    match kind {
        Kind::Refrigerant => Substance::named(text).map(drop).map_err(|e| e.to_string()),
        Kind::Pressure => pressure(text).map(drop),
        Kind::Temperature => celsius(text).map(drop),
        Kind::Draw => draw(text).map(drop),
        Kind::YesNo => yes_or_no(text).map(drop),
        Kind::Choice(words) => choice(text, &words()).map(drop),
        Kind::Number(most) => number(text, f64::from(most)).map(drop),
        Kind::Date => date(text).map(drop),
        Kind::Text => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pressures_say_what_they_count_from() {
        let bar = pressure("-0.3 bar gauge").expect("it is one");
        assert!(bar.from_air && (bar.pa + 30_000.0).abs() < 1e-6);
        let kpa = pressure("60 kPa").expect("it is one");
        assert!(!kpa.from_air && (kpa.pa - 60_000.0).abs() < 1e-6);
        assert!(pressure("4.2 bar").is_err_and(|e| e.contains("4.2 bar gauge")));
        assert!(pressure("-4 kPa").is_err_and(|e| e.contains("gauge")));
        assert!(pressure("4").is_err() && pressure("cold").is_err() && pressure("").is_err());
        assert!(pressure("5000 bar gauge").is_err());
    }

    #[test]
    fn numbers_have_bounds_and_units() {
        assert!(draw("95").is_err_and(|e| e.contains("95 W")));
        assert_eq!(draw("0.8 A"), Ok((0.8, false)));
        assert!(draw("-5 W").is_err() && draw("1e9 W").is_err());
        assert!(number("-58", 1e5).is_err() && number("nan", 1e5).is_err());
        assert!(celsius("400").is_err() && celsius("75F").is_ok());
        assert!(date("14.5.2026").is_err() && date("2026-05-14").is_ok());
        assert_eq!(
            choice("Inlet only", &["none", "inlet-only"]),
            Ok("inlet-only")
        );
    }
}
