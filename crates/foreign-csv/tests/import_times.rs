//! Tables without a header, times of two numbers, weeks, and everything missing at once.

use std::fs;

use foreign_csv::{ImportOptions, ImportProblem, Missing, TableReader, TwoPart};
use plain_file::Links;
use vacuum::{Entry, PressureUnit};

fn open(table: &str, options: &ImportOptions) -> Result<(Vec<f64>, Vec<String>), String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("invented.csv");
    fs::write(&path, table).expect("written");
    let read = || {
        let mut times = Vec::new();
        let mut table = TableReader::open(&path, Links::Follow, options)?;
        while let Some(entry) = table.next_entry()? {
            if let Entry::Reading(reading) = entry {
                times.push(reading.elapsed_s);
            }
        }
        Ok((times, table.summary().notes))
    };
    read().map_err(|e: foreign_csv::ImportError| match e.problem() {
        ImportProblem::Missing(Missing::Several(all)) => {
            format!("{} of {}", e.problem(), all.len())
        }
        problem => problem.to_string(),
    })
}

fn unit(unit: PressureUnit) -> ImportOptions {
    ImportOptions {
        pressure_unit: Some(unit),
        ..ImportOptions::default()
    }
}

#[test]
fn everything_that_is_missing_is_said_in_one_error() {
    let nothing = ImportOptions::default();
    assert_eq!(
        open("foo,baz\n1,2\n2,1\n", &nothing).unwrap_err(),
        "no pressure column was recognised; no time column was recognised; columns seen: \"foo\", \
         \"baz\" of 2"
    );
    assert_eq!(
        open("foo,pressure\n1,2\n2,1\n", &nothing).unwrap_err(),
        "no time column was recognised; the unit of pressure column \"pressure\" is not stated; \
         columns seen: \"foo\", \"pressure\" of 2"
    );
    let wrong = ImportOptions {
        time_column: Some("then".into()),
        pressure_column: Some("there".into()),
        ..ImportOptions::default()
    };
    let said = open("t,p_pa\n1,2\n", &wrong).unwrap_err();
    assert!(
        said.contains("\"then\"") && said.contains("\"there\""),
        "{said}"
    );
    // what the cells say is not asked for
    let said = open("foo,p\n1,2 mbar\n2,1 mbar\n", &nothing).unwrap_err();
    assert!(
        said.starts_with("no time column") && !said.contains("unit"),
        "{said}"
    );
}

#[test]
fn a_table_without_a_header_is_read_where_its_columns_can_only_be_one_thing() {
    let (times, notes) = open("0,900\n0.5,870\n1,860\n", &unit(PressureUnit::Pascal)).unwrap();
    assert_eq!(times, [0.0, 0.5, 1.0]);
    assert_eq!(
        notes[0],
        "the table names no columns: column 1 read as time, column 2 as pressure"
    );
    let stamped = "2026-03-14 09:15:00;900,5\n2026-03-14 09:15:02;870,1\n";
    let (times, _) = open(stamped, &unit(PressureUnit::Pascal)).unwrap();
    assert_eq!(times, [0.0, 2.0]);
    // the unit is never guessed
    let said = open("0,900\n0.5,870\n", &ImportOptions::default()).unwrap_err();
    assert!(
        said.starts_with("the unit of pressure column \"column 2\""),
        "{said}"
    );
    // in a hold both columns rise
    let said = open("0,900\n1,910\n", &unit(PressureUnit::Pascal)).unwrap_err();
    assert!(
        said.contains("no pressure") && said.contains("no time"),
        "{said}"
    );
    let named = ImportOptions {
        time_column: Some("1".into()),
        ..unit(PressureUnit::Pascal)
    };
    assert_eq!(open("0,900\n1,910\n", &named).unwrap().0, [0.0, 1.0]);
}

#[test]
fn minutes_and_seconds_are_read_where_something_says_so() {
    let table = |from: u32, to: u32| -> String {
        let rows = (from..to).map(|s| format!("{:02}:{:02},{}\n", s / 60, s % 60, 9_000 - s));
        format!("time,p_pa\n{}", rows.collect::<String>())
    };
    // an option
    let said = ImportOptions {
        two_part: Some(TwoPart::MinutesSeconds),
        ..ImportOptions::default()
    };
    let (times, _) = open(&table(0, 90), &said).unwrap();
    assert_eq!((times[0], times[89]), (0.0, 89.0));
    let hours = ImportOptions {
        two_part: Some(TwoPart::HoursMinutes),
        ..ImportOptions::default()
    };
    assert_eq!(open(&table(0, 90), &hours).unwrap().0[89], 89.0 * 60.0);
    // a time further down that no clock shows
    let (times, notes) = open(&table(0, 25 * 60 + 1), &ImportOptions::default()).unwrap();
    assert_eq!(times[25 * 60], 1_500.0);
    assert!(
        notes[0].starts_with("times read as minutes:seconds"),
        "{notes:?}"
    );
    // a fraction behind some of them
    let (times, _) = open(
        "time,p_pa\n00:01,9\n00:01.5,8\n00:02,7\n",
        &ImportOptions::default(),
    )
    .unwrap();
    assert_eq!(times, [0.0, 0.5, 1.0]);
    // the name, with and without brackets
    for name in ["time (mm:ss)", "Time mm:ss", "elapsed min:sec"] {
        let named = table(0, 90).replacen("time", name, 1);
        assert_eq!(
            open(&named, &ImportOptions::default()).unwrap().0[89],
            89.0,
            "{name}"
        );
    }
    // else it is asked back: as hours and minutes a hold would be sixty times as long
    let said = open(&table(0, 24 * 60), &ImportOptions::default()).unwrap_err();
    assert!(said.contains("minutes:seconds"), "{said}");
}

#[test]
fn weeks_of_iso_8601_are_dates() {
    // 2026-W11-7 is 2026-03-15 (date.fromisocalendar of the Python standard library)
    let table = "time,p_pa\n2026-W11-6T23:59:59Z,9\n2026-W11-7T00:00:01Z,8\n";
    assert_eq!(
        open(table, &ImportOptions::default()).unwrap().0,
        [0.0, 2.0]
    );
    let columns = "date,time,p_pa\n2026-W11-6,23:59:59,9\n2026-W11-7,00:00:01,8\n";
    assert_eq!(
        open(columns, &ImportOptions::default()).unwrap().0,
        [0.0, 2.0]
    );
}
