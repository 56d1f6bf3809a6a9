//! Ice in a hold: a level that frozen water would keep for ever.
//!
//! Over ice at a given temperature the pressure of water vapour is fixed (IAPWS
//! R14-08, [`vacuum::water`]): at −25 °C it is 474.6 micron, below the ceiling that is
//! common practice. A system with an iced evaporator therefore stands, or levels off,
//! at that pressure for as long as there is ice, and meets every rule about pressure
//! and time without being dry.
//!
//! What is compared with the pressure over ice is where the hold stands or levels off.
//! The tolerance has three parts, all of them common practice without a source but the
//! last:
//!
//! * the coldest part is known to ± 2 K (a thermometer on a pipe);
//! * the gauge is right to ± 10 % of its reading;
//! * a thermal gauge calibrated in air shows up to twice the true pressure in water
//!   vapour (vacuum gauge literature, quoted second-hand: true ≈ 0.5 × indicated).
//!
//! A level above that range does not rule ice out (other gas may stand on top); a level
//! below it does, for ice would push the pressure up.

use findings::{Finding, Hold, Statement};
use run_memory::Block;
use statistics::robust::median;
use vacuum::{Pressure, PressureUnit, ZERO_CELSIUS_K, water};

use crate::{
    evacuation::hold::JudgedHold,
    settings::{GAUGE_ACCURACY, Settings},
};

/// Levels that may be those of ice, micron: ice at −51 °C, which is colder than a freezer's
/// evaporator, up to ice at 0 °C (IAPWS R14-08).
const LEVELS_MICRON: std::ops::RangeInclusive<f64> = 30.0..=4_585.0;
/// How well the temperature of the coldest part is known, K (common practice, no source).
const THERMOMETER_K: f64 = 2.0;
/// What a thermal gauge may show in water vapour over what is there (vacuum gauge
/// literature, quoted second-hand).
const IN_WATER_VAPOUR: f64 = 2.0;
/// Below this ambient temperature an evacuation test is not to be made, °C (Unified
/// Facilities Guide Specification 15182, § 3.3.3: above 2 °C).
const LOWEST_AMBIENT_C: f64 = 2.0;
/// Shortest stretch of which one can say that it stands or levels off, s (common
/// practice, no source).
const SHORTEST_S: f64 = 120.0;
/// A change up to this share of the level between the first and the last third of a
/// hold counts as standing (common practice, no source).
const STANDS: f64 = 0.03;
/// The rise of the second half over that of the first, up to which a curve levels off
/// (common practice, no source; a straight line has 1).
const LEVELS_OFF: f64 = 0.6;

/// True when the level of the hold is that of ice at the coldest part, which is known.
pub(crate) fn in_hold(blocks: &[Block], held: &JudgedHold, settings: &Settings) -> bool {
    matches!(
        found(blocks, held, settings),
        Some(Statement::IceInHold { .. })
    )
}

/// Says what a hold and its temperatures have to do with ice.
pub(crate) fn of_hold(
    blocks: &[Block],
    held: &JudgedHold,
    settings: &Settings,
    findings: &mut Vec<Finding>,
) {
    let hold = &held.hold;
    if let Some(ambient_c) = settings.ambient_c.filter(|c| *c < LOWEST_AMBIENT_C) {
        let cold = Statement::TooColdToDry { ambient_c };
        findings.push(Finding::at(hold.isolated_at_s, cold));
    }
    let ice = found(blocks, held, settings);
    findings.extend(ice.map(|ice| Finding::at(hold.end_s, ice)));
}

fn found(blocks: &[Block], held: &JudgedHold, settings: &Settings) -> Option<Statement> {
    let level = Level::of(blocks, &held.hold, held.noise.reading_micron)?;
    match settings.coldest_part_c {
        // nothing is cold enough
        Some(c) if c > water::TRIPLE_POINT_C => None,
        Some(coldest_part_c) => {
            let (low_micron, high_micron) = range_micron(coldest_part_c)?;
            (level.low_micron <= high_micron && level.high_micron >= low_micron).then_some(
                Statement::IceInHold {
                    level_micron: level.high_micron,
                    coldest_part_c,
                    saturation_micron: over_ice_micron(coldest_part_c)?,
                    low_micron,
                    high_micron,
                },
            )
        }
        None => {
            let p = Pressure::from_micron(level.high_micron).ok()?;
            Some(Statement::IceNotRuledOut {
                level_micron: level.high_micron,
                ice_at_c: water::boiling_point_c(p)?,
            })
        }
    }
}

/// Saturation pressure over ice, micron; above the triple point that of the triple
/// point, for there is no ice. `None` where the formula does not hold.
fn over_ice_micron(celsius: f64) -> Option<f64> {
    let kelvin = celsius.min(water::TRIPLE_POINT_C) + ZERO_CELSIUS_K;
    // valid from 50 K (IAPWS R14-08)
    (kelvin > 50.0).then(|| water::over_ice_pa(kelvin) / PressureUnit::Micron.pa())
}

/// What the gauge may show over ice at `celsius`, micron.
fn range_micron(celsius: f64) -> Option<(f64, f64)> {
    let low = over_ice_micron(celsius - THERMOMETER_K)?;
    let high = over_ice_micron(celsius + THERMOMETER_K)?;
    Some((
        (1.0 - GAUGE_ACCURACY) * low,
        (1.0 + GAUGE_ACCURACY) * IN_WATER_VAPOUR * high,
    ))
}

/// Where a hold stands, or between its end and where it levels off, micron.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Level {
    low_micron: f64,
    high_micron: f64,
}

impl Level {
    /// `None` for a hold that is too short, does neither, or is outside the range of ice.
    fn of(blocks: &[Block], hold: &Hold, noise_micron: f64) -> Option<Self> {
        let from = blocks.partition_point(|b| b.t() < hold.settled_at_s);
        let to = blocks.partition_point(|b| b.t() <= hold.end_s);
        let settled = blocks.get(from..to)?;
        let (first, last) = (settled.first()?, settled.last()?);
        let length_s = last.t() - first.t();
        if length_s < SHORTEST_S {
            return None;
        }
        let third = |i: f64| {
            let at = |share: f64| {
                let t = first.t() + share * length_s / 3.0;
                settled.partition_point(|b| b.t() < t)
            };
            let mut values: Vec<f64> = settled
                .get(at(i)..at(i + 1.0))?
                .iter()
                .map(Block::p)
                .collect();
            (values.len() >= 3).then(|| median(&mut values))
        };
        let (early, middle, late) = (third(0.0)?, third(1.0)?, third(2.0)?);
        let end = hold.end_micron.unwrap_or(late);
        let ahead = if (late - early).abs() <= (STANDS * late).max(2.0 * noise_micron) {
            late
        } else {
            // an exponential approach goes on as a geometric series
            let share = (late - middle) / (middle - early);
            if !(0.0..LEVELS_OFF).contains(&share) {
                return None;
            }
            late + (late - middle) * share / (1.0 - share)
        };
        let level = Self {
            low_micron: end.min(ahead),
            high_micron: end.max(ahead),
        };
        LEVELS_MICRON.contains(&level.high_micron).then_some(level)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IAPWS R14-08 at −25 °C: 63.274 Pa, 474.6 micron (computed from the release's
    /// formula with independent code); the triple point at 0.01 °C is 611.657 Pa.
    #[test]
    fn the_pressure_over_ice_is_that_of_the_release() {
        assert!((over_ice_micron(-25.0).unwrap() - 474.6).abs() < 0.1);
        assert!((over_ice_micron(-40.0).unwrap() - 96.3).abs() < 0.1);
        assert!((over_ice_micron(5.0).unwrap() - 4_587.8).abs() < 0.1);
    }

    /// −27 °C is 387.8 and −23 °C 578.6 micron (IAPWS R14-08, computed).
    #[test]
    fn the_tolerance_is_that_of_thermometer_and_gauge() {
        let (low, high) = range_micron(-25.0).unwrap();
        assert!((low - 0.9 * 387.8).abs() < 1.0, "{low}");
        assert!((high - 1.1 * 2.0 * 578.6).abs() < 3.0, "{high}");
    }
}
