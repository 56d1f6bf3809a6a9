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
    breaks::{Break, Scan},
    corner::valve_shut_late,
    findings::IsolationBasis,
    history::Block,
    noise::gauge_noise,
    smooth::{Bin, Turn, bins, noise_of, turns},
};

/// Smoothing widths tried, s, finest first.
const WIDTHS_S: [f64; 4] = [4.0, 15.0, 60.0, 240.0];
/// Share of a rise that may be given back for it still to be a hold.
const RETRACE: f64 = 0.5;
/// Smallest turn in ln p that counts.
const SMALLEST_TURN: f64 = 0.02;
/// Times the needed evidence from which the instant itself is trusted.
const SURE_EVIDENCE: f64 = 2.5;
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
    /// Earliest and latest time it can have been, s.
    pub(crate) window: (f64, f64),
    /// When the pump was stopped, s, if that was before its valve was shut and
    /// the curve shows it.
    pub(crate) stopped_open_s: Option<f64>,
}

impl Isolation {
    /// An isolation whose instant is certain.
    pub(crate) fn certain(at_s: f64, end_s: f64, basis: IsolationBasis) -> Self {
        Self {
            at_s,
            end_s,
            basis,
            window: (at_s, at_s),
            stopped_open_s: None,
        }
    }
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
    let step = step_at_bottom(blocks);
    for width in WIDTHS_S {
        let smooth = bins(blocks, width, 3);
        if smooth.len() < 6 {
            break;
        }
        // the noise that matters is that near the bottom and after it
        let bottom = smooth.iter().map(|b| b.y).fold(f64::INFINITY, f64::min);
        let steep = smooth
            .iter()
            .rposition(|b| b.y > bottom + 0.7 && b.t < lowest_s(&smooth));
        let tail = &smooth[steep.map_or(0, |i| i + 1)..];
        let h = (6.0 * noise_of(tail)).max(SMALLEST_TURN).max(1.2 * step);
        let turns = turns(&smooth, h);
        if let Some(found) =
            lasting_low(&smooth, &turns).and_then(|low| locate(blocks, &smooth, low, (h, step)))
        {
            return Some(found.into_isolation(blocks, end_s));
        }
    }
    None
}

impl Found {
    /// Takes a pump that was stopped with its valve open into account: then the
    /// system was valved off only at the corner of the rise.
    fn into_isolation(self, blocks: &[Block], end_s: f64) -> Isolation {
        let plain = Isolation {
            at_s: self.at_s,
            end_s,
            basis: self.basis,
            window: self.window,
            stopped_open_s: None,
        };
        if self.basis != IsolationBasis::Curve {
            return plain;
        }
        match valve_shut_late(blocks, self.at_s) {
            Some(at_s) => Isolation {
                at_s,
                window: (at_s, at_s),
                stopped_open_s: Some(self.at_s),
                ..plain
            },
            None => plain,
        }
    }
}

/// Time of the lowest bin, s.
fn lowest_s(smooth: &[Bin]) -> f64 {
    smooth
        .iter()
        .min_by(|a, b| a.y.total_cmp(&b.y))
        .map_or(0.0, |b| b.t)
}

/// The gauge's step near the lowest pressure, in ln p; zero when it shows none.
fn step_at_bottom(blocks: &[Block]) -> f64 {
    let bottom = blocks.iter().map(Block::p).fold(f64::INFINITY, f64::min);
    let low: Vec<Block> = blocks
        .iter()
        .filter(|b| b.p() < 1.5 * bottom)
        .copied()
        .collect();
    let step = gauge_noise(&low).step_micron.unwrap_or(0.0);
    (step / bottom.max(1e-3)).ln_1p()
}

/// The first low point from which the rise is never given back by more than half.
fn lasting_low(smooth: &[Bin], turns: &[Turn]) -> Option<usize> {
    turns.iter().filter(|t| !t.high).map(|t| t.i).find(|&i| {
        let low = smooth[i].y;
        let mut top = low;
        smooth[i..].iter().all(|bin| {
            top = top.max(bin.y);
            top - bin.y <= RETRACE * (top - low) + SMALLEST_TURN
        }) && top > low
    })
}

/// Locates the break inside the bottom of the curve, on ever finer scales.
fn locate(blocks: &[Block], smooth: &[Bin], low: usize, (h, step): (f64, f64)) -> Option<Found> {
    let interval = typical_interval(blocks);
    let start_s = blocks.first()?.first_s;
    let early = start_s + (4.0 * interval).max(6.0);
    let bottom = smooth[low].y;
    let top = smooth[low..].iter().map(|b| b.y).fold(bottom, f64::max);
    if top - bottom < (2.5 * step).max(0.06) {
        return None;
    }
    // the valve was shut after the fall came near the bottom and before the rise
    // left it for good
    let lift = (0.5 * (top - bottom)).clamp(0.0, 0.25).max(h);
    let left_s = smooth.iter().rfind(|b| b.y < bottom + lift)?.t;
    let came_s = smooth[..=low]
        .iter()
        .rfind(|b| b.y > bottom + (3.0 * h).max(0.05))
        .map_or(start_s, |b| b.t);
    let bin_s = (smooth[smooth.len() - 1].t - smooth[0].t) / smooth.len() as f64;
    let scan = Scan {
        blocks,
        interval,
        step,
        bottom,
    };
    let mut region = (came_s, left_s + 1.5 * bin_s);
    let mut width_s = (region.1 - region.0)
        .clamp(60.0, 2_000.0)
        .max(20.0 * interval);
    // coarse to fine: the finest scale on which the break still stands out has
    // the least bias from the shape of what follows
    let mut best: Option<(Break, f64)> = None;
    while width_s > (12.0_f64).max(7.0 * interval) {
        let needed = best.map_or(1.0, |(b, _)| (0.15 * b.evidence).max(1.2));
        if let Some(found) = scan.best_break(region, width_s, width_s / 20.0)
            && found.evidence > needed
        {
            best = Some((found, width_s));
            region = (found.at_s - 0.5 * width_s, found.at_s + 0.5 * width_s);
        }
        width_s /= 2.0;
    }
    // a record that begins at its lowest and only rises began isolated
    let near = (3.0 * h).min(0.3);
    let began_low = blocks.first()?.p().max(1e-3).ln() < bottom + near
        && smooth[..=low].iter().all(|b| b.y < bottom + near);
    if let Some((coarse, width_s)) = best {
        let reach = (width_s / 12.0).max(2.0 * interval);
        let near = (coarse.at_s - reach, coarse.at_s + reach);
        let fine = scan.best_break(near, width_s, (width_s / 120.0).max(0.5 * interval));
        let at_s = fine.map_or(coarse.at_s, |f| f.at_s);
        let from_start = began_low && at_s - start_s < (0.2 * (left_s - start_s)).max(90.0);
        if at_s > early && !from_start {
            // a weak break only says that it was somewhere at the bottom
            let sure = coarse.evidence > SURE_EVIDENCE;
            let window = if sure {
                (at_s, at_s)
            } else {
                (came_s.min(at_s), left_s.max(at_s))
            };
            return Some(Found {
                at_s,
                basis: IsolationBasis::Curve,
                window,
            });
        }
    }
    began_low.then_some(Found {
        at_s: start_s,
        basis: IsolationBasis::FromStart,
        window: (start_s, start_s),
    })
}

/// An isolation found in one stretch.
#[derive(Debug, Clone, Copy)]
struct Found {
    at_s: f64,
    basis: IsolationBasis,
    window: (f64, f64),
}

fn typical_interval(blocks: &[Block]) -> f64 {
    let mut steps: Vec<f64> = blocks.windows(2).map(|w| w[1].t() - w[0].t()).collect();
    let m = crate::smooth::median(&mut steps);
    if m.is_finite() { m.max(1e-3) } else { 1.0 }
}
