//! A pump stopped with its valve open: air and oil vapour come back through it
//! until somebody shuts the valve. In the curve that is a steep rise that does
//! not slow down by itself and then ends in a sharp corner; equalisation and
//! boil-out slow down on their own and have none. (Common practice, no source:
//! the flow through a standing pump is driven by the atmosphere and as good as
//! constant while p ≪ 1 atm.)
//!
//! Without a corner such a rise looks like a gross leak, and is not told from it.

use crate::profile::Point;

/// The rise up to the corner, as a factor and in micron, at least.
const RISE: (f64, f64) = (2.5, 200.0);
/// Slope over the last third of the rise over its mean slope, at least. An
/// exponential keeps 0.7 only over its first 0.7 time constants, where it has
/// no corner yet.
const STILL_STEEP: f64 = 0.7;
/// What half the length of the rise adds after the corner, as a share of the
/// rise, at most and at least. An exponential still as steep as that adds 0.2 or
/// more; where the gauge sits near the pump it falls back.
const ADDED: (f64, f64) = (0.03, -0.5);
/// The gauge's step over the rise, at most: a coarser staircase has corners of
/// its own.
const STEP: f64 = 0.025;
/// Longest time from the pump's stop to the valve, s.
const LONGEST_S: f64 = 900.0;

/// When the valve was shut after all, s; `None` where the rise from `from_s` has no
/// such corner.
pub(crate) fn valve_shut_late(points: &[Point], from_s: f64, interval_s: f64) -> Option<f64> {
    let inside = &points[points.partition_point(|q| q.t < from_s)..];
    let (first, last) = (inside.first()?, inside.last()?);
    let mut best: Option<(f64, f64)> = None;
    for (i, q) in inside.iter().enumerate().skip(4) {
        let run = q.t - first.t;
        if run > LONGEST_S || i + 5 > inside.len() {
            break;
        }
        // close to the corner, so that a curve that merely bends has no time to
        if q.t + 0.6 * run > last.t || run < (4.5 * interval_s).max(15.0) {
            continue;
        }
        let rise = q.p - first.p;
        if q.p < RISE.0 * first.p || rise < RISE.1 {
            continue;
        }
        let third = mean_between(inside, q.t - 0.36 * run, q.t - 0.30 * run)?;
        let before = (q.p - third) / (0.33 * run);
        let added = mean_between(inside, q.t + 0.45 * run, q.t + 0.55 * run)? - q.p;
        if before < STILL_STEEP * rise / run
            || added > ADDED.0 * rise
            || added < ADDED.1 * rise
            || step_after(inside, i, 0.5 * run) > STEP * rise
        {
            continue;
        }
        let arm = (0.1 * run).max(2.0 * interval_s);
        let turn = 2.0 * q.p - at(inside, q.t - arm) - at(inside, q.t + arm);
        if best.is_none_or(|(_, sharpest)| turn > sharpest) {
            best = Some((q.t, turn));
        }
    }
    let (at_s, _) = best?;
    // a gauge that stands still at its top has a corner of its own
    let after = &inside[inside.partition_point(|q| q.t <= at_s + interval_s)..];
    let top = inside.iter().map(|q| q.p).fold(0.0, f64::max);
    let clipped = after.iter().take(20).all(|q| q.p >= top);
    (!clipped).then_some(at_s)
}

/// The gauge's step in the stretch after a point, micron; zero where it shows none.
fn step_after(points: &[Point], i: usize, length_s: f64) -> f64 {
    let end = points.partition_point(|q| q.t <= points[i].t + length_s);
    let part = &points[i..end.max(i + 1)];
    let (mut same, mut step) = (0, f64::INFINITY);
    for w in part.windows(2) {
        let d = (w[1].p - w[0].p).abs();
        if d == 0.0 {
            same += 1;
        } else {
            step = step.min(d);
        }
    }
    let quantised = 4 * same > part.len();
    // where it never moved, its next step may be as large as can be
    if quantised && step.is_finite() {
        step
    } else if quantised && part.len() > 4 {
        points[i].p / 10.0
    } else {
        0.0
    }
}

fn at(points: &[Point], t: f64) -> f64 {
    let i = points.partition_point(|q| q.t < t).min(points.len() - 1);
    let (Some(a), b) = (points.get(i.saturating_sub(1)), &points[i]) else {
        return points[i].p;
    };
    if b.t <= a.t {
        return b.p;
    }
    let share = ((t - a.t) / (b.t - a.t)).clamp(0.0, 1.0);
    a.p + share * (b.p - a.p)
}

fn mean_between(points: &[Point], from_s: f64, to_s: f64) -> Option<f64> {
    let a = points.partition_point(|q| q.t < from_s);
    let b = points.partition_point(|q| q.t <= to_s).max(a + 1);
    let part = points.get(a..b)?;
    Some(part.iter().map(|q| q.p).sum::<f64>() / part.len() as f64)
}
