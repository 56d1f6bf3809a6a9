//! Stalls: which were there, which were named.
//!
//! A stall counts as found when one of the same kind overlaps it in time. A named
//! one that overlaps no true stall of its kind is false. Stalls that are short or
//! below the target may be left out without fault; they are counted apart from
//! those that nobody may miss (`certain`). Where two names are right (boil-off and
//! ice at the triple point, ice that nothing tells from a floor) either counts. A
//! floor is *undercut* when the pressure later falls, in the same pull-down, to less
//! than 0.85 of its level: then it was none.

use std::collections::BTreeMap;

use analyser::{Analyser, Findings, Settings, Stall, StallKind};
use rehearsal::{ExpectedStall, TrueStall};
use simulated_runs::held_up_case;

use crate::print::say;

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
    undercut: u32,
}

/// One run as simulated.
#[derive(Clone, Copy)]
pub(crate) struct Played<'a> {
    pub(crate) seed: u64,
    pub(crate) family: &'static str,
    pub(crate) stalls: &'a [TrueStall],
}

/// Plays pull-downs that are held up, and prints the table.
pub(crate) fn held_up(seeds: impl Iterator<Item = u64>, wrong: bool) {
    let mut all = Stalls::default();
    let mut families: BTreeMap<&'static str, Stalls> = BTreeMap::new();
    for seed in seeds {
        let case = held_up_case(seed);
        let mut analyser = Analyser::new(Settings {
            ambient_c: case.ambient_c,
            ..Settings::default()
        });
        for entry in &case.entries {
            analyser.push(entry);
        }
        let findings = analyser.findings();
        let played = Played {
            seed,
            family: case.family,
            stalls: &case.stalls,
        };
        all.count(played, &findings, wrong);
        let family = families.entry(case.family).or_default();
        family.count(played, &findings, false);
    }
    all.print();
    for (family, stalls) in families {
        say(&format!("{family}: {} runs", stalls.runs));
        stalls.print();
    }
}

impl Stalls {
    /// Takes one run; prints what is wrong with it when asked.
    pub(crate) fn count(&mut self, case: Played<'_>, findings: &Findings, wrong: bool) {
        self.runs += 1;
        let found: Vec<&Stall> = findings
            .rounds
            .iter()
            .filter_map(|r| r.pulldown.as_ref())
            .flat_map(|p| &p.stalls)
            .collect();
        for stall in case.stalls {
            let hit = found.iter().any(|f| same(f, stall));
            let row = self.kinds.entry(stall.kind.word()).or_default();
            row.all += 1;
            row.all_found += u32::from(hit);
            row.certain += u32::from(stall.certain);
            row.certain_found += u32::from(hit && stall.certain);
            let held_up = matches!(
                stall.kind,
                ExpectedStall::Foaming | ExpectedStall::BoilOff | ExpectedStall::Ice
            );
            if wrong && !hit && (stall.certain || held_up) {
                let word = if stall.certain { "missed" } else { "unseen" };
                say(&format!(
                    "  {word} {:>5} {:<12} {stall:.0?}",
                    case.seed, case.family
                ));
            }
        }
        self.undercut += undercut(findings, wrong.then_some(case.seed));
        let mut kinds_wrong: Vec<&'static str> = Vec::new();
        for f in found {
            if case.stalls.iter().any(|s| same(f, s)) {
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
        say(&format!("  floors undercut {}", self.undercut));
    }
}

/// Floors that the same pull-down went well below afterwards, by its own lowest.
fn undercut(findings: &Findings, named: Option<u64>) -> u32 {
    let mut count = 0;
    for pulldown in findings.rounds.iter().filter_map(|r| r.pulldown.as_ref()) {
        let Some(lowest) = pulldown.lowest_micron else {
            continue;
        };
        let floors = pulldown
            .stalls
            .iter()
            .filter(|s| s.kind == StallKind::Floor && s.end_s < pulldown.end_s - 60.0);
        for floor in floors.filter(|s| lowest < 0.85 * s.level_micron) {
            count += 1;
            if let Some(seed) = named {
                say(&format!(
                    "  under  {seed:>5} {floor:.1?} lowest {lowest:.0}"
                ));
            }
        }
    }
    count
}

fn same(found: &Stall, truth: &TrueStall) -> bool {
    truth.is_called(found.kind.word()) && found.start_s < truth.end_s && truth.start_s < found.end_s
}

fn percent(part: u32, whole: u32) -> f64 {
    100.0 * f64::from(part) / f64::from(whole.max(1))
}
