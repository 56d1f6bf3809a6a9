//! Numbers of the command line and what they may be: what is beyond is refused before
//! anything is recorded, and none is so large that a clock cannot count it.

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

/// How long something lasts, min: above 0, at most a year.
pub(crate) fn minutes(text: &str) -> Result<f64, String> {
    up_to(text, YEAR_MIN, " min (a year)")
}

/// A moment of a record, s: at most a hundred years in.
pub(crate) fn seconds(text: &str) -> Result<f64, String> {
    between(text, (0.0, 100.0 * 60.0 * YEAR_MIN), " s")
}

/// A pressure to judge by, micron: at most a thousand atmospheres.
pub(crate) fn micron(text: &str) -> Result<f64, String> {
    up_to(text, 760_000_000.0, " micron")
}

/// The volume of a system, L.
pub(crate) fn litres(text: &str) -> Result<f64, String> {
    up_to(text, 1_000_000.0, " L")
}

/// An air temperature, °C: where the vapour pressure of water is known.
pub(crate) fn ambient_c(text: &str) -> Result<f64, String> {
    between(text, vacuum::water::RANGE_C, " °C")
}

/// Simulated seconds per second.
pub(crate) fn speed(text: &str) -> Result<f64, String> {
    between(text, (0.001, 1_000_000.0), "")
}

#[cfg(test)]
mod tests {
    use super::*;

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
        assert!(seconds("1e300").is_err() && seconds("-1").is_err() && seconds("0").is_ok());
        assert!(micron("1e300").is_err() && micron("500").is_ok());
        assert!(litres("1e300").is_err() && litres("4.2").is_ok());
        for minutes in [minutes("527040"), minutes("1e-300"), minutes("0.05")] {
            let s = 60.0 * minutes.expect("in range");
            let time = std::time::Duration::try_from_secs_f64(s).expect("it can be counted");
            assert!(std::time::Instant::now().checked_add(time).is_some());
        }
    }
}
