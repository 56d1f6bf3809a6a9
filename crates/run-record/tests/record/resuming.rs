//! Going on with a record after a restart.

use std::{fs, path::Path};

use chrono::Duration;
use run_record::{RecordError, RunWriter, verify};
use tempfile::TempDir;
use vacuum::{Entry, MarkKind, Reading, ReadingState};

use super::{entries, header, micron, read_all, record, stamp, started};

/// A run of the first seven entries, the last a minute after the start.
fn stopped(parent: &Path) -> std::path::PathBuf {
    record(parent, &entries()[..7])
}

fn refused(folder: &Path) -> RecordError {
    RunWriter::resume(folder, started() + Duration::hours(1)).unwrap_err()
}

#[test]
fn a_run_goes_on_with_the_gap_recorded() {
    let parent = TempDir::new().unwrap();
    let folder = stopped(parent.path());
    let old = fs::read(folder.join("trace.csv")).unwrap();
    let now = started() + Duration::seconds(60 + 12 * 60 + 5);
    let mut resumed = RunWriter::resume(&folder, now).unwrap();
    assert_eq!(resumed.elapsed_s, 785.0);
    assert_eq!(resumed.away, Some(Duration::seconds(725)));
    assert_eq!(resumed.header.job, header().job);
    let next = Entry::Reading(Reading::measured(786.0, micron(300.0)));
    resumed.writer.append(&next, stamp(&next)).unwrap();
    assert_eq!(resumed.writer.take_notice(std::time::Instant::now()), None);
    let finished = resumed.writer.finish().unwrap();
    assert_eq!(finished.rows, 10);
    assert_eq!(
        fs::read(folder.join("trace.csv")).unwrap(),
        old,
        "untouched"
    );
    let found = read_all(&folder).0;
    assert_eq!(found.len(), 10);
    assert!(matches!(found[7], Entry::Reading(r)
        if r.state() == ReadingState::Gap && r.elapsed_s == 60.0));
    let Entry::Mark(mark) = &found[8] else {
        panic!("{:?}", found[8])
    };
    assert_eq!((mark.kind, mark.elapsed_s), (MarkKind::Note, 785.0));
    assert_eq!(
        mark.note,
        "recording resumed after 12 min 5 s without readings; this stretch is timed by the \
         computer's clock"
    );
    assert!(verify(&folder).unwrap().is_sound());
    // and once more
    RunWriter::resume(&folder, now + Duration::hours(2)).unwrap();
    assert!(folder.join("trace.3.csv").is_file());
    assert_eq!(read_all(&folder).0.len(), 12);
}

#[test]
fn a_clock_that_is_behind_does_not_turn_time_back() {
    let parent = TempDir::new().unwrap();
    let folder = stopped(parent.path());
    let resumed = RunWriter::resume(&folder, started() - Duration::days(40)).unwrap();
    assert_eq!((resumed.elapsed_s, resumed.away), (60.0, None));
    drop(resumed);
    let found = read_all(&folder).0;
    assert!(matches!(&found[8], Entry::Mark(m)
        if m.elapsed_s == 60.0 && m.note.contains("clock is behind the last reading")));
}

#[test]
fn two_loggers_on_one_folder_are_refused() {
    let parent = TempDir::new().unwrap();
    let folder = stopped(parent.path());
    let first = RunWriter::resume(&folder, started() + Duration::hours(1)).unwrap();
    // the first writes trace.2.csv and still holds trace.csv
    let error = refused(&folder);
    assert!(error.is_locked(), "{error}");
    assert!(run_record::is_being_recorded(&folder).unwrap());
    drop(first);
    assert!(!run_record::is_being_recorded(&folder).unwrap());
    RunWriter::resume(&folder, started() + Duration::hours(1)).unwrap();
    // nor may a run that was never resumed be resumed while it is recorded
    let running = RunWriter::create(parent.path(), &header(), started()).unwrap();
    assert!(refused(running.folder()).is_locked());
}

#[test]
fn what_cannot_be_resumed_says_why() {
    let parent = TempDir::new().unwrap();
    let folder = stopped(parent.path());
    let says = |folder: &Path, words: &str| {
        let error = refused(folder).to_string();
        assert!(error.contains(words) && !error.contains('\n'), "{error}");
    };
    says(
        &folder.join("missing"),
        "missing: cannot be read: there is no such file or folder",
    );
    says(&folder.join("trace.csv"), "this is not a folder");
    says(parent.path(), "holds no trace.csv");
    let trace = folder.join("trace.csv");
    let text = fs::read_to_string(&trace).unwrap();
    fs::write(&trace, text.replace("18764", "18763")).unwrap();
    says(
        &folder,
        "this record cannot be resumed: row 5 of trace.csv does not fit the row before it",
    );
    fs::write(&trace, &text).unwrap();
    fs::write(folder.join("seal.json"), "{}").unwrap();
    says(&folder, "this record is sealed");
    fs::remove_file(folder.join("seal.json")).unwrap();
    fs::rename(folder.join("job.toml"), folder.join("kept")).unwrap();
    says(&folder, "job.toml: cannot be read");
    assert!(
        !folder.join("trace.2.csv").exists(),
        "a refusal changes nothing"
    );
}
