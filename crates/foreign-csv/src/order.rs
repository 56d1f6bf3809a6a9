//! The order of time in a foreign CSV: rows out of place are left out, and a
//! clock that starts again opens a new stretch behind a gap.
//!
//! As long as time goes forward a row passes at once. Where it does not, some
//! rows are held back and looked at together, because one row cannot tell
//! whether it is itself out of place, or the one above it was, or the clock was
//! set anew.

use std::collections::VecDeque;

use vacuum::{Entry, Mark, Reading};

/// Rows looked at together.
const LOOK: usize = 8;

/// Fewest rows that make a new stretch; fewer are rows out of place.
const STRETCH: usize = 4;

/// A step forward up to this is not looked at, s.
const CALM_STEP_S: f64 = 60.0;

/// A step forward longer than any run: the clock was set, s (30 days).
const CLOCK_SET_S: f64 = 30.0 * 86_400.0;

/// Least length of a gap of unknown length, s. The analyser takes 10 s and five
/// intervals for missing time.
const UNKNOWN_GAP_S: f64 = 15.0;

/// New stretches after which they are weighed against the rows.
const STRETCHES: u64 = 8;

/// A row with a time, as it was read.
#[derive(Debug)]
pub(crate) struct TimedRow {
    /// Time as the file has it, s.
    pub(crate) time_s: f64,
    /// Row, counted from 1 as an editor counts lines.
    pub(crate) row: u64,
    pub(crate) mark: Option<Mark>,
    pub(crate) reading: Option<Reading>,
}

/// What becomes of the row at the front.
#[derive(Debug)]
pub(crate) enum Settled {
    InPlace(TimedRow),
    LeftOut {
        row: u64,
        reason: String,
    },
    /// The clock starts again at this row.
    NewStretch {
        row: u64,
        before_s: f64,
        after_s: f64,
        gap: Reading,
    },
}

/// Puts rows in the order of time.
#[derive(Debug, Default)]
pub(crate) struct Order {
    held: VecDeque<TimedRow>,
    /// Time of the row last passed, as the file has it, s.
    last_s: Option<f64>,
    /// Added to the file's time, s.
    shift_s: f64,
    /// Never goes back, s.
    elapsed_s: f64,
    /// Start and rows of the stretch, for the typical interval.
    stretch: (f64, u64),
    stretches: u64,
    same_time: u64,
}

impl Order {
    /// True when the row may pass without looking at its neighbours.
    #[inline]
    pub(crate) fn is_plain(&self, time_s: f64) -> bool {
        self.held.is_empty() && self.is_calm(time_s)
    }

    #[inline]
    fn is_calm(&self, time_s: f64) -> bool {
        self.last_s.is_some_and(|last| {
            let step_s = time_s - last;
            (0.0..=CALM_STEP_S).contains(&step_s) || step_s > 0.0 && self.is_usual(step_s)
        })
    }

    /// True for a step not much longer than those before it.
    fn is_usual(&self, step_s: f64) -> bool {
        step_s <= CALM_STEP_S.max(20.0 * self.interval_s())
    }

    pub(crate) fn hold(&mut self, row: TimedRow) {
        self.held.push_back(row);
    }

    /// True when the front can be settled: enough rows stand behind it, or none
    /// comes any more (`ended`), or it goes on calmly from what was settled.
    #[inline]
    pub(crate) fn is_ready(&self, ended: bool) -> bool {
        let front = self.held.front();
        front.is_some_and(|f| ended || self.held.len() >= LOOK || self.is_calm(f.time_s))
    }

    /// Rows with the same time as the row above.
    pub(crate) fn same_time(&self) -> u64 {
        self.same_time
    }

    /// True when the clock starts again too often to be a clock.
    pub(crate) fn is_hopeless(&self, rows: u64) -> bool {
        self.stretches > STRETCHES && self.stretches * 25 > rows
    }

    fn interval_s(&self) -> f64 {
        let (start, rows) = self.stretch;
        match self.last_s {
            Some(last) if rows > 1 => (last - start) / (rows - 1) as f64,
            _ => 0.0,
        }
    }

    /// Passes a row at its time: its mark and its reading.
    pub(crate) fn pass(&mut self, row: TimedRow) -> (Option<Entry>, Option<Entry>) {
        let elapsed_s = self.advance(row.time_s);
        let mark = row.mark.map(|m| Entry::Mark(Mark { elapsed_s, ..m }));
        let reading = row.reading.map(|r| Reading { elapsed_s, ..r });
        (mark, reading.map(Entry::Reading))
    }

    /// Passes a reading that is all there is in its row.
    #[inline]
    pub(crate) fn pass_reading(&mut self, reading: Reading) -> Reading {
        Reading {
            elapsed_s: self.advance(reading.elapsed_s),
            ..reading
        }
    }

    /// Takes the file's time; the time since the start.
    #[inline]
    fn advance(&mut self, time_s: f64) -> f64 {
        match self.last_s {
            Some(last) => {
                self.same_time += u64::from(last == time_s && self.stretch.1 > 0);
                // rounding in the shift must not make time go back
                self.elapsed_s = self.elapsed_s.max(time_s + self.shift_s);
            }
            None => {
                self.stretch.0 = time_s;
                self.elapsed_s = time_s;
            }
        }
        self.stretch.1 += 1;
        self.last_s = Some(time_s);
        self.elapsed_s
    }

    /// How often the clock started again.
    pub(crate) fn stretches(&self) -> u64 {
        self.stretches
    }

    /// Settles the row at the front; `None` when none is held.
    pub(crate) fn settle(&mut self) -> Option<Settled> {
        let front = self.held.pop_front()?;
        let (now, row) = (front.time_s, front.row);
        let behind = self.held.len();
        let below = |from: f64, to: f64| {
            let inside = |r: &&TimedRow| (from..to).contains(&r.time_s);
            self.held.iter().filter(inside).count()
        };
        let Some(last) = self.last_s else {
            // most rows below come before it: it is the odd one
            if behind >= 2 && below(f64::NEG_INFINITY, now) * 2 > behind {
                return Some(left_out(row, now - self.held[0].time_s, true));
            }
            return Some(Settled::InPlace(front));
        };
        if now < last {
            let goes_on = self.held.iter().any(|r| r.time_s >= last);
            let rises = below(now, f64::INFINITY) * 2 > behind;
            if goes_on || behind + 1 < STRETCH || !rises {
                return Some(left_out(row, last - now, false));
            }
            return Some(self.new_stretch(front, last));
        }
        let ahead = now - last;
        if !self.is_usual(ahead) {
            if behind > 0 && below(last, now) * 2 > behind {
                return Some(left_out(row, ahead, true));
            }
            if ahead > CLOCK_SET_S && self.interval_s() < CLOCK_SET_S / 100.0 {
                return Some(self.new_stretch(front, last));
            }
        }
        Some(Settled::InPlace(front))
    }

    /// Opens a stretch at `front`, which stays held.
    fn new_stretch(&mut self, front: TimedRow, last: f64) -> Settled {
        let (row, after_s) = (front.row, front.time_s);
        let gap_s = UNKNOWN_GAP_S.max(8.0 * self.interval_s());
        self.elapsed_s += gap_s;
        self.shift_s = self.elapsed_s - after_s;
        self.stretches += 1;
        self.stretch = (after_s, 0);
        self.last_s = Some(after_s);
        self.held.push_front(front);
        Settled::NewStretch {
            row,
            before_s: last,
            after_s,
            gap: Reading::gap(self.elapsed_s),
        }
    }
}

fn left_out(row: u64, by_s: f64, ahead: bool) -> Settled {
    let by = seconds(by_s);
    let reason = if ahead {
        format!("its time lies {by} ahead of the rows that follow")
    } else {
        format!("its time lies {by} before the row above")
    };
    Settled::LeftOut { row, reason }
}

/// A length of time with the digits it deserves.
pub(crate) fn seconds(s: f64) -> String {
    match s.abs() {
        x if x >= 2.0 * 86_400.0 => format!("{:.0} days", s / 86_400.0),
        x if x >= 7200.0 => format!("{:.1} h", s / 3600.0),
        x if x >= 100.0 => format!("{s:.0} s"),
        _ => format!("{} s", (s * 1000.0).round() / 1000.0),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[derive(Debug, PartialEq)]
    enum Step {
        Passed(f64),
        LeftOut(u64),
        Gap(f64),
    }

    /// What becomes of rows with these times, one each from row 1 on.
    fn steps(times: &[f64]) -> Vec<Step> {
        let mut order = Order::default();
        let mut out = Vec::new();
        let mut at = 0;
        loop {
            if order.is_ready(at == times.len()) {
                match order.settle() {
                    Some(Settled::InPlace(row)) => {
                        out.push(Step::Passed(order.advance(row.time_s)));
                    }
                    Some(Settled::LeftOut { row, .. }) => out.push(Step::LeftOut(row)),
                    Some(Settled::NewStretch { gap, .. }) => out.push(Step::Gap(gap.elapsed_s)),
                    None => unreachable!("something is held"),
                }
                continue;
            }
            let Some(time_s) = times.get(at) else { break };
            at += 1;
            if order.is_plain(*time_s) {
                out.push(Step::Passed(order.advance(*time_s)));
            } else {
                order.hold(TimedRow {
                    time_s: *time_s,
                    row: at as u64,
                    mark: None,
                    reading: None,
                });
            }
        }
        out
    }

    /// The same as text: `t` passed, `-row` left out, `| t` a gap.
    fn order(times: &[f64]) -> String {
        let word = |step: &Step| match step {
            Step::Passed(t) => t.to_string(),
            Step::LeftOut(row) => format!("-{row}"),
            Step::Gap(t) => format!("| {t}"),
        };
        steps(times).iter().map(word).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn time_that_goes_forward_passes() {
        assert_eq!(order(&[0.0, 1.0, 1.0, 2.0]), "0 1 1 2");
        assert_eq!(order(&[5.0]), "5");
        assert_eq!(
            order(&[0.0, 1.0, 5000.0, 5001.0, 5002.0]),
            "0 1 5000 5001 5002"
        );
        assert_eq!(order(&[-3.0, -2.0, -1.0]), "-3 -2 -1");
    }

    #[test]
    fn single_rows_out_of_place_are_left_out() {
        assert_eq!(order(&[0.0, 1.0, 2.0, 1.5, 3.0, 4.0]), "0 1 2 -4 3 4");
        assert_eq!(order(&[0.0, 1.0, 2.0, 1.2, 1.4, 3.0]), "0 1 2 -4 -5 3");
        // the odd row is the one that jumps ahead, not all that follow
        assert_eq!(order(&[0.0, 1.0, 9e5, 2.0, 3.0, 4.0]), "0 1 -3 2 3 4");
        assert_eq!(order(&[9e5, 0.0, 1.0, 2.0, 3.0]), "-1 0 1 2 3");
        // a few rows at the very end tell too little of a new start
        assert_eq!(order(&[0.0, 1.0, 2.0, 0.0, 1.0]), "0 1 2 -4 -5");
    }

    #[test]
    fn a_clock_that_starts_again_opens_a_stretch_behind_a_gap() {
        let mut times: Vec<f64> = (0..100).map(f64::from).collect();
        times.extend((0..10).map(f64::from));
        let found = order(&times);
        assert!(found.contains("98 99 | 114 114 115 116"), "{found}");
        // eight intervals where those are longer
        let mut times: Vec<f64> = (0..20).map(|i| f64::from(i) * 30.0).collect();
        times.extend((0..10).map(|i| f64::from(i) * 30.0));
        assert!(order(&times).contains("570 | 810 810 840"));
    }

    #[test]
    fn a_clock_set_for_the_first_time_opens_a_stretch() {
        let set = 1.7e9;
        let times = [0.0, 1.0, 2.0, set, set + 1.0, set + 2.0, set + 3.0];
        assert_eq!(order(&times), "0 1 2 | 17 17 18 19 20");
    }

    proptest! {
        #[test]
        fn every_row_passes_or_is_left_out_and_time_never_goes_back(
            times in prop::collection::vec(
                prop_oneof![0.0..100.0_f64, -1e9..1e9_f64, Just(5.0)],
                0..60,
            ),
        ) {
            let mut rows = 0;
            let mut last = f64::NEG_INFINITY;
            for step in steps(&times) {
                rows += usize::from(!matches!(step, Step::Gap(_)));
                if let Step::Passed(t) | Step::Gap(t) = step {
                    prop_assert!(t >= last);
                    last = t;
                }
            }
            prop_assert_eq!(rows, times.len());
        }
    }
}
