//! The baseline of a curve (its lowest stretch), and where in it the valve can have been
//! shut.
//!
//! The search runs from several levels above it, each with the smallest
//! window that shows the rise clearly.

use run_memory::LogBin;
use statistics::{
    change_point::{Located, NEEDED, Point, Search},
    robust::{MAD_TO_SD, median},
};

use super::{points::typical_interval, responses::RESPONSES};

/// Heights above the baseline, in units of the least that shows (common practice, no
/// source).
const LEVELS: [f64; 3] = [1.0, 3.0, 9.0];
/// Widths of windows tried, over the one that should do (common practice, no source).
const WIDTHS: [f64; 5] = [1.0, 0.5, 0.25, 2.0, 4.0];
/// How far to each side of the lowest point it is looked for, s (common practice, no
/// source).
const REACHES_S: [f64; 3] = [20.0, 60.0, 180.0];

/// The baseline of a curve.
pub(crate) struct Baseline<'a> {
    points: &'a [Point],
    smooth: &'a [LogBin],
    baseline_micron: f64,
    /// From the baseline to the top after it, micron.
    rise_micron: f64,
    noise_micron: f64,
    step_micron: f64,
    interval_s: f64,
    bin_s: f64,
    start_s: f64,
}

/// Where to look for a break, and through which data.
struct Frame {
    region: (f64, f64),
    width_s: f64,
    data_from_s: f64,
}

impl<'a> Baseline<'a> {
    /// The baseline at `baseline_micron` from which the pressure rises by
    /// `rise_micron`.
    pub(crate) fn new(
        points: &'a [Point],
        smooth: &'a [LogBin],
        (baseline_micron, rise_micron): (f64, f64),
        step_micron: f64,
    ) -> Self {
        let span = match (smooth.first(), smooth.last()) {
            (Some(a), Some(b)) => b.t - a.t,
            _ => 0.0,
        };
        Self {
            points,
            smooth,
            baseline_micron,
            rise_micron,
            noise_micron: noise_at(points, baseline_micron).hypot(0.29 * step_micron),
            step_micron,
            interval_s: typical_interval(points),
            bin_s: span / smooth.len().max(1) as f64,
            start_s: points.first().map_or(0.0, |q| q.t),
        }
    }

    /// The break that began the rise. A rise that steepens later began there: what
    /// came before was a drift under the pump. `low_s` is the time of the lowest point.
    pub(crate) fn locate(&self, low_s: f64) -> Option<Located> {
        let in_bin = (self.interval_s / self.bin_s.max(1e-9)).min(1.0).sqrt();
        let least = (3.0 * self.noise_micron * in_bin.max(0.4))
            .max(0.6 * self.step_micron)
            .max(0.01 * self.baseline_micron)
            .min(0.3 * self.rise_micron);
        let mut found: Option<Located> = None;
        for level in LEVELS {
            if level > 1.0 && level * least > 0.3 * self.rise_micron {
                break;
            }
            let Some(frame) = self.frame(level * least) else {
                continue;
            };
            let settled =
                |f: Located| f.uncertainty_s() < self.sure_s() && frame.region.0 <= f.window_s.1;
            if found.is_some_and(settled) {
                continue;
            }
            let better = |next: &Located| {
                found.is_none_or(|f| {
                    let later = next.at_s > f.window_s.1 + 10.0;
                    let sharper = next.uncertainty_s() < f.uncertainty_s();
                    if later {
                        self.steepens(f.at_s, next.at_s)
                    } else {
                        sharper
                    }
                })
            };
            if let Some(next) = self.look(&frame, &WIDTHS).filter(better) {
                found = Some(next);
            }
        }
        let found = self.at_low(low_s, found);
        let found = self.in_the_long_view(low_s, found).or(found);
        found.map(|f| self.later_break(&f).unwrap_or(f))
    }

    /// Where a slow rise leaves a level that the pump held for long, a window round the
    /// end of the fall may show a break there too. All of the level and half of the rise
    /// tell better which of them began the rise.
    fn in_the_long_view(&self, low_s: f64, found: Option<Located>) -> Option<Located> {
        let half = self.baseline_micron + 0.5 * self.rise_micron;
        let risen_s = last_below(self.smooth, half)?;
        let near =
            (0.25 * self.rise_micron).max(4.0 * self.noise_micron.min(0.2 * self.rise_micron));
        let from_s = self
            .smooth
            .iter()
            .take_while(|b| b.t < low_s.min(risen_s))
            .filter(|b| b.y.exp() > self.baseline_micron + near)
            .last()?
            .t;
        let level_s = risen_s - from_s;
        if found.is_some_and(|f| level_s < 4.0 * f.uncertainty_s() + 60.0) {
            return None;
        }
        let wide = self.search(from_s).once((from_s, risen_s), level_s)?;
        let elsewhere = |f: Located| {
            let gained = self.level(wide.window_s.0) - self.level(f.at_s);
            let later = wide.window_s.0 > f.window_s.1 && gained.abs() < 0.1 * self.rise_micron;
            later && f.uncertainty_s() >= self.sure_s()
        };
        if !found.is_none_or(elsewhere) {
            return None;
        }
        let reach_s = 0.5 * wide.uncertainty_s();
        let frame = Frame {
            region: (wide.window_s.0 - reach_s, wide.window_s.1 + reach_s),
            width_s: 3.0 * wide.uncertainty_s().max(40.0).max(20.0 * self.interval_s),
            data_from_s: from_s,
        };
        let finer = self.look(&frame, &WIDTHS);
        finer
            .filter(|f| f.uncertainty_s() < wide.uncertainty_s())
            .or(Some(wide))
    }

    /// Uncertainty below which an instant is well placed, s.
    fn sure_s(&self) -> f64 {
        (6.0 * self.interval_s).max(10.0)
    }

    /// A hold never rises faster after a while than at its beginning: a break from
    /// which the better part of the rise comes began it, and what came before was
    /// the pump recovering.
    fn later_break(&self, first: &Located) -> Option<Located> {
        let from = self
            .smooth
            .partition_point(|b| b.t < first.window_s.1 + 20.0);
        let later = &self.smooth[from..];
        let begun = self.level(first.at_s);
        let gain = |b: &LogBin| {
            let here = self.level(b.t);
            let after = self.level(2.0 * b.t - first.at_s) - here;
            let main = after > 0.5 * self.rise_micron && after > 0.1 * here;
            if main {
                after - 3.0 * (here - begun).max(0.0)
            } else {
                0.0
            }
        };
        let every = (later.len() / 150).max(1);
        let gains: Vec<(f64, f64)> = later
            .iter()
            .step_by(every)
            .map(|b| (b.t, gain(b)))
            .collect();
        let most = gains.iter().map(|g| g.1).fold(0.0, f64::max);
        if most <= 0.0 {
            return None;
        }
        let (at_s, _) = *gains.iter().rfind(|g| g.1 > 0.8 * most)?;
        let reach_s = 30.0_f64
            .max(5.0 * self.interval_s)
            .max(2.0 * every as f64 * self.bin_s);
        let frame = Frame {
            region: (at_s - 3.0 * reach_s, at_s + reach_s),
            width_s: 2.0 * reach_s,
            data_from_s: first.window_s.1,
        };
        self.look(&frame, &[1.0]).filter(|f| self.is_sharp(f))
    }

    /// A well-placed, clear break.
    fn is_sharp(&self, f: &Located) -> bool {
        f.uncertainty_s() < self.sure_s() && f.evidence > 3.0 * NEEDED
    }

    /// Smoothed pressure at a time, micron.
    fn level(&self, t: f64) -> f64 {
        let i = self.smooth.partition_point(|b| b.t < t);
        let near = &self.smooth[i.saturating_sub(2)..(i + 1).min(self.smooth.len())];
        let mut levels: Vec<f64> = near.iter().map(|b| b.y.exp()).collect();
        median(&mut levels)
    }

    /// True when the pressure rises faster after `later_s` than it did from
    /// `first_s` on: over as long a stretch, and by half as much again.
    fn steepens(&self, first_s: f64, later_s: f64) -> bool {
        let (a, b) = (self.level(first_s), self.level(later_s));
        let after = self.level(2.0 * later_s - first_s) - b;
        after > 1.5 * (b - a).max(0.0)
    }

    /// Looks round the lowest point itself where the levels have told little: a
    /// small jump and a flat hold stand out nowhere but there.
    fn at_low(&self, low_s: f64, found: Option<Located>) -> Option<Located> {
        let mut best = found;
        for reach_s in REACHES_S {
            let reach_s = reach_s.max(5.0 * self.interval_s);
            if best.is_some_and(|f| f.uncertainty_s() < self.sure_s()) {
                break;
            }
            let frame = Frame {
                region: ((low_s - reach_s).max(self.start_s), low_s + reach_s),
                width_s: 2.0 * reach_s,
                data_from_s: self.start_s,
            };
            // only a break: a shallow baseline has its lowest point anywhere
            best = self
                .look(&frame, &[1.0])
                .filter(|f| self.is_sharp(f))
                .or(best);
        }
        best
    }

    /// Where the break lies that leads to a rise of `shown` micron and more.
    ///
    /// A rise that bends over cannot have been under way for longer than it takes
    /// from there to four times as much, and a half for noise.
    fn frame(&self, shown: f64) -> Option<Frame> {
        let (bin_s, interval_s) = (self.bin_s, self.interval_s);
        let left_s = last_below(self.smooth, self.baseline_micron + shown)?;
        let clear = (4.0 * shown).min(0.7 * self.rise_micron);
        let clear_s = last_below(self.smooth, self.baseline_micron + clear)?;
        let climb_s = (clear_s - left_s).max(2.0 * bin_s).max(5.0);
        let came_s = self
            .smooth
            .iter()
            .take_while(|b| b.t < left_s)
            .filter(|b| b.y.exp() > self.baseline_micron + shown)
            .last()
            .map_or(self.start_s, |b| b.t + 0.5 * bin_s);
        // a gauge with lag shows no more than this when the valve is shut
        let steep_s = self
            .smooth
            .iter()
            .rfind(|b| b.t < left_s && b.y.exp() > 2.0 * self.baseline_micron)
            .map_or(self.start_s, |b| b.t);
        let earliest_s = (left_s - 1.5 * climb_s - 2.0 * bin_s).max(steep_s);
        // a plateau tells more about what went before than the fall that led to it
        let plateau = left_s - came_s > climb_s.max(30.0).max(15.0 * interval_s);
        let (data_from_s, earliest_s) = if plateau {
            (came_s, earliest_s.max(came_s))
        } else {
            (self.start_s, earliest_s)
        };
        Some(Frame {
            region: (earliest_s, left_s + climb_s + 2.0 * bin_s),
            width_s: (3.0 * climb_s).max(40.0).max(20.0 * interval_s),
            data_from_s,
        })
    }

    fn look(&self, frame: &Frame, factors: &[f64]) -> Option<Located> {
        let widths_s: Vec<f64> = factors.iter().map(|f| f * frame.width_s).collect();
        self.search(frame.data_from_s)
            .locate(frame.region, &widths_s)
    }

    /// A search in the data from a time on.
    fn search(&self, from_s: f64) -> Search<'_> {
        Search {
            points: &self.points[self.points.partition_point(|q| q.t < from_s)..],
            interval_s: self.interval_s,
            step: self.step_micron,
            baseline: self.baseline_micron,
            noise: self.noise_micron,
            responses: RESPONSES,
        }
    }
}

/// Noise of a reading at the baseline, micron: from second differences, relative
/// to the level, over all that lies within a factor of three.
fn noise_at(points: &[Point], baseline_micron: f64) -> f64 {
    let mut seconds: Vec<f64> = points
        .windows(3)
        .filter(|w| w[1].y < 3.0 * baseline_micron)
        .map(|w| (w[0].y - 2.0 * w[1].y + w[2].y).abs() / w[1].y.max(1e-3))
        .collect();
    if seconds.is_empty() {
        return 1e-3 * baseline_micron;
    }
    let relative = MAD_TO_SD * median(&mut seconds) / 6.0_f64.sqrt();
    relative.clamp(2e-4, 0.05) * baseline_micron
}

/// Time of the last bin below a level, s.
fn last_below(smooth: &[LogBin], micron: f64) -> Option<f64> {
    let y = micron.max(1e-3).ln();
    smooth.iter().rfind(|b| b.y < y).map(|b| b.t)
}
