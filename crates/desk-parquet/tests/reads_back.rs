//! What was written is read back by the library's own reader; samples/desk/ reads the same
//! files with three others.

use std::{fs::File, path::Path};

use arrow_array::{
    Array, RecordBatch,
    cast::AsArray,
    types::{Float64Type, Int16Type, TimestampMillisecondType, UInt32Type},
};
use desk::Row;
use desk_parquet::{FileOptions, Trace, beside, write_rounds, write_rows, write_traces};
use parquet::arrow::arrow_reader::ParquetRecordBatchReaderBuilder;
use serde_json::json;

const OPTIONS: FileOptions<'_> = FileOptions {
    made_by: "dryhold 0.1.0",
    partial: None,
    without_personal_data: false,
};

fn row(at: usize) -> Row {
    let rounds: Vec<_> = (0..at % 4)
        .map(|round| json!({"lowest_micron": 200.0 + round as f64, "hold_min": 15.5, "verdict": "fail"}))
        .collect();
    let row = json!({
        "path": format!("claims/{at}"), "kind": "run", "job": "J-1 INVENTED",
        "started": "2026-11-03T14:05:00.250Z", "verdict": "not_proven", "reasons": ["a", "b"],
        "leak_micron_per_min": 0.1 * at as f64, "seal": "other key", "technician": "T. Echnician",
        "customer": "C. Ustomer", "rounds": rounds,
        "said": {"made_by": "dryhold 0.0.9", "verdict": "pass", "criteria": "500 micron"},
        "curve": {"span_s": 60.0, "log_micron": [5_880, -300]},
        "flags": [
            {"code": "curve_copied", "words": "as in two others", "with": ["claims/7", "x"]},
            {"code": "unsealed", "words": "there is no seal"},
        ],
    });
    serde_json::from_value(row).expect("a row")
}

fn unreadable() -> Row {
    let row = json!({"path": "claims/torn", "kind": "table", "unreadable": "no head", "reasons": [],
        "started": "last week", "seal": "none", "rounds": [], "flags": []});
    serde_json::from_value(row).expect("a row")
}

/// All batches of a file, and what it says of itself.
fn read(path: &Path) -> (Vec<RecordBatch>, Vec<(String, String)>) {
    let file = File::open(path).expect("the file");
    let builder = ParquetRecordBatchReaderBuilder::try_new(file).expect("Parquet");
    let said = builder.metadata().file_metadata().key_value_metadata();
    let said = said.into_iter().flatten();
    let said = said.map(|one| (one.key.clone(), one.value.clone().unwrap_or_default()));
    let said = said.collect();
    let batches = builder.build().expect("a reader");
    (batches.map(|batch| batch.expect("a batch")).collect(), said)
}

fn column<'b>(batch: &'b RecordBatch, name: &str) -> &'b dyn Array {
    let found = batch.column_by_name(name);
    found.unwrap_or_else(|| panic!("no column {name}"))
}

#[test]
fn rows_come_back_with_their_types() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("claims.parquet");
    let rows = (0..3_000).map(row).chain([unreadable()]);
    assert_eq!(write_rows(&path, rows, &OPTIONS).expect("written"), 3_001);
    let (batches, said) = read(&path);
    assert_eq!(
        batches.iter().map(RecordBatch::num_rows).sum::<usize>(),
        3_001
    );
    let batch = &batches[0];
    let text = |name: &str| column(batch, name).as_string::<i32>().value(5).to_owned();
    assert_eq!(text("path"), "claims/5");
    assert_eq!(text("seal"), "other key");
    assert_eq!(text("said_verdict"), "pass");
    assert_eq!(text("technician"), "T. Echnician");
    // 2026-11-03T14:05:00Z by `date --utc +%s` of GNU coreutils: 1793714700
    let started = column(batch, "started").as_primitive::<TimestampMillisecondType>();
    assert_eq!(started.value(5), 1_793_714_700_250);
    assert_eq!(started.timezone(), Some("UTC"));
    let leak = column(batch, "leak_micron_per_min").as_primitive::<Float64Type>();
    assert!((leak.value(5) - 0.5).abs() < 1e-12);
    assert!(column(batch, "hold_min").is_null(5));
    assert_eq!(
        column(batch, "rounds")
            .as_primitive::<UInt32Type>()
            .value(5),
        1
    );
    assert!(column(batch, "flagged").as_boolean().value(5));
    let flags = column(batch, "flags").as_list::<i32>().value(5);
    assert_eq!(
        flags
            .as_string::<i32>()
            .iter()
            .flatten()
            .collect::<Vec<_>>(),
        ["curve_copied", "unsealed"]
    );
    let evidence = column(batch, "evidence").as_list::<i32>().value(5);
    let evidence = evidence.as_struct();
    assert_eq!(
        evidence.column(1).as_string::<i32>().value(0),
        "as in two others"
    );
    let with = evidence.column(2).as_list::<i32>();
    assert_eq!(
        with.value(0)
            .as_string::<i32>()
            .iter()
            .flatten()
            .collect::<Vec<_>>(),
        ["claims/7", "x"]
    );
    assert_eq!(with.value(1).len(), 0);
    let curve = column(batch, "curve_log_micron").as_list::<i32>().value(5);
    assert_eq!(curve.as_primitive::<Int16Type>().values(), &[5_880, -300]);
    assert!(said.contains(&("made_by".to_owned(), "dryhold 0.1.0".to_owned())));
    assert!(!said.iter().any(|(key, _)| key == "partial"));
    // the last one could not be read, and its time is none
    let last = batches.last().expect("a batch");
    let at = last.num_rows() - 1;
    assert!(!column(last, "readable").as_boolean().value(at));
    assert!(!column(last, "flagged").as_boolean().value(at));
    assert!(column(last, "started").is_null(at) && column(last, "curve_log_micron").is_null(at));
    assert_eq!(
        column(last, "unreadable").as_string::<i32>().value(at),
        "no head"
    );
}

#[test]
fn a_round_is_a_row_and_knows_its_record() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = beside(&folder.path().join("claims.parquet"), "rounds");
    let rows: Vec<Row> = (0..8).map(row).collect();
    assert_eq!(write_rounds(&path, &rows, &OPTIONS).expect("written"), 12);
    let (batches, _) = read(&path);
    let batch = &batches[0];
    let seen: Vec<(String, u32, bool)> = (0..batch.num_rows())
        .map(|at| {
            let path = column(batch, "path")
                .as_string::<i32>()
                .value(at)
                .to_owned();
            let round = column(batch, "round")
                .as_primitive::<UInt32Type>()
                .value(at);
            (path, round, column(batch, "is_last").as_boolean().value(at))
        })
        .collect();
    let expected = [(1, 1, true), (2, 1, false), (2, 2, true), (3, 1, false)];
    let expected = expected.map(|(path, round, last)| (format!("claims/{path}"), round, last));
    assert_eq!(seen[..4], expected);
    assert!(
        (column(batch, "hold_min")
            .as_primitive::<Float64Type>()
            .value(0)
            - 15.5)
            .abs()
            < 1e-12
    );
}

#[test]
fn a_trace_is_a_list_of_readings() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("traces.parquet");
    let traces = (0..300).map(|at| Trace {
        path: format!("claims/{at}"),
        points: (0..at * 10)
            .map(|s| (f64::from(s), 500.0 + f64::from(s)))
            .collect(),
    });
    assert_eq!(write_traces(&path, traces, &OPTIONS).expect("written"), 300);
    let (batches, _) = read(&path);
    let batch = &batches[0];
    let readings = column(batch, "readings").as_list::<i32>();
    assert_eq!(readings.value(0).len(), 0);
    let third = readings.value(3);
    let third = third.as_struct();
    assert_eq!(third.len(), 30);
    assert_eq!(
        third
            .column_by_name("t_s")
            .expect("t_s")
            .as_primitive::<Float64Type>()
            .value(29),
        29.0
    );
    assert_eq!(
        third
            .column_by_name("micron")
            .expect("micron")
            .as_primitive::<Float64Type>()
            .value(29),
        529.0
    );
}

#[test]
fn without_personal_data_there_is_none_in_the_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("claims.parquet");
    let options = FileOptions {
        without_personal_data: true,
        partial: Some("stopped after 2 of 9 records"),
        ..OPTIONS
    };
    write_rows(&path, [row(1), row(2)], &options).expect("written");
    let (batches, said) = read(&path);
    assert!(batches[0].column_by_name("technician").is_none());
    assert!(batches[0].column_by_name("customer").is_none());
    let bytes = std::fs::read(&path).expect("bytes");
    for name in ["Echnician", "Ustomer"] {
        assert!(!bytes.windows(name.len()).any(|at| at == name.as_bytes()));
    }
    assert!(said.contains(&(
        "partial".to_owned(),
        "stopped after 2 of 9 records".to_owned()
    )));
    assert!(said.contains(&("personal_data".to_owned(), "left out".to_owned())));
}

#[test]
fn where_it_cannot_be_written_the_path_is_said_and_nothing_is_left() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("no-such-folder/claims.parquet");
    let error = write_rows(&path, [row(1)], &OPTIONS).expect_err("no folder");
    assert!(error.to_string().contains("no-such-folder"), "{error}");
    assert_eq!(
        std::fs::read_dir(folder.path()).expect("a folder").count(),
        0
    );
}

#[test]
fn the_same_rows_give_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let bytes = ["a.parquet", "b.parquet"].map(|name| {
        let path = folder.path().join(name);
        write_rows(&path, (0..50).map(row), &OPTIONS).expect("written");
        std::fs::read(&path).expect("bytes")
    });
    assert!(bytes[0] == bytes[1]);
}
