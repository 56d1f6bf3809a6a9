//! Whether the readings look as if they came in another unit than they were read in.
//!
//! A record that begins before the pump has worked begins at the pressure of the air
//! outside, whatever the unit: 760,000 micron, 1,013 mbar, 29.9 inHg, 14.7 psi,
//! 101,325 Pa. So a record that was read as micron, begins at 1,013 and falls was most
//! likely taken in mbar. Read as micron it would be a thousand times too low, and a
//! system that was hardly evacuated would pass.
//!
//! The air outside is taken as 101 325 Pa within [`WEATHER`]; of micron that the record
//! does not state, down to [`HIGHLAND`] as well (the air at about 2,000 m, ICAO standard
//! atmosphere, from memory). In other units than micron the top of a gauge's range may
//! be such a number (30 mbar, 29.9 inHg): there the record has to begin standing still,
//! as the air outside does. Units closer to one another than [`TELL`] are
//! not told apart: 760 mbar is the air at 2,400 m. A record that truly begins in the
//! middle of a pull-down, at 1,013 micron by chance, is asked back too; whoever has
//! compared the unit with the gauge's display says so (`--unit-checked`).

use findings::Statement;
use vacuum::{Pressure, PressureUnit, RecordUnit, UnitBasis};

/// Swing of the air pressure at sea level with the weather, as a share (common practice, no
/// source).
const WEATHER: f64 = 0.04;
/// The air pressure in the highlands, as a share of that at sea level (ICAO standard
/// atmosphere at about 2,000 m, from memory).
const HIGHLAND: f64 = 0.78;
/// Units whose ratio is smaller are not told apart (common practice, no source).
const TELL: f64 = 1.5;
/// Lower than this no pump of this trade brings a system, micron (common practice, no
/// source: rotary vane pumps end at some micron, systems far above).
const LOWEST_LEVEL_MICRON: f64 = 1.0;

/// The pressures that are asked about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SeenPressures {
    /// The first reading, micron; `None` where the gauge was out of range before.
    pub(crate) first_micron: Option<f64>,
    /// True where the first readings stand still.
    pub(crate) begins_still: bool,
    /// The lowest reading, micron.
    pub(crate) lowest_micron: f64,
    /// The level at the end of the hold, micron.
    pub(crate) hold_micron: Option<f64>,
}

/// Says which unit is doubtful, and why.
pub(crate) fn doubt(seen: SeenPressures, unit: Option<RecordUnit>) -> Option<Statement> {
    let RecordUnit { unit, basis } = unit.unwrap_or(RecordUnit {
        unit: PressureUnit::Micron,
        basis: UnitBasis::Stated,
    });
    let number = |micron: f64| micron * PressureUnit::Micron.pa() / unit.pa();
    if let Some(first) = seen.first_micron.filter(|p| seen.lowest_micron < 0.5 * p) {
        let micron = unit == PressureUnit::Micron;
        let lowest_share = if micron && basis.is_assumed() {
            HIGHLAND
        } else {
            1.0 - WEATHER
        };
        let is_air = |other: &PressureUnit| {
            let ratio = other.pa() / unit.pa();
            let share = number(first) * other.pa() / Pressure::ATMOSPHERE.pa();
            ratio.max(1.0 / ratio) > TELL && (lowest_share..=1.0 + WEATHER).contains(&share)
        };
        let share = number(first) * unit.pa() / Pressure::ATMOSPHERE.pa();
        let as_read = (HIGHLAND..=1.0 + WEATHER).contains(&share);
        let likely = PressureUnit::ALL.into_iter().find(is_air);
        let counts = !as_read && (micron || seen.begins_still);
        if let Some(likely) = likely.filter(|_| counts) {
            return Some(Statement::UnitDoubtful {
                number: number(first),
                read_as: unit,
                likely: Some(likely),
            });
        }
    }
    let level = seen.hold_micron?;
    (level > 0.0 && level < LOWEST_LEVEL_MICRON).then_some(Statement::UnitDoubtful {
        number: number(level),
        read_as: unit,
        likely: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn likely(number: f64, unit: PressureUnit, basis: UnitBasis) -> Option<PressureUnit> {
        begun(number, unit, basis, true)
    }

    fn begun(
        number: f64,
        unit: PressureUnit,
        basis: UnitBasis,
        begins_still: bool,
    ) -> Option<PressureUnit> {
        let first = number * unit.pa() / PressureUnit::Micron.pa();
        let seen = SeenPressures {
            first_micron: Some(first),
            begins_still,
            lowest_micron: 0.3 * first,
            hold_micron: Some(200.0),
        };
        match doubt(seen, Some(RecordUnit { unit, basis }))? {
            Statement::UnitDoubtful { likely, .. } => likely,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_record_that_begins_like_the_air_in_another_unit_is_doubtful() {
        use PressureUnit::{Atmosphere, InHg, Kilopascal, Micron, Millibar, Pascal, Psi, Torr};
        for (number, unit) in [
            (1_013.0, Millibar),
            (29.9, InHg),
            (14.7, Psi),
            (101_325.0, Pascal),
            (101.3, Kilopascal),
            (760.0, Torr),
        ] {
            assert_eq!(
                likely(number, Micron, UnitBasis::Stated),
                Some(unit),
                "{number}"
            );
        }
        let bar_or_atm = likely(1.013, Micron, UnitBasis::Stated);
        assert!(
            matches!(bar_or_atm, Some(PressureUnit::Bar | Atmosphere)),
            "{bar_or_atm:?}"
        );
        assert_eq!(likely(1_013.0, Pascal, UnitBasis::Stated), Some(Millibar));
        // 840 mbar, 24.9 inHg: in the highlands, where nobody states the unit
        assert_eq!(likely(840.0, Micron, UnitBasis::Dialect), Some(Millibar));
        assert_eq!(likely(24.9, Micron, UnitBasis::Option), Some(InHg));
        assert_eq!(likely(24.9, Micron, UnitBasis::Stated), None);
    }

    #[test]
    fn a_record_that_begins_like_the_air_in_its_own_unit_is_not() {
        use PressureUnit::{InHg, Micron, Millibar, Pascal, Psi, Torr};
        for (number, unit) in [
            (760_000.0, Micron),
            (630_000.0, Micron),
            (1_013.0, Millibar),
            (840.0, Millibar),
            // in the highlands, and not Torr
            (760.0, Millibar),
            (29.9, InHg),
            (14.7, Psi),
            (101_325.0, Pascal),
            (760.0, Torr),
            // the end of a gauge's range, and the middle of a pull-down
            (25_000.0, Micron),
            (5_000.0, Micron),
            (1_200.0, Micron),
            (20_000.0, Micron),
        ] {
            for basis in [UnitBasis::Stated, UnitBasis::Option] {
                assert_eq!(likely(number, unit, basis), None, "{number} {unit}");
            }
        }
    }

    /// The top of a gauge's range in mbar is no air outside in inHg.
    #[test]
    fn other_units_than_micron_have_to_begin_standing_still() {
        use PressureUnit::{InHg, Micron, Millibar};
        let at = |unit, still| begun(29.9, unit, UnitBasis::Option, still);
        assert_eq!(at(Millibar, true), Some(InHg));
        assert_eq!(at(Millibar, false), None);
        assert_eq!(at(Micron, false), Some(InHg));
        assert_eq!(begun(24.9, Millibar, UnitBasis::Option, true), None);
    }

    #[test]
    fn weather_is_the_limit_on_both_sides() {
        let at = |share: f64| likely(1_013.25 * share, PressureUnit::Micron, UnitBasis::Stated);
        assert!(at(0.962).is_some() && at(1.038).is_some());
        assert!(at(0.958).is_none() && at(1.042).is_none());
    }

    #[test]
    fn it_has_to_fall() {
        let seen = |lowest_micron| SeenPressures {
            first_micron: Some(1_013.0),
            begins_still: false,
            lowest_micron,
            hold_micron: None,
        };
        assert!(doubt(seen(500.0), None).is_some());
        assert!(doubt(seen(510.0), None).is_none());
    }

    #[test]
    fn a_level_no_pump_reaches_is_doubtful() {
        let seen = |hold_micron| SeenPressures {
            first_micron: None,
            begins_still: false,
            lowest_micron: 0.1,
            hold_micron: Some(hold_micron),
        };
        assert!(doubt(seen(0.9), None).is_some());
        assert!(doubt(seen(1.1), None).is_none());
    }
}
