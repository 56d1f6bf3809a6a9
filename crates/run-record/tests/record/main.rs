//! The run folder: written, killed, cut, edited and read back.
//!
//! - `crash`: the power is cut at every step.
//! - `disk`: a disk that loses what a real one may lose.
//! - `disturbed`: files deleted, cut or replaced while they are recorded.
//! - `evidence`: what a cut or edited record shows.
//! - `format`: FORMAT.md against the program.
//! - `parts`: one record read over the files it is spread over.
//! - `reading`: what was written comes back.
//! - `resuming`: going on after a restart.
//! - `samples`: recorded runs of every format version.
//! - `scale`: a scale beside the gauge.
//! - `trouble`: a disk that fails or fills up.
//! - `writing`: folders, locks, syncs, killed programs.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::path::{Path, PathBuf};

use chrono::{DateTime, TimeZone, Utc};
use run_record::{ImportOptions, RunHeader, RunWriter, Source};
use vacuum::{
    AccessSides, Criteria, Entry, GaugeIdentity, Job, Mark, MarkKind, Pressure, Reading, Sensed,
};

mod crash;
mod disk;
mod disturbed;
mod evidence;
mod format;
mod parts;
mod reading;
mod resuming;
mod samples;
mod scale;
mod trouble;
mod writing;

fn started() -> DateTime<Utc> {
    Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap()
}

fn header() -> RunHeader {
    RunHeader {
        job: Job {
            id: "INVENTED-7".into(),
            invented: true,
            appliance: Some("upright freezer".into()),
            refrigerant: Some("R-600a".into()),
            charge_g: Some(58.0),
            volume_l: Some(4.2),
            ambient_c: Some(21.5),
            access_sides: Some(AccessSides::One),
            repair: Some("\"new\" drier\nsecond line".into()),
            gauge: GaugeIdentity {
                serial: Some("0042".into()),
                calibrated_on: Some("2026-01-15".into()),
                ..GaugeIdentity::default()
            },
            ..Job::default()
        },
        test: vacuum::TestPlan::default(),
        criteria: Some(Criteria::facilities_one_hour()),
        dialect: Some("plain-micron".into()),
        assumed_unit: Some(vacuum::PressureUnit::Micron),
        port: Some("invented port".into()),
        software: "dryhold 0.1.0".into(),
        started: None,
        beside: Vec::new(),
        scale: None,
    }
}

fn micron(value: f64) -> Pressure {
    Pressure::from_micron(value).unwrap()
}

/// One of everything a run can hold.
fn entries() -> Vec<Entry> {
    let reading = |elapsed_s, sensed, temperature_c| {
        Entry::Reading(Reading {
            elapsed_s,
            sensed,
            temperature_c,
        })
    };
    let mark = |elapsed_s, kind, note: &str| {
        Entry::Mark(Mark {
            elapsed_s,
            kind,
            note: note.into(),
        })
    };
    vec![
        reading(0.0, Sensed::Over(None), Some(21.0625)),
        mark(0.0, MarkKind::ValveOpened, ""),
        reading(0.1, Sensed::Over(Some(micron(25_000.0))), None),
        reading(0.2, Sensed::Measured(micron(18_764.0)), Some(-3.5)),
        reading(0.3, Sensed::Measured(micron(512.345)), None),
        mark(
            0.35,
            MarkKind::Note,
            "=1+1, \"quoted\"\nsecond line; ünïcode",
        ),
        reading(60.0, Sensed::Fault, None),
        reading(75.125, Sensed::Gap, None),
        reading(75.125, Sensed::Under(Some(micron(1.0))), None),
        mark(80.0, MarkKind::PumpSideShut, "before the pump"),
        reading(3600.0, Sensed::Measured(micron(0.0)), None),
        reading(36_000.001, Sensed::Measured(micron(499.5)), None),
    ]
}

fn stamp(entry: &Entry) -> DateTime<Utc> {
    started() + chrono::Duration::milliseconds((entry.elapsed_s() * 1000.0) as i64)
}

/// A finished run of these entries.
fn record(parent: &Path, entries: &[Entry]) -> PathBuf {
    let mut writer = RunWriter::create(parent, &header(), started()).unwrap();
    for entry in entries {
        writer.append(entry, stamp(entry)).unwrap();
    }
    writer.finish().unwrap().folder
}

fn read_all(path: &Path) -> (Vec<Entry>, Source) {
    let mut source = Source::open_and_check(path, &ImportOptions::default()).unwrap();
    let mut out = Vec::new();
    while let Some(entry) = source.next_entry().unwrap() {
        out.push(entry);
    }
    (out, source)
}

fn same(a: &Entry, b: &Entry) -> bool {
    match (a, b) {
        (Entry::Mark(a), Entry::Mark(b)) => a == b,
        (Entry::Reading(a), Entry::Reading(b)) => {
            let close = |a: Option<Pressure>, b: Option<Pressure>| match (a, b) {
                (Some(a), Some(b)) => (a.pa() - b.pa()).abs() <= 1e-8 * a.pa(),
                (a, b) => a == b,
            };
            a.elapsed_s == b.elapsed_s
                && a.state() == b.state()
                && a.temperature_c == b.temperature_c
                && close(a.pressure(), b.pressure())
                && close(a.bound(), b.bound())
        }
        _ => false,
    }
}

fn assert_same(found: &[Entry], wanted: &[Entry]) {
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (a, b) in found.iter().zip(wanted) {
        assert!(same(a, b), "{a:?} is not {b:?}");
    }
}
