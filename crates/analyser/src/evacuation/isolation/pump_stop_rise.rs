//! A pump stopped with its valve open: air and oil vapour come back through it
//! until somebody shuts the valve. In the curve that is a steep rise that does
//! not slow down by itself and then ends in a sharp break; equalisation and
//! boil-out slow down on their own and have none. (Common practice, no source:
//! the flow through a standing pump is driven by the atmosphere and as good as
//! constant while p ≪ 1 atm.)
//!
//! With u counted from the stop and q the break, two curves are fitted to the
//! stretch up to 1.7·q, every reading weighted by 1/p:
//!
//! - with a break: c + a·u + g·(1 − e^(−u/θ)) + d·max(u − q, 0) + J·(1 − e^(−(u − q)/0.1q)):
//!   gas in the pump's hose, straight inflow, and from q on another slope and an
//!   equalisation of either sign;
//! - without: c + a·u + g·(1 − e^(−u/θ)) and saturating terms of 0.3·q and 1.2·q.
//!
//! The break counts when ν·ln(RSS ratio) exceeds [`NEEDED`], with ν independent
//! readings ([`independent_values`]), when the inflow was the better part of the
//! rise and little of it goes on after.
//!
//! Without a break such a rise looks like a gross leak, and is not told from it.

use findings::TimeRange;
use statistics::{
    change_point::Point,
    chi_square::POINT_95_ONE_DEGREE,
    correlation::independent_values,
    linear::{LinearFit, least_squares},
};

/// The rise up to the break, as a factor and in micron, at least (common practice, no
/// source).
const RISE: (f64, f64) = (1.5, 150.0);
/// The straight inflow's share of the rise, at least (common practice, no source).
const STRAIGHT: f64 = 0.5;
/// Slope after the break over that before, at least and at most. A gauge that changes from
/// one sensor to another changes slope by less (common practice, no source).
const AFTER: (f64, f64) = (-0.5, 0.35);
/// Equalisation after the break over the rise, at most (common practice, no source).
const JUMP: f64 = 0.4;
/// ν·ln(RSS ratio) that a break must bring (common practice, no source).
const NEEDED: f64 = 14.0;
/// The gauge's step over the rise, at most: a coarser staircase has breaks of its own
/// (common practice, no source).
const STEP: f64 = 0.025;
/// Longest time from the pump's stop to the valve, s (common practice, no source).
const LONGEST_S: f64 = 900.0;
/// Breaks tried, each so much later than the one before (common practice, no source).
const LATER: f64 = 1.12;
/// How far after the break the curve is looked at, over the time up to it (common
/// practice, no source).
const BEYOND: f64 = 1.7;
/// Points in a fit at most (common practice, no source).
const POINTS: usize = 80;

/// Shortest time from the stop to the valve, in readings and in s (common practice, no
/// source).
const SHORTEST_READINGS: f64 = 4.5;
const SHORTEST_S: f64 = 12.0;
/// What no curve follows to the letter, as a share of the pressure (common practice, no
/// source).
const MISFIT: f64 = 2e-3;
/// Noise is cut off at the top from this share of it on; so many readings at the top, and
/// this share of what follows, are a standstill (common practice, no source).
const NEAR_TOP: f64 = 0.93;
const STILL_READINGS: usize = 5;
const STILL_TENTHS: usize = 8;
/// Fewest points in a fit, and the share of the rise that is looked for at a glance (common
/// practice, no source).
const FEWEST: usize = 10;
const AT_A_GLANCE: f64 = 0.8;
/// Time constants over the time from stop to valve: gas in the hose, at least so many s;
/// two that may stand for a break; equalisation after it (common practice, no source).
const HOSE: (f64, f64) = (0.06, 3.0);
const WITHOUT: [f64; 2] = [0.3, 1.2];
const EQUALISES: f64 = 0.1;

/// When the valve was shut after all, s, with its 95 % window; `None` where the rise
/// from `from_s` has no such break.
pub(crate) fn valve_shut_late(
    points: &[Point],
    from_s: f64,
    interval_s: f64,
) -> Option<(f64, TimeRange)> {
    let inside = before_top(&points[points.partition_point(|q| q.t < from_s)..]);
    let (first, last) = (inside.first()?, inside.last()?);
    let mut best: Option<(f64, f64)> = None;
    let mut run = (SHORTEST_READINGS * interval_s).max(SHORTEST_S);
    while run < LONGEST_S && first.t + BEYOND * run <= last.t + interval_s {
        if let Some(evidence) = evidence_of_break(inside, run)
            && best.is_none_or(|(_, most)| evidence > most)
        {
            best = Some((run, evidence));
        }
        run *= LATER;
    }
    let (coarse, _) = best?;
    // all in one window, so that the residuals compare
    let part = thinned(inside, BEYOND * coarse);
    let near = (-24..=24).map(|i| coarse * (1.0 + f64::from(i) / 80.0));
    let tried: Vec<(f64, f64, f64)> = near
        .filter_map(|run| {
            let (fit, residuals) = with_break(&part, run)?;
            Some((run, fit.rss, independent_values(&residuals)))
        })
        .collect();
    let (run, least, size) = *tried.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    // profile likelihood
    let floor = misfit(part.len() as f64);
    let inside =
        |t: &&(f64, f64, f64)| size * ((t.1 + floor) / (least + floor)).ln() < POINT_95_ONE_DEGREE;
    let likely = || tried.iter().filter(inside).map(|t| t.0);
    let window = TimeRange {
        low_s: first.t + likely().fold(run, f64::min),
        high_s: first.t + likely().fold(run, f64::max),
    };
    Some((first.t + run, window))
}

/// Sum of squares that rounding, and what no curve follows to the letter, may leave in
/// `n` readings weighted by 1/p.
fn misfit(n: f64) -> f64 {
    n * MISFIT * MISFIT
}

/// What comes before the gauge stands still at its top, where it has a break of
/// its own.
fn before_top(points: &[Point]) -> &[Point] {
    let top = points.iter().map(|q| q.y).fold(0.0, f64::max);
    let Some(from) = points.iter().position(|q| q.y >= top) else {
        return points;
    };
    let still = points[from..].iter().filter(|q| q.y >= top).count();
    if still < STILL_READINGS || still * 10 < STILL_TENTHS * (points.len() - from) {
        return points;
    }
    // noise is cut off at the top already a little before
    let near = points
        .iter()
        .position(|q| q.y > NEAR_TOP * top)
        .unwrap_or(from);
    &points[..near.min(from)]
}

/// Evidence for a break `run` s after the first point; `None` where the curve
/// with one is not that of a pump stopped open.
fn evidence_of_break(inside: &[Point], run: f64) -> Option<f64> {
    let first = inside.first()?;
    let k = inside.partition_point(|q| q.t < first.t + run);
    let (early, late) = (
        mean(inside.get(..2.min(k))?)?,
        mean(inside.get(k.saturating_sub(1)..k + 1)?)?,
    );
    if late < RISE.0 * early || late - early < AT_A_GLANCE * RISE.1 {
        return None;
    }
    let part = thinned(inside, BEYOND * run);
    if part.len() < FEWEST {
        return None;
    }
    let with = with_break(&part, run)?;
    let [level, inflow, gap, bend, jump] = with.0.coefficients[..] else {
        return None;
    };
    let rise = inflow + gap;
    let fits = rise >= RISE.1
        && rise >= (RISE.0 - 1.0) * level.max(0.5 * early)
        && inflow >= STRAIGHT * rise
        && (AFTER.0..=AFTER.1).contains(&((inflow + bend) / inflow))
        && jump.abs() <= JUMP * rise
        && step_after(inside, k, 0.5 * run) <= STEP * rise;
    if !fits {
        return None;
    }
    let without = fit(
        &part,
        &[
            &|u| u / run,
            &|u| settled(u, hose_s(run)),
            &|u| settled(u, WITHOUT[0] * run),
            &|u| settled(u, WITHOUT[1] * run),
        ],
    )?;
    let n = part.len() as f64;
    let size = independent_values(&with.1);
    let floor = misfit(n);
    let evidence = size * ((without.0.rss + floor) / (with.0.rss + floor)).ln();
    (evidence > NEEDED).then_some(evidence)
}

/// The curve with a break at `run`, fitted.
fn with_break(points: &[Point], run: f64) -> Option<(LinearFit, Vec<f64>)> {
    fit(
        points,
        &[
            &|u| u / run,
            &|u| settled(u, hose_s(run)),
            &|u| (u - run).max(0.0) / run,
            &|u| settled(u - run, EQUALISES * run),
        ],
    )
}

/// Time constant of the gas in the pump's hose, s: short against the inflow.
fn hose_s(run: f64) -> f64 {
    (HOSE.0 * run).max(HOSE.1)
}

/// 1 − e^(−u/τ) from zero on.
fn settled(u: f64, tau_s: f64) -> f64 {
    -(-u.max(0.0) / tau_s).exp_m1()
}

/// Means of neighbours in the first `length_s`, few enough for a fit.
fn thinned(points: &[Point], length_s: f64) -> Vec<Point> {
    let from_s = points.first().map_or(0.0, |q| q.t);
    let part = &points[..points.partition_point(|q| q.t < from_s + length_s)];
    let every = part.len().div_ceil(POINTS).max(1);
    part.chunks(every).filter_map(centre).collect()
}

/// Weighted least squares of pressure on a level and `shapes` of the time since
/// the first point; with the weighted residuals.
fn fit(points: &[Point], shapes: &[&dyn Fn(f64) -> f64]) -> Option<(LinearFit, Vec<f64>)> {
    let from_s = points.first()?.t;
    let weights: Vec<f64> = points.iter().map(|q| 1.0 / q.y.max(1e-3)).collect();
    let column = |shape: &dyn Fn(f64) -> f64| -> Vec<f64> {
        let each = points.iter().zip(&weights);
        each.map(|(q, w)| w * shape(q.t - from_s)).collect()
    };
    let mut columns = vec![weights.clone()];
    columns.extend(shapes.iter().map(|s| column(*s)));
    let target = vec![1.0; points.len()];
    let fitted = least_squares(&columns, &target)?;
    let residual = |i: usize| {
        let each = columns.iter().zip(&fitted.coefficients);
        1.0 - each.map(|(x, c)| c * x[i]).sum::<f64>()
    };
    let residuals = (0..points.len()).map(residual).collect();
    Some((fitted, residuals))
}

/// Mean pressure, micron.
fn mean(points: &[Point]) -> Option<f64> {
    centre(points).map(|q| q.y)
}

/// Mean time and pressure.
fn centre(points: &[Point]) -> Option<Point> {
    let n = points.len() as f64;
    (n > 0.0).then(|| Point {
        t: points.iter().map(|q| q.t).sum::<f64>() / n,
        y: points.iter().map(|q| q.y).sum::<f64>() / n,
    })
}

/// The gauge's step in the stretch after a point, micron; zero where it shows none.
fn step_after(points: &[Point], i: usize, length_s: f64) -> f64 {
    let end = points.partition_point(|q| q.t <= points[i].t + length_s);
    let part = &points[i..end.max(i + 1)];
    let (mut same, mut step) = (0, f64::INFINITY);
    for w in part.windows(2) {
        let d = (w[1].y - w[0].y).abs();
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
        points[i].y / 10.0
    } else {
        0.0
    }
}
