//! A disk that fails or fills up while recording.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use run_record::{DiskHealth, DiskNotice, RunWriter, verify};
use tempfile::TempDir;
use vacuum::{Entry, Mark, MarkKind, Reading, ReadingState};

use super::{
    assert_same,
    disk::{SimDisk, Step, Tail},
    header, micron, read_all, stamp, started,
};

struct Bench {
    disk: SimDisk,
    writer: RunWriter,
    told: Vec<Entry>,
    began: Instant,
}

impl Bench {
    fn new() -> Self {
        let disk = SimDisk::default();
        let storage = Box::new(disk.clone());
        let folder = Path::new("runs/invented-run");
        let writer = RunWriter::create_on(storage, folder, &header(), started()).unwrap();
        Self {
            disk,
            writer,
            told: Vec::new(),
            began: Instant::now(),
        }
    }

    fn read(&mut self, count: usize) {
        for _ in 0..count {
            let n = self.told.len() as f64;
            let entry = Entry::Reading(Reading::measured(n * 0.125, micron(500.0 + n)));
            self.writer.append(&entry, stamp(&entry)).unwrap();
            self.told.push(entry);
        }
    }

    /// The tick of the session, `s` after the beginning, and what it has to tell.
    fn tick(&mut self, s: u64) -> Option<DiskNotice> {
        let now = self.began + Duration::from_secs(s);
        self.writer.sync_if_due(now);
        self.writer.take_notice(now)
    }

    fn assert_all_is_found(&self, tail: Tail) {
        let folder = self.disk.after_crash(tail);
        assert_same(&read_all(folder.path()).0, &self.told);
        assert!(verify(folder.path()).unwrap().chain.is_intact());
        assert!(!self.disk.image().wrote_on_failed);
    }
}

#[test]
fn a_failed_file_is_left_alone_and_a_fresh_one_goes_on() {
    for step in [Step::Appended, Step::Synced] {
        let mut bench = Bench::new();
        bench.read(5);
        bench.writer.sync().unwrap();
        assert_eq!(bench.writer.health(), DiskHealth::Fine);
        assert_eq!(bench.tick(0), None);
        bench.read(2);
        bench.disk.image().fails = Some(step);
        bench.read(1);
        let _ = bench.tick(1);
        let left = bench.disk.live("trace.csv");
        bench.read(4);
        bench.writer.sync().unwrap();
        assert_eq!(bench.disk.live("trace.csv"), left);
        let health = DiskHealth::Continued {
            file: "trace.2.csv".into(),
            why: "invented failure".into(),
        };
        assert_eq!(bench.writer.health(), health);
        // the fresh file begins with the rows the old one did not sync
        let fresh = String::from_utf8(bench.disk.live("trace.2.csv")).unwrap();
        let seqs: Vec<&str> = fresh
            .lines()
            .skip(1)
            .map(|l| l.split(',').next().unwrap())
            .collect();
        assert_eq!(seqs, ["6", "7", "8", "9", "10", "11", "12"]);
        bench.assert_all_is_found(Tail::Lost);
    }
}

#[test]
fn a_failure_is_told_once_in_plain_words() {
    let mut bench = Bench::new();
    bench.read(5);
    bench.disk.image().fails = Some(Step::Appended);
    bench.read(1);
    let notice = bench.tick(0).unwrap();
    assert_eq!(
        notice.to_string(),
        "trace.csv could not be written on: invented failure. Recording goes on in trace.2.csv \
         beside it; nothing is lost. If this happens again, change the disk"
    );
    assert_eq!(bench.tick(20), None);
    bench.disk.image().fails = Some(Step::Synced);
    bench.read(1);
    let notice = bench.tick(30).unwrap();
    let named = matches!(&notice, DiskNotice::Continued { failed, file, .. }
        if failed == "trace.2.csv" && file == "trace.3.csv");
    assert!(named, "{notice:?}");
}

#[test]
fn a_full_disk_keeps_rows_in_memory_until_there_is_room() {
    let mut bench = Bench::new();
    bench.read(5);
    bench.writer.sync().unwrap();
    bench.disk.image().room = Some(30);
    bench.read(3);
    let notice = bench.tick(0).unwrap();
    assert_eq!(
        notice.to_string(),
        "the record cannot be written: the disk is full; free some space (runs/invented-run). \
         3 rows are kept in memory and go to the disk as soon as it takes them (tried every 5 \
         s); until then keep the computer running"
    );
    let tries = |bench: &Bench| bench.disk.image().steps.len();
    let before = tries(&bench);
    for s in 1..=4 {
        bench.read(1);
        assert_eq!(bench.tick(s), None);
    }
    assert_eq!(tries(&bench), before, "tried again before 5 s were over");
    for s in 5..=59 {
        assert_eq!(bench.tick(s), None);
    }
    assert_eq!(tries(&bench), before + 11, "tried every 5 s");
    // lasting trouble is told again every minute
    assert!(matches!(
        bench.tick(60),
        Some(DiskNotice::InMemory { rows: 7, .. })
    ));
    assert!(matches!(
        bench.writer.health(),
        DiskHealth::InMemory { rows: 7, .. }
    ));
    // all this while the folder holds what it held, and no litter
    assert_eq!(bench.disk.names(), ["job.toml", "trace.csv"]);
    bench.disk.image().room = None;
    let notice = bench.tick(66).unwrap();
    assert_eq!(
        notice.to_string(),
        "the disk takes rows again: everything kept in memory is written to trace.2.csv, nothing \
         is lost"
    );
    bench.read(1);
    bench.writer.sync().unwrap();
    bench.assert_all_is_found(Tail::Lost);
    assert_eq!(bench.writer.finish().unwrap().rows, 13);
}

#[test]
fn a_disk_that_takes_files_but_no_rows_is_not_littered() {
    let mut bench = Bench::new();
    for _ in 0..50 {
        bench.disk.image().fails = Some(Step::Appended);
        bench.read(1);
    }
    // one fresh file at once, the next not before five seconds are over
    assert_eq!(bench.disk.names().len(), 3, "{:?}", bench.disk.names());
    bench.disk.image().fails = None;
    bench.tick(6);
    bench.writer.sync().unwrap();
    bench.assert_all_is_found(Tail::Lost);
}

#[test]
fn when_memory_is_full_too_the_oldest_rows_stay_and_the_loss_is_told() {
    let mut bench = Bench::new();
    bench.writer.limit_memory(4_000);
    bench.disk.image().room = Some(0);
    bench.read(100);
    let kept = bench.writer.rows() as usize - 1;
    assert!((50..80).contains(&kept), "{kept}");
    let notice = bench.tick(0).unwrap();
    let lost = 100 - kept as u64;
    assert!(
        matches!(notice, DiskNotice::NotKept { readings, .. } if readings == lost),
        "{notice:?}"
    );
    assert!(
        notice.to_string().starts_with("READINGS ARE BEING LOST ("),
        "{notice}"
    );
    // an act still finds room
    let mark = Entry::Mark(Mark {
        elapsed_s: 20.0,
        kind: MarkKind::PumpSideShut,
        note: String::new(),
    });
    bench.writer.append(&mark, stamp(&mark)).unwrap();
    bench.disk.image().room = None;
    let notice = bench.tick(10).unwrap();
    assert!(
        matches!(notice, DiskNotice::WrittenOut { not_kept, .. } if not_kept == lost),
        "{notice:?}"
    );
    bench.read(5);
    bench.writer.sync().unwrap();
    let folder = bench.disk.after_crash(Tail::Lost);
    let found = read_all(folder.path()).0;
    assert_same(&found[..kept], &bench.told[..kept]);
    let gap = matches!(found[kept], Entry::Reading(r) if r.state() == ReadingState::Gap);
    assert!(gap, "the loss shows: {:?}", found[kept]);
    assert_eq!(found[kept].elapsed_s(), bench.told[kept].elapsed_s());
    assert_eq!(found[kept + 1], mark);
    assert_eq!(found.len(), kept + 2 + 5);
}

#[test]
fn a_large_backlog_is_written_in_pieces() {
    let mut bench = Bench::new();
    bench.disk.image().room = Some(0);
    bench.read(60_000);
    bench.disk.image().room = None;
    assert!(bench.tick(0).is_some());
    let mut ticks = 0;
    while bench.writer.rows_waiting() > 0 {
        ticks += 1;
        assert!(ticks < 20);
        bench.tick(5 + ticks);
        if ticks == 2 {
            // a cut meanwhile finds what was written so far
            let folder = bench.disk.after_crash(Tail::Lost);
            let verified = verify(folder.path()).unwrap();
            assert!(verified.chain.is_intact(), "{verified}");
            assert!(verified.rows > 15_000 && verified.rows < 60_000);
        }
    }
    assert!(ticks >= 3, "{ticks} ticks for 4 MB");
    bench.assert_all_is_found(Tail::Lost);
}

#[test]
fn what_no_disk_took_is_rescued_and_can_be_put_back() {
    let parent = TempDir::new().unwrap();
    let place = TempDir::new().unwrap();
    let mut bench = Bench::new();
    bench.read(5);
    bench.writer.sync().unwrap();
    bench.disk.image().room = Some(10);
    bench.read(7);
    let error = bench.writer.sync().unwrap_err();
    assert!(error.is_storage());
    assert_eq!(
        error.to_string(),
        "runs/invented-run/trace.csv: the disk is full; free some space; 7 rows are not on disk"
    );
    let nowhere = bench.writer.rescue(&place.path().join("a-file-\0"));
    assert!(nowhere.is_err());
    let rescued = bench.writer.rescue(place.path()).unwrap();
    assert_eq!(
        rescued.folder,
        place.path().join("dryhold-rescued-invented-run")
    );
    assert_eq!(
        (rescued.files.as_slice(), rescued.rows),
        (&["trace.2.csv".to_owned()][..], 7)
    );
    let folder = bench.disk.after_crash(Tail::Torn(400));
    let kept = read_all(folder.path()).0.len();
    assert!((5..12).contains(&kept));
    // put back as the message says
    std::fs::copy(
        rescued.folder.join("trace.2.csv"),
        folder.path().join("trace.2.csv"),
    )
    .unwrap();
    assert_same(&read_all(folder.path()).0, &bench.told);
    assert!(verify(folder.path()).unwrap().is_sound());
    assert_eq!(bench.writer.finish().unwrap().rescued, Some(rescued));
    drop(parent);
}
