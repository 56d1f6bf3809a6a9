//! Notices a pressure that jumps up under a running pump: a pump that was stopped
//! with its valve open, a hose that came off.
//!
//! Common practice, no source: near the target a pump that works lets the pressure
//! wander by a few per cent; half as much again within twenty seconds is something
//! that was done, or that happened.

use std::collections::VecDeque;

use serde::Serialize;

/// How far back the lowest is looked for, s.
const BACK_S: f64 = 20.0;
/// A jump is by this factor …
const FACTOR: f64 = 1.5;
/// … and by at least so much, micron.
const LEAST_MICRON: f64 = 30.0;
/// It has to last so long, s.
const LASTS_S: f64 = 2.0;

/// Pressure before and after.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Jump {
    /// When it was noticed, s.
    pub at_s: f64,
    /// Lowest before, micron.
    pub from_micron: f64,
    /// Then, micron.
    pub to_micron: f64,
}

/// Lowest pressure of each of the last seconds.
#[derive(Debug, Clone, Default)]
pub(crate) struct JumpWatch {
    lowest: VecDeque<(f64, f64)>,
    since_s: Option<f64>,
    found: Option<Jump>,
}

impl JumpWatch {
    /// Takes the next measurement.
    pub(crate) fn push(&mut self, at_s: f64, micron: f64) {
        match self.lowest.back_mut() {
            Some((t, low)) if t.floor() >= at_s.floor() => *low = low.min(micron),
            _ => self.lowest.push_back((at_s, micron)),
        }
        while self.lowest.front().is_some_and(|(t, _)| at_s - t > BACK_S) {
            self.lowest.pop_front();
        }
        let lows = self.lowest.iter().map(|(_, low)| *low);
        let from_micron = lows.fold(f64::INFINITY, f64::min);
        if micron < from_micron * FACTOR || micron < from_micron + LEAST_MICRON {
            self.since_s = None;
            return;
        }
        let since_s = *self.since_s.get_or_insert(at_s);
        if at_s - since_s >= LASTS_S && self.found.is_none_or(|j| at_s - j.at_s > BACK_S) {
            self.found = Some(Jump {
                at_s: since_s,
                from_micron,
                to_micron: micron,
            });
        }
    }

    /// Something was stamped: what came before is explained.
    pub(crate) fn explained(&mut self) {
        *self = Self::default();
    }

    /// The last jump that nothing explains.
    pub(crate) fn found(&self) -> Option<Jump> {
        self.found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn watched(pressures: impl Iterator<Item = f64>) -> Option<Jump> {
        let mut watch = JumpWatch::default();
        for (i, micron) in pressures.enumerate() {
            watch.push(i as f64 / 10.0, micron);
        }
        watch.found()
    }

    #[test]
    fn a_jump_that_lasts_is_found() {
        let jump = watched((0..200).map(|i| if i < 100 { 300.0 } else { 900.0 }));
        let jump = jump.expect("a jump");
        assert!((jump.at_s - 10.0).abs() < 0.2, "{jump:?}");
        assert!((jump.from_micron - 300.0).abs() < 1e-9);
    }

    #[test]
    fn a_spike_noise_and_a_slow_drift_are_none() {
        assert_eq!(
            watched((0..200).map(|i| if i == 100 { 9_000.0 } else { 300.0 })),
            None
        );
        assert_eq!(
            watched((0..900).map(|i| 300.0 + f64::from(i % 7) * 20.0)),
            None
        );
        assert_eq!(watched((0..900).map(|i| 300.0 + f64::from(i) / 10.0)), None);
        assert_eq!(
            watched((0..200).map(|i| if i < 100 { 4.0 } else { 9.0 })),
            None
        );
    }

    #[test]
    fn a_stamped_act_explains_it() {
        let mut watch = JumpWatch::default();
        watch.push(0.0, 300.0);
        watch.explained();
        for i in 1..100 {
            watch.push(f64::from(i) / 10.0, 20_000.0);
        }
        assert_eq!(watch.found(), None);
    }
}
