//! A pump stopped with its valve open: air and oil vapour come back through it
//! until somebody shuts the valve. In the curve that is a steep rise that does
//! not slow down by itself and then ends in a sharp corner; equalisation and
//! boil-out slow down on their own and have none.

use crate::history::Block;

/// The rise up to the corner, as a factor and in micron, at least.
const RISE: (f64, f64) = (2.5, 200.0);
/// Slope over the last third of the rise over its mean slope, at least. An
/// exponential that has all but ended keeps less than 0.2.
const STILL_STEEP: f64 = 0.5;
/// What half the length of the rise adds after the corner, as a share of the
/// rise, at most. An exponential still as steep as that adds 0.1 or more.
const STOPPED: f64 = 0.03;
/// Longest time from the pump's stop to the valve, s.
const LONGEST_S: f64 = 900.0;

/// When the valve was shut after all, s; `None` where the rise from `from_s` has no
/// such corner.
pub(crate) fn valve_shut_late(blocks: &[Block], from_s: f64) -> Option<f64> {
    let inside = &blocks[blocks.partition_point(|b| b.t() < from_s)..];
    let (first, last) = (inside.first()?, inside.last()?);
    let interval = (last.t() - first.t()) / inside.len() as f64;
    let level = |from: f64, to: f64| mean_between(inside, from, to);
    let start = first.p();
    let mut best: Option<(f64, f64)> = None;
    for (i, b) in inside.iter().enumerate().skip(4) {
        let t = b.t();
        let run = t - first.t();
        if run > LONGEST_S || i + 5 > inside.len() {
            break;
        }
        // close to the corner, so that a curve that merely bends has no time to
        if t + 0.6 * run > last.t() || run < (8.0 * interval).max(15.0) {
            continue;
        }
        let at = b.p();
        if at < RISE.0 * start || at < start + RISE.1 {
            continue;
        }
        let rise = at - start;
        let third = level(t - 0.36 * run, t - 0.30 * run)?;
        let before = (at - third) / (0.33 * run);
        let added = level(t + 0.45 * run, t + 0.55 * run)? - at;
        let sharp = before > STILL_STEEP * rise / run && added.abs() < STOPPED * rise;
        if sharp && best.is_none_or(|(_, turn)| before > turn) {
            best = Some((t, before));
        }
    }
    let (at_s, _) = best?;
    // a gauge that stands still at its top has a corner of its own
    let after = &inside[inside.partition_point(|b| b.t() <= at_s + interval)..];
    let top = inside.iter().map(|b| b.high).fold(0.0, f64::max);
    let clipped = after.iter().take(20).all(|b| b.low >= top);
    (!clipped).then_some(at_s)
}

fn mean_between(blocks: &[Block], from_s: f64, to_s: f64) -> Option<f64> {
    let a = blocks.partition_point(|b| b.t() < from_s);
    let b = blocks.partition_point(|b| b.t() <= to_s).max(a + 1);
    let part = blocks.get(a..b)?;
    Some(part.iter().map(Block::p).sum::<f64>() / part.len() as f64)
}
