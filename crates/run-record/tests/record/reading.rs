use std::fs;

use run_record::{ChainStatus, ImportOptions, RunHeader, Source, verify};
use tempfile::TempDir;
use vacuum::{Entry, Mark, MarkKind};

use super::{assert_same, entries, header, read_all, record, started};

#[test]
fn what_was_written_is_read_back() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    assert!(folder.ends_with("20260314T091500Z-INVENTED-7"));
    for path in [folder.clone(), folder.join("trace.csv")] {
        let (found, source) = read_all(&path);
        assert_same(&found, &entries());
        let wanted = RunHeader {
            started: Some(started()),
            ..header()
        };
        assert_eq!(source.header(), Some(&wanted));
        assert_eq!(source.started_utc(), Some(started()));
        let summary = source.summary();
        assert_eq!((summary.rows, summary.used, summary.rejected), (12, 12, 0));
        assert_eq!(summary.chain, ChainStatus::Intact { rows: 12 });
        assert_eq!(summary.notes, Vec::<String>::new());
    }
    assert!(verify(&folder).unwrap().is_sound());
}

#[test]
fn the_file_is_what_the_design_says() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries()[..6]);
    let text = fs::read_to_string(folder.join("trace.csv")).unwrap();
    let rows: Vec<&str> = text
        .lines()
        .map(|l| l.rsplit_once(',').unwrap().0)
        .collect();
    assert_eq!(
        rows,
        [
            "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note",
            "1,0.000,2026-03-14T09:15:00.000Z,,21.0625,over,,",
            "2,0.000,2026-03-14T09:15:00.000Z,,,,valve_opened,",
            "3,0.100,2026-03-14T09:15:00.100Z,25000,,over,,",
            "4,0.200,2026-03-14T09:15:00.200Z,18764,-3.5,ok,,",
            "5,0.300,2026-03-14T09:15:00.300Z,512.345,,ok,,",
            "6,0.350,2026-03-14T09:15:00.350Z,,,,note,\"'=1+1, \"\"quoted\"\"\\nsecond line; ünïcode\"",
        ]
    );
}

#[test]
fn a_missing_job_is_said_and_the_rows_still_read() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    fs::remove_file(folder.join("job.toml")).unwrap();
    let (found, source) = read_all(&folder);
    assert_same(&found, &entries());
    assert_eq!(source.header(), None);
    assert_eq!(source.started_utc(), Some(started()));
    let text = verify(&folder).unwrap().to_string();
    assert!(text.contains("there is no job.toml"), "{text}");
}

#[test]
fn unknown_keys_and_marks_of_later_versions_are_tolerated() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let job = folder.join("job.toml");
    let text = fs::read_to_string(&job).unwrap();
    fs::write(&job, format!("later = 1\n{text}\n[later_table]\nx = 2\n")).unwrap();
    let mut trace = fs::read_to_string(folder.join("trace.csv")).unwrap();
    trace.push_str("13,36001.000,2026-03-14T19:15:01.000Z,,,,later_mark,kept,0123456789abcdef\n");
    fs::write(folder.join("trace.csv"), trace).unwrap();
    let (found, source) = read_all(&folder);
    assert_eq!(source.header().unwrap().job.id, "INVENTED-7");
    assert!(matches!(
        found.last(),
        Some(Entry::Mark(Mark { kind: MarkKind::Note, note, .. })) if note == "later_mark kept"
    ));
}

/// Row 5 (the fourth entry) after its pressure or time was replaced by text.
fn error_after(edit: impl FnOnce(String) -> String) -> String {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    fs::write(&trace, edit(fs::read_to_string(&trace).unwrap())).unwrap();
    let mut source = Source::open(&folder, &ImportOptions::default()).unwrap();
    loop {
        match source.next_entry() {
            Ok(Some(_)) => {}
            Ok(None) => panic!("the edit was not noticed"),
            Err(e) => return e.to_string(),
        }
    }
}

#[test]
fn text_for_numbers_and_backward_times_are_errors_here_too() {
    let text = error_after(|t| t.replace("18764", "abc"));
    let wanted = "trace.csv: row 5: pressure \"abc\" is not a number: correct or delete this row";
    assert!(text.ends_with(wanted), "{text}");
    let text = error_after(|t| t.replace("4,0.200", "4,x"));
    assert!(text.contains("row 5: time \"x\" is not a number"), "{text}");
    let text = error_after(|t| t.replace("4,0.200", "4,0.050"));
    assert!(text.contains("row 5: the time goes backwards"), "{text}");
    let text = error_after(|t| t.lines().next().unwrap().to_owned() + "\n");
    assert!(text.contains("nothing was recorded"), "{text}");
}

#[test]
fn damaged_rows_in_the_middle_are_counted_and_the_rest_is_read() {
    let parent = TempDir::new().unwrap();
    let folder = record(parent.path(), &entries());
    let trace = folder.join("trace.csv");
    let text = fs::read_to_string(&trace).unwrap();
    fs::write(&trace, text.replace("18764,-3.5", "18\0\0\0,-3.5")).unwrap();
    let (found, source) = read_all(&folder);
    assert_eq!(found.len(), entries().len() - 1);
    let summary = source.summary();
    assert_eq!((summary.rows, summary.rejected), (12, 1));
    assert_eq!(summary.rejected_rows[0].row, 5);
    assert_eq!(summary.torn_tail, None);
}

#[test]
fn a_folder_without_a_trace_is_no_run() {
    let folder = TempDir::new().unwrap();
    let error = Source::open(folder.path(), &ImportOptions::default()).unwrap_err();
    assert!(error.to_string().contains("holds no trace.csv"), "{error}");
}
