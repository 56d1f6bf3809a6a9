//! Tells a drift under a running pump from the rise of a hold.

use findings::IsolationBasis;
use run_memory::{Block, gauge_noise};
use statistics::robust::{median, median_of};

use crate::evacuation::{hold::gauge_range::usable_part, isolation::Isolation};

/// A rise that grows ever faster: fewest blocks that show it, and in each fifth; noise and
/// steps that it exceeds; share of the level; second half over the first (common practice,
/// no source).
const DRIFT_BLOCKS: usize = 40;
const FIFTH_BLOCKS: usize = 5;
const DRIFT_SDS: f64 = 4.0;
const DRIFT_STEPS: f64 = 1.5;
const DRIFT_SHARE: f64 = 0.01;
const GROWS: f64 = 1.2;
/// A hold rises at once, straight or bending over. A rise that starts level and
/// grows ever faster is a drift under a running pump, and no isolation.
pub(super) fn drifts(blocks: &[Block], isolation: &Isolation) -> bool {
    if isolation.basis != IsolationBasis::Curve || isolation.stopped_open_s.is_some() {
        return false;
    }
    let from = blocks.partition_point(|b| b.t() < isolation.at_s);
    let to = blocks.partition_point(|b| b.t() <= isolation.end_s);
    let inside = usable_part(blocks.get(from..to).unwrap_or_default());
    if inside.len() < DRIFT_BLOCKS {
        return false;
    }
    // medians of five stretches of equal length: two rises
    let (from_s, to_s) = (inside[0].t(), inside[inside.len() - 1].t());
    let edge = |i: usize| {
        let t = from_s + (to_s - from_s) * i as f64 / 5.0;
        inside.partition_point(|b| b.t() < t)
    };
    let fifth = (0..5).map(|i| edge(i + 1) - edge(i)).min().unwrap_or(0);
    // a gap has swallowed one
    if fifth < FIFTH_BLOCKS {
        return false;
    }
    let level = |i: usize| median_of(inside[edge(i)..edge(i + 1)].iter().map(Block::p));
    let (first, second) = (level(2) - level(0), level(4) - level(2));
    let noise = gauge_noise(inside);
    let least = (DRIFT_SDS * noise.reading_micron / (fifth as f64).sqrt())
        .max(DRIFT_STEPS * noise.step_micron.unwrap_or(0.0))
        .max(DRIFT_SHARE * level(2));
    // the middle of the first fifth is a quarter as far from the start as the
    // middle of the third from there: a rise that shows so soon is no drift
    let mut before: Vec<f64> = blocks[from.saturating_sub(5)..from]
        .iter()
        .map(Block::p)
        .collect();
    let at_once = level(0) - median(&mut before);
    if at_once > 0.5 * first.max(0.0) + least {
        return false;
    }
    second > GROWS * first.max(0.0) && second - first > least
}
