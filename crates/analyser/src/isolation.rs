//! Finds the instant the pump was valved off, when nobody stamped it.
//!
//! While the pump works the pressure falls, or stands still, or comes back down
//! after every disturbance. Once isolated it rises and stays risen. Candidates
//! are the low points from which the pressure never gives back half of its rise;
//! each is then located on the finest blocks by a broken curve (line and bend
//! before; line and fast exponential after), and must beat a smooth cubic
//! through the same points, so that a slow drift under a running pump is not
//! taken for an isolation.

use crate::{
    findings::IsolationBasis,
    history::Block,
    linear::least_squares,
    smooth::{Bin, Turn, bins, noise_of, turns},
};

/// Smoothing widths tried, s, finest first.
const WIDTHS_S: [f64; 4] = [4.0, 15.0, 60.0, 240.0];
/// Share of a rise that may be given back for it still to be a hold.
const RETRACE: f64 = 0.5;
/// Smallest turn in ln p that counts.
const SMALLEST_TURN: f64 = 0.02;
/// Improvement of N·ln(RSS) that a break must bring over a smooth curve.
const BREAK_EVIDENCE: f64 = 25.0;
/// A rise this long that is then pumped away again was a hold of its own, s.
const SHORTEST_ROUND_S: f64 = 150.0;

/// An isolation and where its hold ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Isolation {
    /// When, s.
    pub(crate) at_s: f64,
    /// End of the hold, s.
    pub(crate) end_s: f64,
    /// How it is known.
    pub(crate) basis: IsolationBasis,
}

/// Finds the holds in one stretch of record without breaks.
pub(crate) fn find(blocks: &[Block]) -> Vec<Isolation> {
    let mut found = Vec::new();
    let mut from = 0;
    // holds that were pumped down again, each closed by its own fall
    while let Some((end, top)) = next_repull(&blocks[from..]) {
        if let Some(hold) = find_one(&blocks[from..from + top]) {
            found.push(hold);
        }
        from += end.max(1);
    }
    found.extend(find_one(&blocks[from..]));
    found
}

/// The first long rise that is pumped away again: index of the low point after
/// it, and of its top.
fn next_repull(blocks: &[Block]) -> Option<(usize, usize)> {
    let smooth = bins(blocks, WIDTHS_S[1], 3);
    let h = (5.0 * noise_of(&smooth)).max(0.1);
    let turns = turns(&smooth, h);
    let index_at = |t: f64| blocks.partition_point(|b| b.t() < t);
    for w in turns.windows(3) {
        if w[0].high || w[0].i == 0 {
            continue;
        }
        let (low, high, next) = (smooth[w[0].i], smooth[w[1].i], smooth[w[2].i]);
        let rise = high.y - low.y;
        let back = high.y - next.y;
        if high.t - low.t >= SHORTEST_ROUND_S && rise > 0.2 && back > 0.7 * rise {
            return Some((index_at(next.t), index_at(high.t)));
        }
    }
    None
}

fn find_one(blocks: &[Block]) -> Option<Isolation> {
    let end_s = blocks.last()?.last_s;
    for width in WIDTHS_S {
        let smooth = bins(blocks, width, 3);
        if smooth.len() < 6 {
            break;
        }
        // the noise that matters is that of the last part
        let tail = &smooth[smooth.len() - smooth.len().min(400)..];
        let h = (6.0 * noise_of(tail)).max(SMALLEST_TURN);
        let turns = turns(&smooth, h);
        let best = lasting_lows(&smooth, &turns)
            .filter_map(|low| locate(blocks, &smooth, low, width))
            .max_by(|a, b| a.evidence.total_cmp(&b.evidence));
        if let Some(best) = best {
            return Some(Isolation {
                at_s: best.at_s,
                end_s,
                basis: best.basis,
            });
        }
    }
    None
}

/// Low points from which the rise is never given back by more than half.
fn lasting_lows<'a>(smooth: &'a [Bin], turns: &'a [Turn]) -> impl Iterator<Item = usize> + 'a {
    turns.iter().filter(|t| !t.high).filter_map(move |turn| {
        let low = smooth[turn.i].y;
        let mut top = low;
        for bin in &smooth[turn.i..] {
            top = top.max(bin.y);
            if top - bin.y > RETRACE * (top - low) + SMALLEST_TURN {
                return None;
            }
        }
        (top > low).then_some(turn.i)
    })
}

#[derive(Debug, Clone, Copy)]
struct Located {
    at_s: f64,
    evidence: f64,
    basis: IsolationBasis,
}

/// Locates the break near a low point on the finest blocks.
fn locate(blocks: &[Block], smooth: &[Bin], low: usize, width_s: f64) -> Option<Located> {
    let guess_s = smooth[low].t;
    let interval = typical_interval(blocks);
    let reach = (20.0 * interval).max(3.0 * width_s).max(40.0);
    let window = (40.0 * interval).max(8.0 * width_s).max(100.0);
    // never look past a fall that began before the low point
    let left = blocks.partition_point(|b| b.t() < guess_s - window - reach);
    let right = blocks.partition_point(|b| b.t() <= guess_s + window);
    let slice = thin(&blocks[left..right], 400);
    if slice.len() < 8 {
        return None;
    }
    let level = smooth[low].y.exp();
    let points: Vec<(f64, f64, f64)> = slice
        .iter()
        .map(|(t, p)| {
            // noise grows with pressure: relative weights, floored at the low level
            (t - guess_s, *p, 1.0 / p.max(level))
        })
        .collect();
    let start_s = blocks.first()?.first_s;
    let early = start_s + (3.0 * interval).max(5.0);
    let smooth_rss = cubic_rss(&points)?;
    let mut best: Option<(f64, f64)> = None;
    for (x, _, _) in &points {
        if x.abs() > reach {
            continue;
        }
        for shift in [0.0, 0.5 * interval] {
            let at = x - shift;
            if let Some(rss) = broken_rss(&points, at, interval)
                && best.is_none_or(|(_, r)| rss < r)
            {
                best = Some((at, rss));
            }
        }
    }
    let n = points.len() as f64;
    let floor = 1e-9 * n;
    if let Some((x, rss)) = best {
        let evidence = n * ((smooth_rss + floor) / (rss + floor)).ln();
        if evidence > BREAK_EVIDENCE && guess_s + x > early {
            return Some(Located {
                at_s: guess_s + x,
                evidence,
                basis: IsolationBasis::Curve,
            });
        }
    }
    // a record that begins at its lowest and only rises began isolated
    (low == 0 || guess_s <= early + width_s).then_some(Located {
        at_s: start_s,
        evidence: 0.0,
        basis: IsolationBasis::FromStart,
    })
}

fn typical_interval(blocks: &[Block]) -> f64 {
    let mut steps: Vec<f64> = blocks.windows(2).map(|w| w[1].t() - w[0].t()).collect();
    let m = crate::smooth::median(&mut steps);
    if m.is_finite() { m.max(1e-3) } else { 1.0 }
}

/// At most about `most` points, neighbours averaged.
fn thin(blocks: &[Block], most: usize) -> Vec<(f64, f64)> {
    let every = blocks.len().div_ceil(most).max(1);
    blocks
        .chunks(every)
        .map(|c| {
            let n = c.len() as f64;
            (
                c.iter().map(Block::t).sum::<f64>() / n,
                c.iter().map(Block::p).sum::<f64>() / n,
            )
        })
        .collect()
}

fn weighted(points: &[(f64, f64, f64)], columns: &[&dyn Fn(f64) -> f64]) -> Option<f64> {
    let a: Vec<Vec<f64>> = columns
        .iter()
        .map(|f| points.iter().map(|(t, _, w)| w * f(*t)).collect())
        .collect();
    let y: Vec<f64> = points.iter().map(|(_, p, w)| p * w).collect();
    least_squares(&a, &y).map(|fit| fit.rss)
}

fn cubic_rss(points: &[(f64, f64, f64)]) -> Option<f64> {
    let scale = points.iter().map(|(t, _, _)| t.abs()).fold(1.0, f64::max);
    weighted(
        points,
        &[&|_| 1.0, &|t| t / scale, &|t| (t / scale).powi(2), &|t| {
            (t / scale).powi(3)
        }],
    )
}

/// Best residual of a curve that breaks at `x`: line and bend before, line and
/// fast exponential after, continuous.
fn broken_rss(points: &[(f64, f64, f64)], x: f64, interval: f64) -> Option<f64> {
    let before = points.iter().filter(|(t, _, _)| *t < x).count();
    let after = points.len() - before;
    if after < 3 {
        return None;
    }
    let scale = points.iter().map(|(t, _, _)| t.abs()).fold(1.0, f64::max);
    let left = move |t: f64| (t - x).min(0.0) / scale;
    let right = move |t: f64| (t - x).max(0.0) / scale;
    let mut best: Option<f64> = None;
    for tau in [3.0_f64, 8.0, 20.0] {
        let tau = tau.max(interval);
        let fast = move |t: f64| -(-(t - x).max(0.0) / tau).exp_m1();
        let rss = if before < 3 {
            weighted(points, &[&|_| 1.0, &right, &fast])
        } else {
            let bend = move |t: f64| left(t) * left(t);
            weighted(points, &[&|_| 1.0, &left, &bend, &right, &fast])
        };
        if let Some(rss) = rss {
            best = Some(best.map_or(rss, |b: f64| b.min(rss)));
        }
    }
    best
}
