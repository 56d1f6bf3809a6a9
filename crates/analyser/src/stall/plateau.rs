//! Plateaus and crawls: boil-off, floor, choked flow.
//!
//! The slope of ln p is taken over [`SLOPE_S`]. A stretch *stands* when it falls
//! more slowly than [`STANDS`]; it counts as a floor below half of that, and it
//! *crawls* when it falls faster than a floor and more slowly than [`CRAWLS`]. The
//! limits are common practice, no source.
//!
//! A plateau of boiling water that is over ends in a knee: sums of exponentials, of
//! power laws and of a constant, which is what pumping and outgassing make, are
//! convex in ln p, so a fall that gets steeper shows that something has ended. While
//! a pool boils it slides from saturation at ambient towards 0 °C, at up to
//! [`SLIDES`]. A level in the range of water that still stands at the end of the
//! record is called boil-off too: whether it is a pool or a floor at that level the
//! pressure alone does not tell.

use vacuum::water;

use super::{Named, Scene, gauge::Cell};
use crate::{findings::StallKind, linear::solve, smooth::median, tail};

/// Length over which a slope is taken, s.
const SLOPE_S: f64 = 60.0;
/// Fall of ln p below which there is no progress, per s (half in 15 min).
const STANDS: f64 = 0.000_8;
/// Fall of ln p below which a level counts as a floor, per s.
const FLOOR: f64 = 0.000_4;
/// Fall of ln p up to which boiling water may slide as it cools itself, per s.
const SLIDES: f64 = 0.008;
/// The fall after a knee, per s, and how much steeper it is than before.
const LEAST_KNEE: f64 = 0.008;
const STEEPER: f64 = 2.0;
/// Fall of ln p above which a pump is at work, per s.
const CRAWLS: f64 = 0.01;
/// Shortest boil-off, floor at the end, floor in between, choked stretch, s.
const SHORTEST_S: [f64; 4] = [60.0, 120.0, 240.0, 300.0];
/// Interruptions bridged, s.
const BRIDGE_S: f64 = 20.0;

/// Finds plateaus of one unbroken part of a pull-down that ends at `end_s`.
pub(super) fn find(cells: &[Cell], end_s: f64, scene: &Scene<'_>) -> Vec<Named> {
    let falls = falls(cells);
    let open = in_the_way(cells, scene.target_micron);
    let stretches = |slowest: f64, fastest: f64| {
        let holds = |i: usize| open[i] && (slowest..fastest).contains(&falls[i]);
        stretches(cells, holds)
    };
    let mut out: Vec<Named> = Vec::new();
    let mut add = |kind, (from, to), ends_at_micron| {
        let apart = |o: &Named| o.to < from || to < o.from;
        if out.iter().all(apart) {
            out.push(Named {
                kind,
                from,
                to,
                ends_at_micron,
            });
        }
    };
    for ends in stretches(f64::NEG_INFINITY, STANDS) {
        let over = end_s - cells[ends.1].t > 25.0;
        if lasts(cells, ends) >= SHORTEST_S[0]
            && boils(cells, ends, end_s, scene)
            && !(over && peters_out(cells, &falls, ends))
        {
            add(StallKind::BoilOff, ends, None);
        }
    }
    for ends in stretches(f64::NEG_INFINITY, SLIDES) {
        let long = lasts(cells, ends) >= SHORTEST_S[0];
        if long && in_range(cells, ends, scene) && speeds_up(cells, &falls, ends) {
            add(StallKind::BoilOff, ends, None);
        }
    }
    for ends in stretches(f64::NEG_INFINITY, FLOOR) {
        let at_end = end_s - cells[ends.1].t < 25.0;
        let least = if at_end { SHORTEST_S[1] } else { SHORTEST_S[2] };
        if lasts(cells, ends) >= least && -slope(&cells[ends.0..=ends.1]) < FLOOR {
            add(
                StallKind::Floor,
                ends,
                Some(ends_at(&cells[ends.0..=ends.1])),
            );
        }
    }
    for ends in stretches(FLOOR, CRAWLS) {
        if let Some(ends) = choked(cells, ends, scene.one_side) {
            add(StallKind::Choked, ends, None);
        }
    }
    out
}

/// d ln p/dt of a part as a whole, 1/s.
pub(super) fn slope(part: &[Cell]) -> f64 {
    let t0 = part.first().map_or(0.0, |c| c.t);
    let (t, y): (Vec<f64>, Vec<f64>) = part.iter().map(|c| (c.t - t0, c.y)).unzip();
    solve(vec![vec![1.0; t.len()], t], y).map_or(0.0, |f| f.coefficients[1])
}

/// Fall of ln p around every cell, 1/s.
fn falls(cells: &[Cell]) -> Vec<f64> {
    (0..cells.len())
        .map(|i| {
            let mut from = cells.partition_point(|c| c.t < cells[i].t - 0.5 * SLOPE_S);
            let mut to = cells.partition_point(|c| c.t <= cells[i].t + 0.5 * SLOPE_S);
            from = from.min((i + 1).saturating_sub(4));
            to = to.max((i + 4).min(cells.len()));
            -slope(&cells[from..to])
        })
        .collect()
}

/// Below the target nothing is in the way any more; far above the lowest so far
/// something was let in.
fn in_the_way(cells: &[Cell], target_micron: f64) -> Vec<bool> {
    let target = (1.05 * target_micron).ln();
    let mut lowest = f64::INFINITY;
    cells
        .iter()
        .map(|c| {
            lowest = lowest.min(c.y);
            c.y > target && c.y < lowest + 0.5
        })
        .collect()
}

fn stretches(cells: &[Cell], holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for i in (0..cells.len()).filter(|i| holds(*i)) {
        match out.last_mut() {
            Some(run) if cells[i].t - cells[run.1].t <= BRIDGE_S => run.1 = i,
            _ => out.push((i, i)),
        }
    }
    out
}

fn lasts(cells: &[Cell], (from, to): (usize, usize)) -> f64 {
    cells[to].t - cells[from].t
}

fn level(part: &[Cell]) -> f64 {
    median(&mut part.iter().map(|c| c.y).collect::<Vec<_>>()).exp()
}

/// True between the saturation pressures of water at −5 °C and a little above
/// ambient.
fn in_range(cells: &[Cell], (from, to): (usize, usize), scene: &Scene<'_>) -> bool {
    let at = |c: f64| water::saturation_pressure(c).map_or(f64::NAN, vacuum::Pressure::micron);
    let high = at(scene.ambient_c.unwrap_or(25.0).clamp(-50.0, 55.0) + 3.0);
    (at(-5.0)..=high).contains(&level(&cells[from..=to]))
}

/// A standing level where water boils. A level below the triple point that does
/// not move at all for a long time and has no end is a floor: a pool of ice warms,
/// cools and shrinks.
fn boils(cells: &[Cell], ends: (usize, usize), end_s: f64, scene: &Scene<'_>) -> bool {
    const LONG_S: f64 = 900.0;
    const DEAD_FLAT: f64 = 1.0 / 50_000.0;
    if !in_range(cells, ends, scene) {
        return false;
    }
    let part = &cells[ends.0..=ends.1];
    let goes_on = end_s - cells[ends.1].t < 25.0;
    let frozen = level(part) < water::TRIPLE_POINT_PA / vacuum::PressureUnit::Micron.pa();
    !(goes_on && frozen && lasts(cells, ends) > LONG_S && slope(part).abs() < DEAD_FLAT)
}

/// True when the fall after the stretch is at least three times as fast as in it
/// and goes on below it: what held the pressure up is gone. After a valve was shut
/// for a moment the curve comes back to where it was.
fn speeds_up(cells: &[Cell], falls: &[f64], (from, to): (usize, usize)) -> bool {
    const BELOW: f64 = 0.25;
    const WITHIN_S: f64 = 180.0;
    let lowest = |part: &[Cell]| part.iter().map(|c| c.y).fold(f64::INFINITY, f64::min);
    let until = |s: f64| cells.partition_point(|c| c.t < cells[to].t + s);
    let fastest = falls[to..until(SLOPE_S)]
        .iter()
        .copied()
        .fold(0.0, f64::max);
    fastest > (-STEEPER * slope(&cells[from..=to])).max(LEAST_KNEE)
        && lowest(&cells[to..until(WITHIN_S)]) < lowest(&cells[from..=to]) - BELOW
}

/// True when the fall never picks up after the stretch: a tail levelling off, or
/// one step of a coarse gauge.
fn peters_out(cells: &[Cell], falls: &[f64], (from, to): (usize, usize)) -> bool {
    const PICKS_UP: f64 = 0.002;
    let until = cells.partition_point(|c| c.t < cells[to].t + 120.0);
    let fastest = falls[to..until].iter().copied().fold(0.0, f64::max);
    fastest < (-STEEPER * slope(&cells[from..=to])).max(PICKS_UP)
}

/// Plateaus that end in a knee.
pub(super) fn knees(cells: &[Cell], target_micron: f64) -> Vec<(usize, usize)> {
    let falls = falls(cells);
    let open = in_the_way(cells, target_micron);
    let holds = |i: usize| open[i] && falls[i] < SLIDES;
    let mut out = stretches(cells, holds);
    out.retain(|ends| lasts(cells, *ends) >= SHORTEST_S[0] && speeds_up(cells, &falls, *ends));
    out
}

/// Where a floor ends: the asymptote of an exponential tail where the stretch
/// carries one, else its last level, micron.
fn ends_at(part: &[Cell]) -> f64 {
    let (t, p): (Vec<f64>, Vec<f64>) = part.iter().map(|c| (c.t - part[0].t, c.y.exp())).unzip();
    let last = level(&part[part.len() * 3 / 4..]);
    match tail::exponential(&t, &p) {
        Some(fit) if fit.amplitude > 0.0 && fit.tau_s < t[t.len() - 1] => {
            fit.floor_micron.clamp(0.5 * last, last)
        }
        _ => last,
    }
}

/// The choked part of a crawl: straight in ln p. Its start may still bend, and its
/// end where it comes near a floor; either may be cut away.
fn choked(cells: &[Cell], (from, to): (usize, usize), one_side: bool) -> Option<(usize, usize)> {
    if one_side && lasts(cells, (from, to)) >= SHORTEST_S[3] / 2.0 {
        return Some((from, to));
    }
    let length = to - from;
    let starts = [0, length / 4, length / 2].map(|skip| (from + skip, to));
    let ends = [0, length / 4].map(|skip| (from + skip, to - length / 4));
    starts.into_iter().chain(ends).find(|&ends| {
        let part = &cells[ends.0..=ends.1];
        let fallen = part[0].y - part[part.len() - 1].y;
        lasts(cells, ends) >= SHORTEST_S[3] && fallen > 0.5 && straight(part)
    })
}

/// True when ln p falls nearly as fast at the end as at the start.
fn straight(part: &[Cell]) -> bool {
    let third = part.len() / 3;
    third >= 4 && slope(&part[part.len() - third..]) < 0.8 * slope(&part[..third])
}
