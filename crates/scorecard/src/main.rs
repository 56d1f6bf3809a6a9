//! Measures what the judge says of a hold against what was simulated.
//!
//! `cargo run --release -p scorecard -- moments FROM TO [--tune | --test] [--gate] [--wrong]`
//! plays the holds of seeds FROM up to TO, each with and without its leak, looks at
//! each after 25, 40, 60, 80 and 100 % of its length, and prints how often what is
//! said with how much confidence is right. `--gate` prints the bars and ends with status 1
//! when one is missed. `calibrate FROM TO` prints the table that turns odds into confidence.
//!
//! Even seeds are for tuning (`--tune`), odd ones only for reporting (`--test`):
//! **no constant may be changed because of what odd seeds show.**

mod bars;
mod draw;
mod moment;
mod plant;
mod reliability;

use std::process::ExitCode;

use moment::{Moment, Said};
use reliability::Table;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Vec<u64> = args.iter().filter_map(|a| a.parse().ok()).collect();
    let has = |flag: &str| args.iter().any(|a| a == flag);
    let (Some(command), &[from, to]) = (args.first(), numbers.as_slice()) else {
        say("usage: scorecard moments|calibrate FROM TO [--tune | --test] [--gate] [--wrong]");
        return ExitCode::from(2);
    };
    let seeds: Vec<u64> = (from..to)
        .filter(|seed| !(has("--tune") && seed % 2 == 1 || has("--test") && seed % 2 == 0))
        .collect();
    let began = std::time::Instant::now();
    let looked = look_at_all(&seeds);
    let took_s = began.elapsed().as_secs_f64();
    match command.as_str() {
        "calibrate" => {
            for (moment, said) in &looked {
                moment.print_for_calibration(said);
            }
            ExitCode::SUCCESS
        }
        _ => {
            let table = Table::of(&looked);
            table.print();
            say(&format!(
                "{} moments, {:.2} ms each on one core",
                looked.len(),
                1e3 * threads() as f64 * took_s / looked.len().max(1) as f64
            ));
            if has("--wrong") {
                for (moment, said) in looked.iter().filter(|(m, s)| m.wrong_and_sure(s)) {
                    moment.print(said);
                }
            }
            if has("--uncovered") {
                for (moment, said) in looked.iter().filter(|(m, s)| {
                    s.interval.is_some_and(|(a, b)| {
                        !(a - 1e-9..=b + 1e-9).contains(&m.leak_micron_per_min)
                    })
                }) {
                    moment.print(said);
                }
            }
            if has("--gate") && !bars::all_kept(&table.bars()) {
                return ExitCode::FAILURE;
            }
            ExitCode::SUCCESS
        }
    }
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// Simulates and judges on every core; in the order of the seeds.
fn look_at_all(seeds: &[u64]) -> Vec<(Moment, Said)> {
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

#[expect(clippy::print_stdout, reason = "the table is what this program is for")]
fn say(line: &str) {
    println!("{line}");
}
