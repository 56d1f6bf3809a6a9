//! What it costs to read a foreign CSV. Run with `cargo bench -p foreign-csv`.

use std::{fmt::Write, fs, hint::black_box, path::Path};

use divan::Bencher;
use foreign_csv::{ImportOptions, TableReader};
use plain_file::Links;
use tempfile::TempDir;
use vacuum::{Entry, Pressure};

/// One hour at 10 Hz.
const ROWS: u32 = 36_000;

fn main() {
    divan::main();
}

fn read(path: &Path) -> f64 {
    let options = ImportOptions::default();
    let mut table = TableReader::open(path, Links::Follow, &options).expect("a good file");
    let mut sum = 0.0;
    while let Some(entry) = table.next_entry().expect("good rows") {
        if let Entry::Reading(r) = entry {
            sum += r.pressure().map_or(0.0, Pressure::pa);
        }
    }
    sum
}

#[divan::bench(sample_count = 50, args = ["elapsed", "newest", "stamp", "comma"])]
fn read_foreign_36000(bencher: Bencher<'_, '_>, kind: &str) {
    let folder = TempDir::new().expect("a temporary folder");
    let path = folder.path().join("foreign.csv");
    let mut text = String::new();
    let header = match kind {
        "elapsed" | "newest" => "elapsed_s,pressure_micron",
        "stamp" => "timestamp,pressure_micron",
        _ => "Zeit (s);Druck (mbar)",
    };
    let _ = writeln!(text, "{header}");
    for i in 0..ROWS {
        let i = if kind == "newest" { ROWS - 1 - i } else { i };
        let (s, tenth) = (i / 10, i % 10);
        let micron = 400.0 + f64::from(i % 977) * 0.137;
        let _ = match kind {
            "elapsed" | "newest" => writeln!(text, "{s}.{tenth},{micron:.2}"),
            "stamp" => writeln!(
                text,
                "2026-03-14 {:02}:{:02}:{:02}.{tenth},{micron:.2}",
                9 + s / 3600,
                s / 60 % 60,
                s % 60
            ),
            _ => writeln!(text, "{s},{tenth};0,{:05.0}", micron * 10.0),
        };
    }
    fs::write(&path, text).expect("a file");
    bencher.bench_local(|| read(black_box(&path)));
}
