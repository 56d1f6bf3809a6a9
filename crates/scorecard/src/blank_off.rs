//! What is said of blank-off tests, against what was simulated.
//!
//! How far the floor is off, how often its interval holds the truth, how wide that is, and
//! whether a pass or a fail is wrong. `--wrong` lists the tests in which something was
//! wrong; `--gate` ends with status 1 when a bar is missed.

use blank_off::{BlankOff, Setup};
use findings::{BlankOffFindings, BlankOffReason, Verdict};
use simulated_runs::{BlankOffCase, RigStory, blank_off_case};
use vacuum::Criteria;

use crate::print::{say, say_bars, say_pace, share};

/// Least share of intervals that hold the true floor.
const COVERED: f64 = 0.93;
/// Error of a floor, beside half a step of the gauge, within which it counts as right; and
/// least share of right ones among the floors that were called reached.
const RIGHT: f64 = 0.03;
const LEAST_RIGHT: f64 = 0.90;
/// Most of the verdicts that are wrong.
const WRONG: f64 = 0.005;
/// Least share of the tests of rigs in order, pumped for long enough, whose floor is called
/// reached: an answer that is never given cannot be wrong.
const REACHED: f64 = 0.80;
/// A hold asked for, min: what every test has.
const HOLD_MIN: f64 = 10.0;

#[derive(Default)]
struct Row {
    tests: u32,
    judged: u32,
    covered: u32,
    reached: u32,
    right: u32,
    passes: u32,
    fails: u32,
    wrong_passes: u32,
    wrong_fails: u32,
    leaks: u32,
    wet: u32,
    errors: Vec<f64>,
    widths: Vec<f64>,
}

/// Plays the tests of `seeds`, prints the table, and says whether every bar is kept.
pub(crate) fn play(seeds: &[u64], list: bool) -> bool {
    let began = std::time::Instant::now();
    let stories = [
        "all",
        "good",
        "tired oil",
        "leaking hose",
        "wet hose",
        "cut short",
    ];
    let mut rows = stories.map(|name| (name, Row::default()));
    let mut judged_us = 0;
    for seed in seeds {
        let case = blank_off_case(*seed);
        let mut test = BlankOff::new(setup());
        case.entries.iter().for_each(|entry| test.take(entry));
        let at = std::time::Instant::now();
        let found = test.findings();
        judged_us += at.elapsed().as_micros();
        for (name, row) in &mut rows {
            if *name == "all" || *name == case.story.word() {
                row.add(&case, &found);
            }
        }
        if list {
            list_wrong(&case, &found);
        }
    }
    say(&format!(
        "{:<13} tests floors covered reached right median-error median-width pass wrong fail wrong leaks wet",
        "story"
    ));
    rows.iter().for_each(|(name, row)| row.print(name));
    say_pace(seeds.len(), began, judged_us);
    let (all, good) = (&rows[0].1, &rows[1].1);
    let bars = [
        (
            "intervals that hold the floor",
            share(all.covered, all.judged) >= COVERED,
        ),
        (
            "floors within 3 %, of those reached",
            share(all.right, all.reached) >= LEAST_RIGHT,
        ),
        (
            "floors reached, rigs in order",
            share(good.reached, good.tests) >= REACHED,
        ),
        (
            "wrong verdicts",
            share(all.wrong_passes + all.wrong_fails, all.tests) <= WRONG,
        ),
    ];
    say_bars(&bars)
}

fn setup() -> Setup {
    Setup {
        criteria: Criteria {
            hold_min: HOLD_MIN,
            ..Criteria::rig_half_hour()
        },
        ..Setup::default()
    }
}

/// Whether a pass or a fail is wrong. Near a limit, within what a gauge shows, both are
/// right.
fn is_wrong(case: &BlankOffCase, verdict: Verdict) -> bool {
    let limits = Criteria::rig_half_hour();
    let slack = case.step_micron.max(0.03 * limits.target_micron);
    let floor_over = case.floor_micron - limits.target_micron;
    let hold_over = case.highest_micron - limits.ceiling_micron;
    match verdict {
        Verdict::NotProven => false,
        Verdict::Pass => floor_over > slack || hold_over > slack,
        Verdict::Fail => floor_over < -slack && hold_over < -slack,
    }
}

impl Row {
    fn add(&mut self, case: &BlankOffCase, found: &BlankOffFindings) {
        self.tests += 1;
        let wrong = is_wrong(case, found.verdict);
        match found.verdict {
            Verdict::Pass => {
                self.passes += 1;
                self.wrong_passes += u32::from(wrong);
            }
            Verdict::Fail => {
                self.fails += 1;
                self.wrong_fails += u32::from(wrong);
            }
            Verdict::NotProven => {}
        }
        let says = |reason| u32::from(found.reasons.contains(&reason));
        self.leaks += says(BlankOffReason::RigLeaks);
        self.wet += says(BlankOffReason::RigWet);
        let Some(floor) = found.floor else {
            return;
        };
        let truth = case.floor_micron;
        self.judged += 1;
        // a true floor that rounds to the end of the interval is in it
        let slack = 1e-9 * truth;
        self.covered +=
            u32::from((floor.micron.low - slack..=floor.micron.high + slack).contains(&truth));
        self.widths
            .push((floor.micron.high - floor.micron.low) / truth);
        if floor.reached_s.is_some() {
            self.reached += 1;
            let off = (floor.micron.value - truth).abs();
            self.right += u32::from(off <= (RIGHT * truth).max(0.5 * case.step_micron));
            self.errors.push(off / truth);
        }
    }

    fn print(&self, name: &str) {
        let middle = |values: &[f64]| {
            let mut values = values.to_vec();
            values.sort_by(f64::total_cmp);
            values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
        };
        say(&format!(
            "{name:<13} {:5} {:6} {:7.3} {:7} {:5.3} {:12.4} {:12.4} {:4} {:5} {:4} {:5} {:5} {:3}",
            self.tests,
            self.judged,
            share(self.covered, self.judged),
            self.reached,
            share(self.right, self.reached),
            middle(&self.errors),
            middle(&self.widths),
            self.passes,
            self.wrong_passes,
            self.fails,
            self.wrong_fails,
            self.leaks,
            self.wet
        ));
    }
}

fn list_wrong(case: &BlankOffCase, found: &BlankOffFindings) {
    let truth = case.floor_micron;
    let (mut off, mut uncovered) = (false, false);
    if let Some(floor) = found.floor {
        let error = (floor.micron.value - truth).abs();
        off = floor.reached_s.is_some() && error > (RIGHT * truth).max(0.5 * case.step_micron);
        uncovered = !(floor.micron.low..=floor.micron.high).contains(&truth);
    }
    let late = found.floor.is_some_and(|f| f.reached_s.is_none()) && case.story == RigStory::Good;
    let wrong = is_wrong(case, found.verdict);
    if off || uncovered || late || wrong {
        let reasons: Vec<&str> = found.reasons.iter().map(|r| r.word()).collect();
        let floor = found
            .floor
            .map(|f| [f.micron.low, f.micron.value, f.micron.high]);
        say(&format!(
            "  seed {} {}: {}{}{}{} {} {reasons:?}, floor {floor:.2?} true {truth:.2}, end {:.2}, \
             reached {:?}, highest {:.0}, step {}, shut {:.0} s, hold {:.0} s",
            case.seed,
            case.story.word(),
            if off { "OFF " } else { "" },
            if uncovered { "UNCOVERED " } else { "" },
            if late { "LATE " } else { "" },
            if wrong { "WRONG " } else { "" },
            found.verdict.word(),
            case.end_micron,
            found.floor.and_then(|f| f.reached_s),
            case.highest_micron,
            case.step_micron,
            case.shut_at_s,
            case.hold_s
        ));
    }
}
