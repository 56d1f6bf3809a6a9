//! Files far larger than memory should be, and hostile ones: read in flat memory. Of a
//! file that runs newest first, only so much as fits under the bound. The peak of this
//! process's memory is watched (Linux tells it).
//!
//! `cargo test --release -p foreign-csv --test flat_memory -- --ignored --nocapture`
//! does the same with 5 GB (`DRYHOLD_IMPORT_GB` for another size) and prints the
//! figures.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test says by panicking what went wrong, and these print figures"
)]

use std::{
    fs::{self, File},
    io::{BufWriter, Write},
    path::Path,
    time::Instant,
};

use foreign_csv::{ImportOptions, ImportSummary, TableReader};
use plain_file::Links;

/// Most memory this process may have held, MB.
const MOST_MB: f64 = 32.0;

/// The same with rows that were reversed: 64 MB of them, while they are moved to a
/// place twice as large.
const MOST_REVERSED_MB: f64 = 128.0 + MOST_MB;

/// Peak of resident memory, MB; `None` where the system does not tell.
fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

fn check_peak(what: &str, most_mb: f64) {
    match peak_mb() {
        Some(peak) => assert!(peak < most_mb, "{what}: {peak:.0} MB"),
        None => skipped_tests::skip("this system does not tell its peak memory"),
    }
}

fn read(path: &Path) -> Result<ImportSummary, String> {
    let mut source = TableReader::open(path, Links::Follow, &ImportOptions::default())
        .map_err(|e| e.to_string())?;
    let mut last = f64::NEG_INFINITY;
    while let Some(entry) = source.next_entry().map_err(|e| e.to_string())? {
        assert!(entry.elapsed_s() >= last);
        last = entry.elapsed_s();
    }
    Ok(source.summary())
}

/// Writes at least `bytes` of rows at 10 Hz and says how many rows.
fn table(path: &Path, bytes: u64, newest_first: bool) -> u64 {
    let rows = bytes / 15;
    let mut out = BufWriter::with_capacity(1 << 20, File::create(path).unwrap());
    out.write_all(b"elapsed_s,p_micron\n").unwrap();
    for i in 0..rows {
        let i = if newest_first { rows - 1 - i } else { i };
        writeln!(out, "{:08}.{},{}", i / 10, i % 10, 400 + i % 97).unwrap();
    }
    out.flush().unwrap();
    rows
}

/// Writes a table, reads it and prints the figures.
fn measured(bytes: u64, newest_first: bool, most_mb: f64) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.csv");
    let rows = table(&path, bytes, newest_first);
    let size = fs::metadata(&path).unwrap().len();
    let began = Instant::now();
    let summary = read(&path).unwrap();
    let took = began.elapsed().as_secs_f64();
    let order = if newest_first { "newest" } else { "oldest" };
    println!(
        "proof: foreign CSV, {order} first: {:.2} GB, {:.1} million rows, {:.1} million \
         rows/s, at most {:.0} MB of memory",
        size as f64 / 1e9,
        rows as f64 / 1e6,
        rows as f64 / took / 1e6,
        peak_mb().unwrap_or(f64::NAN)
    );
    assert_eq!(summary.used, rows);
    check_peak(order, most_mb);
}

/// A table that runs newest first is reversed in memory, up to a bound.
fn newest_first() {
    measured(30_000_000, true, MOST_REVERSED_MB);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.csv");
    table(&path, 64_000_000, true);
    let refused = read(&path).unwrap_err();
    assert!(
        refused.contains("fit into 64 MB of memory: sort the file oldest first"),
        "{refused}"
    );
    check_peak("refused", MOST_REVERSED_MB);
}

/// Text that tries to be read into memory whole.
fn hostile() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hostile.csv");
    let write = |start: &str, repeated: &str| {
        let mut out = BufWriter::new(File::create(&path).unwrap());
        out.write_all(start.as_bytes()).unwrap();
        let block = repeated.repeat((1 << 20) / repeated.len());
        for _ in 0..64 {
            out.write_all(block.as_bytes()).unwrap();
        }
        out.flush().unwrap();
    };
    for (start, repeated) in [
        ("t,p_micron\n0,1\n", "5"),
        ("t,p_micron\n0,1\n", "\""),
        ("t,p_micron\n0,1\n1,\"", "2,3\n"),
        ("t,p_micron\n9,1\n8,1\n1,\"", "2,3\n"),
        ("t,p_micron\n0,1\n", ","),
        ("t,p_micron\n0,1\n", "x\n"),
        ("", "a,"),
        ("", "\n"),
    ] {
        write(start, repeated);
        let error = read(&path).unwrap_err();
        assert!(error.len() < 1000, "{error}");
        println!(
            "{start:?}, then {repeated:?}: {error}; peak memory {:?} MB",
            peak_mb()
        );
        check_peak(&format!("{start:?}, then {repeated:?} for ever"), MOST_MB);
    }
    // zeros that a power cut left in the middle are one damaged row
    write("t,p_micron\n0,1\n1,2\n2,3\n3,4\n4,5\n5,6\n", "\0");
    let mut out = fs::OpenOptions::new().append(true).open(&path).unwrap();
    out.write_all(b"\n6,7\n7,8\n").unwrap();
    let summary = read(&path).unwrap();
    assert_eq!((summary.used, summary.rejected), (8, 1));
    check_peak("zeros", MOST_MB);
}

#[test]
fn memory_stays_flat_whatever_the_file() {
    hostile();
    measured(64_000_000, false, MOST_MB);
    // last, for the peak stays
    newest_first();
}

#[test]
#[ignore = "writes and reads gigabytes; prints figures for a release build"]
fn five_gigabytes() {
    let gb = std::env::var("DRYHOLD_IMPORT_GB");
    let gb: f64 = gb.ok().and_then(|t| t.parse().ok()).unwrap_or(5.0);
    measured((gb * 1e9) as u64, false, MOST_MB);
    measured(30_000_000, true, MOST_REVERSED_MB);
}
