//! Stalls: which were there, which were named.
//!
//! A stall counts as found when one of the same kind overlaps it in time. A named
//! one that overlaps no true stall of its kind is false. Stalls that are short or
//! below the target may be left out without fault; they are counted apart from
//! those that nobody may miss (`certain`).

use std::collections::BTreeMap;

use analyser::{Findings, Stall};
use rehearsal::{Case, ExpectedStall, TrueStall};

use crate::say;

/// Counts of one kind.
#[derive(Default)]
struct Row {
    certain: u32,
    certain_found: u32,
    all: u32,
    all_found: u32,
    false_ones: u32,
    runs_with_false: u32,
}

/// Counts by kind.
#[derive(Default)]
pub(crate) struct Stalls {
    kinds: BTreeMap<&'static str, Row>,
    runs: u32,
}

impl Stalls {
    /// Takes one run; prints what is wrong with it when asked.
    pub(crate) fn count(&mut self, case: &Case, findings: &Findings, wrong: bool) {
        self.runs += 1;
        let found: Vec<&Stall> = findings
            .rounds
            .iter()
            .filter_map(|r| r.pulldown.as_ref())
            .flat_map(|p| &p.stalls)
            .collect();
        for stall in &case.truth.stalls {
            let hit = found.iter().any(|f| same(f, stall));
            let row = self.kinds.entry(stall.kind.word()).or_default();
            row.all += 1;
            row.all_found += u32::from(hit);
            row.certain += u32::from(stall.certain);
            row.certain_found += u32::from(hit && stall.certain);
            let held_up = matches!(stall.kind, ExpectedStall::Foaming | ExpectedStall::BoilOff);
            if wrong && !hit && (stall.certain || held_up) {
                let word = if stall.certain { "missed" } else { "unseen" };
                say(&format!(
                    "  {word} {:>5} {:<12} {stall:.0?}",
                    case.seed, case.family
                ));
            }
        }
        let mut kinds_wrong: Vec<&'static str> = Vec::new();
        for f in found {
            if case.truth.stalls.iter().any(|s| same(f, s)) {
                continue;
            }
            self.kinds.entry(f.kind.word()).or_default().false_ones += 1;
            if !kinds_wrong.contains(&f.kind.word()) {
                kinds_wrong.push(f.kind.word());
            }
            if wrong {
                say(&format!(
                    "  false  {:>5} {:<12} {f:.1?}",
                    case.seed, case.family
                ));
            }
        }
        for kind in kinds_wrong {
            self.kinds.entry(kind).or_default().runs_with_false += 1;
        }
    }

    /// Prints the table.
    pub(crate) fn print(&self) {
        say("stall: certain ones found, all found, false, runs with a false one");
        for (kind, r) in &self.kinds {
            say(&format!(
                "  {kind:<10} {:>3}/{:<3} = {:>5.1} %   {:>3}/{:<3} = {:>5.1} %   {:>3}   {:.1} %",
                r.certain_found,
                r.certain,
                percent(r.certain_found, r.certain),
                r.all_found,
                r.all,
                percent(r.all_found, r.all),
                r.false_ones,
                percent(r.runs_with_false, self.runs),
            ));
        }
    }
}

fn same(found: &Stall, truth: &TrueStall) -> bool {
    found.kind.word() == truth.kind.word()
        && found.start_s < truth.end_s
        && truth.start_s < found.end_s
}

fn percent(part: u32, whole: u32) -> f64 {
    100.0 * f64::from(part) / f64::from(whole.max(1))
}
