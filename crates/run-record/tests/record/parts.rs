use std::{fs, path::PathBuf};

use run_record::{
    BreakKind, ChainBreak, ChainStatus, ImportOptions, RunReader, Source, TornTail, verify,
};
use tempfile::TempDir;

use super::{assert_same, entries, read_all, record};

/// A record of twelve rows cut into three files as a failing disk leaves them.
struct Spread {
    folder: PathBuf,
    /// Header row first, each with its line end.
    rows: Vec<String>,
    _parent: TempDir,
}

impl Spread {
    fn new() -> Self {
        let parent = TempDir::new().unwrap();
        let folder = record(parent.path(), &entries());
        let text = fs::read_to_string(folder.join("trace.csv")).unwrap();
        let spread = Self {
            folder,
            rows: text.split_inclusive('\n').map(str::to_owned).collect(),
            _parent: parent,
        };
        // rows 6 and 7 were not known to be on disk when row 8 tore
        let torn = spread.part(1..=7) + &spread.rows[8][..20];
        spread.put("trace.csv", &torn);
        spread.put("trace.2.csv", &spread.part(6..=10));
        spread.put("trace.3.csv", &spread.part(11..=12));
        spread
    }

    fn part(&self, rows: std::ops::RangeInclusive<usize>) -> String {
        self.rows[0].clone() + &self.rows[rows].concat()
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.folder.join(name), text).unwrap();
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.folder.join(name)).unwrap()
    }

    fn broken(&self) -> ChainBreak {
        match verify(&self.folder).unwrap().chain {
            ChainStatus::Broken(b) => b,
            other => panic!("{other}"),
        }
    }
}

fn break_at(file: &str, row: u64, kind: BreakKind) -> ChainBreak {
    let file = file.into();
    ChainBreak { file, row, kind }
}

#[test]
fn a_record_in_three_files_is_read_as_one() {
    let spread = Spread::new();
    for path in ["", "trace.csv", "trace.2.csv", "trace.3.csv"] {
        let (found, source) = read_all(&spread.folder.join(path));
        assert_same(&found, &entries());
        let summary = source.summary();
        assert_eq!((summary.rows, summary.rejected), (12, 0));
        assert_eq!(summary.torn_tail, None, "what tore was told again");
        let note = "the record is spread over trace.csv, trace.2.csv, trace.3.csv, read as one: \
                    recording had to go on in a fresh file";
        assert_eq!(summary.notes, [note]);
    }
    let verified = verify(&spread.folder).unwrap();
    assert!(verified.is_sound(), "{verified}");
    assert_eq!(verified.rows, 12);

    let mut reader = RunReader::open(&spread.folder, true).unwrap();
    while reader.next_entry().unwrap().is_some() {}
    let [first, second, third] = reader.parts() else {
        panic!("three parts")
    };
    let file = "trace.csv".to_owned();
    let (row, bytes) = (9, 20);
    assert_eq!(first.torn, Some(TornTail { file, row, bytes }));
    assert_eq!((first.rows, first.told_again), (5, 2));
    assert_eq!((second.rows, second.told_again), (5, 0));
    assert_eq!((third.rows, &third.torn), (2, &None));
}

#[test]
fn the_last_file_may_end_torn() {
    let spread = Spread::new();
    let part = spread.part(11..=12);
    spread.put("trace.3.csv", &part[..part.len() - 9]);
    let (found, source) = read_all(&spread.folder);
    assert_same(&found, &entries()[..11]);
    let torn = source.summary().torn_tail.unwrap();
    assert_eq!((torn.file.as_str(), torn.row), ("trace.3.csv", 3));
    assert!(torn.to_string().contains("row 3 of trace.3.csv"), "{torn}");
    assert!(verify(&spread.folder).unwrap().chain.is_intact());
}

#[test]
fn an_edit_in_any_file_is_named_with_its_file() {
    let spread = Spread::new();
    for (file, row) in [("trace.csv", 5), ("trace.2.csv", 5), ("trace.3.csv", 2)] {
        let text = spread.text(file);
        let mut rows: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
        rows[row - 1] = rows[row - 1].replacen("2026", "2025", 1);
        spread.put(file, &rows.concat());
        let found = spread.broken();
        assert_eq!(found, break_at(file, row as u64, BreakKind::Changed));
        assert!(found.to_string().contains(file), "{found}");
        spread.put(file, &text);
    }
    spread.put("trace.2.csv", &spread.part(6..=10).replace("seq", "Seq"));
    assert_eq!(
        spread.broken(),
        break_at("trace.2.csv", 1, BreakKind::Header)
    );
    spread.put("trace.2.csv", &spread.part(7..=10));
    assert_same(&read_all(&spread.folder).0, &entries());
    // without the second file, rows are missing before the third
    fs::remove_file(spread.folder.join("trace.2.csv")).unwrap();
    let missing = BreakKind::Dropped { missing: 3 };
    assert_eq!(spread.broken(), break_at("trace.3.csv", 2, missing));
}

#[test]
fn every_one_byte_edit_of_rows_that_count_is_caught() {
    let spread = Spread::new();
    let counted = spread.part(1..=5).len();
    for file in ["trace.csv", "trace.2.csv", "trace.3.csv"] {
        let whole = fs::read(spread.folder.join(file)).unwrap();
        for at in 0..whole.len() {
            for flip in [0x01, 0x80] {
                let mut edited = whole.clone();
                edited[at] ^= flip;
                fs::write(spread.folder.join(file), &edited).unwrap();
                let sound = verify(&spread.folder).is_ok_and(|v| v.is_sound());
                // what an older file says beyond that counts for nothing
                let counts = file != "trace.csv" || at < counted;
                assert!(!counts || !sound, "{file} byte {at} ^ {flip:#x}");
                if sound {
                    assert_same(&read_all(&spread.folder).0, &entries());
                }
            }
        }
        fs::write(spread.folder.join(file), &whole).unwrap();
    }
}

#[test]
fn two_histories_under_the_same_numbers_are_told() {
    let spread = Spread::new();
    // another recording of the same job: its rows follow from one another
    let other = TempDir::new().unwrap();
    let mut told = entries();
    told[5] = told[4].clone();
    let forged = record(other.path(), &told);
    let text = fs::read_to_string(forged.join("trace.csv")).unwrap();
    let rows: Vec<&str> = text.split_inclusive('\n').collect();
    spread.put("trace.2.csv", &(rows[0].to_owned() + &rows[6..].concat()));
    fs::remove_file(spread.folder.join("trace.3.csv")).unwrap();
    // row 3 of the second file is seq 7, the last the first file tells as well
    assert_eq!(
        spread.broken(),
        break_at("trace.2.csv", 3, BreakKind::Differs)
    );
    // and a superseded row that was edited shows where it is
    let spread = Spread::new();
    spread.put(
        "trace.csv",
        &spread.part(1..=7).replacen("\n7,60", "\n7,61", 1),
    );
    assert_eq!(
        spread.broken(),
        break_at("trace.csv", 8, BreakKind::Changed)
    );
}

#[test]
fn rows_a_power_cut_kept_behind_a_hole_belong_to_the_torn_tail() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    let whole = fs::read(&trace).unwrap();
    let ends: Vec<usize> = (0..whole.len()).filter(|i| whole[*i] == b'\n').collect();
    // rows 8 and 9 (seq) are zeros, 10 was written; 11 is an hour later
    let mut cut = whole[..=ends[10]].to_vec();
    cut[ends[7] + 30..ends[9]].fill(0);
    fs::write(&trace, &cut).unwrap();
    let (found, source) = read_all(&folder);
    assert_same(&found, &entries()[..7]);
    let torn = source.summary().torn_tail.unwrap();
    assert_eq!(
        (torn.row, torn.bytes),
        (9, (cut.len() - ends[7] - 1) as u64)
    );
    assert!(verify(&folder).unwrap().chain.is_intact());
    // the same hole with an hour of rows behind it is damage, and said to be
    let mut holed = whole;
    holed[ends[7] + 30..ends[9]].fill(0);
    fs::write(&trace, &holed).unwrap();
    let mut source = Source::open(&folder, &ImportOptions::default()).unwrap();
    let mut rows = 0;
    while source.next_entry().unwrap().is_some() {
        rows += 1;
    }
    // both rows are one line: the line end between them is gone
    assert_eq!((rows, source.summary().rejected), (10, 1));
    assert!(!verify(&folder).unwrap().chain.is_intact());
}

#[test]
fn a_newer_format_is_refused_and_older_ones_are_read() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let job = folder.join("job.toml");
    let text = fs::read_to_string(&job).unwrap();
    assert!(text.starts_with("format = 2\n"), "{text}");
    fs::write(&job, text.replace("format = 2", "format = 3")).unwrap();
    let error = Source::open(&folder, &ImportOptions::default()).unwrap_err();
    assert!(error.is_newer());
    assert!(
        error.to_string().ends_with(
            "job.toml: a newer version of this program recorded this (format 3; this version \
             reads up to 2): read it with the newer version"
        ),
        "{error}"
    );
    for older in ["format = 1\n", ""] {
        fs::write(&job, text.replace("format = 2\n", older)).unwrap();
        assert_same(&read_all(&folder).0, &entries());
    }
}
