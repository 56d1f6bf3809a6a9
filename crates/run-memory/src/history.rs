//! Bounded memory of a run: blocks of readings, fine when recent, coarser with
//! age.
//!
//! Every reading goes into a block of at most [`BASE_S`] seconds. When a level
//! holds more than [`LEVEL_CAPACITY`] blocks its oldest two neighbours merge into
//! one of the next level. A block keeps sums, extremes and differences, so that
//! mean, noise and resolution survive merging. Blocks never merge across a mark:
//! an isolation by mark stays exact for ever.
//!
//! Which readings share a block depends on the sequence of readings alone, never
//! on when anybody asked: live and batch give the same answer.

use std::{borrow::Cow, ops::Range};

/// Longest block at the finest level, s (common practice, no source: an instant is said to
/// the second).
const BASE_S: f64 = 1.0;
/// Blocks kept per level before the oldest are merged into the next (derived: two hours and
/// more to the second).
const LEVEL_CAPACITY: usize = 8_192;
/// Levels; the last one grows by merging in place, which doubles the length of its blocks
/// (derived: twelve levels of two to one reach beyond a year).
const LEVELS: usize = 12;
/// Blocks that merging may leave unused before the ranks are closed (common practice, no
/// source: an eighth of a level).
const MOST_UNUSED: usize = 1_024;
/// Blocks for which memory is asked at once (derived: 25 hours fill three levels and half
/// of the fourth).
const DAY_BLOCKS: usize = 7 * LEVEL_CAPACITY / 2 + MOST_UNUSED;

/// A difference over a pause this long says nothing about noise, s (common practice, no
/// source).
const PAUSE_S: f64 = 30.0;

/// A run of neighbouring readings, summed up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Time of the first reading, s.
    pub first_s: f64,
    /// Time of the last reading, s.
    pub last_s: f64,
    /// Number of measurements.
    pub n: u32,
    sum_t: f64,
    sum_p: f64,
    /// Lowest pressure, micron.
    pub low: f64,
    /// Highest pressure, micron.
    pub high: f64,
    /// Sum of squared successive differences, micron².
    pub diff_sq: f64,
    /// Number of those differences.
    pub diffs: u32,
    /// Number of successive differences that were exactly zero.
    pub repeats: u32,
    /// Smallest difference that was not zero, micron.
    pub min_step: f64,
    /// Highest pressure that two readings, one right after the other, both reached,
    /// micron; the reading before the block counts for its first.
    pub pair_high: f64,
    sum_temp: f64,
    temps: u32,
    /// True when an act was stamped between the block before and this one.
    split_before: bool,
}

impl Block {
    fn start(t: f64, p: f64, temp: Option<f64>, split_before: bool) -> Self {
        Self {
            first_s: t,
            last_s: t,
            n: 1,
            sum_t: 0.0,
            sum_p: p,
            low: p,
            high: p,
            diff_sq: 0.0,
            diffs: 0,
            repeats: 0,
            min_step: f64::INFINITY,
            pair_high: f64::NEG_INFINITY,
            sum_temp: temp.unwrap_or(0.0),
            temps: u32::from(temp.is_some()),
            split_before,
        }
    }

    fn add(&mut self, t: f64, p: f64, temp: Option<f64>) {
        self.last_s = t;
        self.n += 1;
        self.sum_t += t - self.first_s;
        self.sum_p += p;
        self.low = self.low.min(p);
        self.high = self.high.max(p);
        if let Some(c) = temp {
            self.sum_temp += c;
            self.temps += 1;
        }
    }

    fn difference(&mut self, d: f64) {
        self.diff_sq += d * d;
        self.diffs += 1;
        if d == 0.0 {
            self.repeats += 1;
        } else {
            self.min_step = self.min_step.min(d.abs());
        }
    }

    fn merge(&mut self, next: &Self) {
        self.sum_t += next.sum_t + f64::from(next.n) * (next.first_s - self.first_s);
        self.last_s = next.last_s;
        self.n += next.n;
        self.sum_p += next.sum_p;
        self.low = self.low.min(next.low);
        self.high = self.high.max(next.high);
        self.diff_sq += next.diff_sq;
        self.diffs += next.diffs;
        self.repeats += next.repeats;
        self.min_step = self.min_step.min(next.min_step);
        self.pair_high = self.pair_high.max(next.pair_high);
        self.sum_temp += next.sum_temp;
        self.temps += next.temps;
    }

    /// Mean time, s.
    #[must_use]
    pub fn t(&self) -> f64 {
        self.first_s + self.sum_t / f64::from(self.n)
    }

    /// Mean pressure, micron.
    #[must_use]
    pub fn p(&self) -> f64 {
        self.sum_p / f64::from(self.n)
    }

    /// Mean temperature, °C; `None` where none was recorded.
    #[must_use]
    pub fn temperature_c(&self) -> Option<f64> {
        (self.temps > 0).then(|| self.sum_temp / f64::from(self.temps))
    }
}

/// All measurements of a run, in bounded memory.
///
/// The blocks lie in one piece, so that they can be looked at without a copy: a
/// live line looks every second, and a day of copies would be most of the memory.
///
/// ```
/// use run_memory::History;
///
/// let mut history = History::default();
/// for i in 0..30 {
///     history.push(f64::from(i) * 0.1, 200.0 + f64::from(i), Some(21.0));
/// }
/// // three seconds, three blocks of ten readings
/// let blocks = history.blocks();
/// assert_eq!(blocks.len(), 3);
/// assert_eq!((blocks[0].n, blocks[0].p()), (10, 204.5));
/// ```
#[derive(Debug, Clone, Default)]
pub struct History {
    /// Oldest first: level after level, the coarsest in front, and at the very end
    /// the block that is being filled. What merging leaves behind in front of a
    /// level is unused until [`History::tidy`] closes the ranks.
    blocks: Vec<Block>,
    /// Where each level stands in `blocks`; level 0 is the finest and most recent.
    /// No level begins before the next coarser one ends.
    levels: [Range<usize>; LEVELS],
    last: Option<(f64, f64)>,
    split: bool,
}

impl History {
    /// Adds a measurement at `t` s: `p` micron, and the temperature beside it. Times never
    /// go backwards.
    pub fn push(&mut self, t: f64, p: f64, temperature_c: Option<f64>) {
        let open = self.blocks.last_mut().filter(|_| !self.split);
        match open.filter(|b| t - b.first_s < BASE_S && b.first_s.floor() == t.floor()) {
            Some(block) => block.add(t, p, temperature_c),
            None => {
                let split_before = std::mem::take(&mut self.split);
                self.close();
                self.blocks
                    .push(Block::start(t, p, temperature_c, split_before));
            }
        }
        if let (Some((t0, p0)), Some(block)) = (self.last, self.blocks.last_mut()) {
            block.pair_high = block.pair_high.max(p.min(p0));
            if t - t0 < PAUSE_S && !(block.split_before && block.n == 1) {
                block.difference(p - p0);
            }
        }
        self.last = Some((t, p));
    }

    /// Something was stamped here: readings before and after never share a block.
    pub fn split(&mut self) {
        self.split = true;
    }

    /// Reserves the memory of a day of readings now, and writes to every page of it: a
    /// system gives memory when it is first written to, and may then have none.
    pub fn reserve_for_a_day(&mut self) {
        let held = self.blocks.len();
        self.blocks.reserve_exact(DAY_BLOCKS.saturating_sub(held));
        self.blocks
            .resize(DAY_BLOCKS.max(held), Block::start(0.0, 0.0, None, false));
        self.blocks.truncate(held);
    }

    /// The last measurement: time in s, pressure in micron.
    #[must_use]
    pub fn last(&self) -> Option<(f64, f64)> {
        self.last
    }

    /// The block that was being filled joins the finest level.
    fn close(&mut self) {
        if self.blocks.is_empty() {
            // asked for once: growing in steps would hold old and new at once
            self.blocks.reserve_exact(DAY_BLOCKS);
            return;
        }
        self.levels[0].end = self.blocks.len();
        for k in 0..LEVELS {
            if self.levels[k].len() <= LEVEL_CAPACITY {
                break;
            }
            let oldest = self.merge_oldest(k);
            if k + 1 < LEVELS {
                let coarser = &mut self.levels[k + 1];
                // its place has just become free
                self.blocks[coarser.end] = oldest;
                coarser.end += 1;
            } else {
                self.levels[k].start -= 1;
                self.blocks[self.levels[k].start] = oldest;
                self.halve(k);
            }
        }
        if self.unused() > MOST_UNUSED {
            self.tidy();
        }
    }

    /// Takes the two oldest blocks of a level as one; a split between them sends the
    /// oldest up alone.
    fn merge_oldest(&mut self, k: usize) -> Block {
        let level = &mut self.levels[k];
        let mut first = self.blocks[level.start];
        level.start += 1;
        let second = &self.blocks[level.start];
        if !second.split_before {
            first.merge(second);
            level.start += 1;
        }
        first
    }

    /// Beyond the last level: its blocks merge in place, and their length doubles.
    fn halve(&mut self, k: usize) {
        let level = self.levels[k].clone();
        let mut to = level.start;
        for from in level.start + 1..level.end {
            let next = self.blocks[from];
            let last = &mut self.blocks[to];
            if !next.split_before && merged_len_is_odd(last, &next) {
                last.merge(&next);
            } else {
                to += 1;
                self.blocks[to] = next;
            }
        }
        self.levels[k].end = to + 1;
    }

    /// Places in `blocks` that hold nothing.
    fn unused(&self) -> usize {
        let closed = self.levels[0].end;
        closed - self.levels.iter().map(Range::len).sum::<usize>()
    }

    /// Closes the ranks, so that [`History::blocks`] need not copy. What the blocks
    /// are stays the same.
    pub fn tidy(&mut self) {
        if self.unused() == 0 {
            return;
        }
        let mut to = 0;
        for k in (0..LEVELS).rev() {
            let level = self.levels[k].clone();
            self.levels[k] = to..to + level.len();
            // the block that is being filled stands behind the finest level
            let end = if k == 0 { self.blocks.len() } else { level.end };
            self.blocks.copy_within(level.start..end, to);
            to += end - level.start;
        }
        self.blocks.truncate(to);
    }

    /// Blocks from the oldest to the newest; without a copy after [`History::tidy`].
    #[must_use]
    pub fn blocks(&self) -> Cow<'_, [Block]> {
        if self.unused() == 0 {
            return Cow::Borrowed(&self.blocks);
        }
        let mut tidy = self.clone();
        tidy.tidy();
        Cow::Owned(tidy.blocks)
    }
}

/// Two neighbours merge when the second is not already the longer one.
fn merged_len_is_odd(last: &Block, next: &Block) -> bool {
    last.last_s - last.first_s <= next.last_s - next.first_s + 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::VecDeque;

    /// The same levels as queues of their own.
    #[derive(Default)]
    struct Queues {
        levels: [VecDeque<Block>; LEVELS],
    }

    impl Queues {
        fn store(&mut self, block: Block) {
            let mut carry = block;
            for level in &mut self.levels {
                level.push_back(carry);
                if level.len() <= LEVEL_CAPACITY {
                    return;
                }
                carry = level.pop_front().expect("full");
                if let Some(second) = level.pop_front_if(|b| !b.split_before) {
                    carry.merge(&second);
                }
            }
            unreachable!("no test is so long");
        }
    }

    /// One reading a second with a mark now and then, tidied up every so often.
    fn lived(seconds: u32, tidy_every: u32) -> History {
        let mut history = History::default();
        for s in 0..seconds {
            if s % 3_001 == 17 {
                history.split();
            }
            let p = 300.0 + f64::from(s * 7_919 % 101);
            history.push(f64::from(s), p, (s % 2 == 0).then_some(21.5));
            if s % tidy_every == 0 {
                history.tidy();
            }
        }
        history
    }

    #[test]
    fn levels_in_one_piece_hold_what_queues_would() {
        let seconds = 60_000;
        let history = lived(seconds, u32::MAX);
        let mut queues = Queues::default();
        let mut last = None;
        let mut open: Option<Block> = None;
        for s in 0..seconds {
            let p = 300.0 + f64::from(s * 7_919 % 101);
            let temperature = (s % 2 == 0).then_some(21.5);
            let split = s % 3_001 == 17;
            let mut block = Block::start(f64::from(s), p, temperature, split);
            if let Some(before) = last {
                block.pair_high = p.min(before);
                if !split {
                    block.difference(p - before);
                }
            }
            last = Some(p);
            if let Some(done) = open.replace(block) {
                queues.store(done);
            }
        }
        let wanted: Vec<Block> = queues
            .levels
            .iter()
            .rev()
            .flatten()
            .copied()
            .chain(open)
            .collect();
        assert!(wanted.len() > 3 * LEVEL_CAPACITY, "four levels in use");
        assert_eq!(history.blocks(), wanted);
    }

    #[test]
    fn tidying_changes_no_block_and_spares_the_copy() {
        let mut seldom = lived(30_000, u32::MAX);
        let mut reserved = lived(30_000, 7);
        reserved.reserve_for_a_day();
        assert_eq!(seldom.blocks(), reserved.blocks());
        assert!(matches!(seldom.blocks(), Cow::Owned(_)));
        seldom.tidy();
        assert!(matches!(seldom.blocks(), Cow::Borrowed(_)));
        assert_eq!(seldom.blocks(), lived(30_000, u32::MAX).blocks());
    }

    #[test]
    fn a_day_needs_no_more_than_was_reserved() {
        let mut history = History::default();
        history.reserve_for_a_day();
        let reserved = history.blocks.capacity();
        for s in 0..86_400 {
            history.push(f64::from(s), 300.0, None);
        }
        assert_eq!(history.blocks.capacity(), reserved);
    }

    #[test]
    fn beyond_the_last_level_blocks_double_in_place() {
        let mut history = lived(40_000, 5);
        history.tidy();
        let coarsest = (0..LEVELS).rev().find(|k| !history.levels[*k].is_empty());
        let k = coarsest.expect("some level");
        let count = |h: &History| h.blocks().iter().map(|b| b.n).sum::<u32>();
        let (before, blocks) = (count(&history), history.levels[k].len());
        history.halve(k);
        assert!(history.levels[k].len() < blocks);
        assert_eq!(count(&history), before);
        let ordered = |w: &[Block]| w[0].last_s <= w[1].first_s;
        assert!(history.blocks().windows(2).all(ordered));
    }
}
