//! Which runs stay, and whether there is room for another.

use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
    sync::Arc,
};

use run_record::FinishedHold;

use crate::{disk_room::free_bytes, error::RecorderError, operator::Operator};

/// Names of the runs that were made here, oldest first, one a line. What is not named
/// here is never deleted.
const LEDGER: &str = ".made-by-itself";
/// A run folder that holds a file of this name stays.
const KEEP: &str = "KEEP";

/// A run ends when less than this share is left of what should stay free.
const NEARLY_NONE: u64 = 4;

/// Looks after the folder of runs.
#[derive(Clone)]
pub struct Retention {
    out: PathBuf,
    most: Option<usize>,
    free_bytes: u64,
    operator: Arc<dyn Operator>,
}

/// How much room a run that is being recorded has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Room {
    /// As much as should stay free, or nobody can tell.
    Enough,
    /// Less, with why; the run may go on.
    Little(String),
    /// So little that the run has to end.
    NearlyNone,
}

impl Retention {
    /// Looks after runs in `out`, which is made if it is not there: keeps the last `most`
    /// that were made by itself, and leaves `free_bytes` of the disk free.
    ///
    /// # Errors
    /// When the folder cannot be made.
    pub fn new(
        out: &Path,
        most: Option<usize>,
        free_bytes: u64,
        operator: Arc<dyn Operator>,
    ) -> Result<Self, RecorderError> {
        fs::create_dir_all(out).map_err(|source| RecorderError::RunsFolder {
            folder: out.to_owned(),
            source,
        })?;
        Ok(Self {
            out: out.to_owned(),
            most,
            free_bytes,
            operator,
        })
    }

    /// Remembers a run that was begun.
    pub fn made(&self, folder: &Path) {
        let Some(name) = folder.file_name().and_then(|n| n.to_str()) else {
            return;
        };
        let add = || -> io::Result<()> {
            let mut file = fs::OpenOptions::new()
                .create(true)
                .append(true)
                .open(self.out.join(LEDGER))?;
            writeln!(file, "{name}")?;
            file.sync_all()
        };
        if let Err(e) = add() {
            let words = format!("{name} will never be deleted by itself: {LEDGER}: {e}");
            self.operator.warn(&words);
        }
    }

    /// Own runs that may go, oldest first; `recorded` is in use and stays.
    fn own(&self, recorded: Option<&Path>) -> Vec<PathBuf> {
        let ledger = fs::read_to_string(self.out.join(LEDGER)).unwrap_or_default();
        let plain = |name: &&str| {
            let mut parts = Path::new(name).components();
            matches!(parts.next(), Some(std::path::Component::Normal(_))) && parts.next().is_none()
        };
        ledger
            .lines()
            .filter(plain)
            .map(|name| self.out.join(name))
            .filter(|run| {
                let there = fs::symlink_metadata(run).is_ok_and(|m| m.is_dir());
                let in_use = recorded.is_some_and(|r| r.file_name() == run.file_name());
                let kept = in_use || run.join(KEEP).exists();
                there && run.join("trace.csv").is_file() && !kept
            })
            .collect()
    }

    /// Deletes own runs beyond those to keep.
    pub fn prune(&self) {
        let Some(most) = self.most else { return };
        let own = self.own(None);
        for run in &own[..own.len().saturating_sub(most)] {
            self.delete(run, "older than the runs to keep");
        }
        self.tidy_ledger();
    }

    /// Sees to it that there is room for a run; deletes own runs, the oldest first.
    pub fn make_room(&self) -> Result<(), String> {
        self.make_room_beside(None)
    }

    /// The same while `recorded` is in the making.
    pub fn room_for(&self, recorded: &Path) -> Room {
        match self.make_room_beside(Some(recorded)) {
            Ok(()) => Room::Enough,
            Err(why) => {
                let least = self.free_bytes / NEARLY_NONE;
                match free_bytes(&self.out).is_none_or(|free| free >= least) {
                    true => Room::Little(why),
                    false => Room::NearlyNone,
                }
            }
        }
    }

    fn make_room_beside(&self, recorded: Option<&Path>) -> Result<(), String> {
        let enough = || free_bytes(&self.out).is_none_or(|free| free >= self.free_bytes);
        if enough() {
            return Ok(());
        }
        for run in self.own(recorded) {
            if enough() {
                break;
            }
            self.delete(&run, "to leave room on the disk");
        }
        self.tidy_ledger();
        match enough() {
            true => Ok(()),
            false => Err(format!(
                "less than {} MB are free at {} (--keep-free), and no run of its own is left to \
                 delete; make room",
                self.free_bytes / 1_000_000,
                self.out.display()
            )),
        }
    }

    /// Deletes a run, unless somebody records it: another recorder may share the folder, or
    /// go on with one of its runs.
    fn delete(&self, run: &Path, why: &str) {
        let Some(_held) = FinishedHold::take(run) else {
            return;
        };
        match fs::remove_dir_all(run) {
            Ok(()) => self
                .operator
                .tell(&format!("Deleted {} ({why}).", run.display())),
            Err(e) => {
                let why = plain_file::io_words(&e);
                let words = format!("{} cannot be deleted: {why}", run.display());
                self.operator.warn(&words);
            }
        }
    }

    /// Forgets names whose folders are gone. The file is replaced whole.
    fn tidy_ledger(&self) {
        let path = self.out.join(LEDGER);
        let Ok(ledger) = fs::read_to_string(&path) else {
            return;
        };
        let there = |name: &&str| fs::symlink_metadata(self.out.join(name)).is_ok();
        let left: String = ledger
            .lines()
            .filter(there)
            .map(|n| format!("{n}\n"))
            .collect();
        if left != ledger
            && let Err(e) = run_record::put_file(&self.out, LEDGER, left.as_bytes())
        {
            self.operator.warn(&e.to_string());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nobody reads what is said.
    struct Silent;

    impl Operator for Silent {
        fn warn(&self, _: &str) {}

        fn stands_still(&self, _: &str) {}

        fn tell(&self, _: &str) {}

        fn gives_up(&self) -> std::pin::Pin<Box<dyn Future<Output = ()> + '_>> {
            Box::pin(std::future::pending())
        }
    }

    fn retention(out: &Path, most: usize, free_bytes: u64) -> Retention {
        Retention {
            out: out.to_owned(),
            most: Some(most),
            free_bytes,
            operator: Arc::new(Silent),
        }
    }

    fn run(out: &Path, name: &str) -> PathBuf {
        let folder = out.join(name);
        fs::create_dir(&folder).expect("made");
        fs::write(folder.join("trace.csv"), "rows").expect("written");
        folder
    }

    fn names(out: &Path) -> Vec<String> {
        let all = fs::read_dir(out).expect("readable");
        let mut names: Vec<String> = all
            .map(|e| {
                e.expect("readable")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|n| n != LEDGER)
            .collect();
        names.sort();
        names
    }

    #[test]
    fn only_own_runs_go_the_oldest_first() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let retention = retention(out, 2, 0);
        run(out, "b-users-own");
        for name in ["1", "2", "3", "4", "5"] {
            retention.made(&run(out, name));
        }
        fs::write(out.join("2").join(KEEP), "").expect("written");
        fs::rename(out.join("3"), out.join("claim-3")).expect("moved");
        retention.prune();
        assert_eq!(names(out), ["2", "4", "5", "b-users-own", "claim-3"]);
        let ledger = fs::read_to_string(out.join(LEDGER)).expect("there");
        assert_eq!(ledger, "2\n4\n5\n");
    }

    #[test]
    fn a_run_that_another_recorder_holds_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let retention = retention(out, 1, u64::MAX);
        for name in ["1", "2", "3"] {
            retention.made(&run(out, name));
        }
        let part = out.join("2").join("trace.2.csv");
        fs::write(&part, "rows").expect("written");
        let recorded = [out.join("1").join("trace.csv"), part].map(|file| {
            let file = fs::File::open(file).expect("there");
            file.lock().expect("locked");
            file
        });
        retention.prune();
        assert_eq!(names(out), ["1", "2", "3"]);
        assert!(retention.make_room().is_err());
        assert_eq!(names(out), ["1", "2"], "nor for want of room");
        drop(recorded);
        retention.prune();
        assert_eq!(names(out), ["2"]);
    }

    #[test]
    fn a_ledger_cannot_lead_elsewhere() {
        let folder = tempfile::tempdir().expect("a folder");
        let (out, other) = (folder.path().join("out"), folder.path().join("other"));
        fs::create_dir(&out).expect("made");
        fs::create_dir(&other).expect("made");
        let elsewhere = run(&other, "run");
        let lines = format!("../other/run\n{}\n.\n..\n\nlink\n", elsewhere.display());
        fs::write(out.join(LEDGER), lines).expect("written");
        #[cfg(unix)]
        std::os::unix::fs::symlink(&elsewhere, out.join("link")).expect("a link");
        let retention = retention(&out, 1, u64::MAX);
        assert_eq!(retention.own(None), [] as [PathBuf; 0]);
        retention.prune();
        assert!(retention.make_room().is_err());
        assert!(elsewhere.join("trace.csv").is_file());
    }

    #[cfg(unix)]
    #[test]
    fn without_room_own_runs_go_and_then_it_is_said() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let retention = retention(out, 9, u64::MAX);
        run(out, "users-own");
        retention.made(&run(out, "1"));
        let said = retention.make_room().expect_err("no disk has so much");
        assert!(said.contains("--keep-free"), "{said}");
        assert_eq!(names(out), ["users-own"]);
    }

    #[cfg(unix)]
    #[test]
    fn the_run_being_recorded_stays_whatever_the_room() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let recorded = run(out, "2");
        let full = retention(out, 9, u64::MAX);
        full.made(&run(out, "1"));
        full.made(&recorded);
        assert_eq!(full.room_for(&recorded), Room::NearlyNone);
        assert_eq!(names(out), ["2"]);
        let free = free_bytes(out).expect("the system tells");
        // other tests write to this disk too
        let tight = retention(out, 9, 2 * free);
        assert!(matches!(tight.room_for(&recorded), Room::Little(_)));
        assert_eq!(retention(out, 9, 1).room_for(&recorded), Room::Enough);
        assert_eq!(names(out), ["2"]);
    }
}
