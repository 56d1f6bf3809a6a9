//! The trusted range of a gauge: where it bends, and where it ends.
//!
//! Few gauges say that they are over their range. Most stand still at their highest
//! value. A reading that repeats exactly, at a level that is never exceeded, right after
//! the pressure had been climbing without slowing down, is such a top: gas that runs
//! out, or comes to saturation, slows down first. What lies beyond is unknown, so the
//! rise has a lower bound and nothing more.

use run_memory::Block;

/// Above this a thermal gauge bends upwards (about 10 Torr), micron (common practice, no
/// source).
const GAUGE_BENDS_MICRON: f64 = 10_000.0;
/// Above this the inflow through a leak itself falls off (0.3 atm), micron (common
/// practice, no source).
const INFLOW_BENDS_MICRON: f64 = 228_000.0;
/// Fewest blocks that stand still at the top (common practice, no source).
const STUCK: usize = 5;
/// The same where the whole climb lies between two readings of a low range (common
/// practice, no source).
const STUCK_AFTER_A_JUMP: usize = 20;
/// Blocks before the top that show how fast it was reached (common practice, no source).
const APPROACH: usize = 6;
/// Last step before the top over the largest before it: less is slowing down (common
/// practice, no source).
const NOT_SLOWING: f64 = 0.3;
/// Climb over the approach, as a share of the top (common practice, no source).
const CLIMB: f64 = 0.02;
/// Share of the time to the top in which it was passed at the soonest (common practice, no
/// source).
const SOONEST: f64 = 0.02;
/// No gauge for this work ends lower, micron (common practice, no source).
const LOWEST_TOP_MICRON: f64 = 400.0;
/// Above this a climb in one step counts at once, micron (common practice, no source).
const HIGH_MICRON: f64 = 5_000.0;
/// Share of the top that a climb in one step covers: less may be one step of a coarse gauge
/// (common practice, no source).
const JUMP: f64 = 0.8;
/// Blocks of a long way to the top, and the share of the top that it climbs (common
/// practice, no source).
const LONG_WAY: usize = 24;
const LONG_CLIMB: f64 = 0.3;
/// Share of that climb in its last quarter: a straight one has 0.25, one that is over after
/// three time constants 0.06 (common practice, no source).
const LATE_QUARTER: f64 = 0.17;
/// Blocks on the way to the top from which its two halves can be compared (common practice,
/// no source).
const HALVES: usize = 8;
/// Late rise over early rise, on a gauge whose steps hide whether the rise slowed down just
/// before it stood still: less is slowing down (common practice, no source).
const COARSELY_NOT_SLOWING: f64 = 0.5;

/// A step of the approach that counts, as a share of the climb (common practice, no
/// source).
const COUNTS: f64 = 0.05;
/// A rise that would have gone on would have passed the top by so many steps of the gauge
/// (common practice, no source).
const MISSED_STEPS: f64 = 3.0;
/// Slope of the last quarter over the steepest below which a rise bends over (common
/// practice, no source).
const BENDS_OVER: f64 = 0.6;
/// Fewest blocks below the bend of a thermal gauge that are fitted alone (common practice,
/// no source).
const FEWEST_BELOW_BEND: usize = 12;

/// Where the gauge said that it was over its range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OverRangeFlag {
    /// Time of the last measurement before, s.
    pub(crate) from_s: f64,
    /// Time of the first row that says so, s.
    pub(crate) by_s: f64,
    /// The bound that it gave, micron.
    pub(crate) bound_micron: Option<f64>,
}

/// A rise that left the range of the gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Top {
    /// Time from isolation, s.
    pub(crate) after_s: f64,
    /// Level that it left the range at, micron.
    pub(crate) top_micron: f64,
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
    over: Option<OverRangeFlag>,
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
    over: Option<OverRangeFlag>,
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
            let bound = over.and_then(|o| o.bound_micron);
            (
                over.map_or(last.last_s, |o| o.by_s).max(last.last_s),
                bound.unwrap_or_else(|| highest_shown(before, ranged).max(last.high)),
            )
        }
    };
    let after_s = (top_s - isolated_s).max(1.0);
    let climb = top_micron - start_micron;
    // next to the top noise alone may have passed it
    let climb = if climb < CLIMB * top_micron {
        0.0
    } else {
        climb
    };
    // the top was passed after the last reading below it
    let below_s = ranged.last().map_or(0.0, |b| b.last_s - isolated_s);
    let soonest_s = below_s.max(SOONEST * after_s);
    (climb > 0.0 || over.is_some()).then(|| Top {
        after_s,
        top_micron,
        at_least_micron_per_min: 60.0 * climb / after_s,
        at_most_micron_per_min: 60.0 * climb / soonest_s,
        late_over_early: (ranged.len() >= HALVES).then(|| late_over_early(ranged)),
    })
}

/// Highest pressure that two readings in a row reached, micron: a gauge that is over its
/// range and names no bound is above what it has shown.
fn highest_shown(before: &[Block], ranged: &[Block]) -> f64 {
    before
        .iter()
        .chain(ranged)
        .map(|b| b.pair_high)
        .fold(0.0, f64::max)
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
    let reached = top > LOWEST_TOP_MICRON
        && (stopped_at_once(before, &inside[..first], top, stuck)
            || stopped_short(&inside[..first], &inside[first..], top));
    if reached { first } else { n }
}

/// True when the last few readings before the top had been climbing fast.
fn stopped_at_once(before: &[Block], way: &[Block], top: f64, stuck: usize) -> bool {
    let near = &way[way.len().saturating_sub(APPROACH)..];
    let from = before.len().saturating_sub(APPROACH - near.len());
    let mut levels: Vec<f64> = before[from..].iter().chain(near).map(Block::p).collect();
    levels.push(top);
    let climb = top - levels[0];
    if climb < CLIMB * top || levels.len() < 2 {
        return false;
    }
    let steps: Vec<f64> = levels.windows(2).map(|w| w[1] - w[0]).collect();
    let largest = steps.iter().copied().fold(0.0, f64::max);
    // the step into the top is cut off by it, and noise may turn one round: the ones
    // before tell
    let late = |n: usize| &steps[steps.len().saturating_sub(n)..];
    let last = late(2).iter().copied().fold(0.0, f64::max);
    let mean = late(3).iter().sum::<f64>() / late(3).len() as f64;
    let unslowed = last.max(mean) > NOT_SLOWING * largest;
    let climbing = &steps[..steps.len() - 1];
    let several = climbing.iter().filter(|s| **s > COUNTS * climb).count() >= 2;
    let jump = climb > JUMP * top && (top > HIGH_MICRON || stuck >= STUCK_AFTER_A_JUMP);
    let dwells = near.windows(2).any(|w| w[0].p() == w[1].p());
    let slowed_coarsely =
        dwells && way.len() >= HALVES && late_over_early(way) < COARSELY_NOT_SLOWING;
    unslowed && !slowed_coarsely && (several || jump)
}

/// True when a long climb, slow from reading to reading, ends with none of the slowing
/// down that comes before saturation: had it gone on, it would have shown.
fn stopped_short(way: &[Block], stuck: &[Block], top: f64) -> bool {
    let ([start, ..], [.., end], [.., last]) = (way, way, stuck) else {
        return false;
    };
    let from_s = start.t() + 0.75 * (end.t() - start.t());
    let quarter = &way[way.partition_point(|b| b.t() < from_s)..];
    if way.len() < LONG_WAY || quarter[0].t() >= end.t() {
        return false;
    }
    let climb = top - start.p();
    let late = top - quarter[0].p();
    let step = way.iter().map(|b| b.min_step).fold(f64::INFINITY, f64::min);
    let missed = late / (end.t() - quarter[0].t()) * (last.last_s - end.t());
    climb > LONG_CLIMB * top
        && late > LATE_QUARTER * climb
        && missed > (CLIMB * top).max(MISSED_STEPS * step)
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
    let levels_off = late_share(&inside[..hard]) < BENDS_OVER;
    if levels_off || soft < FEWEST_BELOW_BEND {
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
