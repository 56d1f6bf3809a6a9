//! Whatever a job or a gauge is called, its files stay below the folder asked
//! for, under names that every system takes.

use std::{ffi::OsStr, fs};

use run_record::{Companion, RunHeader, RunWriter, verify};
use vacuum::Job;

use super::started;

fn hostile() -> Vec<String> {
    let mut all: Vec<String> = [
        "",
        ".",
        "..",
        "../../etc/passwd",
        "/etc/passwd",
        "..\\..\\windows",
        "C:\\x",
        "a\0b",
        "a\nb\r\tc",
        "CON",
        "nul.txt",
        "COM1",
        "LPT1.csv",
        "ends in dots...",
        "ends in blanks   ",
        "-rf",
        "~root",
        "$HOME",
        "a*b?c|d<e>f\"g",
        "\u{202E}gpj.exe",
        "a\u{200B}b\u{FEFF}",
        "\u{1F600}",
        "e\u{301}\u{301}\u{301}",
        "Küche 12.b",
        ".hidden",
        ".seal.json",
        "seal.json",
    ]
    .map(str::to_owned)
    .into();
    all.push("x".repeat(5000));
    all.push("ü/".repeat(3000));
    all
}

/// What no system, old or new, makes trouble of.
fn is_harmless(name: &OsStr) -> bool {
    let Some(name) = name.to_str() else {
        return false;
    };
    let device = name
        .split('.')
        .next()
        .unwrap_or_default()
        .to_ascii_uppercase();
    let is_device = ["CON", "PRN", "AUX", "NUL"].contains(&&*device)
        || ["COM", "LPT"]
            .iter()
            .any(|d| device.starts_with(d) && device.len() == 4);
    let allowed = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    name.len() <= 120
        && !is_device
        && name.chars().all(allowed)
        && !name.starts_with(['.', '-'])
        && !name.ends_with('.')
        && !name.contains("..")
}

#[test]
fn no_job_number_leads_out_of_its_folder() {
    for id in hostile() {
        let above = tempfile::tempdir().unwrap();
        let out = above.path().join("out");
        let header = RunHeader {
            job: Job {
                id: id.clone(),
                ..Job::default()
            },
            software: "dryhold 0.1.0".into(),
            ..RunHeader::default()
        };
        let writer = RunWriter::create(&out, &header, started()).unwrap();
        let folder = writer.finish().unwrap().folder;
        assert_eq!(folder.parent(), Some(out.as_path()), "{id:?}");
        assert!(is_harmless(folder.file_name().unwrap()), "{folder:?}");
        assert_eq!(fs::read_dir(above.path()).unwrap().count(), 1, "{id:?}");
        assert_eq!(fs::read_dir(&out).unwrap().count(), 1, "{id:?}");
        // and the number itself is kept to the letter
        let kept = RunHeader::read(&folder.join("job.toml")).unwrap().job.id;
        assert_eq!(kept, id);
        assert!(verify(&folder).unwrap().is_sound());
    }
}

#[test]
fn no_name_of_a_gauge_leads_out_of_the_run() {
    for name in hostile() {
        let companion = Companion {
            name: name.clone(),
            ..Companion::default()
        };
        let file = companion.file_name();
        assert!(is_harmless(OsStr::new(&file)), "{name:?}: {file:?}");
        let parent = tempfile::tempdir().unwrap();
        let header = RunHeader {
            beside: vec![companion],
            ..RunHeader::default()
        };
        let writer = RunWriter::create(parent.path(), &header, started()).unwrap();
        let folder = writer.finish().unwrap().folder;
        assert!(folder.join(&file).is_file(), "{name:?}");
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 3, "{name:?}");
        assert_eq!(fs::read_dir(parent.path()).unwrap().count(), 1);
    }
}
