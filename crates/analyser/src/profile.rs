//! The instant of a break in the curve, as a probability over time.
//!
//! For every instant t₀ on a grid and every onset (see `kink`) the linear terms
//! and the two noise levels are profiled out; the posterior of t₀ is
//! Σ over onsets of weight·exp(−D/2·ν/n)·ν^(−k/2), with the deviance D, the
//! Schwarz penalty for k terms more than a mere change of slope, and ν/n the share
//! of independent readings n·(1 − r)/(1 + r) from the lag-1 autocorrelation r of
//! the residuals. Profile likelihood of a change-point: textbook method; the
//! discount for correlation as in `noise::effective_size`.
//!
//! What is reported is the instant with the most probability around it, with the
//! interval that holds 95 %. A break counts when ν·ln(RSS ratio) over a smooth
//! curve exceeds [`NEEDED`].

use crate::{
    history::Block,
    kink::{Broken, DOWN, ONSETS, Window},
    median::median,
    noise::{effective_size, lag_one},
};

/// Points in a window at most.
const POINTS: f64 = 120.0;
/// Instants tried in a region.
const INSTANTS: usize = 29;
/// ν·ln(RSS ratio) that a break must bring over a smooth curve.
pub(crate) const NEEDED: f64 = 10.0;
/// Share of the distance from the bottom by which the curves may miss.
const MISFIT: f64 = 0.06;
/// Independent readings that tell no more than one: no curve is followed to the letter.
/// Set on tuning runs so that the windows hold the truth as often as they say.
const SPREAD: f64 = 1.4;
/// Log-probability below the best at which an instant is given up.
const GIVEN_UP: f64 = 8.0;

/// A cleaned reading or block: time in s, pressure in micron.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    pub(crate) t: f64,
    pub(crate) p: f64,
}

/// Where the break is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Located {
    /// Most probable instant, s.
    pub(crate) at_s: f64,
    /// 95 % of the probability, s.
    pub(crate) window: (f64, f64),
    /// Evidence over a smooth curve.
    pub(crate) evidence: f64,
    /// Evidence over a curve that was isolated before its first reading.
    pub(crate) over_start: f64,
}

impl Located {
    /// Length of the 95 % interval, s.
    pub(crate) fn uncertain_s(&self) -> f64 {
        self.window.1 - self.window.0
    }
}

/// Blocks as points, without single readings that stand out from both
/// neighbours while those agree with each other: interference.
pub(crate) fn clean(blocks: &[Block]) -> Vec<Point> {
    let mut out: Vec<Point> = blocks
        .iter()
        .map(|b| Point { t: b.t(), p: b.p() })
        .collect();
    // as read: what was cleaned already does not count
    let raw = |i: usize| blocks[i].p();
    for i in 1..blocks.len().saturating_sub(1) {
        let (a, b) = (raw(i - 1), raw(i + 1));
        let middle = 0.5 * (a + b);
        let off = (raw(i) - middle).abs();
        if off < 0.05 * middle || (b - a).abs() > 0.3 * off {
            continue;
        }
        let near = &blocks[i.saturating_sub(4)..(i + 5).min(blocks.len())];
        let mut usual: Vec<f64> = near
            .windows(2)
            .map(|w| (w[1].p() - w[0].p()).abs())
            .collect();
        if off > 6.0 * median(&mut usual) {
            out[i].p = middle;
        }
    }
    out
}

/// Looks for a break in one stretch.
pub(crate) struct Search<'a> {
    pub(crate) points: &'a [Point],
    /// Typical time between points, s.
    pub(crate) interval_s: f64,
    /// Gauge step, micron.
    pub(crate) step_micron: f64,
    /// Lowest pressure, micron.
    pub(crate) bottom_micron: f64,
    /// Noise of a reading there, micron.
    pub(crate) noise_micron: f64,
}

struct Found {
    located: Located,
    /// Where to look on the next finer scale.
    region: (f64, f64),
}

impl Search<'_> {
    /// The break inside `region`, seen through the first of `widths_s` to each side
    /// that shows it and then on ever finer scales.
    pub(crate) fn locate(&self, region: (f64, f64), widths_s: &[f64]) -> Option<Located> {
        // wider windows often end where the narrower did
        let mut seen: Vec<(f64, f64)> = Vec::new();
        let (mut width_s, mut best) = widths_s
            .iter()
            .copied()
            .filter(|width| *width > 7.0 * self.interval_s)
            .find_map(|width| {
                let data = self.window(region, width)?;
                let ends = (data.t[0], data.t[data.t.len() - 1]);
                if seen.contains(&ends) {
                    return None;
                }
                seen.push(ends);
                Some((width, self.in_window(&data, region)?))
            })?;
        let sure_s = self.interval_s.max(1.0);
        while width_s > (15.0_f64).max(8.0 * self.interval_s) && best.located.uncertain_s() > sure_s
        {
            width_s /= 2.0;
            let Some(data) = self.window(best.region, width_s) else {
                break;
            };
            let Some(finer) = self.in_window(&data, best.region) else {
                break;
            };
            if finer.located.uncertain_s() < best.located.uncertain_s() {
                // the same break: what was seen of it through a wider window counts
                let evidence = best.located.evidence.max(finer.located.evidence);
                best = finer;
                best.located.evidence = evidence;
            }
        }
        Some(best.located)
    }

    /// The break inside `region` as one window of `width_s` to each side shows it.
    pub(crate) fn once(&self, region: (f64, f64), width_s: f64) -> Option<Located> {
        let data = self.window(region, width_s)?;
        Some(self.in_window(&data, region)?.located)
    }

    /// The points around a region, thinned and weighted: what lies far from the
    /// bottom follows neither curve to the letter.
    fn window(&self, region: (f64, f64), width_s: f64) -> Option<Window> {
        let at = |t: f64| self.points.partition_point(|q| q.t < t);
        let (a, b) = (at(region.0), at(region.1));
        let (mut from, mut to) = (at(region.0 - width_s), at(region.1 + width_s));
        // neither the steep fall before nor the far rise tells where it began
        let steep = |q: &Point| q.p > 2.0 * self.bottom_micron;
        if let Some(i) = self.points[from..a].iter().rposition(steep) {
            from = (from + i).min(a.saturating_sub(6)).max(from);
        }
        let far = |q: &Point| q.p > 5.0 * self.bottom_micron;
        if let Some(i) = self.points[b..to].iter().position(far) {
            to = (b + i).max(b + 8).min(to);
        }
        let part = self.points.get(from..to)?;
        let span = part.last()?.t - part.first()?.t;
        let every = (span / POINTS).max(0.999 * self.interval_s);
        let (mut t, mut y, mut w) = (Vec::new(), Vec::new(), Vec::new());
        for q in thin(part, every) {
            let off = MISFIT * (q.p - self.bottom_micron) / self.noise_micron.max(1e-9);
            let weight = 1.0 / off.hypot(1.0);
            t.push(q.t);
            y.push(q.p / self.bottom_micron - 1.0);
            w.push(weight);
        }
        if t.len() < 12 {
            return None;
        }
        let step = 0.29 * self.step_micron / self.bottom_micron;
        let floor = (step * step).max(1e-9);
        let latest_s = region.1.min(t[t.len() - 4]);
        // what is shorter than the time between points shows as one step
        let onsets: Vec<usize> = (0..ONSETS.len())
            .filter(|i| {
                let o = ONSETS[*i];
                let longest = o.lag_s.max(o.jump_s.unwrap_or(0.0));
                longest == 0.0 || longest > 0.4 * every
            })
            .collect();
        Some(Window::new((t, y, w), floor, latest_s, onsets))
    }

    fn in_window(&self, data: &Window, region: (f64, f64)) -> Option<Found> {
        let n = data.t.len();
        let (from, to) = (region.0.max(data.t[3]), region.1.min(data.t[n - 4]));
        if to <= from {
            return None;
        }
        let every = (to - from) / (INSTANTS - 1) as f64;
        let time = |i: f64| from + every * i;
        let instants: Vec<f64> = (0..INSTANTS).map(|i| time(i as f64)).collect();
        let fits = data.scan(&instants);
        let all = || fits.iter().flatten();
        let best = all().min_by(|a, b| a.deviance.total_cmp(&b.deviance))?;
        let r = lag_one(&data.residuals(best)).clamp(0.0, 0.95);
        let size = effective_size(n as f64, r);
        let evidence = size * (data.without_break() - best.ln_variance);
        if evidence < NEEDED {
            return None;
        }
        // a fall at the beginning of a hold is no pull-down
        let pumped = all()
            .filter(|f| !f.down)
            .map(|f| f.ln_variance)
            .fold(f64::INFINITY, f64::min);
        let posterior = posterior(&fits, best.deviance, size / SPREAD, n as f64);
        let near_s = (3.0 * self.interval_s).max(5.0);
        let (at, window) = summarise(&posterior, near_s / every);
        let peak = posterior.iter().copied().fold(0.0, f64::max);
        let kept = |v: &f64| *v > peak * (-GIVEN_UP).exp();
        let low = posterior.iter().position(kept)? as f64;
        let high = posterior.iter().rposition(kept)? as f64;
        let spare = 1.0 + 0.25 * (high - low);
        Some(Found {
            located: Located {
                at_s: time(at),
                window: (time(window.0), time(window.1)),
                evidence,
                over_start: size * (data.isolated_before() - pumped),
            },
            region: (
                time(low - spare).max(region.0),
                time(high + spare).min(region.1),
            ),
        })
    }
}

/// Probability of every instant, up to a factor, when `size` of the `n` points count
/// as independent.
fn posterior(fits: &[Vec<Broken>], least: f64, size: f64, n: f64) -> Vec<f64> {
    let chance = |fit: &Broken| {
        let down = if fit.down { DOWN } else { 0.0 };
        let onset = ONSETS[fit.onset];
        let terms = if onset.jump_s.is_some() { 1.0 } else { 0.0 };
        let penalty = 0.5 * terms * size.max(2.0).ln();
        (onset.weight + down - 0.5 * size / n * (fit.deviance - least) - penalty).exp()
    };
    fits.iter()
        .map(|row| row.iter().map(chance).sum())
        .collect()
}

/// Mean points at least `every_s` apart.
fn thin(points: &[Point], every_s: f64) -> Vec<Point> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < points.len() {
        let start = i;
        while i < points.len() && (i == start || points[i].t - points[start].t < every_s) {
            i += 1;
        }
        let n = (i - start) as f64;
        let group = &points[start..i];
        out.push(Point {
            t: group.iter().map(|q| q.t).sum::<f64>() / n,
            p: group.iter().map(|q| q.p).sum::<f64>() / n,
        });
    }
    out
}

/// The centre of the stretch of ±`reach` that holds the most probability, and the
/// 95 % interval, in grid steps.
fn summarise(posterior: &[f64], reach: f64) -> (f64, (f64, f64)) {
    let n = posterior.len();
    let reach = reach as usize;
    let around = |i: usize| i.saturating_sub(reach)..(i + reach + 1).min(n);
    let mass = |i: usize| posterior[around(i)].iter().sum::<f64>();
    let best = (0..n)
        .max_by(|a, b| mass(*a).total_cmp(&mass(*b)))
        .unwrap_or(0);
    // many stretches may hold the same: the mean of what lies in one
    let first_moment: f64 = around(best).map(|i| i as f64 * posterior[i]).sum();
    let centre = first_moment / mass(best).max(1e-300);
    let total: f64 = posterior.iter().sum();
    let quantile = |q: f64| {
        let mut sum = 0.0;
        let reached = posterior.iter().position(|v| {
            sum += v;
            sum >= q * total
        });
        reached.unwrap_or(n - 1) as f64
    };
    let low = (quantile(0.025) - 0.5).max(0.0);
    let high = (quantile(0.975) + 0.5).min((n - 1) as f64);
    (centre, (low.min(centre), high.max(centre)))
}
