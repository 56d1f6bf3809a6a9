//! Recorded runs of every format version open for ever.

use std::{
    fs,
    path::{Path, PathBuf},
};

use chrono::{DateTime, Duration, TimeZone, Utc};
use run_record::{Companion, RunHeader, RunReader, RunWriter, verify};
use vacuum::{Criteria, Entry, Job, Mark, MarkKind, Pressure, Reading};

use super::{
    assert_same,
    disk::{SimDisk, Step, Tail},
    micron, read_all,
};

const FULL_DISK: &str = "20260314T091500Z-INVENTED-full-disk";
const POWER_CUT: &str = "20260315T140000Z-INVENTED-power-cut";
const BESIDE: &str = "beside-pump-side.csv";

/// One reading in five seconds.
const EVERY_S: f64 = 5.0;
/// When the pump-side valve is shut, s.
const SHUT_S: f64 = 900.0;
const END_S: f64 = 1_620.0;

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/runs")
}

/// An invented pull-down that ends at 180 micron, and a hold that rises to 214.
fn pressure(t_s: f64) -> Pressure {
    let held = (t_s - SHUT_S).max(0.0);
    let pulled = t_s.min(SHUT_S);
    let wiggle = (t_s / EVERY_S * 2.4).sin();
    micron((180.0 + 19_000.0 * (-pulled / 95.0).exp() + held / 21.0 + wiggle).round())
}

/// What the invented gauge said, with the acts stamped between.
fn told(until_s: f64) -> Vec<Entry> {
    let mut told = Vec::new();
    let mut t_s = 0.0;
    while t_s <= until_s {
        if t_s == SHUT_S {
            for (kind, note) in [
                (MarkKind::PumpSideShut, ""),
                (MarkKind::PumpStopped, "oil clear, no foam"),
            ] {
                let note = note.into();
                told.push(Entry::Mark(Mark {
                    elapsed_s: t_s,
                    kind,
                    note,
                }));
            }
        }
        told.push(Entry::Reading(Reading::measured(t_s, pressure(t_s))));
        t_s += EVERY_S;
    }
    told
}

fn beside(entry: &Entry) -> Option<Reading> {
    match entry {
        Entry::Reading(r) if r.elapsed_s < SHUT_S => {
            let p = micron((0.8 * pressure(r.elapsed_s).micron()).round());
            Some(Reading::measured(r.elapsed_s, p))
        }
        _ => None,
    }
}

fn header(id: &str, with_beside: bool) -> RunHeader {
    let pump_side = Companion {
        name: "pump-side".into(),
        place: "pump side (invented)".into(),
        dialect: Some("number-unit-line".into()),
        port: Some("invented port 2".into()),
        ..Companion::default()
    };
    RunHeader {
        job: Job {
            id: id.into(),
            invented: true,
            appliance: Some("chest freezer (invented)".into()),
            refrigerant: Some("R-600a".into()),
            charge_g: Some(52.0),
            volume_l: Some(2.4),
            ambient_c: Some(20.0),
            ..Job::default()
        },
        test: vacuum::TestPlan::default(),
        criteria: Some(Criteria::common_practice()),
        dialect: Some("number-unit-line".into()),
        assumed_unit: None,
        port: Some("invented port 1".into()),
        software: "dryhold 0.1.0".into(),
        started: None,
        beside: with_beside.then_some(pump_side).into_iter().collect(),
        scale: None,
    }
}

/// Records on a simulated disk; `trouble` is asked before each entry.
fn play(
    header: &RunHeader,
    started: DateTime<Utc>,
    entries: &[Entry],
    mut trouble: impl FnMut(usize, &SimDisk, &mut RunWriter),
) -> SimDisk {
    let disk = SimDisk::default();
    let folder = Path::new("invented-run");
    let mut writer = RunWriter::create_on(Box::new(disk.clone()), folder, header, started).unwrap();
    for (i, entry) in entries.iter().enumerate() {
        trouble(i, &disk, &mut writer);
        let utc = started + Duration::milliseconds((entry.elapsed_s() * 1000.0) as i64);
        writer.append(entry, utc).unwrap();
        if let Some(reading) = beside(entry) {
            writer.append_beside(0, &reading, utc);
        }
    }
    disk
}

/// The disk fails once in the middle of the hold.
fn full_disk() -> SimDisk {
    let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap();
    let header = header("INVENTED-full-disk", true);
    play(&header, started, &told(END_S), |i, disk, writer| {
        if i == 230 {
            disk.image().fails = Some(Step::Appended);
        } else if i < 225 {
            writer.sync().unwrap();
        }
    })
}

/// The power goes in the hold, and of the last rows half reach the disk.
fn power_cut() -> SimDisk {
    let started = Utc.with_ymd_and_hms(2026, 3, 15, 14, 0, 0).unwrap();
    let header = header("INVENTED-power-cut", false);
    play(&header, started, &told(1_300.0), |i, _, writer| {
        if i < 255 {
            writer.sync().unwrap();
        }
    })
}

/// Writes the samples anew; only ever done for a new format version, under new
/// names.
#[test]
#[ignore = "makes samples/runs; those that are there must not change"]
fn make_samples() {
    for (name, disk, tail) in [
        (FULL_DISK, full_disk(), Tail::Kept),
        (POWER_CUT, power_cut(), Tail::Torn(560)),
    ] {
        let folder = samples().join(name);
        fs::create_dir(&folder).unwrap();
        let made = disk.after_crash(tail);
        for entry in fs::read_dir(made.path()).unwrap() {
            let path = entry.unwrap().path();
            fs::copy(&path, folder.join(path.file_name().unwrap())).unwrap();
        }
    }
}

#[test]
fn version_1_opens() {
    let folder = samples().join("20261125T105154Z-rehearsal-foaming-oil");
    let (found, source) = read_all(&folder);
    assert!(source.header().unwrap().job.invented);
    assert_eq!(found.len(), 2_011);
    let marks: Vec<&Mark> = found
        .iter()
        .filter_map(|e| match e {
            Entry::Mark(mark) => Some(mark),
            Entry::Reading(_) => None,
        })
        .collect();
    let kinds: Vec<&str> = marks.iter().map(|m| m.kind.code()).collect();
    assert_eq!(
        kinds,
        [
            "note",
            "valve_opened",
            "throttled",
            "valve_opened",
            "pump_side_shut",
            "pump_stopped"
        ]
    );
    let last = Reading {
        temperature_c: Some(21.2),
        ..Reading::measured(2_003.144, micron(76.0))
    };
    assert_same(&found[2_010..], &[Entry::Reading(last)]);
    let verified = verify(&folder).unwrap();
    assert!(verified.is_sound());
    assert_eq!(verified.last_link.unwrap().to_string(), "556b7277bb2d8236");
}

#[test]
fn version_2_with_parts_and_a_gauge_beside_opens() {
    let folder = samples().join(FULL_DISK);
    assert_same(&read_all(&folder).0, &told(END_S));
    let pump_side: Vec<Entry> = told(END_S)
        .iter()
        .filter_map(beside)
        .map(Entry::Reading)
        .collect();
    assert_same(&read_all(&folder.join(BESIDE)).0, &pump_side);
    assert!(verify(&folder).unwrap().is_sound());
    let mut reader = RunReader::open(&folder, true).unwrap();
    while reader.next_entry().unwrap().is_some() {}
    let parts = reader.parts();
    let files: Vec<&str> = parts.iter().map(|p| p.file.as_str()).collect();
    assert_eq!(files, ["trace.csv", "trace.2.csv"]);
    assert!(parts[0].torn.is_some() && parts[0].told_again > 0);
    let header = reader.header().unwrap();
    assert!(header.job.invented);
    assert_eq!(header.beside[0].place, "pump side (invented)");
}

#[test]
fn version_2_after_a_power_cut_opens() {
    let folder = samples().join(POWER_CUT);
    let (found, source) = read_all(&folder);
    let told = told(1_300.0);
    assert_eq!(told.len() - found.len(), 4);
    assert_same(&found, &told[..found.len()]);
    let torn = source.summary().torn_tail.unwrap();
    assert_eq!(
        (torn.file.as_str(), torn.row),
        ("trace.csv", found.len() as u64 + 2)
    );
    assert!(source.header().unwrap().job.invented);
    assert!(verify(&folder).unwrap().chain.is_intact());
}
