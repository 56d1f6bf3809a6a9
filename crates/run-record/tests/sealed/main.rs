//! Sealed run folders: made, touched, checked.
//!
//! - `sealing`: what is sealed, when, and when not.
//! - `forged`: files that nobody sealed beside a seal that somebody did.
//! - `odd_files`: pipes, devices and links under the names of a run folder.
//! - `replaced`: keys that are replaced, revoked and locked.
//! - `key_sample`: statements made once, in `samples`.
//! - `register`: runs of a key, numbered without a gap.
//! - `touched`: every way to touch a record, and the row that is named.
//! - `proof`: thousands of random edits; prints the figures.
//! - `names`: names from job data stay in their folder.
//! - `sample`: a run sealed once, in `samples`.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{
    fs,
    path::{Path, PathBuf},
};

use chrono::{DateTime, TimeDelta, TimeZone, Utc};
use run_record::{
    Companion, FinishedRun, Products, RunHeader, RunWriter, Seal, SealError, SealMoment,
    WrittenProducts, put_file, seal_products, seal_run,
};
use seal_keys::SealKey;
use tempfile::TempDir;
use vacuum::{Entry, Job, Mark, MarkKind, Pressure, Reading};

mod forged;
mod key_sample;
mod names;
#[cfg(unix)]
mod odd_files;
#[expect(clippy::print_stdout, reason = "the figures are what it is for")]
mod proof;
mod register;
mod replaced;
mod sample;
mod sealing;
mod touched;

fn started() -> DateTime<Utc> {
    Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap()
}

fn header(id: &str) -> RunHeader {
    RunHeader {
        job: Job {
            id: id.into(),
            invented: true,
            appliance: Some("upright freezer".into()),
            ..Job::default()
        },
        software: "dryhold 0.1.0".into(),
        beside: vec![Companion {
            name: "pump-side".into(),
            place: "pump side".into(),
            ..Companion::default()
        }],
        ..RunHeader::default()
    }
}

/// A finished run of so many rows, the gauge beside it included.
fn run_of(rows: u32) -> (TempDir, FinishedRun) {
    let parent = TempDir::new().unwrap();
    let mut writer = RunWriter::create(parent.path(), &header("INVENTED-7"), started()).unwrap();
    for i in 0..rows {
        let elapsed_s = f64::from(i) * 0.5;
        let utc = started() + TimeDelta::milliseconds(i64::from(i) * 500);
        let pressure = Pressure::from_micron(20_000.0 / (1.0 + elapsed_s)).unwrap();
        let entry = if i % 37 == 20 {
            Entry::Mark(Mark {
                elapsed_s,
                kind: MarkKind::Note,
                note: format!("=note, \"{i}\""),
            })
        } else {
            Entry::Reading(Reading::measured(elapsed_s, pressure))
        };
        writer.append(&entry, utc).unwrap();
        if i % 4 == 0 {
            let reading = Reading::measured(elapsed_s, pressure);
            writer.append_beside(0, &reading, utc);
        }
    }
    let run = writer.finish().unwrap();
    (parent, run)
}

/// A key in a folder of its own.
fn key() -> SealKey {
    let folder = TempDir::new().unwrap();
    SealKey::load_or_make(&folder.path().join("key.pem"))
        .unwrap()
        .0
}

fn at_the_end(run: &FinishedRun, key: &SealKey) -> Result<Seal, SealError> {
    let moment = SealMoment::AtTheEnd {
        last_link: run.last_link,
    };
    seal_run(&run.folder, key, "dryhold 0.1.0", started(), moment)
}

/// Files made from the record, as a program makes them.
fn make_products(folder: &Path, all: &[(&str, &[u8])]) -> WrittenProducts {
    let mut products = Products::new(folder);
    for (name, bytes) in all {
        products.add(name, bytes).unwrap();
    }
    let (written, failed) = products.place();
    assert!(failed.is_none(), "{failed:?}");
    written
}

/// A run with its sheet, sealed.
struct Sealed {
    folder: PathBuf,
    key: SealKey,
    _parent: TempDir,
}

impl Sealed {
    fn of(rows: u32) -> Self {
        let (parent, run) = run_of(rows);
        put_file(&run.folder, "photo.jpg", &[0xff, 0xd8, 0, 1, 2]).unwrap();
        // beside the run, so that the register lies there
        let file = parent.path().join("shop/key.pem");
        let (key, _) = SealKey::load_or_make(&file).unwrap();
        at_the_end(&run, &key).unwrap();
        let products: [(&str, &[u8]); 2] =
            [("sheet.html", b"<p>PASS</p>\n"), ("findings.json", b"{}\n")];
        let written = make_products(&run.folder, &products);
        seal_products(&run.folder, &key, started(), &written).unwrap();
        Self {
            folder: run.folder,
            key,
            _parent: parent,
        }
    }

    fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.folder.join(name)).unwrap()
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        fs::write(self.folder.join(name), bytes).unwrap();
    }
}

/// Every file of a folder with its bytes.
fn snapshot(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

/// The lines of a file with their ends.
fn lines(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes
        .split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect()
}
