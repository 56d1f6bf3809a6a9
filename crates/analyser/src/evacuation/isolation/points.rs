//! Blocks of readings as points of a curve, single disturbances removed.

use run_memory::Block;
use statistics::{change_point::Point, robust::median_of};

/// Interference stands out by this share of the level at least, while its neighbours agree
/// to the second share of that, and by so many times the usual difference of neighbours
/// (common practice, no source).
const STANDS_OUT: f64 = 0.05;
const AGREE: f64 = 0.3;
const USUAL: f64 = 6.0;

/// Blocks as points, without single readings that stand out from both
/// neighbours while those agree with each other: interference.
pub(super) fn clean(blocks: &[Block]) -> Vec<Point> {
    let mut out: Vec<Point> = blocks
        .iter()
        .map(|b| Point { t: b.t(), y: b.p() })
        .collect();
    // as read: what was cleaned already does not count
    let raw = |i: usize| blocks[i].p();
    for i in 1..blocks.len().saturating_sub(1) {
        let (a, b) = (raw(i - 1), raw(i + 1));
        let middle = 0.5 * (a + b);
        let off = (raw(i) - middle).abs();
        if off < STANDS_OUT * middle || (b - a).abs() > AGREE * off {
            continue;
        }
        let near = &blocks[i.saturating_sub(4)..(i + 5).min(blocks.len())];
        if off > USUAL * median_of(near.windows(2).map(|w| (w[1].p() - w[0].p()).abs())) {
            out[i].y = middle;
        }
    }
    out
}

/// Typical time between points, s.
pub(super) fn typical_interval(points: &[Point]) -> f64 {
    let m = median_of(points.windows(2).map(|w| w[1].t - w[0].t));
    if m.is_finite() { m.max(1e-3) } else { 1.0 }
}
