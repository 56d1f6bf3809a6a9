//! Measures what the analyser says against what was simulated.
//!
//! `cargo run --release -p scorecard -- moments FROM TO [--tune | --test]` simulates the
//! holds of the seeds from FROM up to but not including TO, each with its leak and
//! without, looks at each after 25, 40, 60, 80 and 100 % of its length, and prints how
//! often a statement is right, by the confidence with which it was made. `--gate` prints
//! the bars ([`bars`]) and ends with status 1 when one is missed. `--wrong` lists the statements made with
//! confidence that are wrong, `--uncovered` the intervals that do not hold the true leak.
//!
//! `calibrate FROM TO --tune` prints one line a moment, from which `calibrate.py` beside
//! this crate fits the map from evidence to probability.
//!
//! `runs FROM TO [--formula | --held-up | --valve] [--tune | --test] [--wrong]` plays
//! whole runs of `simulated-runs` ([`runs`]).
//!
//! `pressure FROM TO` plays pressure tests with gas ([`pressure`]), `blank-off FROM TO`
//! tests of pump and hoses alone ([`blank_off`]), `rig-trend FROM TO` rigs over five of them
//! ([`rig_trend`]).
//!
//! `desk FROM TO [--keep DIR]` writes invented claims and looks at them as a desk does
//! ([`desk`]).
//!
//! `fault FROM TO` looks at invented appliances with a known fault ([`faults`]);
//! `fault-weights FROM TO --tune` prints the table of the crate `fault` that is counted on
//! them (`crates/fault/src/weights/measured.rs`).
//!
//! Even seeds are for tuning (`--tune`), odd ones only for reporting (`--test`):
//! **no constant may be changed because of what odd seeds show.**

mod bars;
mod blank_off;
mod desk;
mod draw;
mod faults;
mod moment;
mod plant;
mod pressure;
mod print;
mod reliability;
mod rig_trend;
mod runs;

use std::process::ExitCode;

use moment::{Answer, Moment};
use print::say;
use reliability::Table;

const USAGE: &str = "\
usage: scorecard moments   FROM TO [--tune | --test] [--gate] [--wrong] [--uncovered]
       scorecard calibrate FROM TO --tune
       scorecard runs      FROM TO [--formula | --held-up | --valve] [--tune | --test] [--wrong]
       scorecard pressure  FROM TO [--tune | --test] [--gate] [--wrong]
       scorecard blank-off FROM TO [--tune | --test] [--gate] [--wrong]
       scorecard rig-trend FROM TO [--tune | --test] [--gate]
       scorecard desk      FROM TO [--tune | --test] [--gate] [--wrong] [--keep DIR]
       scorecard fault     FROM TO [--tune | --test] [--gate] [--wrong]
       scorecard fault-weights FROM TO --tune";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Vec<u64> = args.iter().filter_map(|a| a.parse().ok()).collect();
    let has = |flag: &str| args.iter().any(|a| a == flag);
    let (Some(command), &[from, to]) = (args.first(), numbers.as_slice()) else {
        say(USAGE);
        return ExitCode::from(2);
    };
    let seeds: Vec<u64> = (from..to)
        .filter(|seed| !(has("--tune") && seed % 2 == 1 || has("--test") && seed % 2 == 0))
        .collect();
    match command.as_str() {
        "moments" => {
            let table = moments(&seeds, has);
            if has("--gate") && !bars::all_kept(&table.bars()) {
                return ExitCode::FAILURE;
            }
        }
        "calibrate" if seeds.iter().any(|seed| seed % 2 == 1) => {
            say("calibrate: odd seeds are for reporting only; add --tune");
            return ExitCode::from(2);
        }
        "calibrate" => {
            for (moment, said) in &look_at_all(&seeds) {
                moment.print_for_calibration(said);
            }
        }
        "runs" => runs::play(&seeds, has),
        "pressure" => {
            if !pressure::play(&seeds, has("--wrong")) && has("--gate") {
                return ExitCode::FAILURE;
            }
        }
        "blank-off" => {
            if !blank_off::play(&seeds, has("--wrong")) && has("--gate") {
                return ExitCode::FAILURE;
            }
        }
        "rig-trend" => {
            if !rig_trend::play(&seeds) && has("--gate") {
                return ExitCode::FAILURE;
            }
        }
        "desk" => {
            let keep = args.iter().skip_while(|a| *a != "--keep").nth(1);
            let keep = keep.map(std::path::Path::new);
            if !desk::play(&seeds, has("--wrong"), keep) && has("--gate") {
                return ExitCode::FAILURE;
            }
        }
        "fault" => {
            if !faults::play(&seeds, has("--wrong")) && has("--gate") {
                return ExitCode::FAILURE;
            }
        }
        "fault-weights" if seeds.iter().any(|seed| seed % 2 == 1) => {
            say("fault-weights: odd seeds are for reporting only; add --tune");
            return ExitCode::from(2);
        }
        "fault-weights" => faults::print_weights(&seeds),
        other => {
            say(&format!(
                "scorecard: there is no command {other:?}\n{USAGE}"
            ));
            return ExitCode::from(2);
        }
    }
    ExitCode::SUCCESS
}

/// Plays the holds of the seeds and prints the table; with a flag, the moments in which
/// something was wrong.
fn moments(seeds: &[u64], has: impl Fn(&str) -> bool) -> Table {
    let began = std::time::Instant::now();
    let looked = look_at_all(seeds);
    let took_s = began.elapsed().as_secs_f64();
    let table = Table::of(&looked);
    table.print();
    say(&format!(
        "{} moments, {:.2} ms each on one core",
        looked.len(),
        1e3 * threads() as f64 * took_s / looked.len().max(1) as f64
    ));
    for (moment, said) in &looked {
        if has("--wrong") && moment.wrong_and_sure(said)
            || has("--uncovered") && moment.uncovered(said)
        {
            moment.print(said);
        }
    }
    table
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// Simulates and judges on every core; in the order of the seeds.
fn look_at_all(seeds: &[u64]) -> Vec<(Moment, Answer)> {
    let share = seeds.len().div_ceil(threads()).max(1);
    std::thread::scope(|scope| {
        let parts: Vec<_> = seeds
            .chunks(share)
            .map(|part| {
                scope.spawn(move || {
                    let twins = part.iter().flat_map(|seed| [(*seed, false), (*seed, true)]);
                    twins
                        .flat_map(|(seed, leaky)| moment::of_hold(seed, leaky))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        parts
            .into_iter()
            .flat_map(|part| part.join().unwrap_or_default())
            .collect()
    })
}
