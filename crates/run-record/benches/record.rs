//! What recording and reading cost. Run with `cargo bench -p run-record`.

use std::{fs, hint::black_box, path::Path};

use chrono::{TimeZone, Utc};
use divan::Bencher;
use run_record::{ImportOptions, RunHeader, RunWriter, Source, verify};
use tempfile::TempDir;
use vacuum::{Entry, Job, Pressure, Reading};

/// One hour at 10 Hz.
const ROWS: u32 = 36_000;

fn main() {
    divan::main();
}

fn reading(i: u32) -> Entry {
    let micron = 400.0 + f64::from(i % 977) * 0.137;
    let pressure = Pressure::from_micron(micron).unwrap_or(Pressure::ATMOSPHERE);
    Entry::Reading(Reading {
        temperature_c: Some(21.5),
        ..Reading::measured(f64::from(i) * 0.1, pressure)
    })
}

fn writer(parent: &Path) -> RunWriter {
    let header = RunHeader {
        job: Job {
            id: "INVENTED-bench".into(),
            invented: true,
            ..Job::default()
        },
        ..RunHeader::default()
    };
    let started = Utc.timestamp_nanos(0);
    RunWriter::create(parent, &header, started).expect("a temporary folder takes a run")
}

fn run_folder() -> TempDir {
    let parent = TempDir::new().expect("a temporary folder");
    let mut run = writer(parent.path());
    for i in 0..ROWS {
        let utc = Utc.timestamp_nanos(i64::from(i) * 100_000_000);
        run.append(&reading(i), utc).expect("room for a run");
    }
    let folder = run.finish().expect("room for a run").folder;
    fs::rename(folder, parent.path().join("run")).expect("a rename");
    parent
}

fn read(path: &Path, check_chain: bool) -> f64 {
    let options = ImportOptions::default();
    let source = match check_chain {
        true => Source::open_and_check(path, &options),
        false => Source::open(path, &options),
    };
    let mut source = source.expect("a good file");
    let mut sum = 0.0;
    while let Some(entry) = source.next_entry().expect("good rows") {
        if let Entry::Reading(r) = entry {
            sum += r.pressure().map_or(0.0, Pressure::pa);
        }
    }
    sum
}

#[divan::bench]
fn append_one_row(bencher: Bencher<'_, '_>) {
    let parent = TempDir::new().expect("a temporary folder");
    let mut run = writer(parent.path());
    let mut i = 0;
    bencher.bench_local(|| {
        i += 1;
        run.append(black_box(&reading(i)), Utc.timestamp_nanos(i64::from(i)))
            .expect("room for a row");
    });
}

#[divan::bench(sample_count = 50)]
fn read_run_36000(bencher: Bencher<'_, '_>) {
    let parent = run_folder();
    bencher.bench_local(|| read(black_box(&parent.path().join("run")), false));
}

#[divan::bench(sample_count = 50)]
fn read_run_36000_with_chain(bencher: Bencher<'_, '_>) {
    let parent = run_folder();
    bencher.bench_local(|| read(black_box(&parent.path().join("run")), true));
}

#[divan::bench(sample_count = 50)]
fn verify_run_36000(bencher: Bencher<'_, '_>) {
    let parent = run_folder();
    bencher.bench_local(|| verify(black_box(&parent.path().join("run"))).map(|v| v.rows));
}
