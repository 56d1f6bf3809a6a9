//! Whether a reading fits the air outside: before the pump starts a gauge shows about
//! 760,000 micron, in whatever unit it counts.

use vacuum::{Pressure, PressureUnit, air};

/// Beyond this no gauge on a system open to the air reads, Pa: the record of the air
/// pressure at sea level (108.5 kPa, from memory) and the gauge's own error.
const HIGHEST_PA: f64 = 120_000.0;
/// Nearer to sea level than this is said to be at sea level, m: the weather does as much.
const WEATHER_M: f64 = 350.0;

/// How high somebody may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heights {
    /// Wherever people live: the gauge is known to be open to the air.
    All,
    /// Where most people live: a number that is air only higher up is more often a vacuum.
    Usual,
}

/// The highest of the usual heights, m.
const USUAL_M: f64 = 2_000.0;

impl Heights {
    /// By what is known of the gauge.
    pub(crate) fn of(open_to_air: Option<bool>) -> Self {
        match open_to_air {
            Some(true) => Self::All,
            _ => Self::Usual,
        }
    }
}

/// In which units this number would be the air outside, in words; `None` if in none.
pub(crate) fn likely_words(text: &str, number: f64, heights: Heights) -> Option<String> {
    let units = air::units_of_open_air(number);
    let named: Vec<String> = units
        .iter()
        .filter_map(|unit| {
            let height = air::altitude_m(Pressure::new(number, *unit).ok()?)?;
            let counts = heights == Heights::All || height <= USUAL_M;
            counts.then_some(())?;
            Some(format!("in {unit} ({})", height_words(height)))
        })
        .collect();
    let (last, others) = named.split_last()?;
    let all = match others {
        [] => last.clone(),
        others => format!("{} or {last}", others.join(", ")),
    };
    Some(format!(
        "{text} is what a gauge open to the air shows {all}"
    ))
}

fn height_words(height_m: f64) -> String {
    if height_m.abs() < WEATHER_M {
        return "air near sea level".into();
    }
    format!("air at about {} m", (height_m / 100.0).round() * 100.0)
}

/// Why this number in this unit is doubtful. `open_to_air` is what the person says of the
/// gauge at this moment; `None` where nobody says.
pub(crate) fn doubt(
    text: &str,
    number: f64,
    unit: PressureUnit,
    open_to_air: Option<bool>,
) -> Option<String> {
    let pressure = Pressure::new(number, unit).ok()?;
    let as_air = air::is_open_air(pressure);
    if pressure.pa() > HIGHEST_PA {
        let times = pressure.pa() / Pressure::ATMOSPHERE.pa();
        let digits = usize::from(times < 10.0);
        return Some(format!(
            "{text} {unit} would be {times:.digits$} times the pressure of the air"
        ));
    }
    match open_to_air {
        Some(false) => None,
        _ if as_air => None,
        Some(true) => {
            let micron = thousands(pressure.micron());
            let read = match unit {
                PressureUnit::Micron => format!("{text} micron"),
                unit => format!("{text} {unit} ({micron} micron)"),
            };
            let likely = likely_words(text, number, Heights::All).map(|w| format!("; {w}"));
            Some(format!(
                "the gauge is open to the air, which has about 760,000 micron at sea level and \
                 no less than 400,000 in the highest towns, but {read} would be a vacuum{}",
                likely.unwrap_or_default()
            ))
        }
        None => likely_words(text, number, Heights::Usual)
            .map(|words| format!("{words}; in {unit} it would be a vacuum")),
    }
}

/// A whole number with a comma between thousands.
fn thousands(number: f64) -> String {
    let digits = format!("{number:.0}");
    let groups: Vec<&str> = digits
        .as_bytes()
        .rchunks(3)
        .rev()
        .filter_map(|group| std::str::from_utf8(group).ok())
        .collect();
    groups.join(",")
}

#[cfg(test)]
mod tests {
    use super::*;
    use PressureUnit::{Micron, Millibar, Pascal, Torr};

    #[test]
    fn a_number_of_the_air_is_named_with_its_units_and_heights() {
        assert_eq!(
            likely_words("1013", 1013.0, Heights::Usual).as_deref(),
            Some("1013 is what a gauge open to the air shows in mbar (air near sea level)")
        );
        // 640 Torr: 853 hPa, 640 mbar: ISO 2533 has 853 hPa at about 1,420 m and 640 hPa at
        // about 3,720 m
        let words = likely_words("640", 640.0, Heights::All).expect("two units");
        assert!(
            words.contains("in Torr (air at about 1400 m) or in mbar (air at about 3700 m)"),
            "{words}"
        );
        let usual = likely_words("640", 640.0, Heights::Usual).expect("one unit");
        assert!(usual.ends_with("in Torr (air at about 1400 m)"), "{usual}");
        assert_eq!(likely_words("500", 500.0, Heights::Usual), None);
        assert_eq!(likely_words("300", 300.0, Heights::All), None);
    }

    #[test]
    fn a_unit_that_does_not_fit_the_air_is_doubted() {
        let wrong = doubt("1013", 1013.0, Micron, Some(true)).expect("a doubt");
        assert!(
            wrong.contains("760,000 micron") && wrong.contains("shows in mbar"),
            "{wrong}"
        );
        let wrong = doubt("1013", 1013.0, Micron, None).expect("a doubt");
        assert!(wrong.ends_with("in micron it would be a vacuum"), "{wrong}");
        let wrong = doubt("12", 12.0, Torr, Some(true)).expect("a doubt");
        assert!(wrong.contains("12 Torr (12,000 micron)"), "{wrong}");
        // a pump that has worked, a unit that fits, in the highlands too
        assert_eq!(doubt("1013", 1013.0, Micron, Some(false)), None);
        assert_eq!(doubt("1013", 1013.0, Millibar, Some(true)), None);
        assert_eq!(doubt("560", 560.0, Millibar, Some(true)), None);
        assert_eq!(doubt("500", 500.0, Micron, None), None);
        // no gauge on a system open to the air shows this
        let wrong = doubt("1013", 1013.0, Torr, None).expect("a doubt");
        assert!(wrong.contains("1.3 times"), "{wrong}");
        assert_eq!(doubt("101325", 101_325.0, Pascal, None), None);
    }
}
