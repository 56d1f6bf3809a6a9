//! The registers of shops, through the binary: which numbers are missing among the
//! records that somebody holds.

use std::{fs, path::PathBuf};

use crate::run::{Ran, dryhold_at, put_unsealed_run, scratch};

/// A shop and a folder with the runs it has recorded.
struct Shop {
    _scratch: tempfile::TempDir,
    home: PathBuf,
    runs: PathBuf,
}

impl Shop {
    /// So many runs, sealed one after the other.
    fn with(count: u32) -> Self {
        let scratch = scratch();
        let shop = Self {
            home: scratch.path().join("home"),
            runs: scratch.path().join("runs"),
            _scratch: scratch,
        };
        for i in 1..=count {
            shop.record(&format!("run-{i}")).expect(0);
        }
        shop
    }

    /// Seals one more run under this name; the names make them differ.
    fn record(&self, name: &str) -> Ran {
        let run = self.runs.join(name);
        put_unsealed_run(&run);
        self.dryhold(&["seal", &run.to_string_lossy()])
    }

    fn dryhold(&self, arguments: &[&str]) -> Ran {
        dryhold_at(&self.home, arguments)
    }

    fn verify(&self, options: &[&str]) -> Ran {
        let folder = self.runs.to_string_lossy();
        self.dryhold(&[&["verify", &folder], options].concat())
    }
}

#[test]
fn the_numbers_that_are_missing_in_a_folder_are_said() {
    let shop = Shop::with(4);
    let ran = shop.verify(&[]).expect(0);
    assert_eq!(ran.out.matches("UNCHANGED since").count(), 4, "{}", ran.out);
    let whole = "numbers 1 to 4 were given; none is missing here";
    assert!(ran.out.contains(whole), "{}", ran.out);
    fs::remove_dir_all(shop.runs.join("run-2")).expect("removed");
    let ran = shop.verify(&[]).expect(0);
    assert!(ran.out.contains("missing here: 2."), "{}", ran.out);
    let objects = shop.verify(&["--json"]).expect(0).json_lines();
    let register = objects.last().expect("a register");
    assert_eq!(register["schema"], "dryhold.register/1");
    assert_eq!(register["highest"], 4);
    assert_eq!(register["missing"], serde_json::json!([[2, 2]]));
    assert_eq!(objects[0]["seal"]["register"]["number"], 1);
    let one = shop.runs.join("run-3");
    let ran = shop.dryhold(&["verify", &one.to_string_lossy()]).expect(0);
    assert!(ran.out.contains("Number 3 in the register"), "{}", ran.out);
}

#[test]
fn a_register_that_was_lost_is_declared_by_every_later_seal() {
    let shop = Shop::with(2);
    let register = shop.home.join("dryhold/register.csv");
    fs::remove_file(&register).expect("removed");
    let ran = shop.record("run-3").expect(0);
    assert!(ran.out.contains("it is lost"), "{}", ran.out);
    let ran = shop.verify(&[]).expect(0);
    assert!(
        ran.out.contains("begun anew, so there are 2"),
        "{}",
        ran.out
    );
}

/// A shop keeps a copy of its register, throws a bad run away, and gives its number to
/// another: whoever has seen the bad one sees it.
#[test]
fn a_number_that_was_given_twice_is_12() {
    let shop = Shop::with(2);
    let register = shop.home.join("dryhold/register.csv");
    let before = fs::read(&register).expect("the register");
    shop.record("run-3-bad").expect(0);
    fs::write(&register, before).expect("written");
    shop.record("run-3").expect(0);
    let ran = shop.verify(&[]).expect(12);
    assert!(ran.out.contains("WRITTEN ANEW"), "{}", ran.out);
    fs::remove_dir_all(shop.runs.join("run-3")).expect("removed");
    shop.verify(&[]).expect(0);
}
