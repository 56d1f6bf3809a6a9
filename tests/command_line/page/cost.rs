//! What ten viewers cost, and how late a screen is. The share of a core is asserted in
//! a release build, on request:
//! `cargo test --release -p dryhold --test command_line page::cost -- --ignored --nocapture`.
#![cfg(target_os = "linux")]

use std::{
    sync::mpsc,
    time::{Duration, Instant},
};

use super::paged;
use crate::{cost::used_s, run::scratch};

/// Seconds of recording at 10 Hz.
struct Found {
    /// Resident memory, KiB.
    kib: u64,
    /// Share of one core.
    share: f64,
    /// From a gauge's line to the page's connection, s, sorted.
    late_s: Vec<f64>,
}

fn ten_viewers(seconds: u32, viewers: usize) -> Found {
    let folder = scratch();
    let (mut gauge, mut logger, address) = paged(folder.path(), &[]);
    let (send, heard) = mpsc::channel();
    for _ in 0..viewers {
        let (address, send) = (address.clone(), send.clone());
        std::thread::spawn(move || {
            let mut viewer = address.viewer(None);
            while let Some((kind, data)) = viewer.next() {
                let digits = data["pressure"]["digits"].as_str().unwrap_or_default();
                if kind == "now" && send.send((digits.to_owned(), Instant::now())).is_err() {
                    return;
                }
            }
        });
    }
    let pid = logger.pid();
    std::thread::sleep(Duration::from_millis(500));
    let (began, before_s) = (Instant::now(), used_s(pid));
    let mut said = Vec::new();
    for i in 0..10 * seconds {
        let due = began + Duration::from_millis(100) * i;
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        // each number once, four digits, falling
        let micron = 9_999 - i;
        said.push((micron, Instant::now()));
        gauge.say_micron(f64::from(micron));
    }
    let (took_s, spent_s) = (began.elapsed().as_secs_f64(), used_s(pid) - before_s);
    std::thread::sleep(Duration::from_millis(300));
    let kib = logger.resident_kib();
    logger.kill();
    let mut late_s: Vec<f64> = heard
        .try_iter()
        .filter_map(|(digits, at)| {
            let plain: String = digits.chars().filter(char::is_ascii_digit).collect();
            let number: u32 = plain.parse().ok()?;
            let (_, spoken) = said.iter().find(|(micron, _)| *micron == number)?;
            Some(at.saturating_duration_since(*spoken).as_secs_f64())
        })
        .collect();
    late_s.sort_by(f64::total_cmp);
    Found {
        kib,
        share: spent_s / took_s,
        late_s,
    }
}

impl Found {
    fn late_ms(&self, part: f64) -> f64 {
        let place = (self.late_s.len() as f64 * part) as usize;
        1e3 * self.late_s[place.min(self.late_s.len() - 1)]
    }

    fn told(&self, viewers: usize) -> String {
        format!(
            "{viewers} viewers at 10 readings/s: {:.1} MB resident, {:.2} % of one core, {} looks, \
             half of them within {:.0} ms, 95 % within {:.0} ms of the gauge's line",
            self.kib as f64 / 1_000.0,
            100.0 * self.share,
            self.late_s.len(),
            self.late_ms(0.5),
            self.late_ms(0.95),
        )
    }
}

#[test]
fn ten_viewers_see_at_once_and_take_little_memory() {
    let found = ten_viewers(8, 10);
    println!("{}", found.told(10));
    assert!(found.late_s.len() > 300, "{}", found.late_s.len());
    assert!(found.kib < 40_000, "{} KiB", found.kib);
    // a busy test machine delays some; the half does not lie
    assert!(found.late_ms(0.5) < 200.0, "{}", found.told(10));
}

#[test]
#[ignore = "a measurement; run it in a release build"]
fn ten_viewers_cost_next_to_nothing() {
    let alone = ten_viewers(30, 0);
    println!("nobody looks: {:.2} % of one core", 100.0 * alone.share);
    let found = ten_viewers(30, 10);
    println!("{}", found.told(10));
    assert!(found.late_ms(0.95) < 200.0);
    assert!(found.kib < 40_000);
    assert!(found.share < 0.01, "{}", found.told(10));
}
