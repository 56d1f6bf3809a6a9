//! Whether a pump whose floor grows is seen over its tests, and one whose floor stays is not
//! called tired.
//!
//! Rigs in order with five tests each, judged as they come, with three hours of pumping
//! between them. Of one kind the floor doubles from the first to the last, of the other it
//! stays.

use blank_off::{BlankOff, Setup};
use rig_history::{Run, history};
use simulated_runs::blank_off_ending_at;
use vacuum::{Criteria, TestKind};

use crate::print::{say, say_bars, share};

/// Tests of a rig.
const TESTS: u64 = 5;
/// Pumped between two tests, h.
const BETWEEN_H: f64 = 3.0;
/// Least share of the doubled floors that are seen to grow.
const SEEN: f64 = 0.95;
/// Most share of the steady ones that are called grown.
const FALSE_ALARMS: f64 = 0.05;
/// Factors around two that count as right.
const FACTOR: std::ops::RangeInclusive<f64> = 1.6..=2.5;

#[derive(Default)]
struct Count {
    rigs: u32,
    grew: u32,
    right: u32,
    factors: Vec<f64>,
}

/// Plays rigs of these seeds and says whether every bar is kept.
pub(crate) fn play(seeds: &[u64]) -> bool {
    let (mut doubled, mut steady) = (Count::default(), Count::default());
    for seed in seeds {
        // floors of 30 to 90 micron
        let floor = 30.0 + (seed % 7) as f64 * 10.0;
        doubled.add(floors(*seed, floor, 2.0));
        steady.add(floors(*seed, floor, 1.0));
    }
    for (name, count) in [("floor doubles", &doubled), ("floor stays", &steady)] {
        let mut factors = count.factors.clone();
        factors.sort_by(f64::total_cmp);
        let middle = factors.get(factors.len() / 2).copied().unwrap_or(f64::NAN);
        say(&format!(
            "{name:<13} rigs {}  called grown {}  factor right {}  median factor {middle:.2}",
            count.rigs, count.grew, count.right
        ));
    }
    say_bars(&[
        (
            "a floor that doubles over five tests is seen",
            share(doubled.grew, doubled.rigs) >= SEEN,
        ),
        (
            "a floor that stays is not called grown",
            share(steady.grew, steady.rigs) <= FALSE_ALARMS,
        ),
    ])
}

impl Count {
    fn add(&mut self, grew: Option<f64>) {
        self.rigs += 1;
        if let Some(factor) = grew {
            self.grew += 1;
            self.right += u32::from(FACTOR.contains(&factor));
            self.factors.push(factor);
        }
    }
}

/// By which factor the floor is said to have grown at the last of the tests, if it is.
fn floors(seed: u64, floor_micron: f64, factor: f64) -> Option<f64> {
    let mut runs: Vec<Run> = Vec::new();
    let mut last = None;
    for i in 0..TESTS {
        let part = i as f64 / (TESTS - 1) as f64;
        let end = floor_micron * (1.0 + (factor - 1.0) * part);
        // the rig stays, what is drawn anew is the day
        let case = blank_off_ending_at(seed + 1_000 * i, end);
        let mut test = BlankOff::new(Setup {
            criteria: Criteria {
                hold_min: 10.0,
                ..Criteria::rig_half_hour()
            },
            ..Setup::default()
        });
        case.entries.iter().for_each(|entry| test.take(entry));
        let found = test.findings().floor.filter(|f| f.reached_s.is_some());
        let floor = found.map(|f| f.micron);
        let began_s = i as f64 * 86_400.0;
        let earlier = history(
            &runs,
            &[],
            (Some("pump"), Some("hoses")),
            began_s,
            floor.map(|f| f.value),
        );
        last = earlier.floor_grew.map(|grew| grew.factor);
        runs.push(Run {
            kind: TestKind::BlankOff,
            pump: Some("pump".to_owned()),
            hose: Some("hoses".to_owned()),
            pumped_h: Some(BETWEEN_H),
            floor_micron: floor,
            ..Run::began(began_s)
        });
    }
    last
}
