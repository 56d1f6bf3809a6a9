//! Somebody deletes, moves, replaces, cuts or writes into the files of a record while it
//! is being written, on a real disk.

use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use run_record::{
    Companion, DiskNotice, Disturbance, FinishedHold, RunHeader, RunWriter, is_being_recorded,
    verify,
};
use tempfile::TempDir;
use vacuum::{Entry, Reading, ReadingState};

use super::{assert_same, header, micron, read_all, stamp, started};

struct Bench {
    place: TempDir,
    writer: RunWriter,
    told: Vec<Entry>,
    now: Instant,
}

impl Bench {
    fn new() -> Self {
        Self::of(&header())
    }

    fn of(header: &RunHeader) -> Self {
        let place = tempfile::tempdir().unwrap();
        let writer = RunWriter::create(place.path(), header, started()).unwrap();
        let mut bench = Self {
            place,
            writer,
            told: Vec::new(),
            now: Instant::now(),
        };
        bench.read(50);
        bench.writer.sync().unwrap();
        // not synced yet
        bench.read(5);
        bench
    }

    fn read(&mut self, count: usize) {
        for _ in 0..count {
            let n = self.told.len() as f64;
            let entry = Entry::Reading(Reading::measured(n * 0.125, micron(500.0 + n)));
            self.writer.append(&entry, stamp(&entry)).unwrap();
            self.told.push(entry);
        }
    }

    /// The tick of the session some seconds on, and all that it has to tell.
    fn tick(&mut self) -> Vec<DiskNotice> {
        self.now += Duration::from_secs(10);
        let now = self.now;
        self.writer.sync_if_due(now);
        std::iter::from_fn(|| self.writer.take_notice(now)).collect()
    }

    fn run(&self) -> PathBuf {
        self.writer.folder().to_owned()
    }

    fn trace(&self) -> PathBuf {
        self.run().join("trace.csv")
    }

    /// Goes on, ends, and finds every row again.
    #[track_caller]
    fn assert_whole(mut self) -> TempDir {
        self.read(20);
        let run = self.writer.finish().unwrap().folder;
        assert_same(&read_all(&run).0, &self.told);
        let found = verify(&run).unwrap();
        assert!(found.chain.is_intact(), "{found}");
        self.place
    }
}

#[track_caller]
fn assert_gone(told: &[DiskNotice], wanted_into: Option<&str>) {
    let [DiskNotice::Disturbed { file, what, into }] = told else {
        panic!("{told:?}");
    };
    assert_eq!((file.as_str(), *what), ("trace.csv", Disturbance::Gone));
    assert_eq!(into.as_deref(), wanted_into);
    let words = told[0].to_string();
    assert!(words.contains("nothing is lost"), "{words}");
}

#[test]
fn a_file_that_is_deleted_is_written_again_whole() {
    let mut bench = Bench::new();
    for _ in 0..3 {
        fs::remove_file(bench.trace()).unwrap();
        bench.read(3);
        assert_gone(&bench.tick(), Some("trace.csv"));
        assert_eq!(bench.tick(), [], "once");
        assert!(is_being_recorded(&bench.run()).unwrap(), "locked again");
    }
    bench.assert_whole();
}

#[test]
fn a_file_that_another_one_replaces_goes_on_beside_it_with_all_its_rows() {
    let mut bench = Bench::new();
    // as an editor saves: another file under the name, with what it had read
    let old = fs::read(bench.trace()).unwrap();
    let other = bench.run().join("saved");
    fs::write(&other, &old[..old.len() / 2]).unwrap();
    fs::rename(&other, bench.trace()).unwrap();
    assert_gone(&bench.tick(), Some("trace.2.csv"));
    let kept = fs::read(bench.trace()).unwrap();
    assert_eq!(
        kept,
        &old[..old.len() / 2],
        "what others wrote is left alone"
    );
    bench.assert_whole();
}

#[test]
fn once_the_other_file_is_gone_the_record_stands_under_its_first_name() {
    let mut bench = Bench::new();
    fs::copy(bench.trace(), bench.run().join("saved")).unwrap();
    fs::rename(bench.run().join("saved"), bench.trace()).unwrap();
    assert_gone(&bench.tick(), Some("trace.2.csv"));
    bench.read(3);
    assert_eq!(bench.tick(), [], "others have the name");
    fs::remove_file(bench.trace()).unwrap();
    bench.read(3);
    assert_gone(&bench.tick(), Some("trace.csv"));
    assert!(!bench.run().join("trace.2.csv").exists());
    // a power cut now would leave a record that is found
    assert_same(&read_all(&bench.run()).0, &bench.told);
    let place = bench.assert_whole();
    drop(place);
}

#[test]
fn a_folder_that_is_deleted_or_moved_is_made_again_with_all_that_was_in_it() {
    for moved in [false, true] {
        let mut bench = Bench::new();
        let run = bench.run();
        let elsewhere = bench.place.path().join("elsewhere");
        match moved {
            true => fs::rename(&run, &elsewhere).unwrap(),
            false => fs::remove_dir_all(&run).unwrap(),
        }
        bench.read(3);
        assert_gone(&bench.tick(), Some("trace.csv"));
        assert!(run.join("job.toml").is_file());
        let place = bench.assert_whole();
        drop(place);
    }
}

#[test]
fn job_toml_alone_comes_back_too() {
    let mut bench = Bench::new();
    let job = bench.run().join("job.toml");
    let before = fs::read(&job).unwrap();
    fs::remove_file(&job).unwrap();
    bench.tick();
    assert_eq!(fs::read(&job).unwrap(), before);
    bench.assert_whole();
}

#[test]
fn an_earlier_part_and_another_gauge_are_looked_after_too() {
    let mut header = header();
    header.beside.push(Companion {
        name: "pump-side".into(),
        place: "pump side".into(),
        ..Companion::default()
    });
    let mut bench = Bench::of(&header);
    let saved = fs::read(bench.trace()).unwrap();
    fs::write(bench.run().join("x"), &saved).unwrap();
    fs::rename(bench.run().join("x"), bench.trace()).unwrap();
    bench.tick();
    // trace.2.csv is written now: the foreign trace.csv is nobody's here
    let reading = Reading::measured(1.0, micron(180.0));
    bench.writer.append_beside(0, &reading, started());
    let beside = bench.run().join("beside-pump-side.csv");
    fs::remove_file(&beside).unwrap();
    fs::remove_file(bench.run().join("trace.2.csv")).unwrap();
    let told = bench.tick();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(beside.is_file());
    bench.assert_whole();
}

/// Rows went on in `trace.2.csv`, which tells them all: a record without `trace.csv` is none.
#[test]
fn a_replaced_file_and_then_a_deleted_folder_leave_a_record() {
    let mut bench = Bench::new();
    let saved = fs::read(bench.trace()).unwrap();
    fs::write(bench.run().join("x"), &saved).unwrap();
    fs::rename(bench.run().join("x"), bench.trace()).unwrap();
    assert_gone(&bench.tick(), Some("trace.2.csv"));
    for _ in 0..2 {
        bench.read(3);
        fs::remove_dir_all(bench.run()).unwrap();
        bench.tick();
        assert!(bench.trace().is_file());
    }
    bench.assert_whole();
}

/// The other file had its name at first; then all of them are gone.
#[test]
fn an_earlier_part_that_was_replaced_comes_back_when_the_folder_is_deleted() {
    let mut bench = Bench::new();
    // cut within a row: recording goes on in the next part
    let length = fs::metadata(bench.trace()).unwrap().len();
    let file = fs::OpenOptions::new().append(true).open(bench.trace());
    file.unwrap().write_all(b"x").unwrap();
    assert_eq!(bench.tick().len(), 1);
    bench.read(5);
    bench.tick();
    let saved = fs::read(bench.trace()).unwrap()[..length as usize].to_vec();
    fs::write(bench.run().join("x"), saved).unwrap();
    fs::rename(bench.run().join("x"), bench.trace()).unwrap();
    assert_eq!(bench.tick().len(), 1);
    fs::remove_dir_all(bench.run()).unwrap();
    bench.tick();
    bench.tick();
    assert!(bench.trace().is_file());
    assert!(bench.run().join("trace.2.csv").is_file());
}

#[test]
fn a_file_that_is_cut_is_left_alone_and_what_is_missing_is_said() {
    for keep in [0, 100, 2_000] {
        let mut bench = Bench::new();
        let file = fs::OpenOptions::new().write(true).open(bench.trace());
        file.unwrap().set_len(keep).unwrap();
        let told = bench.tick();
        let [DiskNotice::Disturbed { what, into, .. }] = &told[..] else {
            panic!("{told:?}");
        };
        assert!(matches!(what, Disturbance::Cut { .. }) && into.is_none());
        assert!(told[0].to_string().contains("ROWS ARE MISSING"), "{told:?}");
        bench.read(20);
        let (all, told) = (bench.told.clone(), bench.told.len());
        let run = bench.writer.finish().unwrap().folder;
        let cut = fs::metadata(run.join("trace.csv")).unwrap().len();
        // but for the header row, without which nothing can be read
        assert_eq!(cut, keep.max(69), "nothing is written behind the cut");
        let found = verify(&run).unwrap();
        assert!(!found.chain.is_intact(), "{found}");
        // from the cut on every row is there, and can be read
        let rows = read_all(&run).0;
        assert!(rows.len() >= 25 && rows.len() < told, "{}", rows.len());
        assert_same(&rows[rows.len() - 25..], &all[told - 25..]);
    }
}

#[test]
fn what_another_program_writes_into_a_file_ends_that_file() {
    let mut bench = Bench::new();
    bench.writer.sync().unwrap();
    let file = fs::OpenOptions::new().append(true).open(bench.trace());
    file.unwrap().write_all(b"not a row\n").unwrap();
    let told = bench.tick();
    assert!(told[0].to_string().contains("wrote into trace.csv"));
    bench.read(20);
    let run = bench.writer.finish().unwrap().folder;
    assert_same(&read_all(&run).0, &bench.told);
    assert!(run.join("trace.2.csv").is_file());
}

/// No such folder can be made again: rows wait in memory, and are not said to be kept.
#[test]
#[cfg(unix)]
fn where_nothing_can_be_made_again_nothing_is_said_to_be_kept() {
    let mut bench = Bench::new();
    let (run, place) = (bench.run(), bench.place.path().to_owned());
    fs::remove_dir_all(&run).unwrap();
    // a file of that name is in the way
    fs::write(&run, "x").unwrap();
    let told = bench.tick();
    assert!(
        matches!(told[..], [DiskNotice::InMemory { .. }]),
        "{told:?}"
    );
    bench.read(3);
    assert!(bench.writer.sync().unwrap_err().is_storage());
    fs::remove_file(&run).unwrap();
    let told = bench.tick();
    assert!(
        told.iter()
            .any(|n| n.to_string().contains("nothing is lost"))
    );
    assert!(place.is_dir());
    bench.assert_whole();
}

#[test]
fn a_run_that_goes_on_after_a_restart_is_looked_after_too() {
    let mut bench = Bench::new();
    bench.writer.sync().unwrap();
    let run = bench.run();
    let Bench {
        place,
        writer,
        told,
        ..
    } = bench;
    drop(writer);
    let mut writer = RunWriter::resume(&run, started()).unwrap().writer;
    fs::remove_dir_all(&run).unwrap();
    writer.sync_if_due(Instant::now() + Duration::from_secs(10));
    let folder = writer.finish().unwrap().folder;
    let (found, _) = read_all(&folder);
    assert_same(&found[..told.len()], &told);
    let gap = |e: &Entry| matches!(e, Entry::Reading(r) if r.state() == ReadingState::Gap);
    assert!(found[told.len()..].iter().any(gap), "{found:?}");
    assert!(verify(&folder).unwrap().chain.is_intact());
    drop(place);
}

#[test]
fn a_run_is_held_for_deleting_only_when_nobody_records_it() {
    let bench = Bench::new();
    let run = bench.run();
    assert!(FinishedHold::take(&run).is_none(), "it is being recorded");
    let place = bench.assert_whole();
    let hold = FinishedHold::take(&run).expect("nobody records it");
    assert!(
        RunWriter::resume(&run, started()).unwrap_err().is_locked(),
        "nobody goes on with it meanwhile"
    );
    drop(hold);
    assert!(FinishedHold::take(Path::new("no such run")).is_none());
    drop(place);
}
