//! `verify` on records without a seal that somebody touched: status 12, naming
//! the row.

use std::path::{Path, PathBuf};

use crate::run::{Ran, dryhold, only_run, review, scratch};

/// A rehearsed run to tamper with, and its trace as lines.
struct Record {
    folder: PathBuf,
    lines: Vec<String>,
    _out: tempfile::TempDir,
}

impl Record {
    fn new() -> Self {
        let out = scratch();
        let path = out.path().to_string_lossy();
        let story = ["rehearse", "--scenario", "gross-leak", "--speed", "max"];
        dryhold(story.iter().chain(&["--no-seal", "--out", &path])).expect(0);
        let folder = only_run(out.path());
        let text = std::fs::read_to_string(folder.join("trace.csv")).expect("trace.csv");
        Self {
            folder,
            lines: text.lines().map(str::to_owned).collect(),
            _out: out,
        }
    }

    /// Verifies the record with these lines instead of its own. Row 1 is the header.
    fn verify(&self, lines: &[String]) -> Ran {
        let text = lines.join("\n") + "\n";
        std::fs::write(self.folder.join("trace.csv"), text).expect("written");
        verify(&self.folder)
    }

    #[track_caller]
    fn assert_altered(&self, lines: &[String], row: usize) {
        let ran = self.verify(lines).expect(12);
        let named = [format!("row {row} "), format!("row {row}:")];
        let is_named = named.iter().any(|n| ran.out.contains(n));
        assert!(is_named, "row {row} in {}", ran.out);
    }
}

fn verify(path: &Path) -> Ran {
    dryhold(["verify".as_ref(), path.as_os_str()])
}

#[test]
fn an_edited_row_is_named() {
    let record = Record::new();
    record.verify(&record.lines).expect(0);
    for row in [2, 3, 700, record.lines.len()] {
        let mut lines = record.lines.clone();
        let (text, link) = lines[row - 1].rsplit_once(',').expect("a link");
        let cells: Vec<&str> = text.split(',').collect();
        // another pressure, as someone who wants to pass would write it
        let edited = [cells[0], cells[1], cells[2], "123.4", "", "ok", "", ""].join(",");
        lines[row - 1] = format!("{edited},{link}");
        record.assert_altered(&lines, row);
    }
}

#[test]
fn a_changed_digit_of_a_link_is_named() {
    let record = Record::new();
    let mut lines = record.lines.clone();
    let digit = lines[99].pop().expect("a digit");
    lines[99].push(if digit == '0' { '1' } else { '0' });
    record.assert_altered(&lines, 100);
}

#[test]
fn dropped_inserted_and_swapped_rows_are_named() {
    let record = Record::new();
    let mut dropped = record.lines.clone();
    dropped.remove(499);
    record.assert_altered(&dropped, 500);
    let mut doubled = record.lines.clone();
    doubled.insert(500, doubled[499].clone());
    record.assert_altered(&doubled, 501);
    let mut swapped = record.lines.clone();
    swapped.swap(499, 500);
    record.assert_altered(&swapped, 500);
}

#[test]
fn a_changed_header_or_job_is_noticed() {
    let record = Record::new();
    let mut lines = record.lines.clone();
    lines[0] = lines[0].replace("micron", "pascal");
    record.assert_altered(&lines, 1);

    record.verify(&record.lines).expect(0);
    let job = record.folder.join("job.toml");
    let text = std::fs::read_to_string(&job).expect("job.toml");
    let kinder = text.replace("target_micron = 500", "target_micron = 5000");
    assert_ne!(text, kinder, "the criterion is in job.toml");
    std::fs::write(&job, kinder).expect("written");
    let ran = verify(&record.folder).expect(12);
    assert!(ran.out.contains("job.toml"), "{}", ran.out);
    std::fs::remove_file(&job).expect("removed");
    let ran = verify(&record.folder).expect(12);
    assert!(ran.out.contains("job.toml"), "{}", ran.out);
}

#[test]
fn rows_cut_off_the_end_are_said_to_be_invisible() {
    let record = Record::new();
    let cut = &record.lines[..record.lines.len() - 300];
    let ran = record.verify(cut).expect(0);
    // the chain cannot show it, so the words must not claim it
    assert!(ran.out.contains("rows cut off the very end"), "{}", ran.out);
}

#[test]
fn verify_changes_nothing() {
    let record = Record::new();
    let snapshot = || {
        let mut all: Vec<(PathBuf, Vec<u8>)> = crate::run::runs(&record.folder)
            .into_iter()
            .map(|p| (p.clone(), std::fs::read(p).expect("a file")))
            .collect();
        all.sort();
        all
    };
    let before = snapshot();
    verify(&record.folder).expect(0);
    verify(&record.folder.join("trace.csv")).expect(0);
    review(&record.folder, &[]).expect(10);
    assert!(before == snapshot());
}

#[test]
fn what_is_no_record_is_an_error_and_not_an_alteration() {
    let folder = scratch();
    let foreign = folder.path().join("foreign.csv");
    std::fs::write(&foreign, "elapsed_s,pressure_micron\n0,1\n").expect("written");
    for path in [folder.path(), &foreign, Path::new("/no/such/run")] {
        let ran = verify(path).expect(1);
        ran.complaint();
    }
}
