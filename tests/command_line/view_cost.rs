//! What the full-screen view costs, on request, in a release build:
//! `cargo test --release -p dryhold --test command_line view_cost -- --ignored --nocapture`,
//! or with `DRYHOLD_RELEASE` naming a binary that is already built.
#![cfg(target_os = "linux")]

use std::{
    process::Command,
    time::{Duration, Instant},
};

use rustix::process::Signal;

use crate::{
    cost::used_s,
    gauge::Gauge,
    run::{BINARY, data_home, log_of, scratch},
    screen::Screen,
};

/// Ten readings a second for so long.
const READINGS: u32 = 600;
const EVERY: Duration = Duration::from_millis(100);

fn resident_kib(pid: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{pid}/status")).expect("its status");
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    let number = line.and_then(|l| l.trim().strip_suffix(" kB"));
    number.and_then(|n| n.trim().parse().ok()).expect("a size")
}

#[test]
#[ignore = "a measurement; run it in a release build"]
fn the_view_costs_next_to_nothing_and_is_quick() {
    let binary = std::env::var("DRYHOLD_RELEASE").unwrap_or_else(|_| BINARY.into());
    for size in [(80, 24), (200, 60)] {
        let folder = scratch();
        let mut gauge = Gauge::plugged_in(folder.path());
        let (port, out) = (
            gauge.path().to_string_lossy(),
            folder.path().to_string_lossy(),
        );
        let log = log_of(&port, &out);
        let mut program = Command::new(&binary);
        program.env("XDG_DATA_HOME", data_home());
        let screen = Screen::start_command(program, size, &log, &[]);
        gauge.await_reader();
        screen.wait_for("Gauge");
        let (began, before_s) = (Instant::now(), used_s(screen.id()));
        let mut lags = Vec::new();
        for i in 0..READINGS {
            let due = began + EVERY * i;
            std::thread::sleep(due.saturating_duration_since(Instant::now()));
            let micron = 20_000.0 * (-f64::from(i) / f64::from(READINGS) * 4.0).exp() + 180.0;
            let seen = screen.bytes().len();
            let said = Instant::now();
            gauge.say_micron(micron + f64::from(i % 2) * 50.0);
            // the number changes with every reading, and so does the screen
            while screen.bytes().len() == seen && said.elapsed() < EVERY * 5 {
                std::thread::sleep(Duration::from_millis(1));
            }
            lags.push(said.elapsed());
        }
        let (took_s, spent_s) = (
            began.elapsed().as_secs_f64(),
            used_s(screen.id()) - before_s,
        );
        let kib = resident_kib(screen.id());
        let sent = screen.bytes().len();
        screen.signal(Signal::KILL);
        lags.sort();
        let worst = lags[lags.len() - 1];
        println!(
            "{size:?}: {:.2} % of one core, {:.1} MB at the most, from gauge to screen {:?} in \
             the middle, {:?} for 99 of 100, {worst:?} at worst, {:.1} kB/s sent",
            100.0 * spent_s / took_s,
            kib as f64 * 1_024.0 / 1e6,
            lags[lags.len() / 2],
            lags[lags.len() * 99 / 100],
            sent as f64 / took_s / 1e3,
        );
        assert!(spent_s / took_s < 0.01, "{spent_s} s in {took_s} s");
        assert!(kib < 25_000_000 / 1_024, "{kib} KiB");
        assert!(
            lags[lags.len() * 99 / 100] < Duration::from_millis(200),
            "{worst:?}"
        );
    }
}
