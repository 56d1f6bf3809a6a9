//! When a run begins: the pressure falls.

use std::{
    collections::VecDeque,
    time::{Duration, Instant},
};

use vacuum::Sensed;

/// Below this the system is under vacuum already, micron: some 130 mbar (common
/// practice, no source: no weather and no leak-test pressure comes near).
const UNDER_VACUUM_MICRON: f64 = 100_000.0;
/// Above this it is open or filled again, micron.
pub(super) const BACK_UP_MICRON: f64 = 200_000.0;
/// It falls when it is so much below the highest of the last minute.
const FALLEN: f64 = 0.9;
const LOOK_BACK: Duration = Duration::from_secs(60);

/// What was heard since the last run.
#[derive(Debug, Default)]
pub struct Begin {
    /// A system left under vacuum after its run is not recorded again: first it has to
    /// come up, or the gauge has to go.
    spent: bool,
    lately: VecDeque<(Instant, f64)>,
}

impl Begin {
    /// A run is over.
    pub fn ran(&mut self) {
        self.spent = true;
        self.lately.clear();
    }

    /// The gauge went: it may come back on another system.
    pub fn lost(&mut self) {
        self.spent = false;
        self.lately.clear();
    }

    /// A reading; true when a run begins.
    pub fn reading(&mut self, at: Instant, sensed: Sensed) -> bool {
        let micron = match sensed {
            Sensed::Measured(p) => p.micron(),
            Sensed::Over(_) => {
                self.lost();
                // from above its range a gauge comes down into it
                self.lately.push_back((at, f64::INFINITY));
                return false;
            }
            _ => return false,
        };
        if micron > BACK_UP_MICRON {
            self.spent = false;
        }
        if self.spent {
            return false;
        }
        let old = |t: Instant| at.saturating_duration_since(t) > LOOK_BACK;
        while self.lately.front().is_some_and(|(t, _)| old(*t)) || self.lately.len() >= 4_096 {
            self.lately.pop_front();
        }
        let highest = self.lately.iter().map(|(_, p)| *p).fold(0.0, f64::max);
        self.lately.push_back((at, micron));
        micron < UNDER_VACUUM_MICRON || micron < FALLEN * highest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::Pressure;

    fn begins(begin: &mut Begin, microns: &[f64]) -> Option<usize> {
        let start = Instant::now();
        microns.iter().enumerate().position(|(i, micron)| {
            let pressure = Pressure::from_micron(*micron).expect("a pressure");
            let at = start + Duration::from_secs(i as u64);
            begin.reading(at, Sensed::Measured(pressure))
        })
    }

    #[test]
    fn weather_and_noise_begin_nothing_a_pump_does() {
        let mut begin = Begin::default();
        let air: Vec<f64> = (0..600)
            .map(|i| 760_000.0 - f64::from(i % 7) * 900.0)
            .collect();
        assert_eq!(begins(&mut begin, &air), None);
        assert_eq!(
            begins(&mut begin, &[755_000.0, 720_000.0, 650_000.0]),
            Some(2)
        );
    }

    #[test]
    fn what_is_under_vacuum_already_begins_at_once_but_not_twice() {
        let mut begin = Begin::default();
        assert_eq!(begins(&mut begin, &[420.0]), Some(0));
        begin.ran();
        assert_eq!(begins(&mut begin, &[420.0, 430.0, 380.0, 120_000.0]), None);
        assert_eq!(
            begins(&mut begin, &[700_000.0, 650_000.0, 500_000.0]),
            Some(2)
        );
        begin.ran();
        begin.lost();
        assert_eq!(begins(&mut begin, &[420.0]), Some(0), "another system");
    }
}
