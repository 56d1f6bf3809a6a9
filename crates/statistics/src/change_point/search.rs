//! The search for a break in a stretch of points, on ever finer scales.

use super::{broken_curve::Responses, posterior::Located, window::Window};

/// Points in a window at most (common practice, no source: more say little more and cost
/// time in proportion).
const POINTS: f64 = 120.0;
/// Share of the distance from the baseline by which the curves may miss (common
/// practice, no source).
const MISFIT: f64 = 0.06;
/// Values from which a point lies on the steep fall before the baseline, or far up the
/// rise after it, over the baseline (common practice, no source).
const STEEP: f64 = 2.0;
const FAR: f64 = 5.0;
/// Fewest points in a window, and shortest window to each side in times between points
/// (common practice, no source: eight unknowns have to be told apart).
const FEWEST: usize = 12;
const FEWEST_INTERVALS: f64 = 7.0;
/// Windows no wider than this are not made finer, and breaks as well placed as this are not
/// looked at more closely, s (common practice, no source: nobody shuts a valve faster).
const FINEST_S: f64 = 15.0;
const SURE_S: f64 = 1.0;
/// Standard deviation of a rounding error over the step: √(1/12).
const ROUNDING: f64 = 0.29;

/// A value at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// When, s.
    pub t: f64,
    /// How much.
    pub y: f64,
}

/// Looks for a break in one stretch of points that falls to a baseline and then rises.
#[derive(Debug, Clone, Copy)]
pub struct Search<'a> {
    /// The points, times ascending.
    pub points: &'a [Point],
    /// Typical time between points, s, above 0.
    pub interval_s: f64,
    /// Step of the instrument; 0 for none.
    pub step: f64,
    /// Lowest value, above 0.
    pub baseline: f64,
    /// Standard deviation of a point there.
    pub noise: f64,
    /// The responses that are tried.
    pub responses: Responses<'a>,
}

impl<'a> Search<'a> {
    /// The break inside `region`, seen through the first of `widths` to each side
    /// that shows it and then on ever finer scales; times in s. `None` where no window
    /// shows a break.
    #[must_use]
    pub fn locate(&self, region: (f64, f64), widths: &[f64]) -> Option<Located> {
        // wider windows often end where the narrower did
        let mut seen: Vec<(f64, f64)> = Vec::new();
        let (mut width, mut best) = widths
            .iter()
            .copied()
            .filter(|width| *width > FEWEST_INTERVALS * self.interval_s)
            .find_map(|width| {
                let data = self.window(region, width)?;
                let ends = (data.t[0], data.t[data.t.len() - 1]);
                if seen.contains(&ends) {
                    return None;
                }
                seen.push(ends);
                Some((width, data.locate(region, self.interval_s)?))
            })?;
        let sure = self.interval_s.max(SURE_S);
        while width > FINEST_S.max(8.0 * self.interval_s) && best.located.uncertainty_s() > sure {
            width /= 2.0;
            let Some(data) = self.window(best.region, width) else {
                break;
            };
            let Some(finer) = data.locate(best.region, self.interval_s) else {
                break;
            };
            if finer.located.uncertainty_s() < best.located.uncertainty_s() {
                // the same break: what was seen of it through a wider window counts
                let evidence = best.located.evidence.max(finer.located.evidence);
                best = finer;
                best.located.evidence = evidence;
            }
        }
        Some(best.located)
    }

    /// The break inside `region` as one window of `width` to each side shows it; times in s.
    #[must_use]
    pub fn once(&self, region: (f64, f64), width: f64) -> Option<Located> {
        let data = self.window(region, width)?;
        Some(data.locate(region, self.interval_s)?.located)
    }

    /// The points around a region, thinned and weighted: what lies far from the
    /// baseline follows neither curve to the letter.
    fn window(&self, region: (f64, f64), width: f64) -> Option<Window<'a>> {
        let at = |t: f64| self.points.partition_point(|q| q.t < t);
        let (a, b) = (at(region.0), at(region.1));
        let (mut from, mut to) = (at(region.0 - width), at(region.1 + width));
        // neither the steep fall before nor the far rise tells where it began
        let steep = |q: &Point| q.y > STEEP * self.baseline;
        if let Some(i) = self.points[from..a].iter().rposition(steep) {
            from = (from + i).min(a.saturating_sub(6)).max(from);
        }
        let far = |q: &Point| q.y > FAR * self.baseline;
        if let Some(i) = self.points[b..to].iter().position(far) {
            to = (b + i).max(b + 8).min(to);
        }
        let part = self.points.get(from..to)?;
        let span = part.last()?.t - part.first()?.t;
        let every = (span / POINTS).max(0.999 * self.interval_s);
        let (mut t, mut y, mut w) = (Vec::new(), Vec::new(), Vec::new());
        for q in thin(part, every) {
            let off = MISFIT * (q.y - self.baseline) / self.noise.max(1e-9);
            let weight = 1.0 / off.hypot(1.0);
            t.push(q.t);
            y.push(q.y / self.baseline - 1.0);
            w.push(weight);
        }
        if t.len() < FEWEST {
            return None;
        }
        let step = ROUNDING * self.step / self.baseline;
        let floor = (step * step).max(1e-9);
        let latest = region.1.min(t[t.len() - 4]);
        Some(Window::new((t, y, w), floor, latest, every, self.responses))
    }
}

/// Mean points at least `every` apart.
fn thin(points: &[Point], every: f64) -> Vec<Point> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < points.len() {
        let start = i;
        while i < points.len() && (i == start || points[i].t - points[start].t < every) {
            i += 1;
        }
        let n = (i - start) as f64;
        let group = &points[start..i];
        out.push(Point {
            t: group.iter().map(|q| q.t).sum::<f64>() / n,
            y: group.iter().map(|q| q.y).sum::<f64>() / n,
        });
    }
    out
}
