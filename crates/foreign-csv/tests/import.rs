//! Foreign CSV, however ugly: what is understood, and what is said of the rest.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{fs, path::PathBuf};

use foreign_csv::{ImportError, ImportOptions, ImportProblem, ImportSummary, TableReader};
use plain_file::Links;
use tempfile::TempDir;
use vacuum::{Entry, MarkKind, Pressure, PressureUnit, Reading, ReadingState, Sensed};

struct File {
    _folder: TempDir,
    path: PathBuf,
}

fn file(bytes: impl AsRef<[u8]>) -> File {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("invented.csv");
    fs::write(&path, bytes).unwrap();
    File {
        _folder: folder,
        path,
    }
}

fn read_with(
    bytes: impl AsRef<[u8]>,
    options: &ImportOptions,
) -> Result<(Vec<Entry>, ImportSummary), ImportError> {
    let file = file(bytes);
    let mut source = TableReader::open(&file.path, Links::Follow, options)?;
    let mut out = Vec::new();
    while let Some(entry) = source.next_entry()? {
        out.push(entry);
    }
    Ok((out, source.summary()))
}

fn read(bytes: impl AsRef<[u8]>) -> (Vec<Entry>, ImportSummary) {
    read_with(bytes, &ImportOptions::default()).unwrap()
}

fn readings(bytes: impl AsRef<[u8]>) -> Vec<Reading> {
    let only_readings = |e| match e {
        Entry::Reading(r) => Some(r),
        Entry::Mark(_) => None,
    };
    read(bytes)
        .0
        .into_iter()
        .filter_map(only_readings)
        .collect()
}

/// Time in s and pressure in micron, rounded as far as a gauge goes.
fn points(bytes: impl AsRef<[u8]>) -> Vec<(f64, f64)> {
    let round = |x: f64| (x * 1e3).round() / 1e3;
    readings(bytes)
        .iter()
        .map(|r| {
            let micron = r.pressure().map_or(f64::NAN, Pressure::micron);
            (round(r.elapsed_s), round(micron))
        })
        .collect()
}

/// The error's text without the folder, which must be one line.
fn error_with(bytes: impl AsRef<[u8]>, options: &ImportOptions) -> (String, bool) {
    let error = read_with(bytes, options).unwrap_err();
    let text = error.to_string();
    assert!(!text.contains('\n'), "{text}");
    let (_, text) = text.split_once("invented.csv: ").unwrap();
    (
        text.to_owned(),
        matches!(error.problem(), ImportProblem::Missing(_)),
    )
}

fn error(bytes: impl AsRef<[u8]>) -> String {
    error_with(bytes, &ImportOptions::default()).0
}

#[test]
fn three_headers_and_units_give_the_same_readings() {
    // factors: NIST SP 811 (2008) B.8, 1 micron of mercury = 0.133 322 4 Pa
    let wanted = [(0.0, 500.0), (30.0, 1000.0)];
    assert_eq!(
        points("elapsed_s,pressure_micron\n0,500\n30,1000\n"),
        wanted
    );
    assert_eq!(points("Time (min);P [Torr]\n0;0,5\n0,5;1\n"), wanted);
    let pascal = points(
        "timestamp,vacuum (Pa)\n2026-03-14T09:15:00Z,66.6612\n2026-03-14T09:15:30Z,133.3224\n",
    );
    assert_eq!(pascal[0], (0.0, 500.0));
    assert!((pascal[1].1 - 1000.0).abs() < 1e-2);
    assert_eq!(points("t_ms\tp (mTorr)\n0\t500\n30000\t1000\n"), wanted);
    assert_eq!(
        points("hours|microns\n0|500\n0.008333333333|1000\n"),
        wanted
    );
}

#[test]
fn encodings_and_line_ends() {
    let wanted = [(0.0, 500.0), (1.0, 499.0)];
    let text = "time (s),p (µm)\n0,500\n1,499\n";
    assert_eq!(points(text), wanted);
    assert_eq!(points(format!("\u{feff}{text}")), wanted);
    assert_eq!(points(text.replace('\n', "\r\n")), wanted);
    assert_eq!(points(text.replace('\n', "\r")), wanted);
    assert_eq!(points(text.trim_end()), wanted);
    assert_eq!(points(text.replace('\n', "\n\n")), wanted);
    let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
    assert_eq!(points(latin), wanted);
    let le: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(points([b"\xff\xfe", le.as_slice()].concat()), wanted);
    assert_eq!(points(&le), wanted);
    let be: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    assert_eq!(points([b"\xfe\xff", be.as_slice()].concat()), wanted);
}

#[test]
fn numbers_however_written() {
    let wanted = [(0.0, 18_764.0), (1.0, 500.5)];
    for text in [
        "t;p_micron\n0;18764\n1;500,5\n",
        "t;p_micron\n0;18.764,0\n1;500,5\n",
        "t,p_micron\n0,\"18,764\"\n1,\"500.5\"\n",
        "t,p_micron\n\"0\",\"18764\"\n\"1\",\"500,5\"\n",
        "t,p_micron\n0,1.8764e4\n1,5.005E+02\n",
        "t;p_micron\n0;18 764\n1;500.5\n",
        "t   p_micron\n0   18764\n1    500.5\n",
        "t,p\n0,18764 micron\n1,500.5 microns\n",
        "t,p\n0,18764 mTorr\n1,0.5005 Torr\n",
        "t,p,unit\n0,18764,micron\n1,0.5005,Torr\n",
        "Invented shop\nprinted 2026-03-14, 09:15\n\nt,p_micron\n0,18764\n1,500.5\n",
        "time;pressure\n(s);(micron)\n0;18764\n1;500,5\n",
    ] {
        assert_eq!(points(text), wanted, "{text}");
    }
}

#[test]
fn times_however_written() {
    let wanted = [(0.0, 500.0), (90.5, 499.0)];
    for text in [
        "timestamp,p_micron\n2026-03-14 09:15:00,500\n2026-03-14 09:16:30.5,499\n",
        "Date,Time,p_micron\n14/03/2026,09:15:00,500\n14/03/2026,09:16:30.500,499\n",
        "Date;Time;p_micron\n14.03.2026;09:15:00;500\n14.03.2026;09:16:30,5;499\n",
        "time,p_micron\n11:59:00 PM,500\n12:00:30.5 AM,499\n",
        "epoch,p_micron\n1773479700,500\n1773479790.5,499\n",
        "epoch_ms,p_micron\n1773479700000,500\n1773479790500,499\n",
        "utc,p_micron\n2026-03-14T09:15:00Z,500\n2026-03-14T10:16:30.5+01:00,499\n",
    ] {
        assert_eq!(points(text), wanted, "{text}");
    }
    let dated = "Date,Time,p_micron\n3/14/2026,23:59,500\n3/15/2026,00:00,499\n";
    assert_eq!(points(dated)[1].0, 60.0);
}

#[test]
fn the_start_is_known_only_with_a_zone() {
    let started = |text: &str| {
        let file = file(text);
        let mut source =
            TableReader::open(&file.path, Links::Follow, &ImportOptions::default()).unwrap();
        source.next_entry().unwrap();
        source.started_utc().map(|t| t.to_rfc3339())
    };
    let wanted = Some("2026-03-14T09:15:00+00:00".to_owned());
    assert_eq!(started("time,p_pa\n2026-03-14T10:15:00+01:00,5\n"), wanted);
    assert_eq!(started("utc,p_pa\n2026-03-14 09:15:00,5\n"), wanted);
    assert_eq!(started("epoch,p_pa\n1773479700,5\n"), wanted);
    assert_eq!(started("time,p_pa\n2026-03-14 09:15:00,5\n"), None);
    assert_eq!(started("time_s,p_pa\n0,5\n"), None);
}

#[test]
fn states_marks_notes_and_temperature_are_honoured() {
    let (entries, summary) = read(
        "elapsed_s,pressure_micron,temperature_c,state,mark,note\n\
         0,,21.5,over,,\n\
         1,25000,21.5,over,,\n\
         2,18000,,ok,valve_opened,\n\
         3,,,,Pump side shut,by hand\n\
         4,900,,fault,,\n\
         5,,,gap,,\n\
         6,500,,,checked hose,twice\n\
         7,500,,warm,,\n",
    );
    let states: Vec<String> = entries
        .iter()
        .map(|e| match e {
            Entry::Reading(r) => match r.sensed {
                Sensed::Over(Some(_)) => "over bound".into(),
                _ => r.state().word().to_owned(),
            },
            Entry::Mark(m) => format!("{}: {}", m.kind.code(), m.note),
        })
        .collect();
    assert_eq!(
        states,
        [
            "over",
            "over bound",
            "valve_opened: ",
            "ok",
            "pump_side_shut: by hand",
            "fault",
            "gap",
            "note: checked hose twice",
            "ok",
            "ok"
        ]
    );
    assert_eq!((summary.rows, summary.used, summary.rejected), (8, 8, 0));
    assert!(summary.notes.iter().any(|n| n.contains("\"warm\"")));
    let warm = readings("t,p_micron,Temp (F)\n0,500,68\n1,500,\n");
    assert_eq!(warm[0].temperature_c, Some(20.0));
    assert_eq!(warm[1].temperature_c, None);
}

#[test]
fn over_range_words_and_missing_values() {
    let (entries, summary) =
        read("t,p_micron\n0,OL\n1,>25000\n2,--\n3,\n4,NaN\n5,-3\n6,1e30\n7,<1\n8,err\n9,500\n");
    let states: Vec<ReadingState> = entries
        .iter()
        .map(|e| match e {
            Entry::Reading(r) => r.state(),
            Entry::Mark(_) => unreachable!("no marks here"),
        })
        .collect();
    use ReadingState::{Fault, Ok, Over, Under};
    assert_eq!(states, [Over, Over, Under, Fault, Ok]);
    assert_eq!((summary.rows, summary.used, summary.rejected), (10, 5, 5));
    let listed: Vec<(u64, &str)> = summary
        .rejected_rows
        .iter()
        .map(|r| (r.row, r.reason.as_str()))
        .collect();
    assert_eq!(listed[0], (4, "the pressure is missing"));
    assert_eq!(
        listed[3],
        (
            7,
            "pressure -3 micron is below zero, which no absolute pressure is"
        )
    );
    assert_eq!(listed[4].0, 8);
}

#[test]
fn held_labels_and_notes_count_once() {
    let (entries, _) = read(
        "t,p_micron,mark,note\n0,500,valve_opened,van 2\n1,400,valve_opened,van 2\n2,300,pump_side_shut,van 2\n3,310,pump_side_shut,van 2\n",
    );
    let marks: Vec<MarkKind> = entries
        .iter()
        .filter_map(|e| match e {
            Entry::Mark(m) => Some(m.kind),
            Entry::Reading(_) => None,
        })
        .collect();
    assert_eq!(marks, [MarkKind::ValveOpened, MarkKind::PumpSideShut]);
}

#[test]
fn repeated_headers_footers_and_short_rows_are_counted() {
    let (entries, summary) = read("t,p_micron\n0,500\nt,p_micron\n1,499\n,,\n3\nend of record,\n");
    assert_eq!(entries.len(), 2);
    assert_eq!((summary.rows, summary.rejected), (5, 3));
    let reasons: Vec<&str> = summary
        .rejected_rows
        .iter()
        .map(|r| r.reason.as_str())
        .collect();
    assert_eq!(
        reasons,
        [
            "the header row is repeated",
            "the pressure is missing",
            "the row has no time and no pressure"
        ]
    );
}

#[test]
fn how_it_was_read_is_said() {
    let (_, summary) = read("time,P (mbar)\n0,0.667\n");
    let column = summary.column_unit.unwrap();
    assert_eq!(
        column.to_string(),
        "pressure column \"P (mbar)\" read as mbar"
    );
    assert_eq!(column.unit.unit, PressureUnit::Millibar);
    assert_eq!(summary.notes, ["time column has no unit: read as seconds"]);
}

#[test]
fn units_are_asked_for_never_guessed() {
    let missing = "t,pressure\n0,500\n";
    let (text, usage) = error_with(missing, &ImportOptions::default());
    assert_eq!(
        text,
        "the unit of pressure column \"pressure\" is not stated"
    );
    assert!(usage);
    let options = ImportOptions {
        pressure_unit: Some(PressureUnit::Pascal),
        ..ImportOptions::default()
    };
    let (entries, _) = read_with(missing, &options).unwrap();
    assert!(matches!(&entries[0], Entry::Reading(r) if r.pressure().unwrap().pa() == 500.0));
    assert!(error("t,p\n0,500 micron\n1,499\n").starts_with("row 3: the unit"));
    for relative in [
        "t,vacuum (inHg)\n0,29.9\n",
        "t,p (psig)\n0,0\n",
        "t,p\n0,29.9 inHg vac\n",
        "t,p,unit\n0,29.9,inHg vacuum\n",
    ] {
        let text = error(relative);
        assert!(text.contains("0.01 inHg is already 254 micron"), "{text}");
    }
    for refused in [
        "inHg vac", "furlong", "psig", "psi", "bar", "inHg", "in", "kg/cm2", "",
    ] {
        assert!(
            foreign_csv::parse_pressure_unit(refused).is_err(),
            "{refused}"
        );
    }
    assert_eq!(
        foreign_csv::parse_pressure_unit("hPa"),
        Ok(PressureUnit::Millibar)
    );
}

#[test]
fn columns_can_be_named() {
    let two = "t,P near (mbar),P far (mbar)\n0,1,2\n";
    let (text, usage) = error_with(two, &ImportOptions::default());
    assert_eq!(
        text,
        "several columns could be the pressure: \"P near (mbar)\", \"P far (mbar)\""
    );
    assert!(usage);
    for name in ["P far (mbar)", "p FAR (mbar)", "3"] {
        let options = ImportOptions {
            pressure_column: Some(name.into()),
            ..ImportOptions::default()
        };
        let (entries, _) = read_with(two, &options).unwrap();
        assert!(
            matches!(&entries[0], Entry::Reading(r) if (r.pressure().unwrap().mbar() - 2.0).abs() < 1e-9)
        );
    }
    let wrong = ImportOptions {
        pressure_column: Some("P middle".into()),
        ..ImportOptions::default()
    };
    let (text, usage) = error_with(two, &wrong);
    assert!(text.starts_with("there is no column \"P middle\"; columns seen: \"t\""));
    assert!(usage);
    let both = ImportOptions {
        time_column: Some("1".into()),
        pressure_column: Some("2".into()),
        pressure_unit: Some(PressureUnit::Micron),
        ..ImportOptions::default()
    };
    let (entries, _) = read_with("0,500\n1,499\n", &both).unwrap();
    assert_eq!(entries.len(), 2);
}

#[test]
fn bad_input_gets_one_line_that_says_where_and_what_to_do() {
    assert!(error("").starts_with("the file is empty"));
    assert!(error("\n\n").starts_with("the file is empty"));
    assert!(error("elapsed_s,pressure_micron\n").starts_with("there is a header but no row"));
    assert!(error("elapsed_s,pressure_micron").starts_with("there is a header but no row"));
    assert!(error(b"\x7fELF\x01\x02\0\0\0\0\0").starts_with("this is not a text file"));
    assert!(error(b"PK\x03\x04\x14\0\x06\0").contains("spreadsheet workbook"));
    assert_eq!(
        error("t,p_micron\n0,500\n1,abc\n"),
        "1 of 2 rows (50 %) were not understood, too many to trust the rest; the first is row 3: \
         pressure \"abc\" is not a number. Correct or delete such rows"
    );
    let first = |text: &str| {
        let text = error(text);
        let (_, first) = text.split_once("the first is ").unwrap();
        first.split_once(". Correct").unwrap().0.to_owned()
    };
    assert_eq!(
        first("t,p_micron\n0,500\n\n\"1\nx\",499\n"),
        "row 4: a quotation mark is left open: it swallows what follows down to row 5"
    );
    assert_eq!(
        first("t,p_micron\r\n0,500\r\n1,5o0\r\n"),
        "row 3: pressure \"5o0\" is not a number"
    );
    assert_eq!(
        first("t,p_micron\n0,500\n1,512\nx,5\n"),
        "row 4: time \"x\" is not a time written like the others"
    );
    assert!(error("t,p_micron\n0,--\n1,\n").starts_with("none of the 2 rows can be used; row 2:"));
    assert!(error("t,foo\n0,1\n").starts_with("no pressure column was recognised"));
    assert!(error("foo,p_pa\n0,1\n").starts_with("no time column was recognised"));
    assert!(error("time,p_pa\n00:01,1\n").contains("minutes:seconds"));
    assert!(error("nothing here but prose\nand more of it\n").starts_with("no table"));
    let open = read("t,p_micron\n0,500\n1,500\n\"2,500\n").1;
    assert_eq!(open.rejected_rows[0].row, 4);
    let endless = format!("t,p_micron\n0,500\n1,\"{}", "5,\n".repeat(600_000));
    assert!(error(endless).starts_with("row 3: no end of this row within 1 MB"));
}

#[test]
fn unreadable_paths_are_said_in_plain_words() {
    let folder = TempDir::new().unwrap();
    let open = |path: &std::path::Path| {
        TableReader::open(path, Links::Follow, &ImportOptions::default())
            .unwrap_err()
            .to_string()
    };
    let missing = open(&folder.path().join("absent.csv"));
    assert!(missing.ends_with("cannot be read: there is no such file or folder"));
    assert!(open(folder.path()).ends_with("it is a folder, not a file"));
}

#[test]
fn equal_stamps_are_allowed_and_zeros_at_the_end_are_damage() {
    let (entries, summary) = read(b"t,p_micron\n0,500\n0,499\n1,\0\0\0\0\0");
    assert_eq!(entries.len(), 2);
    assert_eq!(summary.rejected_rows[0].reason, "the row is damaged");
}
