//! Numbers of the command line and what they may be: what is beyond is refused before
//! anything is recorded, and none is so large that a clock cannot count it.
//!
//! ```
//! assert_eq!(option_ranges::celsius("70F"), Ok(21.1));
//! assert!(option_ranges::minutes("0").is_err());
//! ```
//!
//! # What this crate does not do
//! Parse a command line, or name an option.

use rig_history::NoteKind;
use vacuum::{TestGas, TestKind, TestProfile, temperature};

/// A year with a leap day, min.
const YEAR_MIN: f64 = 527_040.0;

fn number(text: &str) -> Result<f64, String> {
    text.parse::<f64>()
        .ok()
        .filter(|x| x.is_finite())
        .ok_or_else(|| "not a number".into())
}

/// A number above 0, up to `most` and with it.
fn up_to(text: &str, most: f64, unit: &str) -> Result<f64, String> {
    number(text).and_then(|x| match x > 0.0 && x <= most {
        true => Ok(x),
        false => Err(format!("must be above 0, and at most {most}{unit}")),
    })
}

fn between(text: &str, (low, high): (f64, f64), unit: &str) -> Result<f64, String> {
    number(text).and_then(|x| match (low..=high).contains(&x) {
        true => Ok(x),
        false => Err(format!("must lie in {low} to {high}{unit}")),
    })
}

/// The kind of a test.
///
/// # Errors
/// What to give instead, in words.
pub fn test_kind(text: &str) -> Result<TestKind, String> {
    TestKind::from_word(text)
        .ok_or_else(|| "give evacuation, pressure-decay or blank-off".to_owned())
}

/// What is noted on a part of a rig.
///
/// # Errors
/// What to give instead, in words.
pub fn note_kind(text: &str) -> Result<NoteKind, String> {
    let no = || "give oil-change, repair, calibration or remark".to_owned();
    NoteKind::from_word(text).ok_or_else(no)
}

/// The guide whose pressure test it is.
///
/// # Errors
/// What to give instead, in words.
pub fn test_profile(text: &str) -> Result<&'static TestProfile, String> {
    TestProfile::named(text).ok_or_else(|| format!("give one of: {}", TestProfile::names()))
}

/// The gas of a pressure test.
///
/// # Errors
/// What to give instead, in words.
pub fn test_gas(text: &str) -> Result<TestGas, String> {
    TestGas::from_word(text).ok_or_else(|| {
        let all = TestGas::ALL.map(TestGas::word).join(", ");
        format!("not a gas for pressure tests: give {all}")
    })
}

/// How long something lasts, min: above 0, at most a year.
///
/// # Errors
/// What to give instead, in words.
pub fn minutes(text: &str) -> Result<f64, String> {
    up_to(text, YEAR_MIN, " min (a year)")
}

/// A pressure to judge by, micron: at most a thousand atmospheres.
///
/// # Errors
/// What to give instead, in words.
pub fn micron(text: &str) -> Result<f64, String> {
    up_to(text, 760_000_000.0, " micron")
}

/// The volume of a system, L.
///
/// # Errors
/// What to give instead, in words.
pub fn litres(text: &str) -> Result<f64, String> {
    up_to(text, 1_000_000.0, " L")
}

/// A temperature, °C, where the vapour pressure of water is known; "70F" will do too.
///
/// # Errors
/// What to give instead, in words.
pub fn celsius(text: &str) -> Result<f64, String> {
    let typed = temperature::read(text).ok_or("not a temperature: give for instance 21 or 70F")?;
    in_range(typed.celsius)
}

/// A temperature with its unit: "21C", "70F".
///
/// # Errors
/// What to give instead, in words.
pub fn with_unit(text: &str) -> Result<f64, String> {
    let typed = temperature::read(text).ok_or("not a temperature: give for instance 21C or 70F")?;
    match typed.unit_said {
        true => in_range(typed.celsius),
        false => Err(format!("°C or °F? Write {text}C or {text}F")),
    }
}

fn in_range(celsius: f64) -> Result<f64, String> {
    let (low, high) = vacuum::water::RANGE_C;
    match (low..=high).contains(&celsius) {
        true => Ok(celsius),
        false => Err(format!(
            "{celsius} °C is outside of {low} to {high} °C; write F behind it if it is in °F"
        )),
    }
}

/// A pressure of a test with gas, bar absolute.
///
/// # Errors
/// What to give instead, in words.
pub fn bar(text: &str) -> Result<f64, String> {
    up_to(text, 100.0, " bar")
}

/// The barometer, hPa: from high mountains to the strongest high.
///
/// # Errors
/// What to give instead, in words.
pub fn barometer_hpa(text: &str) -> Result<f64, String> {
    between(text, (500.0, 1_100.0), " hPa")
}

/// A loss that is allowed.
///
/// # Errors
/// What to give instead, in words.
pub fn loss(text: &str) -> Result<f64, String> {
    up_to(text, 1e6, "")
}

/// Simulated seconds per second.
///
/// # Errors
/// What to give instead, in words.
pub fn speed(text: &str) -> Result<f64, String> {
    between(text, (0.001, 1_000_000.0), "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_are_read_in_either_unit_and_asked_back_about() {
        assert_eq!(celsius("21"), Ok(21.0));
        assert_eq!(celsius("70F"), Ok(21.1));
        assert_eq!(with_unit("70 °F"), Ok(21.1));
        assert_eq!(with_unit("-13F"), Ok(-25.0));
        assert!(with_unit("21").is_err_and(|e| e.contains("21C or 21F")));
        assert!(celsius("70").is_err_and(|e| e.contains("write F behind it")));
        assert!(celsius("warm").is_err() && with_unit("500C").is_err());
    }

    #[test]
    fn no_number_is_beyond_what_a_clock_counts() {
        for text in [
            "1e300", "inf", "nan", "-1", "0", "1e-400", "", "527041", "5 min",
        ] {
            assert!(minutes(text).is_err(), "{text}");
        }
        for text in ["1e300", "0", "-5", "1e-9", "NaN"] {
            assert!(speed(text).is_err(), "{text}");
        }
        assert!(micron("1e300").is_err() && micron("500").is_ok());
        assert!(litres("1e300").is_err() && litres("4.2").is_ok());
        for minutes in [minutes("527040"), minutes("1e-300"), minutes("0.05")] {
            let s = 60.0 * minutes.expect("in range");
            let time = std::time::Duration::try_from_secs_f64(s).expect("it can be counted");
            assert!(std::time::Instant::now().checked_add(time).is_some());
        }
    }
}
