//! How long a review takes. Means something in a release build only:
//! `cargo test --release -p dryhold --test command_line timing -- --ignored --nocapture`,
//! or with `DRYHOLD_RELEASE` naming a binary that is already built.

use std::{
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use crate::{
    curves::Curve,
    run::{BINARY, scratch},
};

/// An hour at ten readings a second.
const ROWS: usize = 36_000;
/// The bar for the review of that hour, whole process.
const BAR: Duration = Duration::from_millis(60);
const REPEATS: usize = 10;

/// A leak, slowed down to an hour and read ten times a second.
fn an_hour() -> String {
    let curve = Curve::of("small-leak");
    let end_s = curve.readings.last().expect("readings").0;
    let mut text = String::from("elapsed_s,pressure_micron\n");
    let mut next = 1;
    for i in 0..ROWS {
        let t = end_s * i as f64 / ROWS as f64;
        while curve.readings[next].0 < t {
            next += 1;
        }
        let ((t0, p0), (t1, p1)) = (curve.readings[next - 1], curve.readings[next]);
        let p = p0 + (p1 - p0) * (t - t0) / (t1 - t0);
        // a gauge that shows tenths, hunting a little
        let p = p * (1.0 + 1e-3 * ((i * 7919 % 101) as f64 / 50.0 - 1.0));
        text.push_str(&format!("{:.1},{p:.1}\n", i as f64 / 10.0));
    }
    text
}

#[test]
#[ignore = "measures time; for a release build on a quiet machine"]
fn an_hour_at_ten_readings_a_second_is_reviewed_in_time() {
    let binary = std::env::var("DRYHOLD_RELEASE").unwrap_or_else(|_| BINARY.into());
    let folder = scratch();
    let path = folder.path().join("hour.csv");
    std::fs::write(&path, an_hour()).expect("written");
    let mut times: Vec<Duration> = (0..REPEATS)
        .map(|_| {
            let started = Instant::now();
            let status = Command::new(&binary)
                .args(["review", "--json"])
                .arg(&path)
                .stdout(Stdio::null())
                .status()
                .expect("the binary starts");
            let took = started.elapsed();
            assert_eq!(status.code(), Some(10));
            took
        })
        .collect();
    times.sort();
    let (best, median) = (times[0], times[REPEATS / 2]);
    println!("review of {ROWS} rows: best {best:?}, median {median:?} of {REPEATS}");
    assert!(best < BAR, "best {best:?}, the bar is {BAR:?}");
}
