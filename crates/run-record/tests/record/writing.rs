use std::{
    env, fs, io,
    io::{BufRead, BufReader},
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use run_record::{Companion, RunHeader, RunWriter, Storage, is_being_recorded, verify};
use tempfile::TempDir;
use vacuum::{Entry, Mark, MarkKind, Reading};

use super::{
    assert_same, disk::SimDisk, entries, header, micron, read_all, record, stamp, started,
};

#[test]
fn a_taken_folder_name_gets_a_number_and_no_id_escapes() {
    let parent = TempDir::new().unwrap();
    for ending in ["", "-2", "-3"] {
        let folder = record(parent.path(), &entries());
        let name = format!("20260314T091500Z-INVENTED-7{ending}");
        assert_eq!(folder.file_name().unwrap().to_str(), Some(name.as_str()));
    }
    let mut header = header();
    header.job.id = "../../../outside".into();
    let writer = RunWriter::create(parent.path(), &header, started()).unwrap();
    assert_eq!(writer.folder().parent(), Some(parent.path()));
}

#[test]
fn a_folder_being_recorded_is_known_and_refused() {
    let parent = TempDir::new().unwrap();
    let writer = RunWriter::create(parent.path(), &header(), started()).unwrap();
    let folder = writer.folder().to_owned();
    assert!(is_being_recorded(&folder).unwrap());
    let second = run_record::FolderStorage::new(&folder)
        .create("trace.csv", b"")
        .unwrap_err();
    assert_eq!(second.kind(), io::ErrorKind::WouldBlock);
    writer.finish().unwrap();
    assert!(!is_being_recorded(&folder).unwrap());
    let second = run_record::FolderStorage::new(&folder)
        .create("trace.csv", b"")
        .unwrap_err();
    assert_eq!(second.kind(), io::ErrorKind::AlreadyExists);
}

#[test]
fn rows_reach_the_file_before_any_sync() {
    let parent = TempDir::new().unwrap();
    let mut writer = RunWriter::create(parent.path(), &header(), started()).unwrap();
    let wanted = entries();
    for entry in &wanted {
        writer.append(entry, stamp(entry)).unwrap();
    }
    let folder = writer.folder().to_owned();
    // a killed program runs no destructor
    std::mem::forget(writer);
    assert_same(&read_all(&folder).0, &wanted);
}

#[test]
fn a_row_is_on_disk_within_a_second() {
    let disk = SimDisk::default();
    let storage = Box::new(disk.clone());
    let folder = Path::new("invented-run");
    let mut writer = RunWriter::create_on(storage, folder, &header(), started()).unwrap();
    let before = disk.syncs();
    let entry = &entries()[3];
    let now = Instant::now();
    writer.append(entry, stamp(entry)).unwrap();
    assert_eq!((disk.syncs(), writer.rows_synced()), (before, 0));
    // by ticks alone
    writer.sync_if_due(now + Duration::from_millis(400));
    assert_eq!(disk.syncs(), before);
    writer.sync_if_due(now + Duration::from_millis(700));
    assert_eq!((disk.syncs(), writer.rows_synced()), (before + 1, 1));
    writer.sync_if_due(now + Duration::from_secs(9));
    assert_eq!(disk.syncs(), before + 1);
    // by rows alone
    writer.append(entry, stamp(entry)).unwrap();
    std::thread::sleep(Duration::from_millis(600));
    writer.append(entry, stamp(entry)).unwrap();
    assert_eq!((disk.syncs(), writer.rows_synced()), (before + 2, 3));
}

#[test]
fn late_marks_keep_their_order() {
    let parent = TempDir::new().unwrap();
    let mark = |elapsed_s| {
        Entry::Mark(Mark {
            elapsed_s,
            kind: MarkKind::PumpSideShut,
            note: String::new(),
        })
    };
    let folder = record(parent.path(), &[mark(5.0), mark(4.9), mark(f64::NAN)]);
    let times: Vec<f64> = read_all(&folder).0.iter().map(Entry::elapsed_s).collect();
    assert_eq!(times, [5.0, 5.0, 5.0]);
}

#[test]
fn an_over_long_note_is_refused_and_the_record_goes_on() {
    let parent = TempDir::new().unwrap();
    let mut writer = RunWriter::create(parent.path(), &header(), started()).unwrap();
    let note = Entry::Mark(Mark {
        elapsed_s: 1.0,
        kind: MarkKind::Note,
        note: "x".repeat(10_001),
    });
    let error = writer.append(&note, started()).unwrap_err();
    assert!(!error.is_storage(), "{error}");
    let entry = &entries()[3];
    writer.append(entry, stamp(entry)).unwrap();
    assert_eq!(writer.finish().unwrap().rows, 1);
}

/// Where the child of the next test records.
const CHILD_FOLDER: &str = "RUN_RECORD_TEST_CHILD_FOLDER";

/// The child: records as fast as it can, telling each row once it is appended.
#[test]
#[ignore = "a helper process of `a_killed_program_loses_no_row_it_had_appended`"]
fn child_that_records_until_killed() {
    let Some(parent) = env::var_os(CHILD_FOLDER) else {
        return;
    };
    let mut writer = RunWriter::create(Path::new(&parent), &header(), started()).unwrap();
    for i in 1..10_000_000 {
        let reading = Reading::measured(f64::from(i) * 0.001, micron(500.0 + f64::from(i % 9)));
        writer.append(&Entry::Reading(reading), started()).unwrap();
        // past the test harness's capture, straight to the pipe
        io::Write::write_all(&mut io::stdout(), format!("\nrow {i}\n").as_bytes()).unwrap();
    }
}

#[test]
fn a_killed_program_loses_no_row_it_had_appended() {
    for round in 0..25_u64 {
        let parent = TempDir::new().unwrap();
        let mut child = Command::new(env::current_exe().unwrap())
            .args(["--exact", "writing::child_that_records_until_killed"])
            .args(["--ignored", "--nocapture"])
            .env(CHILD_FOLDER, parent.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let row = |line: String| line.strip_prefix("row ").and_then(|n| n.parse().ok());
        let mut told: u64 = 0;
        let wanted = 3 + round * round * 7;
        for line in lines.by_ref().map_while(Result::ok) {
            told = row(line).unwrap_or(told);
            if told >= wanted {
                break;
            }
        }
        // SIGKILL, on Unix
        child.kill().unwrap();
        child.wait().unwrap();
        told = lines
            .map_while(Result::ok)
            .filter_map(row)
            .last()
            .unwrap_or(told);

        let run = fs::read_dir(parent.path())
            .unwrap()
            .next()
            .unwrap()
            .unwrap();
        let verified = verify(&run.path()).unwrap();
        assert!(verified.chain.is_intact(), "{verified}");
        assert!(
            told >= wanted && verified.rows >= told,
            "{} < {told}",
            verified.rows
        );
        assert!(
            !is_being_recorded(&run.path()).unwrap(),
            "the lock outlived the program"
        );
        assert_eq!(read_all(&run.path()).0.len() as u64, verified.rows);
    }
}

#[test]
fn gauges_beside_have_files_and_chains_of_their_own() {
    let parent = TempDir::new().unwrap();
    let companion = |name: &str| Companion {
        name: name.into(),
        place: "pump side".into(),
        ..Companion::default()
    };
    let mut header = header();
    header.beside = vec![companion("pump-side"), companion("../channel 2")];
    let mut writer = RunWriter::create(parent.path(), &header, started()).unwrap();
    let reading = |i: u32| Reading::measured(f64::from(i), micron(300.0 + f64::from(i)));
    for i in 0..5 {
        writer
            .append(&Entry::Reading(reading(i)), started())
            .unwrap();
        for index in 0..2 {
            writer.append_beside(index, &reading(i), started());
        }
    }
    let folder = writer.finish().unwrap().folder;
    let files = ["beside-pump-side.csv", "beside----channel-2.csv"].map(|f| folder.join(f));
    for file in &files {
        assert_eq!(read_all(file).0.len(), 5);
        let verified = verify(file).unwrap();
        assert!(verified.chain.is_intact(), "{verified}");
    }
    let found = RunHeader::read(&folder.join("job.toml")).unwrap().beside;
    assert_eq!(found, header.beside);
    // two gauges cannot change places
    fs::rename(&files[1], folder.join("kept")).unwrap();
    fs::rename(&files[0], &files[1]).unwrap();
    assert!(!verify(&files[1]).unwrap().chain.is_intact());
    fs::copy(&files[1], folder.join("trace.csv")).unwrap();
    assert!(!verify(&folder).unwrap().chain.is_intact());
}
