//! A day of logging at ten readings a second, sped up: through the real `log`,
//! over a real pseudo-terminal, with the gauge's own clock spanning the day. Once
//! nearly all of it is hold, once nearly all of it is pull-down.
//!
//! Measured is all of the process's resident memory, as the system counts it: what
//! it took for itself, and those pages of the program and of the libraries that are
//! in memory (about half of the whole, more in a test build than in a release build,
//! and shared or given up when others need memory).
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
/// Readings said at once, and the pause behind: some 1,400 times as fast as a
/// gauge that gives ten a second.
const BURST: usize = 300;
const PAUSE: Duration = Duration::from_millis(18);
/// Resident memory is looked at so many times, after a rest: rows are kept until they
/// are on disk, half a second of them, which are 10,000 at this speed and five at
/// that of a gauge.
const LOOKS: usize = 16;
const REST: Duration = Duration::from_millis(800);
/// Most it may be at any look, KiB: 25 MB in a test build. Measured were 18.4 to 19.3 MB
/// there on a quiet machine; on one that was five times overloaded 19.2 to 22.6 MB without
/// the socket for other terminals, and 20.2 to 23.5 MB with it, side by side. Without it
/// 15.6 MB in a release build, of which 9.9 MB are pages of the program and of the
/// libraries. Before the views, the printed sheet and the messages, none of which is in use
/// here, came into the program it was 15 MB and 13.4 MB.
const MOST_KIB: u64 = 25_000_000 / 1024;
/// Most it may ever be, the moments between the looks included, KiB: rows that wait
/// for a slow disk at 1,400 times the speed come on top.
const MOST_EVER_KIB: u64 = 27_000_000 / 1024;
/// Most that the last quarter may exceed the second by, KiB. The history itself is
/// taken at the start and each look gives back what it worked on, but the allocator may
/// keep that for the next one or return it, as its heap happens to lie: 1.8 MB at the
/// end of a day of pull-down, counted allocation by allocation. Measured are 60 to 540,
/// and once, on a machine busy with other work, 880. What is kept of every reading shows
/// from 5 bytes on: 432,000 readings lie between the quarters.
const GROWTH_KIB: u64 = 1_800_000 / 1024;

/// What the gauge shows at a reading, tenths of a micron.
type Curve = fn(usize) -> u64;

/// An hour of pull-down, then a hold that rises by 2 micron/h, hunting a little.
fn held(i: usize) -> u64 {
    let second = i as f64 / 10.0;
    let rise = 2.0 * (second - 3_600.0).max(0.0) / 3_600.0;
    in_tenths(i, 300.0, rise)
}

/// A pull-down that takes the day and comes to a floor above the target.
fn pulled_down(i: usize) -> u64 {
    in_tenths(i, 14_400.0, 300.0)
}

fn in_tenths(i: usize, time_constant_s: f64, above_floor: f64) -> u64 {
    let second = i as f64 / 10.0;
    let pull_down = 750_000.0 * (-second / time_constant_s).exp();
    let hunting = (i * 7919 % 101) as f64 / 100.0;
    ((300.0 + pull_down + above_floor + hunting) * 10.0).round() as u64
}

fn line(curve: Curve, i: usize) -> String {
    let tenths = curve(i);
    format!(
        "@{}.{},{}.{},micron,21.4,ok\r\n",
        i / 10,
        i % 10,
        tenths / 10,
        tenths % 10
    )
}

/// Checks that the record holds every reading, in order, at its time.
fn assert_complete(run: &Path, curve: Curve) {
    let file = std::fs::File::open(run.join("trace.csv")).expect("trace.csv");
    let mut count = 0;
    for row in BufReader::new(file).lines().skip(1) {
        let row = row.expect("readable");
        let fields: Vec<&str> = row.split(',').collect();
        let number = |n: usize| fields[n].parse::<f64>().expect("a number");
        assert!((number(1) - count as f64 / 10.0).abs() < 1e-3, "{row}");
        let wanted = curve(count) as f64 / 10.0;
        assert!((number(3) / wanted - 1.0).abs() < 1e-6, "{row}: {wanted}");
        count += 1;
    }
    assert_eq!(count, READINGS);
}

#[test]
fn a_day_of_hold_loses_no_reading_and_memory_stays_flat() {
    let day = record_a_day(held);
    println!("{day:?}");
    day.assert_flat();
}

#[test]
fn a_day_of_pull_down_loses_no_reading_and_memory_stays_flat() {
    let day = record_a_day(pulled_down);
    println!("{day:?}");
    day.assert_flat();
}

/// Resident memory of a day, KiB.
#[derive(Debug)]
struct Resident {
    /// At rest, look by look.
    kib: Vec<u64>,
    most_ever_kib: u64,
}

impl Resident {
    #[track_caller]
    fn assert_flat(&self) {
        let median = |part: &[u64]| {
            let mut part = part.to_vec();
            part.sort_unstable();
            part[part.len() / 2]
        };
        let second = median(&self.kib[LOOKS / 4..LOOKS / 2]);
        let last = median(&self.kib[3 * LOOKS / 4..]);
        assert!(self.kib.iter().all(|kib| *kib < MOST_KIB), "{self:?}");
        assert!(self.most_ever_kib < MOST_EVER_KIB, "{self:?}");
        assert!(last <= second + GROWTH_KIB, "{second} to {last}: {self:?}");
    }
}

fn record_a_day(curve: Curve) -> Resident {
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
            gauge.say(&(start..end).map(|i| line(curve, i)).collect::<String>());
            std::thread::sleep(PAUSE);
        }
        std::thread::sleep(REST);
        kib.push(logger.resident_kib());
    }
    let run = only_run(&out);
    while whole_rows(&run) < READINGS {
        assert!(started.elapsed() < Duration::from_secs(300), "too slow");
        std::thread::sleep(Duration::from_millis(300));
    }
    let most_ever_kib = logger.most_resident_kib();
    logger.kill();
    assert_complete(&run, curve);
    Resident { kib, most_ever_kib }
}
