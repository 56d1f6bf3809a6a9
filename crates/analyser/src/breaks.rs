//! A break in the curve of ln p: line and bend before, line, bend and a fast
//! exponential after, against one smooth cubic through the same points.

use crate::{
    history::Block,
    linear::{LinearFit, least_squares},
};

/// Improvement of N·ln(RSS) that a break must bring over a smooth curve: a base, and
/// so much per point, since neighbouring readings are not independent.
const BREAK_EVIDENCE: (f64, f64) = (10.0, 0.12);
/// A break in the curve.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Break {
    /// Where, s.
    pub(crate) at_s: f64,
    /// How much better than a smooth curve, in units of what is needed.
    pub(crate) evidence: f64,
}

/// Looks for a break on one scale.
pub(crate) struct Scan<'a> {
    pub(crate) blocks: &'a [Block],
    pub(crate) interval: f64,
    /// Gauge step in ln p.
    pub(crate) step: f64,
    /// ln p at the bottom.
    pub(crate) bottom: f64,
}

impl Scan<'_> {
    /// The best break in `region`, tried every `every_s`, seen through a window of
    /// `width_s` to each side.
    pub(crate) fn best_break(
        &self,
        region: (f64, f64),
        width_s: f64,
        every_s: f64,
    ) -> Option<Break> {
        let left = self.blocks.partition_point(|b| b.t() < region.0 - width_s);
        let right = self.blocks.partition_point(|b| b.t() <= region.1 + width_s);
        let part = self.blocks.get(left..right)?;
        let points = thin(part, (width_s / 60.0).max(self.interval));
        let mut best: Option<Break> = None;
        let mut at_s = region.0;
        while at_s <= region.1 {
            if let Some(evidence) = self.evidence(&points, at_s, width_s)
                && best.is_none_or(|b| evidence > b.evidence)
            {
                best = Some(Break { at_s, evidence });
            }
            at_s += every_s;
        }
        best
    }

    /// N·ln(RSS of a smooth cubic / RSS of the broken curve) around `at_s`, in units of
    /// what is needed; `None`
    /// when the curve does not turn upwards there.
    fn evidence(&self, points: &[(f64, f64)], at_s: f64, width_s: f64) -> Option<f64> {
        let a = points.partition_point(|(t, _)| *t < at_s - width_s);
        let b = points.partition_point(|(t, _)| *t <= at_s + width_s);
        // neither the steep fall before nor the far rise tells where it began
        let near: Vec<(f64, f64)> = points[a..b]
            .iter()
            .filter(|(t, y)| *t >= at_s || *y < self.bottom + 0.7)
            .map(|(t, y)| ((t - at_s) / width_s, *y))
            .collect();
        let before = near.iter().filter(|(u, _)| *u < 0.0).count();
        if before < 3 || near.len() - before < 3 || near.len() < 9 {
            return None;
        }
        let smooth_rss = cubic_rss(&near)?;
        let broken = broken_rss(&near)?;
        // a staircase cannot be fitted better than its steps allow
        let n = near.len() as f64;
        let floor = n * (self.step * self.step / 12.0).max(1e-9);
        let evidence = n * ((smooth_rss + floor) / (broken.rss + floor)).ln();
        // in units of what is needed
        let needed = BREAK_EVIDENCE.0 + BREAK_EVIDENCE.1 * n;
        (broken.turn > 0.0).then_some(evidence / needed)
    }
}

/// Mean points of ln p, at least `every_s` apart.
fn thin(blocks: &[Block], every_s: f64) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    let (mut t, mut p, mut n, mut from) = (0.0_f64, 0.0_f64, 0.0_f64, f64::NEG_INFINITY);
    for b in blocks {
        if n > 0.0 && b.t() - from >= every_s {
            out.push((t / n, (p / n).max(1e-3).ln()));
            (t, p, n) = (0.0, 0.0, 0.0);
        }
        if n == 0.0 {
            from = b.t();
        }
        t += b.t();
        p += b.p();
        n += 1.0;
    }
    if n > 0.0 {
        out.push((t / n, (p / n).max(1e-3).ln()));
    }
    out
}

fn fit(points: &[(f64, f64)], columns: &[&dyn Fn(f64) -> f64]) -> Option<LinearFit> {
    let a: Vec<Vec<f64>> = columns
        .iter()
        .map(|f| points.iter().map(|(u, _)| f(*u)).collect())
        .collect();
    let y: Vec<f64> = points.iter().map(|(_, y)| *y).collect();
    least_squares(&a, &y)
}

fn cubic_rss(points: &[(f64, f64)]) -> Option<f64> {
    fit(points, &[&|_| 1.0, &|u| u, &|u| u * u, &|u| u * u * u]).map(|f| f.rss)
}

struct Broken {
    rss: f64,
    /// Change of slope over the first tenth of the window.
    turn: f64,
}

/// A curve that breaks at zero: line and bend before, line, bend and a fast
/// exponential after, continuous.
fn broken_rss(points: &[(f64, f64)]) -> Option<Broken> {
    let left = |u: f64| u.min(0.0);
    let right = |u: f64| u.max(0.0);
    let (bend, curl) = (|u: f64| left(u) * left(u), |u: f64| right(u) * right(u));
    let fast = |u: f64| -(-right(u) / 0.1).exp_m1();
    let f = fit(points, &[&|_| 1.0, &left, &bend, &right, &curl, &fast])?;
    let c = &f.coefficients;
    let gained = |u: f64| c[3] * u + c[4] * u * u - c[5] * (-u / 0.1).exp_m1();
    let before = c[1] - c[2] * 0.1;
    // after a valve is shut the pressure rises at once, straight or bending over:
    // a rise that begins later in the window means that this is too early
    let all = gained(1.0);
    let rises = all > 0.0 && gained(0.25) > 0.08 * all && gained(0.5) > 0.25 * all;
    Some(Broken {
        rss: f.rss,
        turn: if rises {
            gained(0.1) / 0.1 - before
        } else {
            -1.0
        },
    })
}
