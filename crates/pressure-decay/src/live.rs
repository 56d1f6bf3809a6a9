//! Where a test stands while it goes on.

use findings::{DecayFindings, DecayLive, DecayPhase, Verdict};
use vacuum::Pressure;

use crate::memory::PressureDecay;

/// How far back the trend looks, s.
const TREND_S: f64 = 60.0;
/// Fewer blocks than this show no trend.
const LEAST_BLOCKS: usize = 5;
/// From this much above the air on, gas has been let in: Pa.
const UNDER_PRESSURE_PA: f64 = 0.5e5;

impl PressureDecay {
    /// Where the test stands. `found` is what [`PressureDecay::findings`] said of it, now or
    /// a little before: that takes some milliseconds, so not every look needs its own.
    #[must_use]
    pub fn live(&self, found: DecayFindings) -> DecayLive {
        let newest = self.blocks.last();
        let now_s = newest.map(|_| self.newest_s);
        let shut_at_s = self.setup.shut_at_s;
        let air = self.setup.barometer_pa.unwrap_or(Pressure::ATMOSPHERE.pa());
        let pressure_pa = newest.map(|b| b.pressure_pa());
        let phase = match (shut_at_s, self.setup.vented_at_s, pressure_pa) {
            (_, Some(_), _) => DecayPhase::Vented,
            (Some(_), ..) => DecayPhase::Hold,
            (None, None, Some(pa)) if pa > air + UNDER_PRESSURE_PA => DecayPhase::UnderSupply,
            _ => DecayPhase::Waiting,
        };
        let shut = shut_at_s
            .zip(now_s)
            .map(|(at, now)| (at, (now - at).max(0.0)));
        let left_s = shut.and_then(|(_, held_s)| {
            let rest_s = 60.0 * self.setup.hold_min - held_s;
            let more_s = found.decay.and_then(|d| d.decides_in_min).map(|m| 60.0 * m);
            match found.verdict {
                Verdict::NotProven => more_s
                    .map(|more| more.max(rest_s))
                    .or((rest_s > 0.0).then_some(rest_s)),
                _ => Some(rest_s),
            }
        });
        DecayLive {
            phase,
            pressure_pa,
            trend_pa_per_min: self.trend_pa_per_min(),
            shut,
            left_s: left_s.map(|s| s.max(0.0)),
            findings: found,
        }
    }

    /// Least-squares slope of the last minute, Pa/min.
    fn trend_pa_per_min(&self) -> Option<f64> {
        let from_s = self.newest_s - TREND_S;
        let recent = self
            .blocks
            .iter()
            .rev()
            .take_while(|b| b.time_s() >= from_s);
        let points: Vec<(f64, f64)> = recent.map(|b| (b.time_s(), b.pressure_pa())).collect();
        if points.len() < LEAST_BLOCKS {
            return None;
        }
        let n = points.len() as f64;
        let middle = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
        let (t0, p0) = (middle(|p| p.0), middle(|p| p.1));
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            points.iter().map(|(t, p)| of(t - t0, p - p0)).sum()
        };
        let spread = sum(&|t, _| t * t);
        (spread > 0.0).then(|| 60.0 * sum(&|t, p| t * p) / spread)
    }
}

#[cfg(test)]
mod tests {
    use vacuum::{Entry, Mark, MarkKind, Reading};

    use super::*;
    use crate::Setup;

    fn reading(at_s: f64, pa: f64) -> Entry {
        let pressure = Pressure::from_pa(pa).expect("a pressure");
        Entry::Reading(Reading::measured(at_s, pressure))
    }

    fn mark(at_s: f64, kind: MarkKind) -> Entry {
        Entry::Mark(Mark {
            elapsed_s: at_s,
            kind,
            note: String::new(),
        })
    }

    #[test]
    fn the_phases_of_a_test_follow_gas_and_marks() {
        let mut test = PressureDecay::new(Setup::default());
        let phase = |test: &PressureDecay| test.live(test.findings()).phase;
        assert_eq!(phase(&test), DecayPhase::Waiting);
        test.take(&reading(0.0, 101_000.0));
        assert_eq!(phase(&test), DecayPhase::Waiting);
        for second in 1..100 {
            test.take(&reading(
                f64::from(second),
                101_000.0 + 1e4 * f64::from(second),
            ));
        }
        assert_eq!(phase(&test), DecayPhase::UnderSupply);
        let trend = test
            .live(test.findings())
            .trend_pa_per_min
            .expect("a trend");
        assert!((trend - 6e5).abs() < 1.0, "{trend}");
        test.take(&mark(100.0, MarkKind::SupplyShut));
        test.take(&reading(160.0, 1.1e6));
        let live = test.live(test.findings());
        assert_eq!(live.phase, DecayPhase::Hold);
        assert_eq!(live.shut, Some((100.0, 60.0)));
        let left_s = live.left_s.expect("not decided");
        assert!(left_s >= 14.0 * 60.0 - 1e-6, "{left_s}");
        test.take(&mark(200.0, MarkKind::Vented));
        assert_eq!(phase(&test), DecayPhase::Vented);
    }
}
