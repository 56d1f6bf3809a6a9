//! Pipes, devices and links under the names of a run folder: nothing waits, nothing
//! passes, each is named.

use std::{fs, path::Path, process::Command};

use run_record::{Answer, ImportOptions, Source, Verification, is_being_recorded, verify};

use super::{Sealed, run_of};

/// Puts something odd into the place of a file; false where this machine cannot.
type Put = fn(&Path) -> bool;

fn pipe(path: &Path) -> bool {
    let made = Command::new("mkfifo").arg(path).status();
    made.is_ok_and(|status| status.success())
}

fn device(path: &Path) -> bool {
    std::os::unix::fs::symlink("/dev/zero", path).is_ok()
}

/// A link to the very file that stood there.
fn link(path: &Path) -> bool {
    let kept = path.with_extension("kept");
    fs::hard_link(path.with_extension("before"), &kept).unwrap();
    std::os::unix::fs::symlink(kept.file_name().unwrap(), path).is_ok()
}

fn folder(path: &Path) -> bool {
    fs::create_dir(path).is_ok()
}

const ODD: [(&str, Put); 4] = [
    ("a named pipe", pipe),
    ("a link to /dev/zero", device),
    ("a link to ", link),
    ("a folder", folder),
];

/// What is found in a copy of the folder in which `name` is replaced; `None` where this
/// machine cannot.
fn found_with(run: &Path, name: &str, put: Put) -> Option<(tempfile::TempDir, Verification)> {
    let copy = tempfile::tempdir().unwrap();
    for entry in fs::read_dir(run).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, copy.path().join(path.file_name().unwrap())).unwrap();
    }
    let path = copy.path().join(name);
    if path.exists() {
        fs::rename(&path, path.with_extension("before")).unwrap();
    } else {
        fs::write(path.with_extension("before"), b"").unwrap();
    }
    if !put(&path) {
        return None;
    }
    let found = verify(copy.path()).unwrap();
    Some((copy, found))
}

const OF_A_RUN: [&str; 5] = [
    "job.toml",
    "trace.csv",
    "trace.2.csv",
    "beside-pump-side.csv",
    "seal.json",
];

#[test]
fn in_a_sealed_run_every_odd_file_is_an_alteration_and_named() {
    let sealed = Sealed::of(20);
    for name in OF_A_RUN.into_iter().chain(["photo.jpg"]) {
        for (what, put) in ODD {
            let Some((_copy, found)) = found_with(&sealed.folder, name, put) else {
                eprintln!("{name}: not tried, this machine cannot make {what}");
                continue;
            };
            assert_eq!(found.answer(false), Answer::Altered, "{name} is {what}");
            let all = found.changes().join("; ");
            assert!(all.contains(name) && !all.contains('\n'), "{all}");
            if name != "seal.json" {
                assert!(all.contains(what), "{name}, {what}: {all}");
            }
        }
    }
    let Some((_copy, found)) = found_with(&sealed.folder, "sheet.html", link) else {
        return;
    };
    assert_eq!(found.answer(false), Answer::ProductChanged);
}

#[test]
fn without_a_seal_they_are_named_as_well_and_nothing_is_read_through_them() {
    let (_parent, run) = run_of(20);
    for name in OF_A_RUN {
        for (what, put) in ODD {
            let Some((copy, found)) = found_with(&run.folder, name, put) else {
                eprintln!("{name}: not tried, this machine cannot make {what}");
                continue;
            };
            assert_eq!(found.answer(false), Answer::Altered, "{name} is {what}");
            let all = found.changes().join("; ");
            assert!(all.contains(name), "{all}");
            // a review does without job data and without the gauge beside
            let read = Source::open(copy.path(), &ImportOptions::default());
            match name {
                "trace.csv" | "trace.2.csv" => {
                    let said = read.unwrap_err().to_string();
                    assert!(said.contains(name), "{said}");
                }
                "job.toml" => {
                    let notes = read.unwrap().summary().notes.join("; ");
                    assert!(notes.contains("job data is left out"), "{notes}");
                }
                _ => assert!(read.is_ok()),
            }
            // asking for the lock does not wait either
            let _ = is_being_recorded(copy.path());
        }
    }
}

/// Larger than any such file ever is: not read into memory, and no error that hides
/// what it means for the seal.
#[test]
fn a_job_file_grown_past_its_limit_is_an_alteration() {
    let sealed = Sealed::of(20);
    let job = sealed.read("job.toml");
    let grown = [&job[..], &vec![b'#'; 2 << 20]].concat();
    sealed.write("job.toml", &grown);
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::Altered);
    assert_eq!(found.changes(), ["job.toml was changed"]);
    fs::remove_file(sealed.folder.join("seal.json")).unwrap();
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::Altered);
    assert!(
        found.changes()[0].contains("job.toml"),
        "{:?}",
        found.changes()
    );
}
