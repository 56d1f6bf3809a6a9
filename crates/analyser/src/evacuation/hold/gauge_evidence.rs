//! Whether the gauge shows enough to prove a hold.
//!
//! A gauge that stands still may stand on a quiet system, or be dead, cut off, or at
//! the end of what it can show. Only the record can tell, so a hold that stands still
//! counts only where the record shows all of this:
//!
//! 1. *Fine steps.* Within a factor of two of the level the gauge moved in steps of
//!    [`FINE_MICRON`] or less, in [`FEWEST`] blocks of readings at least.
//! 2. *It came to rest.* The last step before the standstill was such a step, and
//!    slower than the steps before it. A gauge or a logger that freezes stops in
//!    full pace.
//! 3. *It is not at its floor.* It showed lower pressures near the level in this
//!    record; or it slowed down to half its pace or less over its last six steps, as
//!    a pressure does that comes to an end. A gauge that reaches the end of what it
//!    can show stops in full pace.
//!
//! And where the readings had a noise of [`FLICKER_STEPS`] steps or more until they
//! stopped, a standstill of [`FROZEN_READINGS`] readings is a freeze. Such a noise is
//! more than a flicker between two neighbouring values (0.71 steps at most), so more
//! than four readings in ten differ from the one before, and thirty equal ones in a
//! row come by chance once in a million holds (0.6³⁰ = 2·10⁻⁷).
//!
//! And where the gauge moved in one direction, three times or more, and then stands
//! still for half of the hold or longer without having slowed down, it froze.
//!
//! Steps count against the ceiling: a tenth of it is the largest step with which a
//! pressure can be held against it (common practice, no source).

use findings::ShowsTooLittle;
use run_memory::{Block, GaugeNoise, Outage, gauge_noise};
use vacuum::ReadingState;

/// A step that is fine enough to believe a standstill, micron: 1 micron, 0.1 Pa, 0.001
/// mbar, 0.001 Torr (common practice, no source).
const FINE_MICRON: f64 = 1.000_001;
/// Blocks with fine steps, and readings below the level, that count as evidence (common
/// practice, no source).
const FEWEST: usize = 5;
/// Largest step as a share of the ceiling (common practice, no source).
const COARSE_SHARE: f64 = 0.1;
/// Share of the readings at the lowest value of the record from which the hold stands at a
/// floor (common practice, no source).
const AT_FLOOR_SHARE: f64 = 0.8;
/// The same where that value is zero, which no gauge measures (common practice, no source).
const AT_ZERO_SHARE: f64 = 0.5;
/// Share of the hold below the gauge's range from which the hold stands at a floor (common
/// practice, no source).
const UNDER_SHARE: f64 = 0.2;
/// Noise of a gauge that cannot stand still by itself, in steps (derived: a flicker between
/// two neighbouring values is 0.71 steps at most).
const FLICKER_STEPS: f64 = 0.75;
/// Equal readings in a row after which a gauge that flickered is frozen (derived: 0.6³⁰ is
/// 2·10⁻⁷).
const FROZEN_READINGS: u32 = 30;
/// Blocks looked at before a standstill (common practice, no source).
const LOOK_BACK: usize = 2_000;

/// A rise of at most so many steps is one by a single step (derived: halfway to two).
const BY_ONE_STEP: f64 = 1.5;
/// A gauge slowed down when its last move was at most this share of the pace before, and
/// came down to rest when the pace of its last three moves was at most this share of that
/// of the three before (common practice, no source).
const SLOWED: f64 = 0.75;
const CAME_DOWN: f64 = 0.5;
/// The step before the last over the finest step, at most (common practice, no source).
const EARLIER_STEPS: f64 = 4.0;
/// A reading is below the level when it is so far below, micron (common practice, no
/// source: less than any step).
const BELOW_MICRON: f64 = 0.1;

/// What is wrong with what the gauge shows in a hold, if anything.
///
/// `blocks` is the record, `settled` the hold from the end of equalisation on.
pub(crate) fn of(
    blocks: &[Block],
    settled: &[Block],
    noise: GaugeNoise,
    ceiling_micron: f64,
) -> Option<ShowsTooLittle> {
    let (first, last) = (settled.first()?, settled.last()?);
    let most_micron = COARSE_SHARE * ceiling_micron;
    let step = noise
        .step_micron
        .into_iter()
        .chain(grid(settled))
        .fold(0.0, f64::max);
    // a step as a number of a foreign unit is good to the rounding of that number
    if step > most_micron * (1.0 + 1e-9) {
        return Some(ShowsTooLittle::Steps {
            step_micron: step,
            most_micron,
        });
    }
    let low = settled.iter().map(|b| b.low).fold(f64::INFINITY, f64::min);
    let lowest = blocks.iter().map(|b| b.low).fold(f64::INFINITY, f64::min);
    let at_low = share(settled, |b| b.high <= low);
    if low <= 0.0 && at_low >= AT_ZERO_SHARE {
        return Some(ShowsTooLittle::AtFloor {
            level_micron: Some(low),
        });
    }
    let rest = standstill(settled, step, lowest)?;
    let mut from = blocks.partition_point(|b| b.last_s < rest.first_s);
    let stood = |b: &Block| b.low >= rest.level_micron && b.high <= rest.level_micron;
    // it may have come to rest before the hold began
    while from > 0 && stood(&blocks[from - 1]) {
        from -= 1;
    }
    if rest.certain || !came_to_rest(blocks, from, rest.level_micron) {
        return Some(if rest.level_micron <= lowest {
            ShowsTooLittle::AtFloor {
                level_micron: Some(rest.level_micron),
            }
        } else {
            ShowsTooLittle::StandsStill {
                level_micron: rest.level_micron,
                lasted_s: last.last_s - rest.first_s.max(first.first_s),
            }
        });
    }
    None
}

/// True where the gauge said, for a fifth of the hold or more, that the pressure is
/// below its range: a bound is not a measurement, and a torn wire says the same.
pub(crate) fn mostly_under(outages: &[Outage], from_s: f64, to_s: f64) -> bool {
    let under: f64 = outages
        .iter()
        .filter(|o| o.state == ReadingState::Under)
        .map(|o| (o.end_s.min(to_s) - o.start_s.max(from_s)).max(0.0))
        .sum();
    to_s > from_s && under >= UNDER_SHARE * (to_s - from_s)
}

/// Share of the readings that are in blocks with a property.
fn share(blocks: &[Block], has: impl Fn(&Block) -> bool) -> f64 {
    let count = |b: &Block| f64::from(b.n);
    let all: f64 = blocks.iter().map(count).sum();
    let with: f64 = blocks.iter().filter(|b| has(b)).map(count).sum();
    with / all.max(1.0)
}

/// The step of a gauge that is read so seldom that its noise says nothing: where
/// readings repeat one another twice on average, the smallest distance between two of
/// their values, micron. All others have to be whole multiples of it.
fn grid(settled: &[Block]) -> Option<f64> {
    let mut values: Vec<f64> = settled
        .iter()
        .filter(|b| b.low >= b.high)
        .map(|b| b.low)
        .collect();
    let all = values.len();
    values.sort_unstable_by(f64::total_cmp);
    values.dedup();
    if values.len() < 2 || all < 2 * values.len() {
        return None;
    }
    let gaps = || values.windows(2).map(|w| w[1] - w[0]);
    let smallest = gaps().fold(f64::INFINITY, f64::min);
    let whole = |gap: f64| {
        let times = gap / smallest;
        (times - times.round()).abs() < 1e-3 * times
    };
    gaps().all(whole).then_some(smallest)
}

/// A stretch at the end of a hold in which the gauge stood still.
#[derive(Debug, Clone, Copy)]
struct Standstill {
    first_s: f64,
    level_micron: f64,
    /// It flickered until then, so it did not come to rest by itself.
    certain: bool,
}

/// The standstill that makes a hold doubtful, if there is one: all of the hold, all
/// but a few readings at the lowest value of the record, or a freeze of a gauge that
/// flickered.
///
/// Readings that go up by a single step and come back, three times or more, are those
/// of a gauge that measures close to where two of its values meet.
fn standstill(settled: &[Block], step_micron: f64, lowest: f64) -> Option<Standstill> {
    let level = settled.last()?.low;
    let at_level = |b: &Block| b.low >= level && b.high <= level;
    let still = settled.iter().rev().take_while(|b| at_level(b)).count();
    let moved = settled.len() - still;
    let first_s = settled.get(moved).map(|b| b.first_s);
    let found = |certain| {
        first_s.map(|first_s| Standstill {
            first_s,
            level_micron: level,
            certain,
        })
    };
    if moved == 0 {
        return found(false);
    }
    let by_one_step = |b: &&Block| b.high > lowest && b.high - lowest <= BY_ONE_STEP * step_micron;
    let measures = settled.iter().filter(by_one_step).take(3).count() == 3;
    if !measures && share(settled, |b| b.high <= lowest) >= AT_FLOOR_SHARE {
        return Some(Standstill {
            first_s: settled.first()?.first_s,
            level_micron: lowest,
            certain: false,
        });
    }
    let readings: u32 = settled[moved..].iter().map(|b| b.n).sum();
    let before = gauge_noise(&settled[..moved]);
    let flickered = moved >= FEWEST
        && before.reading_micron > 0.0
        && before.reading_micron >= FLICKER_STEPS * step_micron;
    if readings >= FROZEN_READINGS && flickered {
        return found(true);
    }
    let (first, last) = (settled.first()?, settled.last()?);
    let stood_s = last.last_s - first_s?;
    let moves = moves(&settled[..moved], (first_s?, level));
    let one_way = moves.len() >= 3 && {
        let end = &moves[moves.len() - 3..];
        end.iter().all(|m| m.by_micron > 0.0) || end.iter().all(|m| m.by_micron < 0.0)
    };
    if one_way && stood_s >= 0.5 * (last.last_s - first.first_s) && !slowed(&moves) {
        return found(true);
    }
    None
}

/// Way over time of some moves, micron/s.
fn pace(moves: &[Move]) -> f64 {
    let way: f64 = moves.iter().map(|m| m.by_micron.abs()).sum();
    let time: f64 = moves.iter().map(|m| m.after_s).sum();
    way / time.max(1e-9)
}

/// True where the last move was slower than the three before it, by a quarter at least.
fn slowed(moves: &[Move]) -> bool {
    let [before @ .., last] = moves else {
        return false;
    };
    let before = &before[before.len().saturating_sub(3)..];
    !before.is_empty() && pace(&[*last]) <= SLOWED * pace(before)
}

/// A step of the gauge before it stood still: when it left the value before, and how
/// far it went.
#[derive(Debug, Clone, Copy)]
struct Move {
    /// How long the value before had stood, s.
    after_s: f64,
    /// micron; negative downwards.
    by_micron: f64,
}

/// True where the record shows that a gauge which stands at `level` from block `from`
/// on came to rest there; see the head of this module.
fn came_to_rest(blocks: &[Block], from: usize, level: f64) -> bool {
    if level <= 0.0 {
        return false;
    }
    let near = 0.5 * level..2.0 * level;
    let inside = |b: &&Block| near.contains(&b.low) && near.contains(&b.high);
    let before = &blocks[from.saturating_sub(LOOK_BACK)..from];
    let fine = before
        .iter()
        .filter(inside)
        .filter(|b| b.min_step <= FINE_MICRON)
        .count();
    if fine < FEWEST {
        return false;
    }
    let rest_s = blocks.get(from).map_or(0.0, |b| b.first_s);
    let moves = moves(before, (rest_s, level));
    let [.., earlier, last] = moves.as_slice() else {
        return false;
    };
    let n = moves.len();
    if last.by_micron.abs() > FINE_MICRON || n < 4 || !slowed(&moves) {
        return false;
    }
    if earlier.by_micron.abs() > EARLIER_STEPS * FINE_MICRON {
        return false;
    }
    let lower: f64 = before
        .iter()
        .filter(inside)
        .filter(|b| b.low < level - BELOW_MICRON)
        .map(|b| f64::from(b.n))
        .sum();
    let came_down = n >= 6 && {
        let falling = moves[n - 6..].iter().all(|m| m.by_micron < 0.0);
        falling && pace(&moves[n - 3..]) <= CAME_DOWN * pace(&moves[n - 6..n - 3])
    };
    lower >= FEWEST as f64 || came_down
}

/// The moves between standing values in `before`, and the last one, to where it came
/// to rest: time and pressure.
fn moves(before: &[Block], rest: (f64, f64)) -> Vec<Move> {
    let mut out = Vec::new();
    let Some(first) = before.first() else {
        return out;
    };
    let (mut value, mut since) = (first.p(), first.first_s);
    let mut step = |t: f64, p: f64| {
        if (p - value).abs() > 1e-9 {
            out.push(Move {
                after_s: t - since,
                by_micron: p - value,
            });
            (value, since) = (p, t);
        }
    };
    for b in &before[1..] {
        step(b.first_s, b.p());
    }
    step(rest.0, rest.1);
    out
}
