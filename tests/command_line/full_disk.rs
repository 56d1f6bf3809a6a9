//! A disk that fills up while recording: a small one in memory, mounted for the
//! test. Needs root; skipped with a reason otherwise.

use std::{
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Duration,
};

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    parts::measured_in,
    run::{Ran, command, dryhold, only_run, review, scratch},
};

/// A small disk that goes when the test ends.
pub(crate) struct SmallDisk(pub(crate) PathBuf);

impl SmallDisk {
    pub(crate) fn mount(at: &Path, options: &str) -> Option<Self> {
        std::fs::create_dir(at).expect("a mount point");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", options, "tmpfs"])
            .arg(at)
            .stderr(Stdio::null())
            .status();
        if mounted.is_ok_and(|status| status.success()) {
            return Some(Self(at.to_owned()));
        }
        skipped_tests::skip("only root may mount a small disk to fill");
        None
    }

    fn filler(&self) -> PathBuf {
        self.0.join("filler")
    }

    /// Takes so much of it, with a file of this name.
    pub(crate) fn take(&self, name: &str, bytes: usize) {
        std::fs::write(self.0.join(name), vec![0; bytes]).expect("room for it");
    }

    /// Leaves no byte free.
    fn fill(&self) {
        use std::io::Write;
        let mut filler = std::fs::File::create(self.filler()).expect("a file");
        while filler.write_all(&[0; 512]).is_ok() {}
    }

    fn free(&self) {
        std::fs::remove_file(self.filler()).expect("room again");
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

fn say(gauge: &mut Gauge, values: std::ops::Range<u32>) {
    for value in values {
        gauge.say_micron(f64::from(value));
        std::thread::sleep(Duration::from_millis(2));
    }
    gauge.drain();
}

fn values(count: u32) -> Vec<f64> {
    (0..count).map(f64::from).collect()
}

fn assert_whole(run: &Path, count: u32) {
    assert_eq!(measured_in(run), values(count));
    let verified = dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    assert!(!verified.out.contains("ALTERED"), "{}", verified.out);
    assert!(!verified.out.contains("cut off while"), "{}", verified.out);
    let findings = review(run, &[]).expect(11).json();
    assert_eq!(findings["data"]["rows"], count);
}

/// Records 200 readings, fills the disk, and says 300 more, which find no room.
fn until_full(gauge: &mut Gauge, logger: &Logger, disk: &SmallDisk) {
    gauge.await_reader();
    say(gauge, 0..200);
    logger.wait_for_rows(200);
    disk.fill();
    // more than the last page of the file still takes
    say(gauge, 200..500);
    logger.wait_for("rows are kept in memory");
}

/// Fills the disk while recording and frees it later; gives how many readings were
/// said and how many are in the record, or nothing without the right to mount.
pub(crate) fn fill_and_free() -> Option<[usize; 2]> {
    let folder = scratch();
    let disk = SmallDisk::mount(&folder.path().join("disk"), "size=256k")?;
    let out = disk.0.join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    until_full(&mut gauge, &logger, &disk);
    logger.wait_for("the disk is full; free some space");
    say(&mut gauge, 500..600);
    let run = only_run(&out);
    assert!(measured_in(&run).len() < 500, "the disk was not full");
    disk.free();
    logger.wait_for("the disk takes rows again");
    say(&mut gauge, 600..700);
    wait_until("all rows", || measured_in(&run).len() == 700);
    logger.interrupted().expect(0);
    assert!(run.join("trace.2.csv").is_file());
    assert_whole(&run, 700);
    Some([700, measured_in(&run).len()])
}

#[test]
fn a_full_disk_costs_no_reading() {
    if let Some([said, kept]) = fill_and_free() {
        assert_eq!(said, kept);
    }
}

#[test]
fn stopped_on_a_full_disk_the_last_rows_are_kept_elsewhere() {
    let folder = scratch();
    let Some(disk) = SmallDisk::mount(&folder.path().join("disk"), "size=256k") else {
        return;
    };
    let out = disk.0.join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    until_full(&mut gauge, &logger, &disk);
    let run = only_run(&out);
    let ran = logger.interrupted();
    let (_, rest) = ran
        .err
        .split_once("rows are kept in ")
        .expect("where they are");
    let kept = PathBuf::from(rest.split_once(" instead").expect("a folder").0);
    assert!(rest.contains(&format!(
        "copy trace.2.csv from there into {}",
        run.display()
    )));
    assert!(kept.join("trace.2.csv").is_file(), "{}", kept.display());
    disk.free();
    // as the message says
    std::fs::copy(kept.join("trace.2.csv"), run.join("trace.2.csv")).expect("put back");
    std::fs::remove_dir_all(&kept).expect("cleared away");
    assert_whole(&run, 500);
}

#[test]
fn nothing_is_given_up_before_a_second_ctrl_c() {
    let folder = scratch();
    let Some(disk) = SmallDisk::mount(&folder.path().join("disk"), "size=256k") else {
        return;
    };
    let out = disk.0.join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let below = out.to_string_lossy();
    let dialect = ["--dialect", "number-unit-line", "--out", &below];
    let log = [&["log", "--port", &port], &dialect[..]].concat();
    // temporary folder and home are on the full disk as well
    let places = [("TMPDIR", disk.0.as_path()), ("HOME", disk.0.as_path())];
    let start = || Logger::start_where(&out, &log, &places);
    let mut logger = start();
    until_full(&mut gauge, &logger, &disk);
    logger.interrupt();
    std::thread::sleep(Duration::from_secs(1));
    disk.free();
    // it has waited for room
    let ran = logger.ended().expect(0);
    assert!(
        ran.err.contains("could not be kept anywhere"),
        "{}",
        ran.err
    );
    assert!(
        ran.out
            .contains("The disk takes rows again: the record is whole.")
    );
    let run = only_run(&out);
    assert_whole(&run, 500);
    let left = std::fs::read_dir(&disk.0).expect("the disk").count();
    assert_eq!(left, 1, "a rescue that failed leaves nothing");

    std::fs::remove_dir_all(&out).expect("a fresh start");
    let mut logger = start();
    until_full(&mut gauge, &logger, &disk);
    logger.interrupt();
    std::thread::sleep(Duration::from_secs(1));
    let ran = logger.interrupted().expect(1);
    assert!(ran.err.contains("given up: the last "), "{}", ran.err);
    let run = only_run(&out);
    let verified = dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    assert!(!verified.out.contains("ALTERED"), "{}", verified.out);
}

#[test]
fn a_place_that_cannot_be_written_is_one_clear_line() {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let refused = |out: &Path, words: &str| {
        let log = ["log", "--port", &port, "--dialect", "number-unit-line"];
        let out = out.to_string_lossy();
        let ran = dryhold(log.iter().chain(&["--out", &out])).expect(1);
        let complaint = ran.complaint();
        assert!(
            complaint.contains(words) && complaint.contains(&*out),
            "{complaint}"
        );
    };
    let file = folder.path().join("a-file");
    std::fs::write(&file, "x").expect("a file");
    refused(&file, "a part of this path is a file, not a folder");
    refused(
        &file.join("deeper"),
        "a part of this path is a file, not a folder",
    );
    gauge.unplug();
}

/// Recording where nothing may be written: one line that says so, and nothing left
/// behind. Gives the lines; none without the right to mount.
pub(crate) fn refusals_on_a_read_only_disk() -> Vec<String> {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let Some(disk) = SmallDisk::mount(&folder.path().join("locked"), "ro,size=64k") else {
        return Vec::new();
    };
    let temporary = folder.path().join("temporary");
    std::fs::create_dir(&temporary).expect("a folder");
    let refusal = |out: &Path| {
        let output = command()
            .args(["log", "--port", &port, "--dialect", "number-unit-line"])
            .arg("--out")
            .arg(out)
            .env("TMPDIR", &temporary)
            .stdin(Stdio::null())
            .output()
            .expect("the binary starts");
        let line = Ran::of(&output).expect(1).complaint().to_owned();
        assert!(line.contains("the disk is read-only"), "{line}");
        assert!(line.contains(&*out.to_string_lossy()), "{line}");
        line
    };
    let lines = vec![refusal(&disk.0), refusal(&disk.0.join("deeper"))];
    for left in [&disk.0, &temporary] {
        let count = std::fs::read_dir(left).expect("a folder").count();
        assert_eq!(count, 0, "left behind in {}", left.display());
    }
    gauge.unplug();
    lines
}

#[test]
fn a_read_only_disk_is_one_clear_line() {
    // as root, a folder without the right to write is none
    refusals_on_a_read_only_disk();
}
