//! A day of logging at ten readings a second, sped up: through the real `log`,
//! over a real pseudo-terminal, with the gauge's own clock spanning the day.
#![cfg(target_os = "linux")]

use std::{
    io::{BufRead, BufReader},
    path::Path,
    time::{Duration, Instant},
};

use crate::{
    gauge::Gauge,
    logger::{Logger, whole_rows},
    run::{only_run, scratch},
};

/// 24 h at 10 Hz.
const READINGS: usize = 864_000;
/// Readings said at once, and the pause behind: some 2,000 times as fast as a
/// gauge that gives ten a second.
const BURST: usize = 300;
const PAUSE: Duration = Duration::from_millis(9);
/// Resident memory is looked at so many times.
const LOOKS: usize = 32;
/// Most it may be most of the time, and ever, KiB. In a test build it settles
/// near 15,000; 15 MB at every moment is not reached: a look at a long hold takes
/// some 5 MB for an instant.
const USUAL_KIB: u64 = 17 * 1024;
const MOST_KIB: u64 = 24 * 1024;
/// Most that the last quarter may exceed the second by, KiB; measured 300 to 1,700.
const GROWTH_KIB: u64 = 2560;

/// An hour of pull-down, then a hold that rises by 2 micron/h, hunting a little.
fn tenths_of_micron(i: usize) -> u64 {
    let second = i as f64 / 10.0;
    let pull_down = 750_000.0 * (-second / 300.0).exp();
    let rise = 2.0 * (second - 3_600.0).max(0.0) / 3_600.0;
    let hunting = (i * 7919 % 101) as f64 / 100.0;
    ((300.0 + pull_down + rise + hunting) * 10.0).round() as u64
}

fn line(i: usize) -> String {
    let tenths = tenths_of_micron(i);
    format!(
        "@{}.{},{}.{},micron,21.4,ok\r\n",
        i / 10,
        i % 10,
        tenths / 10,
        tenths % 10
    )
}

/// Checks that the record holds every reading, in order, at its time.
fn assert_complete(run: &Path) {
    let file = std::fs::File::open(run.join("trace.csv")).expect("trace.csv");
    let mut count = 0;
    for row in BufReader::new(file).lines().skip(1) {
        let row = row.expect("readable");
        let fields: Vec<&str> = row.split(',').collect();
        let number = |n: usize| fields[n].parse::<f64>().expect("a number");
        assert!((number(1) - count as f64 / 10.0).abs() < 1e-3, "{row}");
        let wanted = tenths_of_micron(count) as f64 / 10.0;
        assert!((number(3) / wanted - 1.0).abs() < 1e-6, "{row}: {wanted}");
        count += 1;
    }
    assert_eq!(count, READINGS);
}

#[test]
fn a_day_of_readings_loses_none_and_memory_stays_bounded() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let mut logger = Logger::start_on(&port, "clocked-comma-fields", &out, &[]);
    gauge.await_reader();
    let started = Instant::now();
    let mut kib = Vec::new();
    for look in 0..LOOKS {
        let part = READINGS / LOOKS;
        // sped up, but not beyond what is written down at once: what piles up is
        // memory too, and no gauge is that fast
        for start in (look * part..(look + 1) * part).step_by(BURST) {
            let end = (start + BURST).min((look + 1) * part);
            gauge.say(&(start..end).map(line).collect::<String>());
            std::thread::sleep(PAUSE);
        }
        kib.push(logger.resident_kib());
    }
    let run = only_run(&out);
    while whole_rows(&run) < READINGS {
        assert!(started.elapsed() < Duration::from_secs(120), "too slow");
        std::thread::sleep(Duration::from_millis(300));
    }
    kib.push(logger.resident_kib());
    let took = started.elapsed();
    logger.kill();
    println!(
        "{READINGS} readings in {:.1} s, resident KiB {kib:?}",
        took.as_secs_f64()
    );
    assert_complete(&run);
    let most = kib.iter().max().copied().unwrap_or(u64::MAX);
    let median = |part: &[u64]| {
        let mut part = part.to_vec();
        part.sort_unstable();
        part[part.len() / 2]
    };
    let second = median(&kib[LOOKS / 4..LOOKS / 2]);
    let last = median(&kib[3 * LOOKS / 4..]);
    assert!(most < MOST_KIB && last < USUAL_KIB, "{kib:?}");
    assert!(last <= second + GROWTH_KIB, "{second} to {last}: {kib:?}");
}
