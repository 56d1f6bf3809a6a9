//! A gauge made of formulas: late, noisy, rounded, bounded.

use vacuum::{Entry, Mark, MarkKind, Pressure, Reading, Sensed};

use super::track::Track;
use rehearsal::{plant::Rounding, rng::Rng};

/// Above this a thermal gauge bends upwards, micron (10 Torr).
const BENDS_ABOVE_MICRON: f64 = 10_000.0;

/// What a gauge does when the pressure is above its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Top {
    /// Says so.
    Over,
    /// Goes on printing its highest value.
    Clips,
}

/// A stretch in the hold without usable readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Outage {
    pub(super) start_s: f64,
    pub(super) end_s: f64,
    pub(super) kind: OutageKind,
}

/// What the record shows of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OutageKind {
    /// Rows with state fault.
    Fault,
    /// Nothing, then one row with state gap.
    Gap,
    /// Nothing at all.
    Missing,
}

/// A gauge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Indicator {
    pub(super) interval_s: f64,
    /// Largest deviation of an instant from its place, share of the interval.
    pub(super) jitter: f64,
    pub(super) lag_s: f64,
    /// Standard deviation over level.
    pub(super) noise: f64,
    /// Correlation of one reading's noise with the next one's.
    pub(super) correlation: f64,
    pub(super) rounding: Rounding,
    /// Relative excess far above 10 Torr; 0 for a diaphragm.
    pub(super) convex: f64,
    pub(super) top_micron: f64,
    pub(super) top: Top,
    pub(super) bottom_micron: f64,
    /// Second sensor from this level up, with its relative disagreement.
    pub(super) hand_over: Option<(f64, f64)>,
    pub(super) burst_chance: f64,
    /// Chance of a single row with state fault.
    pub(super) fault_chance: f64,
    pub(super) thermometer: bool,
}

impl Indicator {
    /// Noise-free indication of a true pressure, micron.
    pub(super) fn shows(&self, micron: f64) -> f64 {
        let over = (micron - BENDS_ABOVE_MICRON).max(0.0);
        let bent = micron + self.convex * over * over / (micron + 2.0 * BENDS_ABOVE_MICRON);
        match self.hand_over {
            Some((level, step)) => {
                let share = ((bent - level) / (0.04 * level)).clamp(0.0, 1.0);
                bent * (1.0 + step * share)
            }
            None => bent,
        }
    }

    /// Rounding step at a level, micron.
    pub(super) fn step(&self, micron: f64) -> f64 {
        self.rounding.step(micron)
    }

    /// Standard deviation of one reading at a level, rounding included, micron.
    pub(super) fn noise_at(&self, micron: f64) -> f64 {
        (self.noise * micron).hypot(self.step(micron) / 12f64.sqrt())
    }

    /// Reads the whole track.
    pub(super) fn read(
        &self,
        track: &Track,
        celsius: impl Fn(f64) -> f64,
        outage: Option<Outage>,
        rng: &mut Rng,
    ) -> Vec<Entry> {
        let mut out = Vec::new();
        let mut felt = track.at(0.0);
        let mut felt_at = 0.0;
        let mut noise = rng.normal();
        let mut silent = false;
        let mut i = 0u32;
        loop {
            let shift = self.jitter * (rng.unit() - 0.5) * self.interval_s;
            let t = (f64::from(i) * self.interval_s + shift).max(0.0);
            if t > track.end_s {
                return out;
            }
            i += 1;
            felt = self.follow(track, felt, felt_at, t);
            felt_at = t;
            let r = self.correlation;
            noise = r * noise + (1.0 - r * r).sqrt() * rng.normal();
            let mut sensed = self.print(self.shows(felt) * (1.0 + self.noise * noise), rng);
            let temperature_c = self
                .thermometer
                .then(|| ((celsius(t) + 0.05 * rng.normal()) * 10.0).round() / 10.0);
            if let Some(o) = outage.filter(|o| t >= o.start_s && t < o.end_s) {
                if o.kind != OutageKind::Fault {
                    silent = o.kind == OutageKind::Gap;
                    continue;
                }
                sensed = Sensed::Fault;
            }
            if std::mem::take(&mut silent) {
                out.push(Entry::Reading(Reading::gap(t)));
                continue;
            }
            out.push(Entry::Reading(Reading {
                elapsed_s: t,
                sensed,
                temperature_c,
            }));
        }
    }

    /// First-order lag in steps that are short against it.
    fn follow(&self, track: &Track, mut felt: f64, from: f64, to: f64) -> f64 {
        if self.lag_s < 0.05 {
            return track.at(to);
        }
        let steps = ((to - from) / (0.2 * self.lag_s).min(0.25)).ceil().max(1.0);
        let dt = (to - from) / steps;
        let keep = (-dt / self.lag_s).exp();
        for k in 0..steps as u32 {
            let middle = from + (f64::from(k) + 0.5) * dt;
            felt = track.at(middle) + (felt - track.at(middle)) * keep;
        }
        felt
    }

    fn print(&self, noisy: f64, rng: &mut Rng) -> Sensed {
        let mut micron = noisy;
        if rng.chance(self.burst_chance) {
            let size = rng.log_range(1.2, 5.0);
            micron *= if rng.chance(0.7) { size } else { 1.0 / size };
        }
        if rng.chance(self.fault_chance) {
            return Sensed::Fault;
        }
        if micron > self.top_micron {
            match self.top {
                Top::Over => return Sensed::Over(Pressure::from_micron(self.top_micron).ok()),
                Top::Clips => micron = self.top_micron,
            }
        }
        if micron < self.bottom_micron {
            return Sensed::Under(Pressure::from_micron(self.bottom_micron).ok());
        }
        let step = self.step(micron);
        let shown = ((micron / step).round() * step).max(0.0);
        Pressure::from_micron(shown).map_or(Sensed::Fault, Sensed::Measured)
    }
}

/// A mark as an entry.
pub(super) fn mark(elapsed_s: f64, kind: MarkKind) -> Entry {
    Entry::Mark(Mark {
        elapsed_s,
        kind,
        note: String::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::{super::track::Shape, *};

    fn plain() -> Indicator {
        Indicator {
            interval_s: 1.0,
            jitter: 0.0,
            lag_s: 0.0,
            noise: 0.01,
            correlation: 0.6,
            rounding: Rounding::Step(0.1),
            convex: 0.0,
            top_micron: 1e6,
            top: Top::Over,
            bottom_micron: 0.0,
            hand_over: None,
            burst_chance: 0.0,
            fault_chance: 0.0,
            thermometer: false,
        }
    }

    fn values(gauge: &Indicator, track: &Track) -> Vec<f64> {
        let entries = gauge.read(track, |_| 20.0, None, &mut Rng::new(1, 1));
        let measured = |e: &Entry| match e {
            Entry::Reading(r) => r.pressure().map(Pressure::micron),
            Entry::Mark(_) => None,
        };
        entries.iter().filter_map(measured).collect()
    }

    #[test]
    fn the_noise_is_as_strong_and_as_correlated_as_it_says() {
        let mut track = Track::default();
        track.add(Shape::Still(1000.0), 40_000.0);
        let shown = values(&plain(), &track);
        let n = shown.len() as f64;
        let mean = shown.iter().sum::<f64>() / n;
        let squares: f64 = shown.iter().map(|v| (v - mean).powi(2)).sum();
        let products: f64 = shown
            .windows(2)
            .map(|w| (w[0] - mean) * (w[1] - mean))
            .sum();
        assert!((mean - 1000.0).abs() < 0.5, "{mean}");
        assert!(((squares / n).sqrt() - 10.0).abs() < 0.2);
        assert!((products / squares - 0.6).abs() < 0.02);
    }

    #[test]
    fn a_lag_shifts_a_ramp_by_itself() {
        let mut track = Track::default();
        let ramp = Shape::Inflow {
            from: 100.0,
            per_s: 10.0,
            gap: 0.0,
            tau_s: 1.0,
        };
        track.add(ramp, 100.0);
        let gauge = Indicator {
            lag_s: 4.0,
            noise: 0.0,
            ..plain()
        };
        let shown = values(&gauge, &track);
        assert!(
            (shown[100] - (1100.0 - 40.0)).abs() < 0.11,
            "{}",
            shown[100]
        );
    }

    #[test]
    fn above_its_top_a_gauge_says_so_or_clips() {
        let mut track = Track::default();
        track.add(Shape::Still(30_000.0), 10.0);
        let mut gauge = Indicator {
            top_micron: 20_000.0,
            ..plain()
        };
        assert!(values(&gauge, &track).is_empty());
        gauge.top = Top::Clips;
        assert!(values(&gauge, &track).iter().all(|v| *v == 20_000.0));
    }
}
