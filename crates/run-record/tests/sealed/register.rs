//! The register of a key: every sealed run has the next number, and every seal shows it.

use std::{
    fs,
    path::{Path, PathBuf},
};

use run_record::{Answer, FinishedRun, SealMoment, seal_run, verify};
use seal_keys::{RegisterEntry, SealKey};
use tempfile::TempDir;

use super::{run_of, started};

/// A shop's key, and the runs it has sealed.
struct Shop {
    _folder: TempDir,
    key: SealKey,
    register: PathBuf,
    runs: Vec<(TempDir, FinishedRun)>,
}

impl Shop {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let key = SealKey::load_or_make(&folder.path().join("key.pem"))
            .unwrap()
            .0;
        Self {
            register: folder.path().join("register.csv"),
            _folder: folder,
            key,
            runs: Vec::new(),
        }
    }

    /// Seals one more run; gives its place.
    fn sealed(&mut self) -> RegisterEntry {
        // runs of different lengths are different records
        self.runs.push(run_of(5 + self.runs.len() as u32));
        let folder = self.runs.last().unwrap().1.folder.clone();
        self.seal(&folder)
    }

    fn seal(&self, run: &Path) -> RegisterEntry {
        let seal = seal_run(run, &self.key, "x", started(), SealMoment::Later).unwrap();
        let found = verify(run).unwrap();
        assert_eq!(found.answer(false), Answer::AsSealed);
        assert_eq!(
            found.seal.seal().unwrap().register,
            seal.register,
            "read back"
        );
        seal.register.unwrap()
    }

    fn text(&self) -> String {
        fs::read_to_string(&self.register).unwrap()
    }
}

#[test]
fn every_run_gets_the_next_number_and_follows_the_one_before() {
    let mut shop = Shop::new();
    let all = [shop.sealed(), shop.sealed(), shop.sealed()];
    assert_eq!(all.clone().map(|e| e.number), [1, 2, 3]);
    assert_eq!(all[0].before, "0".repeat(64));
    assert!(all[1].follows(&all[0]) && all[2].follows(&all[1]));
    assert!(!all[2].follows(&all[0]));
    assert_eq!(shop.text().lines().count(), 4, "{}", shop.text());
    // the same run once more keeps its number
    let run = shop.runs[1].1.folder.clone();
    fs::remove_file(run.join("seal.json")).unwrap();
    assert_eq!(shop.seal(&run), all[1]);
    // so does the next run after a start of the program
    assert_eq!(shop.sealed().number, 4);
}

/// A register that is gone or was written anew is never taken up as if nothing had been.
#[test]
fn a_lost_or_edited_register_is_begun_anew_under_another_name() {
    let mut shop = Shop::new();
    let first = shop.sealed();
    shop.sealed();
    fs::remove_file(&shop.register).unwrap();
    let anew = shop.sealed();
    assert_eq!(anew.number, 1);
    assert_ne!(anew.series, first.series);
    let second = shop.sealed();
    assert!(second.follows(&anew));
    // a run taken out, a digest changed: what stands there is no register any more
    for edit in [
        |rows: &mut Vec<String>| drop(rows.remove(1)),
        |rows: &mut Vec<String>| rows[2] = rows[2].replacen(",2,", ",9,", 1),
    ] {
        let whole = shop.text();
        let mut rows: Vec<String> = whole.lines().map(str::to_owned).collect();
        edit(&mut rows);
        fs::write(&shop.register, rows.join("\n") + "\n").unwrap();
        let entry = shop.sealed();
        assert_eq!(entry.number, 1, "{}", shop.text());
        assert!(![&first.series, &anew.series].contains(&&entry.series));
        let next = shop.sealed();
        assert!(next.follows(&entry), "and goes on from there");
        fs::write(&shop.register, whole).unwrap();
    }
}

#[test]
fn what_a_power_cut_left_of_an_entry_is_passed_over() {
    let mut shop = Shop::new();
    let first = shop.sealed();
    let torn = shop.text() + "1234-5678,0011";
    fs::write(&shop.register, torn).unwrap();
    let second = shop.sealed();
    assert!(second.follows(&first));
    assert_eq!(shop.text().lines().count(), 3, "{}", shop.text());
}

#[test]
fn two_keys_in_one_folder_have_a_register_each() {
    let mut shop = Shop::new();
    let first = shop.sealed();
    let other = SealKey::load_or_make(&shop.register.with_file_name("other.pem"));
    let (_parent, run) = run_of(30);
    let seal = seal_run(
        &run.folder,
        &other.unwrap().0,
        "x",
        started(),
        SealMoment::Later,
    );
    let place = seal.unwrap().register.unwrap();
    assert_eq!(place.number, 1);
    assert_ne!(place.series, first.series);
    assert!(shop.sealed().follows(&first));
}

/// The record is worth more than its number: it is sealed all the same, and the seal says
/// that it has none.
#[test]
fn where_no_register_can_be_written_a_run_is_sealed_without_a_number() {
    let shop = Shop::new();
    fs::create_dir(&shop.register).unwrap();
    let (_parent, run) = run_of(30);
    let seal = seal_run(&run.folder, &shop.key, "x", started(), SealMoment::Later).unwrap();
    assert_eq!(seal.register, None);
    assert_eq!(verify(&run.folder).unwrap().answer(false), Answer::AsSealed);
}
