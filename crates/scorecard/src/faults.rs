//! What is said of invented appliances, against what is wrong with them.
//!
//! Counted twice, for a short charge, a leak in the high side, and one in a low side that
//! runs above the air outside, are the same on every instrument: **as listed** (each code
//! by itself; of equal ones each has its share of the place), and **what can be told** (such
//! codes count as one answer, with their support together).

mod as_signs;
mod weights;

use fault::{Diagnosis, FaultCode, alike, diagnose};
use simulated_appliances::{ApplianceCase, appliance_case};

use crate::print::{say, say_bars, say_pace, share};
pub(crate) use weights::print_weights;

/// Least share of appliances whose fault is first, and among the first two, of what can be
/// told.
const FIRST: f64 = 0.80;
const FIRST_TWO: f64 = 0.95;
/// Largest distance of a class of support from the share that was right, beside two standard
/// errors of that share.
const RELIABLE: f64 = 0.05;
/// Least appliances in a class that is looked at.
const CLASS: u32 = 40;

#[derive(Default, Clone)]
struct Row {
    cases: u32,
    first: u32,
    two: u32,
    listed_first: f64,
    listed_two: f64,
}

/// A class of support: how many, how many right, sum of support.
type Class = (u32, u32, f64);

/// Answers with what is the same on every instrument taken together: codes and support.
fn answers(found: &Diagnosis) -> Vec<(Vec<FaultCode>, f64)> {
    let mut all: Vec<(Vec<FaultCode>, f64)> = Vec::new();
    for candidate in &found.candidates {
        let same = all.iter_mut().find(|(codes, _)| {
            codes
                .iter()
                .any(|c| alike(*c, candidate.code, found.low_side_draws_air))
        });
        match same {
            Some((codes, support)) => {
                codes.push(candidate.code);
                *support += candidate.support;
            }
            None => all.push((vec![candidate.code], candidate.support)),
        }
    }
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all
}

/// Share of the first `places` that a code has, where equal ones share their places.
fn listed(found: &Diagnosis, code: FaultCode, places: f64) -> f64 {
    let Some(own) = found.of(code).map(|c| c.support) else {
        return 0.0;
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
    let before = found
        .candidates
        .iter()
        .filter(|c| c.support > own && !near(c.support, own))
        .count();
    let equal = found
        .candidates
        .iter()
        .filter(|c| near(c.support, own))
        .count();
    ((places - before as f64) / equal.max(1) as f64).clamp(0.0, 1.0)
}

/// Diagnoses the appliances of `seeds`, prints the table, and says whether every bar is
/// kept.
pub(crate) fn play(seeds: &[u64], list: bool) -> bool {
    let began = std::time::Instant::now();
    let mut rows: Vec<Row> = vec![Row::default(); FaultCode::ALL.len() + 1];
    let mut confusion = [[0_u32; 9]; 9];
    let mut classes = [(0, 0, 0.0); 10];
    let (mut doubted, mut told_apart, mut judged_us) = (0, 0, 0);
    for seed in seeds {
        let case = appliance_case(*seed);
        let Some(signs) = as_signs::signs(&case.seen) else {
            continue;
        };
        let at = std::time::Instant::now();
        let found = diagnose(&signs);
        judged_us += at.elapsed().as_micros();
        doubted += u32::from(!found.doubts.is_empty());
        let mut gauges_only = signs;
        gauges_only.trace = None;
        let blind = diagnose(&gauges_only);
        let support = |code| blind.of(code).map_or(0.0, |c| c.support);
        let apart = support(FaultCode::ShortCharge) - support(FaultCode::HighSideLeak);
        told_apart += u32::from(apart.abs() > 1e-12);
        let code = as_signs::code(case.truth);
        let place = count(&mut rows, &mut classes, code, &found);
        confusion[code.place()][found.candidates[0].code.place()] += 1;
        if list && place > 0 {
            list_wrong(&case, &found, place);
        }
    }
    print(&rows, &confusion, &classes);
    say(&format!(
        "said with a doubt {doubted}; short charge and high-side leak told apart without a trace of \
         the leak {told_apart}"
    ));
    say_pace(seeds.len(), began, judged_us);
    let all = &rows[FaultCode::ALL.len()];
    let reliable = classes.iter().all(|(n, right, sum)| {
        let (mean, n_cases) = (sum / f64::from((*n).max(1)), f64::from((*n).max(1)));
        let two_errors = 2.0 * (mean * (1.0 - mean) / n_cases).sqrt();
        *n < CLASS || (share(*right, *n) - mean).abs() <= RELIABLE + two_errors
    });
    say_bars(&[
        (
            "first, of what can be told",
            share(all.first, all.cases) >= FIRST,
        ),
        (
            "among the first two, of what can be told",
            share(all.two, all.cases) >= FIRST_TWO,
        ),
        ("support is as often right as it says", reliable),
        ("never told apart by gauges alone", told_apart == 0),
    ])
}

/// Adds a case to its rows and to the classes of support; the place of its fault.
fn count(rows: &mut [Row], classes: &mut [Class; 10], code: FaultCode, found: &Diagnosis) -> usize {
    let answers = answers(found);
    let place = answers.iter().position(|(codes, _)| codes.contains(&code));
    let place = place.unwrap_or(usize::MAX);
    for index in [code.place(), FaultCode::ALL.len()] {
        let row = &mut rows[index];
        row.cases += 1;
        row.first += u32::from(place == 0);
        row.two += u32::from(place < 2);
        row.listed_first += listed(found, code, 1.0);
        row.listed_two += listed(found, code, 2.0);
    }
    for (at, (_, support)) in answers.iter().enumerate() {
        let class = &mut classes[((10.0 * support) as usize).min(9)];
        class.0 += 1;
        class.1 += u32::from(at == place);
        class.2 += support;
    }
    place
}

fn print(rows: &[Row], confusion: &[[u32; 9]; 9], classes: &[Class; 10]) {
    say(&format!(
        "{:<22} cases   first first-two | as listed: first first-two",
        "what is wrong"
    ));
    let names = FaultCode::ALL.iter().map(|c| c.word()).chain(["all"]);
    for (name, row) in names.zip(rows) {
        let cases = f64::from(row.cases.max(1));
        say(&format!(
            "{name:<22} {:5} {:7.3} {:9.3} | {:16.3} {:9.3}",
            row.cases,
            share(row.first, row.cases),
            share(row.two, row.cases),
            row.listed_first / cases,
            row.listed_two / cases
        ));
    }
    say("is → first as listed (columns in the same order; of equal ones the first)");
    for (code, counts) in FaultCode::ALL.iter().zip(confusion) {
        let counts: Vec<String> = counts.iter().map(|n| format!("{n:4}")).collect();
        say(&format!("{:<22} {}", code.word(), counts.join(" ")));
    }
    say("support: answers, mean support, right");
    for (at, (n, right, sum)) in classes.iter().enumerate() {
        say(&format!(
            "{:.1} to {:.1} {n:6} {:6.3} {:6.3}",
            0.1 * at as f64,
            0.1 * (at + 1) as f64,
            sum / f64::from((*n).max(1)),
            share(*right, *n)
        ));
    }
}

fn list_wrong(case: &ApplianceCase, found: &Diagnosis, place: usize) {
    let said: Vec<String> = found
        .candidates
        .iter()
        .take(3)
        .map(|c| format!("{} {:.2}", c.code.word(), c.support))
        .collect();
    say(&format!(
        "  seed {} {} at place {}: said {}; {}",
        case.seed,
        case.truth.word(),
        place + 1,
        said.join(", "),
        case.story
    ));
    let seen: Vec<String> = found
        .observations
        .iter()
        .map(|o| format!("{}: {}", o.sign.word(), o.sign.levels()[o.level]))
        .collect();
    say(&format!("      {}", seen.join("; ")));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two hundred appliances of even seeds, other ones than the table was counted on.
    #[test]
    fn two_hundred_appliances_keep_every_bar() {
        let seeds: Vec<u64> = (100_000..100_400).step_by(2).collect();
        assert!(play(&seeds, false));
    }
}
