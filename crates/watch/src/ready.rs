//! When the pump-side valve may be shut: not because the target is passed, but because
//! the level is low and stands.
//!
//! Whoever shuts the valve while the pressure still falls leaves behind what the pump was
//! about to take: the water that is left rises in the hold.
//!
//! Sources: below 200 micron before isolating, ASHRAE Journal, January 2021. How far below
//! another ceiling, what counts as falling fast, and how long a level has to stand:
//! common practice, no source.

use findings::Live;
use serde::Serialize;

use crate::words::is_steady;

/// Low enough for the usual ceiling, micron (ASHRAE Journal, January 2021) …
const LOW_MICRON: f64 = 200.0;
/// … and for a lower one, as a share of it: 200 of 500.
const LOW_SHARE: f64 = 0.4;
/// A level that stands has at least a fifth of the ceiling above it.
const CLOSE_SHARE: f64 = 0.8;
/// Down there a slow fall is the tail of any evacuation: it may be of this share of the
/// pressure a minute, and of so many micron a minute.
const SLOW_SHARE: f64 = 0.1;
const SLOW_MICRON_PER_MIN: f64 = 5.0;

/// Whether the pump-side valve may be shut.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ready {
    /// Above the target, or it still moves: let it pull.
    #[default]
    NotYet,
    /// It stands, but hardly below the ceiling: something holds it there.
    CloseToCeiling,
    /// Low, and hardly moving.
    Ready,
}

/// The level below which a system may be isolated though it still falls slowly, micron.
pub(crate) fn low_micron(target_micron: f64, ceiling_micron: f64) -> f64 {
    LOW_MICRON
        .min(LOW_SHARE * ceiling_micron)
        .min(target_micron)
}

impl Ready {
    /// Of a look at a run.
    pub(crate) fn of(live: &Live) -> Self {
        let criteria = &live.findings.criteria;
        let (Some(pressure), Some(trend)) = (live.pressure_micron, live.trend_micron_per_min)
        else {
            return Self::NotYet;
        };
        if pressure > criteria.target_micron {
            return Self::NotYet;
        }
        let slow = (SLOW_SHARE * pressure).max(SLOW_MICRON_PER_MIN);
        let low = low_micron(criteria.target_micron, criteria.ceiling_micron);
        if pressure <= low && trend.abs() < slow {
            return Self::Ready;
        }
        let stands = |trend| is_steady(trend, pressure);
        if !stands(trend) || !live.slow_trend_micron_per_min.is_some_and(stands) {
            return Self::NotYet;
        }
        match pressure <= CLOSE_SHARE * criteria.ceiling_micron {
            true => Self::Ready,
            false => Self::CloseToCeiling,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ready(criteria: (f64, f64), micron: f64, trend: f64, slow: Option<f64>) -> Ready {
        let mut live = analyser::Analyser::new(analyser::Settings::default()).live();
        (
            live.findings.criteria.target_micron,
            live.findings.criteria.ceiling_micron,
        ) = criteria;
        live.pressure_micron = Some(micron);
        live.trend_micron_per_min = Some(trend);
        live.slow_trend_micron_per_min = slow;
        Ready::of(&live)
    }

    const USUAL: (f64, f64) = (500.0, 500.0);

    /// ASHRAE Journal, January 2021: below 200 micron before isolating.
    #[test]
    fn the_valve_may_be_shut_below_two_hundred_micron_or_where_the_level_stands() {
        use super::Ready::{CloseToCeiling, NotYet, Ready};
        for (micron, trend, slow, wanted) in [
            // a hold that begins here starts close under the ceiling
            (477.0, -95.0, Some(-300.0), NotYet),
            (300.0, -40.0, Some(-60.0), NotYet),
            (199.0, -15.0, Some(-40.0), Ready),
            (199.0, -60.0, Some(-90.0), NotYet),
            (199.0, 60.0, Some(20.0), NotYet),
            (201.0, -15.0, Some(-40.0), NotYet),
            (40.0, -2.0, None, Ready),
            // stands, within noise
            (350.0, -1.0, Some(-0.5), Ready),
            (350.0, -1.0, Some(-9.0), NotYet),
            (350.0, -1.0, None, NotYet),
            (399.0, 0.0, Some(0.0), Ready),
            (401.0, 0.0, Some(0.0), CloseToCeiling),
            (501.0, 0.0, Some(0.0), NotYet),
        ] {
            assert_eq!(
                ready(USUAL, micron, trend, slow),
                wanted,
                "{micron} {trend}"
            );
        }
    }

    #[test]
    fn a_lower_ceiling_asks_for_a_lower_level() {
        use super::Ready::{NotYet, Ready};
        for (criteria, micron, wanted) in [
            // UFGS 15182: pull to 300 micron, never above 500
            ((300.0, 500.0), 199.0, Ready),
            ((100.0, 150.0), 90.0, NotYet),
            ((100.0, 150.0), 59.0, Ready),
            ((50.0, 400.0), 70.0, NotYet),
            ((50.0, 400.0), 49.0, Ready),
        ] {
            assert_eq!(
                ready(criteria, micron, -4.0, Some(-9.0)),
                wanted,
                "{micron}"
            );
        }
    }

    #[test]
    fn nothing_is_said_of_a_level_whose_trend_is_not_known() {
        let mut live = analyser::Analyser::new(analyser::Settings::default()).live();
        live.pressure_micron = Some(90.0);
        assert_eq!(Ready::of(&live), Ready::NotYet);
    }
}
