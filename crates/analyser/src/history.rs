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

use std::collections::VecDeque;

/// Longest block at the finest level, s.
const BASE_S: f64 = 1.0;
/// Blocks kept per level before the oldest are merged into the next.
const LEVEL_CAPACITY: usize = 8_192;
/// Levels; the last one grows by merging in place (block length doubles).
const LEVELS: usize = 12;

/// A run of neighbouring readings, summed up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Block {
    /// Time of the first reading, s.
    pub(crate) first_s: f64,
    /// Time of the last reading, s.
    pub(crate) last_s: f64,
    /// Number of measurements.
    pub(crate) n: u32,
    sum_t: f64,
    sum_p: f64,
    /// Lowest and highest pressure, micron.
    pub(crate) low: f64,
    /// See `low`.
    pub(crate) high: f64,
    /// Sum of squared successive differences, micron², and their number.
    pub(crate) diff_sq: f64,
    /// See `diff_sq`.
    pub(crate) diffs: u32,
    /// Number of successive differences that were exactly zero.
    pub(crate) repeats: u32,
    /// Smallest difference that was not zero, micron.
    pub(crate) min_step: f64,
    sum_temp: f64,
    temps: u32,
    /// True when an act was stamped between the block before and this one.
    fence: bool,
}

impl Block {
    fn start(t: f64, p: f64, temp: Option<f64>, fence: bool) -> Self {
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
            sum_temp: temp.unwrap_or(0.0),
            temps: u32::from(temp.is_some()),
            fence,
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
        self.sum_temp += next.sum_temp;
        self.temps += next.temps;
    }

    /// Mean time, s.
    pub(crate) fn t(&self) -> f64 {
        self.first_s + self.sum_t / f64::from(self.n)
    }

    /// Mean pressure, micron.
    pub(crate) fn p(&self) -> f64 {
        self.sum_p / f64::from(self.n)
    }

    /// Mean temperature, °C.
    pub(crate) fn temperature_c(&self) -> Option<f64> {
        (self.temps > 0).then(|| self.sum_temp / f64::from(self.temps))
    }
}

/// All measurements of a run, in bounded memory.
#[derive(Debug, Clone, Default)]
pub(crate) struct History {
    /// `levels[0]` is the finest and most recent.
    levels: Vec<VecDeque<Block>>,
    open: Option<Block>,
    last: Option<(f64, f64)>,
    fence: bool,
}

impl History {
    /// Adds a measurement; times never go backwards.
    pub(crate) fn push(&mut self, t: f64, p: f64, temperature_c: Option<f64>) {
        let fits = !self.fence
            && self
                .open
                .as_ref()
                .is_some_and(|b| t - b.first_s < BASE_S && b.first_s.floor() == t.floor());
        if fits {
            if let Some(block) = &mut self.open {
                block.add(t, p, temperature_c);
            }
        } else {
            let fence = std::mem::take(&mut self.fence);
            if let Some(done) = self.open.replace(Block::start(t, p, temperature_c, fence)) {
                self.store(done);
            }
        }
        if let (Some((t0, p0)), Some(block)) = (self.last, &mut self.open) {
            // a difference over a pause says nothing about noise
            if t - t0 < 30.0 && !(block.fence && block.n == 1) {
                block.difference(p - p0);
            }
        }
        self.last = Some((t, p));
    }

    /// Something was stamped here: readings before and after stay apart.
    pub(crate) fn fence(&mut self) {
        self.fence = true;
    }

    /// The last measurement: time in s, pressure in micron.
    pub(crate) fn last(&self) -> Option<(f64, f64)> {
        self.last
    }

    fn store(&mut self, block: Block) {
        if self.levels.is_empty() {
            self.levels.resize_with(LEVELS, VecDeque::new);
        }
        let mut carry = Some(block);
        for level in &mut self.levels {
            let Some(block) = carry.take() else { return };
            level.push_back(block);
            if level.len() <= LEVEL_CAPACITY {
                return;
            }
            carry = merge_oldest(level);
        }
        // beyond the last level: halve it in place
        if let (Some(block), Some(level)) = (carry, self.levels.last_mut()) {
            level.push_front(block);
            let mut merged: VecDeque<Block> = VecDeque::with_capacity(LEVEL_CAPACITY);
            for b in level.drain(..) {
                match merged.back_mut() {
                    Some(last) if !b.fence && merged_len_is_odd(last, &b) => last.merge(&b),
                    _ => merged.push_back(b),
                }
            }
            *level = merged;
        }
    }

    /// Blocks from the oldest to the newest.
    pub(crate) fn blocks(&self) -> Vec<Block> {
        let mut out = Vec::with_capacity(self.levels.iter().map(VecDeque::len).sum::<usize>() + 1);
        for level in self.levels.iter().rev() {
            out.extend(level.iter().copied());
        }
        out.extend(self.open);
        out
    }
}

/// Two neighbours merge when the second is not already the longer one.
fn merged_len_is_odd(last: &Block, next: &Block) -> bool {
    last.last_s - last.first_s <= next.last_s - next.first_s + 1e-9
}

/// Takes the two oldest blocks of a level as one; a fence between them sends the
/// oldest up alone.
fn merge_oldest(level: &mut VecDeque<Block>) -> Option<Block> {
    let mut first = level.pop_front()?;
    if level.front().is_some_and(|b| !b.fence)
        && let Some(second) = level.pop_front()
    {
        first.merge(&second);
    }
    Some(first)
}
