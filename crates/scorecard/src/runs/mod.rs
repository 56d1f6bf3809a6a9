//! What the analyser says of whole runs, against what was simulated.
//!
//! Random runs are played from the first reading to the last: how often
//! verdict and cause are right, which causes are mistaken for which, how well intervals
//! cover, where isolation lies, which stalls are found and how far the forecast is off.
//! The runs come from the invented plant, with `--formula` from a second family, made of
//! closed formulas. With `--held-up` only stalls are counted, on pull-downs of a third
//! family; with `--valve` only the instant of isolation, on runs of a family made for
//! that. `--wrong` lists the runs that were judged wrongly.

mod forecast;
mod isolation;
mod stalls;

use std::{collections::BTreeMap, time::Instant};

use analyser::{Analyser, Findings, Settings};
use forecast::Forecasts;
use isolation::Isolations;
use simulated_runs::{Case, bench_case, formula_case, valve_case};
use stalls::{Played, Stalls};
use vacuum::Refrigerant;

use crate::print::say;

#[derive(Default)]
struct Score {
    runs: u32,
    verdict_right: u32,
    false_pass: u32,
    with_hold: u32,
    rise_right: u32,
    dangerous: u32,
    confusion: BTreeMap<(&'static str, &'static str), u32>,
    families: BTreeMap<&'static str, [u32; 3]>,
    isolations: Isolations,
    leaks: Vec<f64>,
    covered: u32,
    stalls: Stalls,
    forecasts: Forecasts,
    analysis_us: u128,
    readings: u64,
}

/// Plays the runs of `seeds` and prints the table that the flags ask for.
pub(crate) fn play(seeds: &[u64], has: impl Fn(&str) -> bool) {
    let seeds = seeds.iter().copied();
    if has("--held-up") {
        stalls::held_up(seeds, has("--wrong"));
        return;
    }
    if has("--valve") {
        valves(seeds, has("--wrong"));
        return;
    }
    let mut score = Score::default();
    for seed in seeds {
        let case = if has("--formula") {
            formula_case(seed)
        } else {
            bench_case(seed)
        };
        let start = Instant::now();
        let findings = analyse(&case);
        score.analysis_us += start.elapsed().as_micros();
        score.readings += case.entries.len() as u64;
        score.count(&case, &findings, has("--wrong"));
        score.forecasts.count(&case, has("--wrong"));
    }
    score.print();
}

/// When was the valve shut?
fn valves(seeds: impl Iterator<Item = u64>, wrong: bool) {
    let mut isolations = Isolations::default();
    for seed in seeds {
        let case = valve_case(seed);
        let mut analyser = Analyser::new(Settings::default());
        case.entries.iter().for_each(|e| analyser.push(e));
        let findings = analyser.findings();
        let truth = isolation::Truth {
            at_s: case.isolated_at_s,
            interval_s: case.interval_s,
            visible: case.can_be_placed(),
        };
        let near = isolations.count(case.family, &truth, &findings);
        if wrong && !near {
            let found = findings.judged_hold().map(|h| h.isolated_at_s.round());
            say(&format!(
                "i {seed:>5} {found:?} (is {:.0}) {}",
                case.isolated_at_s, case.description
            ));
        }
    }
    isolations.print();
}

fn analyse(case: &Case) -> Findings {
    let mut analyser = analyser_for(case);
    for entry in &case.entries {
        analyser.push(entry);
    }
    analyser.findings()
}

fn analyser_for(case: &Case) -> Analyser {
    let hints = &case.hints;
    Analyser::new(Settings {
        ambient_c: hints.ambient_c,
        volume_l: hints.volume_l,
        isolated_at_s: hints.isolated_at_s,
        refrigerant: hints.refrigerant.and_then(Refrigerant::named),
        access_sides: hints.access_sides,
        ..Settings::default()
    })
}

impl Score {
    fn count(&mut self, case: &Case, findings: &Findings, wrong: bool) {
        let truth = &case.truth;
        self.runs += 1;
        let verdict = findings.verdict.word();
        let fine = truth.verdict_acceptable.iter().any(|v| v.word() == verdict);
        let family = self.families.entry(case.family).or_default();
        family[0] += 1;
        family[1] += u32::from(fine);
        self.verdict_right += u32::from(fine);
        let false_pass = verdict == "pass" && !fine;
        self.false_pass += u32::from(false_pass);
        let rise = self.count_rise(case, findings);
        let family = self.families.entry(case.family).or_default();
        family[2] += u32::from(rise.is_none_or(|right| right));
        let near = self.count_isolation(case, findings);
        let played = Played {
            seed: case.seed,
            family: case.family,
            stalls: &truth.stalls,
        };
        self.stalls.count(played, findings, wrong);
        if wrong && (!fine || !near || rise == Some(false)) {
            let hold = findings.judged_hold();
            say(&format!(
                "{} {:>5} {:<22} verdict {verdict} (is {:?}) reasons {:?} rise {:?} p={:?} (is {:?} ok {:?}) iso {:?} {:?} (is {:?}) leak {:.2} [{:.0}/{:.0}/{:.0}] noise {:.1} len {:.0}",
                if near { " " } else { "i" },
                case.seed,
                case.family,
                truth.verdict,
                findings.reasons,
                hold.map(|h| h.rise.kind),
                hold.and_then(|h| h.rise.confidence)
                    .map(|c| (c * 100.0).round()),
                truth.rise,
                truth.rise_acceptable,
                hold.map(|h| h.isolated_at_s.round()),
                hold.map(|h| h.basis),
                truth.isolation_s.map(f64::round),
                truth.leak_micron_per_min,
                truth.leak_part_micron,
                truth.volatile_part_micron,
                truth.internal_part_micron,
                truth.noise_micron,
                truth.isolation_s.map_or(0.0, |i| truth.end_s - i),
            ));
        }
    }

    /// Right or wrong about the cause; `None` where there is nothing to compare.
    fn count_rise(&mut self, case: &Case, findings: &Findings) -> Option<bool> {
        let truth = &case.truth;
        let (Some(expected), Some(hold)) = (truth.rise, findings.judged_hold()) else {
            return None;
        };
        self.with_hold += 1;
        let said = hold.rise.kind.word();
        let right = truth.rise_acceptable.iter().any(|k| k.word() == said);
        self.rise_right += u32::from(right);
        let dangerous = !right
            && matches!(expected.word(), "leak" | "leak_and_moisture")
            && matches!(said, "none" | "moisture");
        self.dangerous += u32::from(dangerous);
        *self.confusion.entry((expected.word(), said)).or_default() += 1;
        let leaks = matches!(expected.word(), "leak" | "leak_and_moisture");
        if let Some(leak) = hold.rise.leak_micron_per_min.filter(|_| leaks && right) {
            let truth = truth.leak_micron_per_min;
            self.leaks.push((leak.value / truth - 1.0).abs());
            self.covered += u32::from((leak.low..=leak.high).contains(&truth));
        }
        Some(right)
    }

    fn count_isolation(&mut self, case: &Case, findings: &Findings) -> bool {
        let Some(at_s) = case.truth.isolation_s else {
            return true;
        };
        if case.hints.marks_present || case.hints.isolated_at_s.is_some() {
            return true;
        }
        let truth = isolation::Truth {
            at_s,
            interval_s: findings.data.interval_s.unwrap_or(1.0),
            visible: case.truth.isolation_visible,
        };
        self.isolations.count(case.family, &truth, findings)
    }

    fn print(mut self) {
        say(&format!(
            "verdict right       {}",
            share(self.verdict_right, self.runs)
        ));
        say(&format!("false pass          {}", self.false_pass));
        say(&format!(
            "cause of rise right {}",
            share(self.rise_right, self.with_hold)
        ));
        say(&format!("dangerous           {}", self.dangerous));
        self.isolations.print();
        let leaks = self.leaks.len() as u32;
        say(&format!(
            "leak rate           median error {:.1} %, 90 % {:.1} %, interval covers {}",
            100.0 * quantile(&mut self.leaks, 0.5),
            100.0 * quantile(&mut self.leaks, 0.9),
            share(self.covered, leaks)
        ));
        self.stalls.print();
        self.forecasts.print();
        say("cause: is -> said");
        for ((is, said), n) in &self.confusion {
            say(&format!("  {is:<18} {said:<18} {n}"));
        }
        say("family: runs, verdict right, cause right");
        for (family, [n, verdict, rise]) in &self.families {
            say(&format!("  {family:<24} {n:>4} {verdict:>4} {rise:>4}"));
        }
        say(&format!(
            "analysis {:.2} ms a run, {:.2} µs a reading",
            self.analysis_us as f64 / 1e3 / f64::from(self.runs.max(1)),
            self.analysis_us as f64 / self.readings.max(1) as f64
        ));
    }
}

fn share(part: u32, whole: u32) -> String {
    let percent = 100.0 * f64::from(part) / f64::from(whole.max(1));
    format!("{part}/{whole} = {percent:.1} %")
}

fn quantile(values: &mut [f64], q: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let i = (q * values.len() as f64) as usize;
    values
        .get(i.min(values.len().saturating_sub(1)))
        .copied()
        .unwrap_or(f64::NAN)
}
