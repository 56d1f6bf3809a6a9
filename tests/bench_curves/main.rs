//! Real rises of a physics bench through the built program.
//!
//! The curves are fetched by `.ci/run` (Python package `shield-data`, MIT licence)
//! and cut into holds by `extract.py` beside this file, which says what they are.
//! Without them the test says so and checks nothing:
//!
//! ```text
//! pip download --no-deps shield-data
//! unzip shield_data-*.whl shield_data/shield_data.db
//! python3 tests/bench_curves/extract.py shield_data/shield_data.db target/bench-curves
//! DRYHOLD_BENCH_CURVES=target/bench-curves cargo test --test bench_curves -- --nocapture
//! ```

use std::{collections::BTreeMap, path::PathBuf, process::Command};

use serde_json::Value;

/// What may be said of a hold: right, and tolerable but not right.
fn answers(kind: &str) -> (&'static [&'static str], &'static [&'static str]) {
    match kind {
        "flat" => (&["none"], &["unclear"]),
        "straight" => (&["leak"], &["leak_and_moisture", "unclear"]),
        // level, then rising: never none, never moisture
        _ => (&["leak", "leak_and_moisture", "unclear"], &[]),
    }
}

#[test]
fn real_rises_are_read_as_what_they_are() {
    let Some(folder) = std::env::var_os("DRYHOLD_BENCH_CURVES").map(PathBuf::from) else {
        println!("SKIPPED: DRYHOLD_BENCH_CURVES is not set; see the head of this file");
        return;
    };
    let mut paths: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "csv"))
        .collect();
    paths.sort();
    assert!(
        paths.len() >= 36,
        "only {} holds in {folder:?}",
        paths.len()
    );
    let output = Command::new(env!("CARGO_BIN_EXE_dryhold"))
        .args(["review", "--json", "--isolated-at", "0"])
        .args(&paths)
        .output()
        .unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    let lines: Vec<Value> = said
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines.len(), paths.len());
    let mut table: BTreeMap<(String, String), u32> = BTreeMap::new();
    let (mut right, mut dangerous) = (0, Vec::new());
    for (path, found) in paths.iter().zip(&lines) {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let kind = name.split('_').nth(1).unwrap().to_owned();
        let hold = found["rounds"].as_array().unwrap().last().unwrap();
        let answer = hold["hold"]["rise"]["kind"].as_str().unwrap_or("no hold");
        let (good, tolerable) = answers(&kind);
        right += u32::from(good.contains(&answer));
        if !good.contains(&answer) && !tolerable.contains(&answer) {
            println!("{name}: {answer}");
        }
        if kind != "flat" && matches!(answer, "none" | "moisture" | "no hold") {
            dangerous.push(name);
        }
        *table.entry((kind, answer.to_owned())).or_default() += 1;
    }
    for ((kind, answer), count) in &table {
        println!("  {kind:<9} {answer:<18} {count}");
    }
    println!("{right} of {} right, dangerous {dangerous:?}", paths.len());
    assert!(dangerous.is_empty(), "{dangerous:?}");
    assert!(
        f64::from(right) >= 0.9 * paths.len() as f64,
        "{right} of {}",
        paths.len()
    );
}
