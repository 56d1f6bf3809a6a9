//! Which runs stay, and whether there is room for another.

use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
};

use super::{HeadlessArguments, free_bytes};
use run_record::FinishedHold;

use crate::outcome::{Failure, complain, say};

/// Names of the runs that were made here, oldest first, one a line. What is not named
/// here is never deleted.
const LEDGER: &str = ".made-by-itself";
/// A run folder that holds a file of this name stays.
const KEEP: &str = "KEEP";

/// A run ends when less than this share is left of what should stay free.
const NEARLY_NONE: u64 = 4;

/// Looks after the folder of runs.
#[derive(Debug, Clone)]
pub(super) struct Keeper {
    out: PathBuf,
    most: Option<usize>,
    free_bytes: u64,
}

/// How much room a run that is being recorded has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Room {
    /// As much as should stay free, or nobody can tell.
    Enough,
    /// Less, with why; the run may go on.
    Little(String),
    /// So little that the run has to end.
    NearlyNone,
}

impl Keeper {
    pub(super) fn of(out: &Path, arguments: &HeadlessArguments) -> Result<Self, Failure> {
        fs::create_dir_all(out).map_err(|e| {
            let why = plain_file::io_words(&e);
            Failure::other(format!("{}: {why}; choose another --out", out.display()))
        })?;
        Ok(Self {
            out: out.to_owned(),
            most: arguments.keep_runs.map(|n| n as usize),
            free_bytes: arguments.keep_free.saturating_mul(1_000_000),
        })
    }

    /// Remembers a run that was begun.
    pub(super) fn made(&self, folder: &Path) {
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
            complain(format!(
                "{name} will never be deleted by itself: {LEDGER}: {e}"
            ));
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
    pub(super) fn prune(&self) {
        let Some(most) = self.most else { return };
        let own = self.own(None);
        for run in &own[..own.len().saturating_sub(most)] {
            delete(run, "older than the runs to keep");
        }
        self.tidy_ledger();
    }

    /// Sees to it that there is room for a run; deletes own runs, the oldest first.
    pub(super) fn make_room(&self) -> Result<(), String> {
        self.make_room_beside(None)
    }

    /// The same while `recorded` is in the making.
    pub(super) fn room_for(&self, recorded: &Path) -> Room {
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
            delete(&run, "to leave room on the disk");
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
            && let Err(failure) = crate::report_files::write_whole(&path, left.as_bytes())
        {
            complain(failure);
        }
    }
}

/// Deletes a run, unless somebody records it: another recorder may share the folder, or
/// go on with one of its runs.
fn delete(run: &Path, why: &str) {
    let Some(_held) = FinishedHold::take(run) else {
        return;
    };
    match fs::remove_dir_all(run) {
        Ok(()) => say(format!("Deleted {} ({why}).", run.display())),
        Err(e) => {
            let why = plain_file::io_words(&e);
            complain(format!("{} cannot be deleted: {why}", run.display()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keeper(out: &Path, most: usize, free_bytes: u64) -> Keeper {
        Keeper {
            out: out.to_owned(),
            most: Some(most),
            free_bytes,
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
        let keeper = keeper(out, 2, 0);
        run(out, "b-users-own");
        for name in ["1", "2", "3", "4", "5"] {
            keeper.made(&run(out, name));
        }
        fs::write(out.join("2").join(KEEP), "").expect("written");
        fs::rename(out.join("3"), out.join("claim-3")).expect("moved");
        keeper.prune();
        assert_eq!(names(out), ["2", "4", "5", "b-users-own", "claim-3"]);
        let ledger = fs::read_to_string(out.join(LEDGER)).expect("there");
        assert_eq!(ledger, "2\n4\n5\n");
    }

    #[test]
    fn a_run_that_another_recorder_holds_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let keeper = keeper(out, 1, u64::MAX);
        for name in ["1", "2", "3"] {
            keeper.made(&run(out, name));
        }
        let part = out.join("2").join("trace.2.csv");
        fs::write(&part, "rows").expect("written");
        let recorded = [out.join("1").join("trace.csv"), part].map(|file| {
            let file = fs::File::open(file).expect("there");
            file.lock().expect("locked");
            file
        });
        keeper.prune();
        assert_eq!(names(out), ["1", "2", "3"]);
        assert!(keeper.make_room().is_err());
        assert_eq!(names(out), ["1", "2"], "nor for want of room");
        drop(recorded);
        keeper.prune();
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
        let keeper = keeper(&out, 1, u64::MAX);
        assert_eq!(keeper.own(None), [] as [PathBuf; 0]);
        keeper.prune();
        assert!(keeper.make_room().is_err());
        assert!(elsewhere.join("trace.csv").is_file());
    }

    #[cfg(unix)]
    #[test]
    fn without_room_own_runs_go_and_then_it_is_said() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let keeper = keeper(out, 9, u64::MAX);
        run(out, "users-own");
        keeper.made(&run(out, "1"));
        let said = keeper.make_room().expect_err("no disk has so much");
        assert!(said.contains("--keep-free"), "{said}");
        assert_eq!(names(out), ["users-own"]);
    }

    #[cfg(unix)]
    #[test]
    fn the_run_being_recorded_stays_whatever_the_room() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let recorded = run(out, "2");
        let full = keeper(out, 9, u64::MAX);
        full.made(&run(out, "1"));
        full.made(&recorded);
        assert_eq!(full.room_for(&recorded), Room::NearlyNone);
        assert_eq!(names(out), ["2"]);
        let free = free_bytes(out).expect("the system tells");
        // other tests write to this disk too
        let tight = keeper(out, 9, 2 * free);
        assert!(matches!(tight.room_for(&recorded), Room::Little(_)));
        assert_eq!(keeper(out, 9, 1).room_for(&recorded), Room::Enough);
        assert_eq!(names(out), ["2"]);
    }
}
