//! A record of any length in bounded memory, with nothing lost that a verdict
//! hangs on.
//!
//! A test binary of its own: the peak memory of the process is what it measures.
//! Under a debug build the record is shorter, so that the tests stay quick.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use analyser::{Analyser, Settings, Verdict};
use vacuum::{Criteria, Mark, MarkKind, Pressure, Reading};

fn reading(t: f64, micron: f64) -> Reading {
    Reading::measured(t, Pressure::from_micron(micron).unwrap())
}

fn mark(elapsed_s: f64, kind: MarkKind) -> Mark {
    Mark {
        elapsed_s,
        kind,
        note: String::new(),
    }
}

/// A cheap wobble without a generator: incommensurate steps, within ±0.5.
fn wobble(i: u64) -> f64 {
    (i as f64 * 0.618_033_988_749_895).fract() - 0.5
}

/// Peak resident memory of this process, kB.
#[cfg(target_os = "linux")]
fn peak_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|l| l.starts_with("VmHWM:")).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

fn down(t: f64) -> f64 {
    180.0 + 750_000.0 * (-t / 25.0).exp()
}

/// Ten million readings at ten a second are eleven days and a half.
#[cfg(target_os = "linux")]
#[test]
fn ten_million_readings_stay_below_a_hundred_megabytes() {
    let count: u64 = if cfg!(debug_assertions) {
        300_000
    } else {
        10_000_000
    };
    let mut analyser = Analyser::new(Settings::default());
    for i in 0..count {
        let t = i as f64 * 0.1;
        analyser.push_reading(&reading(t, down(t) + wobble(i)));
        if i == 20_000 {
            analyser.push_mark(&mark(t, MarkKind::PumpSideShut));
        }
    }
    let findings = analyser.findings();
    let live = analyser.live();
    assert_eq!(live.findings, findings);
    assert_eq!(findings.data.rows, count);
    assert_eq!(findings.verdict, Verdict::Pass, "{:?}", findings.reasons);
    let peak = peak_kb();
    println!("{count} readings, peak {peak} kB");
    assert!(peak < 100_000, "{peak} kB");
}

/// Blocks merge with age, never across a mark: the instant and the levels on its
/// two sides are the same after two million more readings.
#[test]
fn an_isolation_by_mark_stays_exact_for_ever() {
    let later: u64 = if cfg!(debug_assertions) {
        300_000
    } else {
        2_000_000
    };
    let shut_s = 1_234.567;
    let mut analyser = Analyser::new(Settings::default());
    for i in 0..12_345 {
        let t = i as f64 * 0.1;
        analyser.push_reading(&reading(t, down(t)));
    }
    analyser.push_mark(&mark(shut_s, MarkKind::PumpSideShut));
    // a jump of 100 micron at the valve, then flat but for the gauge's last digit
    for i in 12_346..12_346 + later {
        let digit = if i % 7 == 0 { 0.1 } else { 0.0 };
        analyser.push_reading(&reading(i as f64 * 0.1, 280.0 + digit));
    }
    let findings = analyser.findings();
    let hold = findings.judged_hold().unwrap();
    assert_eq!(hold.isolated_at_s, shut_s);
    // not one reading from before the valve is in the hold, nor the other way
    assert!(
        (hold.start_micron.unwrap() - 280.0).abs() < 0.06,
        "{hold:?}"
    );
    let pulldown = findings.rounds[0].pulldown.as_ref().unwrap();
    assert!(
        (pulldown.lowest_micron.unwrap() - 180.0).abs() < 0.1,
        "{pulldown:?}"
    );
    assert_eq!(pulldown.end_s, shut_s);
    assert_eq!(findings.verdict, Verdict::Pass, "{:?}", findings.reasons);
}

/// Two marks half a second apart, and a dip between them: it is there at once, and
/// still there, in full depth, when the blocks around it have become many times as
/// long.
#[test]
fn what_lies_between_two_marks_is_never_averaged_away() {
    let mut analyser = Analyser::new(Settings::default());
    let push_until = |analyser: &mut Analyser, from: u64, to: u64| {
        for i in from..to {
            if i == 5_002 || i == 5_007 {
                analyser.push_mark(&mark(i as f64 * 0.1 - 0.05, MarkKind::Note));
            }
            if i == 6_000 {
                analyser.push_mark(&mark(599.95, MarkKind::PumpSideShut));
            }
            let dip = (5_002..5_007).contains(&i);
            let p = if dip { 150.0 } else { 300.0 };
            analyser.push_reading(&reading(i as f64 * 0.1, p));
        }
    };
    let lowest = |analyser: &Analyser| {
        let findings = analyser.findings();
        let pulldown = findings.rounds[0].pulldown.clone().unwrap();
        pulldown.lowest_micron.unwrap()
    };
    push_until(&mut analyser, 0, 12_000);
    assert!((lowest(&analyser) - 150.0).abs() < 1e-6);
    push_until(&mut analyser, 12_000, 400_000);
    assert!((lowest(&analyser) - 150.0).abs() < 1e-6);
}

/// More marks than are remembered one by one must not cost memory or a panic.
#[test]
fn a_mark_at_every_reading_is_survived() {
    let mut analyser = Analyser::new(Settings::default());
    for i in 0..20_000_u64 {
        let t = i as f64;
        analyser.push_reading(&reading(t, down(t) + wobble(i)));
        analyser.push_mark(&mark(t, MarkKind::Note));
    }
    let findings = analyser.findings();
    assert_eq!(findings.data.used, 20_000);
    assert_eq!(findings.verdict, Verdict::NotProven);
}

/// What a leak is does not depend on how long the record was before it: the same
/// hold after ten minutes and after a day of pumping.
#[test]
fn a_long_pulldown_before_the_hold_costs_no_accuracy() {
    let leak_after = |pull_s: u64| {
        let mut analyser = Analyser::new(Settings::default());
        for i in 0..pull_s {
            analyser.push_reading(&reading(i as f64, down(i as f64) + wobble(i)));
        }
        analyser.push_mark(&mark(pull_s as f64, MarkKind::PumpSideShut));
        for i in 0..900 {
            let p = 180.0 + 0.2 * i as f64 + wobble(i);
            analyser.push_reading(&reading((pull_s + i) as f64, p));
        }
        let findings = analyser.findings();
        let hold = findings.judged_hold().unwrap();
        hold.rise.leak_micron_per_min.unwrap().value
    };
    let (short, long) = (leak_after(600), leak_after(86_400));
    assert!((short - 12.0).abs() < 0.1, "{short}");
    assert!((long - short).abs() < 1e-6, "{long} against {short}");
}

/// The target reached just before the valve was shut, the hold a little above it
/// and below its ceiling: that answer must not change because the hold goes on.
#[test]
fn a_target_once_reached_stays_reached() {
    let settings = Settings {
        criteria: Criteria {
            ceiling_micron: 600.0,
            ..Criteria::common_practice()
        },
        ..Settings::default()
    };
    let mut analyser = Analyser::new(settings);
    for i in 0..60_000_u64 {
        let t = i as f64;
        if i == 600 {
            analyser.push_mark(&mark(599.5, MarkKind::PumpSideShut));
        }
        let micron = match i {
            0..597 => 600.0,
            597..600 => 450.0,
            // the last digit of the gauge moves now and then
            _ if i % 7 == 0 => 520.5,
            _ => 520.0,
        };
        analyser.push_reading(&reading(t, micron));
        if [1_300, 9_000, 20_000, 59_999].contains(&i) {
            let findings = analyser.findings();
            let pulldown = findings.rounds[0].pulldown.as_ref().unwrap();
            assert_eq!(pulldown.reached_target_s, Some(597.0), "after {t} s");
            assert_eq!(findings.verdict, Verdict::Pass, "after {t} s");
        }
    }
}
