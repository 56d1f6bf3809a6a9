//! What a gauge shows of it.

use vacuum::{Entry, Pressure, Reading};

use super::story::Story;
use rehearsal::rng::Rng;

/// How the shown value is rounded.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Rounds {
    Step(f64),
    Digits(i32),
}

impl Rounds {
    fn step(self, micron: f64) -> f64 {
        match self {
            Self::Step(step) => step,
            Self::Digits(digits) => {
                10_f64.powi(micron.max(1.0).log10().floor() as i32 + 1 - digits)
            }
        }
    }
}

/// A gauge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Dial {
    pub(super) interval_s: f64,
    /// Share of the interval by which a reading may come late.
    jitter: f64,
    /// Length of its moving average, s.
    average_s: f64,
    /// Standard deviation over pressure.
    relative: f64,
    /// Readings over which the noise is summed: neighbours share that many draws.
    shared: usize,
    /// Size of telegraph switching over the noise; 0 for none.
    telegraph: f64,
    rounds: Rounds,
    /// Share of a step by which the value must move before the display does.
    backlash: f64,
}

/// Instants averaged in one reading.
const INSTANTS: u32 = 12;

impl Dial {
    pub(super) fn draw(rng: &mut Rng) -> Self {
        let interval_s = rng.pick(&[
            0.1, 0.2, 0.5, 1.0, 1.0, 1.0, 2.0, 2.0, 3.0, 5.0, 10.0, 15.0, 30.0, 60.0,
        ]);
        Self {
            interval_s,
            jitter: rng.pick(&[0.0, 0.02, 0.2]),
            average_s: if rng.chance(0.3) {
                0.0
            } else {
                rng.log_range(0.3, 14.0)
            },
            relative: rng.log_range(0.0008, 0.02),
            shared: rng.pick(&[1, 1, 2, 4]),
            telegraph: if rng.chance(0.2) { 1.0 } else { 0.0 },
            rounds: match (rng.unit() * 6.0) as u32 {
                0 => Rounds::Step(0.1),
                1 | 2 => Rounds::Step(1.0),
                3 => Rounds::Step(5.0),
                4 => Rounds::Digits(2),
                _ => Rounds::Digits(3),
            },
            backlash: rng.pick(&[0.0, 0.0, 0.4]),
        }
    }

    /// The indication without noise and rounding, micron.
    pub(super) fn clean(&self, story: &Story, t: f64) -> f64 {
        if self.average_s <= 0.0 {
            return story.at(t);
        }
        let each = self.average_s / f64::from(INSTANTS);
        let sum: f64 = (0..INSTANTS)
            .map(|i| story.at(t - (f64::from(i) + 0.5) * each))
            .sum();
        sum / f64::from(INSTANTS)
    }

    /// Standard deviation of a reading at a level, rounding included, micron.
    pub(super) fn noise_micron(&self, level: f64) -> f64 {
        let telegraph = (1.0 + self.telegraph * self.telegraph).sqrt();
        let step = (1.0 + 2.0 * self.backlash) * self.rounds.step(level);
        (self.relative * telegraph * level).hypot(step / 12_f64.sqrt())
    }

    /// Correlation of neighbours that makes as few independent readings.
    pub(super) fn correlation(&self) -> f64 {
        // switching with 0.15 a reading forgets itself by 0.7 each
        let alike = self.shared as f64 + if self.telegraph > 0.0 { 2.5 } else { 0.0 };
        (alike - 1.0) / (alike + 1.0)
    }

    /// The same, averaging over a longer time.
    pub(super) fn averaging_longer(&self, by_s: f64) -> Self {
        Self {
            average_s: self.average_s + by_s,
            ..self.clone()
        }
    }

    pub(super) fn read(&self, story: &Story, rng: &mut Rng) -> Vec<Entry> {
        let mut out = Vec::new();
        let mut draws: Vec<f64> = (0..self.shared).map(|_| rng.normal()).collect();
        let (mut side, mut last) = (1.0, None);
        let mut due = 0.0;
        while due < story.end_s {
            let t = due + self.jitter * self.interval_s * rng.unit();
            let at = out.len() % self.shared;
            draws[at] = rng.normal();
            let summed: f64 = draws.iter().sum::<f64>() / (self.shared as f64).sqrt();
            if rng.chance(0.15) {
                side = -side;
            }
            let level = self.clean(story, t);
            let value = level * (1.0 + self.relative * (summed + self.telegraph * side));
            let step = self.rounds.step(value);
            let still = |shown: &f64| (value - shown).abs() < (0.5 + self.backlash) * step;
            let shown = last.filter(still).unwrap_or((value / step).round() * step);
            last = Some(shown);
            if let Ok(p) = Pressure::from_micron(shown.max(0.0)) {
                out.push(Entry::Reading(Reading::measured(t, p)));
            }
            due += self.interval_s;
        }
        out
    }
}
