//! Going on with a run after a kill.

use std::path::{Path, PathBuf};

use chrono::{TimeDelta, TimeZone, Utc};
use run_record::RunWriter;
use vacuum::{Entry, Pressure, Reading};

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    parts::{measured_in, rows_of},
    run::{dryhold, only_run, review, runs, scratch},
};

/// A run of the values 0 to 99, killed.
fn killed(gauge: &mut Gauge, out: &Path) -> PathBuf {
    let logger = Logger::start(gauge.path(), out, &[]);
    gauge.await_reader();
    (0..100).for_each(|i| gauge.say_micron(f64::from(i)));
    logger.wait_for_rows(100);
    logger.kill();
    only_run(out)
}

fn resume(run: &Path, options: &[&str]) -> crate::run::Ran {
    let run = run.to_string_lossy();
    dryhold(["log", "--resume", &run].iter().chain(options))
}

#[test]
fn a_killed_run_goes_on_with_its_gap() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let run = killed(&mut gauge, &out);
    let old = std::fs::read(run.join("trace.csv")).expect("trace.csv");

    let shown = run.to_string_lossy().into_owned();
    let logger = Logger::start_plain(&out, &["log", "--resume", &shown]);
    gauge.await_reader();
    logger.wait_for("Recording to");
    assert!(logger.said().contains(&shown), "{}", logger.said());
    (100..200).for_each(|i| gauge.say_micron(f64::from(i)));
    wait_until("the rest", || measured_in(&run).len() == 200);
    // meanwhile nobody else may
    let ran = resume(&run, &[]).expect(1);
    assert!(
        ran.complaint()
            .contains("another program is recording into this folder")
    );
    logger.interrupted().expect(0);

    assert_eq!(runs(&out), std::slice::from_ref(&run), "no second folder");
    let now = std::fs::read(run.join("trace.csv")).expect("trace.csv");
    assert!(now == old, "the old file was touched");
    let values: Vec<f64> = (0..200).map(f64::from).collect();
    assert_eq!(measured_in(&run), values);
    let rows: Vec<_> = rows_of(&run).into_values().collect();
    assert_eq!(rows[100].1, "gap");
    let note = &rows[101].2;
    assert!(note.starts_with("recording resumed after "), "{note}");
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    let findings = review(&run, &[]).expect(11).json();
    assert_eq!(findings["data"]["rows"], 202);
}

/// The sample that was cut off six minutes into its hold, resumed six minutes
/// later and held for ten more: long enough, were it not for the hole.
#[test]
fn a_hold_with_a_hole_is_not_bridged() {
    let folder = scratch();
    let sample = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs/20260315T140000Z-INVENTED-power-cut");
    let run = folder.path().join("run");
    std::fs::create_dir(&run).expect("a folder");
    for name in ["job.toml", "trace.csv"] {
        std::fs::copy(sample.join(name), run.join(name)).expect("a copy");
    }
    let now = Utc
        .with_ymd_and_hms(2026, 3, 15, 14, 27, 30)
        .single()
        .expect("a time");
    let mut resumed = RunWriter::resume(&run, now).expect("a record to go on with");
    assert_eq!(resumed.elapsed_s, 1_650.0);
    for i in 0..120_u32 {
        let after_s = 5.0 * f64::from(i);
        let micron = 218.0 + after_s / 21.0 + f64::from(i % 3);
        let pressure = Pressure::from_micron(micron.round()).expect("a pressure");
        let reading = Reading::measured(resumed.elapsed_s + after_s, pressure);
        let utc = now + TimeDelta::seconds(5 * i64::from(i));
        resumed
            .writer
            .append(&Entry::Reading(reading), utc)
            .expect("a short row");
    }
    resumed.writer.finish().expect("room");
    let findings = review(&run, &[]).expect(11).json();
    assert_eq!(findings["verdict"], "not_proven");
    let reasons = findings["reasons"].to_string();
    assert!(reasons.contains("gap_in_hold"), "{reasons}");
    let gaps = findings["data"]["gaps"].as_array().expect("gaps");
    assert_eq!(gaps.len(), 1, "{gaps:?}");
}

#[test]
fn the_next_log_says_how_to_go_on() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let run = killed(&mut gauge, &out);
    let logger = Logger::start(gauge.path(), &out, &[]);
    logger.wait_for(&format!("dryhold log --resume {}", run.display()));
    gauge.await_reader();
    gauge.say_micron(1.0);
    gauge.drain();
    logger.interrupted().expect(0);
}

#[test]
fn options_may_not_contradict_the_record() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let run = killed(&mut gauge, &out);
    let says = |options: &[&str], status: i32, words: &str| {
        let ran = resume(&run, options).expect(status);
        assert!(ran.complaint().contains(words), "{ran:?}");
    };
    says(
        &["--dialect", "decimal-comma-line"],
        2,
        "recorded with the dialect \"number-unit-line\"",
    );
    says(
        &["--target-micron", "300"],
        2,
        "the criteria in its job.toml",
    );
    let ran = resume(&run, &["--out", "elsewhere"]).expect(2);
    assert!(ran.err.contains("--out"), "{}", ran.err);
    let trace = run.join("trace.csv");
    let text = std::fs::read_to_string(&trace).expect("trace.csv");
    std::fs::write(&trace, text.replacen(",50,,ok", ",51,,ok", 1)).expect("edited");
    says(&[], 1, "this record cannot be resumed: row 52 of trace.csv");
    let ran = resume(folder.path(), &[]).expect(1);
    assert!(ran.complaint().contains("holds no trace.csv"), "{ran:?}");
    assert!(
        !run.join("trace.2.csv").exists(),
        "a refusal changes nothing"
    );
}
