//! What reviewing costs: one record, and a desk full of them.
//!
//! `cargo test --release -p dryhold --test command_line many_records -- --ignored --nocapture`
//! prints the figures; a test build is some ten times slower and only checks that all
//! are judged.

use std::{fmt::Write as _, path::Path, time::Instant};

use crate::run::{command, scratch};

/// A pull-down and a hold of `rows` readings a second, invented; the third that comes
/// last is the hold, and nobody stamped it.
fn record(rows: u32, every_s: f64, number: u32) -> String {
    let shut_s = f64::from(rows) * every_s / 3.0;
    let mut text = String::from("elapsed_s,pressure_micron\n");
    for i in 0..rows {
        let t = f64::from(i) * every_s;
        let noise = (f64::from(i * 31 + number * 7) * 0.618_033_988_749_895).fract() - 0.5;
        let rise = 0.05 * (t - shut_s).max(0.0);
        let p = 180.0 + 750_000.0 * (-t / 40.0).exp() + rise + noise;
        let _ = writeln!(text, "{t:.1},{p:.1}");
    }
    text
}

/// Reviews the paths in one process; wall-clock seconds.
fn review_s(folder: &Path, names: &[String]) -> f64 {
    let started = Instant::now();
    let output = command()
        .current_dir(folder)
        .args(["review", "--json"])
        .args(names)
        .output()
        .expect("the binary starts");
    let took_s = started.elapsed().as_secs_f64();
    let lines = output.stdout.iter().filter(|b| **b == b'\n').count();
    assert_eq!(lines, names.len(), "one line each");
    took_s
}

fn written(folder: &Path, count: u32, rows: u32, every_s: f64) -> Vec<String> {
    let name = |i| format!("{i:03}.csv");
    (0..count)
        .map(|i| {
            std::fs::write(folder.join(name(i)), record(rows, every_s, i)).expect("written");
            name(i)
        })
        .collect()
}

#[test]
#[ignore = "figures of a release build"]
fn a_hundred_holds_of_three_thousand_rows() {
    let folder = scratch();
    let names = written(folder.path(), 100, 3_000, 1.0);
    let best_s = (0..3)
        .map(|_| review_s(folder.path(), &names))
        .fold(f64::INFINITY, f64::min);
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    println!("{:.0} holds a second on {cores} cores", 100.0 / best_s);
    // the figure that the warranty desk was promised on two cores
    assert!(
        cfg!(debug_assertions) || cores < 2 || 100.0 / best_s >= 250.0,
        "{best_s} s"
    );
}

#[test]
#[ignore = "figures of a release build"]
fn an_hour_at_ten_readings_a_second() {
    let folder = scratch();
    let names = written(folder.path(), 1, 36_000, 0.1);
    let best_s = (0..5)
        .map(|_| review_s(folder.path(), &names))
        .fold(f64::INFINITY, f64::min);
    println!("36,000 rows in {:.1} ms", 1e3 * best_s);
    assert!(cfg!(debug_assertions) || best_s < 0.030, "{best_s} s");
}
