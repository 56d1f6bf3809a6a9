//! Ugly tables from `samples/foreign`, rendered by a script that shares no code
//! with the reader, beside what must be read from them.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{fs, path::Path};

use foreign_csv::{ImportOptions, TableReader};
use plain_file::Links;
use vacuum::Entry;

struct Row {
    elapsed_s: f64,
    micron: Option<f64>,
    state: String,
}

/// The expected rows, and the rows that must be listed as left out.
fn expected(path: &Path) -> (Vec<Row>, Vec<u64>) {
    let text = fs::read_to_string(path).unwrap();
    let (mut rows, mut left_out) = (Vec::new(), Vec::new());
    for line in text.lines().skip(1) {
        if let Some(row) = line.strip_prefix("row ") {
            left_out.push(row.parse().unwrap());
            continue;
        }
        let cells: Vec<&str> = line.split(',').collect();
        rows.push(Row {
            elapsed_s: cells[0].parse().unwrap(),
            micron: cells[1].parse().ok(),
            state: cells[2].to_owned(),
        });
    }
    (rows, left_out)
}

fn check(table: &Path) {
    let name = table.display();
    let (rows, left_out) = expected(&table.with_extension("expected.csv"));
    let mut source = TableReader::open(table, Links::Follow, &ImportOptions::default()).unwrap();
    let mut found = Vec::new();
    while let Some(entry) = source.next_entry().unwrap() {
        if let Entry::Reading(reading) = entry {
            found.push(reading);
        }
    }
    assert_eq!(found.len(), rows.len(), "{name}: {:?}", source.summary());
    // stamps and day numbers count from the first row
    for (reading, row) in found.iter().zip(&rows) {
        let at = format!("{name} at {} s", row.elapsed_s);
        assert!(
            (reading.elapsed_s - row.elapsed_s).abs() < 2e-3,
            "{at}: {reading:?}"
        );
        assert_eq!(reading.state().word(), row.state, "{at}");
        let micron = reading.pressure().map(|p| p.micron());
        assert_eq!(micron.is_some(), row.micron.is_some(), "{at}");
        if let (Some(got), Some(wanted)) = (micron, row.micron) {
            assert!(
                (got - wanted).abs() <= 1e-4 * wanted,
                "{at}: {got} is not {wanted}"
            );
        }
    }
    let summary = source.summary();
    let listed: Vec<u64> = summary.rejected_rows.iter().map(|r| r.row).collect();
    assert_eq!(listed, left_out, "{name}: {:?}", summary.rejected_rows);
    assert_eq!(summary.rows, summary.used + summary.rejected, "{name}");
}

#[test]
fn every_sample_is_read_as_its_script_meant_it() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/foreign");
    let mut tables: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.to_string_lossy();
            name.ends_with(".csv") && !name.ends_with(".expected.csv")
        })
        .collect();
    tables.sort();
    assert!(tables.len() >= 30, "{tables:?}");
    for table in tables {
        check(&table);
    }
}
