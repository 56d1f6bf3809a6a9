//! The trusted range of a gauge: where it bends, and where it ends.
//!
//! Few gauges say that they are over their range. Most stand still at their highest
//! value. A reading that repeats exactly, at a level that is never exceeded, right after
//! the pressure had been climbing without slowing down, is such a top: gas that runs
//! out, or comes to saturation, slows down first. What lies beyond is unknown, so the
//! rise has a lower bound and nothing more.

use crate::history::Block;

/// Above this a thermal gauge bends upwards (about 10 Torr), micron.
const GAUGE_BENDS_MICRON: f64 = 10_000.0;
/// Above this the inflow through a leak itself falls off (0.3 atm), micron.
const INFLOW_BENDS_MICRON: f64 = 228_000.0;
/// Fewest blocks that stand still at the top.
const STUCK: usize = 5;
/// The same where the whole climb lies between two readings of a low range.
const STUCK_AFTER_A_JUMP: usize = 20;
/// Blocks before the top that show how fast it was reached.
const APPROACH: usize = 6;
/// Last step before the top over the largest before it: less is slowing down.
const NOT_SLOWING: f64 = 0.3;
/// Climb over the approach, as a share of the top.
const CLIMB: f64 = 0.02;
/// Share of the time to the top in which it was passed at the soonest.
const SOONEST: f64 = 0.02;
/// No gauge for this work ends lower, micron (common practice, no source).
const LOWEST_TOP_MICRON: f64 = 400.0;
/// Above this a climb in one step counts at once, micron.
const HIGH_MICRON: f64 = 5_000.0;

/// Where the gauge said that it was over its range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flagged {
    /// Time of the last measurement before, s.
    pub(crate) from_s: f64,
    /// The bound that it gave, micron.
    pub(crate) bound_micron: Option<f64>,
}

/// A rise that left the range of the gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Top {
    /// Time from isolation, s.
    pub(crate) after_s: f64,
    /// Smallest rise that explains it, micron/min.
    pub(crate) at_least_micron_per_min: f64,
    /// Largest one, by the last reading before the top, micron/min.
    pub(crate) at_most_micron_per_min: f64,
    /// Rise in the second half of the way up over that in the first half; `None` with
    /// too few readings to say.
    pub(crate) late_over_early: Option<f64>,
}

/// The blocks of a hold before the gauge was over its range.
pub(crate) fn within<'a>(
    before: &[Block],
    inside: &'a [Block],
    over: Option<Flagged>,
) -> &'a [Block] {
    let flagged = over.map_or(inside.len(), |o| {
        inside.partition_point(|b| b.last_s <= o.from_s + 1e-9)
    });
    &inside[..flagged.min(stands_still(before, inside))]
}

/// How the hold left the range of the gauge, if it did.
pub(crate) fn run_to_the_top(
    before: &[Block],
    inside: &[Block],
    ranged: &[Block],
    isolated_s: f64,
    over: Option<Flagged>,
) -> Option<Top> {
    if ranged.len() == inside.len() && over.is_none() {
        return None;
    }
    let start = before.last().or(ranged.first()).or(inside.first())?;
    let start_micron = before.last().map_or(start.low, Block::p);
    let (top_s, top_micron) = match inside.get(ranged.len()) {
        Some(first) if over.is_none_or(|o| first.first_s <= o.from_s) => {
            (first.first_s, first.high)
        }
        _ => {
            let last = ranged.last().unwrap_or(start);
            let bound = over.and_then(|o| o.bound_micron).unwrap_or(last.high);
            (
                over.map_or(last.last_s, |o| o.from_s).max(last.last_s),
                bound,
            )
        }
    };
    let after_s = (top_s - isolated_s).max(1.0);
    let climb = top_micron - start_micron.min(top_micron);
    // the top was passed after the last reading below it
    let below_s = ranged.last().map_or(0.0, |b| b.last_s - isolated_s);
    let soonest_s = below_s.max(SOONEST * after_s);
    (climb > 0.0).then(|| Top {
        after_s,
        at_least_micron_per_min: 60.0 * climb / after_s,
        at_most_micron_per_min: 60.0 * climb / soonest_s,
        late_over_early: (ranged.len() >= 8).then(|| late_over_early(ranged)),
    })
}

fn late_over_early(blocks: &[Block]) -> f64 {
    let (a, b) = (blocks[0].t(), blocks[blocks.len() - 1].t());
    let middle = blocks.partition_point(|x| x.t() < 0.5 * (a + b));
    let (first, last) = (blocks[0].p(), blocks[blocks.len() - 1].p());
    let half = blocks[middle.min(blocks.len() - 1)].p();
    (last - half) / (half - first).max(1e-9)
}

/// Index of the first block at which the gauge stands still at its top, or the length.
fn stands_still(before: &[Block], inside: &[Block]) -> usize {
    let n = inside.len();
    let Some(top) = inside.last().map(|b| b.high) else {
        return n;
    };
    let stuck = inside
        .iter()
        .rev()
        .take_while(|b| b.low >= top && b.high <= top)
        .count();
    let first = n - stuck;
    if stuck < STUCK || inside[..first].iter().any(|b| b.high > top) {
        return n;
    }
    let from = before.len().saturating_sub(APPROACH.saturating_sub(first));
    let mut levels: Vec<f64> = before[from..].iter().map(Block::p).collect();
    levels.extend(
        inside[first.saturating_sub(APPROACH)..first]
            .iter()
            .map(Block::p),
    );
    let steps: Vec<f64> = levels.windows(2).map(|w| w[1] - w[0]).collect();
    let last = top - levels.last().copied().unwrap_or(top);
    let largest = steps.iter().copied().fold(last, f64::max);
    let climb = top - levels.first().copied().unwrap_or(top);
    if climb < CLIMB * top || top < LOWEST_TOP_MICRON {
        return n;
    }
    // the step into the top is cut off by it: the one before tells
    let before_last = steps.last().copied().unwrap_or(last).max(last);
    let several = steps.iter().filter(|s| **s > 0.05 * climb).count() >= 2;
    let unslowed = before_last > NOT_SLOWING * largest;
    let jump = top > HIGH_MICRON || stuck >= STUCK_AFTER_A_JUMP && climb > 0.8 * top;
    if unslowed && (several || jump) {
        first
    } else {
        n
    }
}

/// The stretch in which gauge and inflow behave: up to about 10 Torr if the
/// curve goes on rising there, else all of it.
pub(crate) fn usable_part(inside: &[Block]) -> &[Block] {
    let cut = |limit: f64| {
        let mut over = 0;
        inside.iter().position(|b| {
            over = if b.p() > limit { over + 1 } else { 0 };
            over == 2
        })
    };
    let hard = cut(INFLOW_BENDS_MICRON).unwrap_or(inside.len());
    let Some(soft) = cut(GAUGE_BENDS_MICRON).filter(|i| *i < hard) else {
        return &inside[..hard];
    };
    // a thermal gauge bends a straight rise upwards: one that bends over is real
    let levels_off = late_share(&inside[..hard]) < 0.6;
    if levels_off || soft < 12 {
        &inside[..hard]
    } else {
        &inside[..soft]
    }
}

/// Slope of the last quarter over the steepest quarter.
fn late_share(blocks: &[Block]) -> f64 {
    let (Some(first), Some(last)) = (blocks.first(), blocks.last()) else {
        return 1.0;
    };
    let (t0, span) = (first.t(), last.t() - first.t());
    let at = |f: f64| {
        let i = blocks
            .partition_point(|b| b.t() < t0 + f * span)
            .min(blocks.len() - 1);
        blocks[i].p()
    };
    let p = [at(0.0), at(0.25), at(0.5), at(0.75), at(1.0)];
    let slopes: Vec<f64> = p.windows(2).map(|w| w[1] - w[0]).collect();
    let steepest = slopes.iter().copied().fold(0.0, f64::max);
    if steepest > 0.0 {
        slopes[3] / steepest
    } else {
        1.0
    }
}
