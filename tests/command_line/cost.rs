//! What recording costs the computer: processor time of the whole program, on
//! request, in a release build:
//! `cargo test --release -p dryhold --test command_line cost -- --ignored --nocapture`,
//! or with `DRYHOLD_RELEASE` naming a binary that is already built.

use std::{
    io::Write,
    net::TcpListener,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use rustix::process::{Pid, Signal, kill_process};

use crate::run::{BINARY, scratch};

/// Processor seconds a process has used, user and system, from the system's own
/// table (proc(5), fields 14 and 15 in ticks of 1/100 s).
pub(crate) fn used_s(pid: u32) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{pid}/stat")).expect("its times");
    let (_, rest) = stat.rsplit_once(") ").expect("a name in brackets");
    let fields: Vec<&str> = rest.split(' ').collect();
    let ticks = |n: usize| fields[n - 3].parse::<f64>().expect("ticks");
    (ticks(14) + ticks(15)) / 100.0
}

/// Processor time per second of recording, and per reading, s. Waiting for the disk
/// is none; what a sync makes the processor do is.
pub(crate) fn cost(every: Duration, count: u32) -> (f64, f64) {
    let binary = std::env::var("DRYHOLD_RELEASE").unwrap_or_else(|_| BINARY.into());
    let folder = scratch();
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = format!("tcp://{}", listener.local_addr().expect("its address"));
    let mut child = Command::new(binary)
        .args([
            "log",
            "--port",
            &port,
            "--dialect",
            "number-unit-line",
            "--out",
        ])
        .arg(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .expect("the logger starts");
    let (mut gauge, _) = listener.accept().expect("the logger connects");
    gauge.set_nodelay(true).expect("lines go at once");
    std::thread::sleep(Duration::from_millis(500));
    let (began, before_s) = (Instant::now(), used_s(child.id()));
    for i in 0..count {
        let due = began + every * i;
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        let micron = 20_000.0 * (-f64::from(i) / f64::from(count) * 4.0).exp() + 180.0;
        gauge
            .write_all(format!("{micron:.1} micron\r\n").as_bytes())
            .expect("a line");
    }
    std::thread::sleep(Duration::from_millis(300));
    let (took_s, spent_s) = (began.elapsed().as_secs_f64(), used_s(child.id()) - before_s);
    kill_process(Pid::from_child(&child), Signal::INT).expect("a signal");
    child.wait().expect("its end");
    (spent_s / took_s, spent_s / f64::from(count))
}

#[test]
#[ignore = "a measurement; run it in a release build"]
fn recording_costs_next_to_nothing() {
    let (share, _) = cost(Duration::from_millis(100), 600);
    println!("10 readings/s: {:.2} % of one core", 100.0 * share);
    assert!(share < 0.01, "{share}");
    let (share, each_s) = cost(Duration::from_millis(1), 20_000);
    let each_us = 1e6 * each_s;
    println!(
        "1,000 readings/s: {:.1} % of one core, {each_us:.0} µs a reading",
        100.0 * share
    );
    assert!(each_us < 50.0, "{each_us} µs");
}
