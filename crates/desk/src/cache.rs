//! Rows of things that did not change since they were judged: a folder that may be deleted at
//! any time, and nothing is lost but time.
//!
//! A row is kept under the name of its path. Within stands the key that it was made for: a
//! SHA-256 over what tells that the files are the same (names, sizes, times of change, and on
//! Unix also times of change of their entries and their numbers; elsewhere their bytes), over
//! the version of the program, the criteria and the keys of the desk. A row of another key, or
//! a file that is torn, is made anew.

use std::{
    fmt::Write as _,
    fs, io,
    path::{Path, PathBuf},
};

use seal_keys::forms::hex;
use sha2::{Digest, Sha256};

use crate::{
    reading::{Measure, row_of},
    row::{Row, RowKind},
    walk::Thing,
};

/// Largest kept row that is read, bytes.
const LARGEST: u64 = 1 << 20;
/// Files of a folder that are looked at for its key; one with more is judged every time.
const MOST_FILES: usize = 2_000;
/// Changes within this before a row is made may not show in the times of files (2 s on some
/// file systems), s.
const TOO_FRESH_S: u64 = 3;

/// Kept rows.
#[derive(Debug)]
pub struct Cache {
    folder: PathBuf,
    /// What all rows are made with, digested.
    made_with: String,
}

impl Cache {
    /// Rows kept in this folder, which is made where it is missing, readable for its owner
    /// only. `given` is whatever else rows depend on besides `measure`: the bytes of keys,
    /// statements and lists of revoked keys, for instance.
    ///
    /// # Errors
    /// When the folder cannot be made.
    pub fn open(folder: &Path, measure: &Measure, given: &[u8]) -> io::Result<Self> {
        whole_file::make_private_folder(folder)?;
        let mut state = Sha256::new();
        let rule = &measure.rule;
        state.update(format!(
            "{} {rule:?} {}\n",
            report::FINDINGS_MADE_BY,
            measure.no_personal_data
        ));
        state.update(format!("{:?}\n", measure.keys.ring()));
        state.update(given);
        Ok(Self {
            folder: folder.to_owned(),
            made_with: hex(&state.finalize()),
        })
    }

    /// The kept row of a thing that did not change; else a new one, which is kept.
    #[must_use]
    pub fn row_of(&self, thing: &Thing, measure: &Measure) -> Row {
        let Some(key) = self.key_of(thing) else {
            return row_of(thing, measure);
        };
        let file = self.file_of(thing);
        if let Some(row) = read(&file, &key, thing) {
            return row;
        }
        let row = row_of(thing, measure);
        // what was changed while it was read is not kept; a full disk costs time and no row
        if self.key_of(thing).as_ref() == Some(&key) {
            let _ = keep(&file, &key, &row);
        }
        row
    }

    fn file_of(&self, thing: &Thing) -> PathBuf {
        let path = thing.path.as_os_str().as_encoded_bytes();
        let name = hex(&Sha256::digest(path));
        let (shelf, rest) = name.split_at(2);
        self.folder.join(shelf).join(rest)
    }

    /// What tells that the files are the same; `None` where that cannot be told.
    fn key_of(&self, thing: &Thing) -> Option<String> {
        if thing.unreadable.is_some() {
            return None;
        }
        let mut text = format!("{}\n{:?}\n", self.made_with, thing.kind);
        match thing.kind {
            RowKind::Run => {
                let mut names = Vec::new();
                for entry in fs::read_dir(&thing.path).ok()? {
                    names.push(entry.ok()?.file_name());
                    if names.len() > MOST_FILES {
                        return None;
                    }
                }
                names.sort();
                for name in names {
                    let path = thing.path.join(&name);
                    describe(&mut text, &path, fs::symlink_metadata(&path).ok()?)?;
                }
            }
            RowKind::Packed | RowKind::Table => {
                let found = fs::metadata(&thing.path).ok()?;
                describe(&mut text, &thing.path, found)?;
            }
        }
        Some(hex(&Sha256::digest(text)))
    }
}

/// A line that changes with the file; `None` where it was changed so lately that another
/// change may not show.
fn describe(text: &mut String, path: &Path, found: fs::Metadata) -> Option<()> {
    let changed = found.modified().ok()?;
    let age = changed.elapsed().unwrap_or_default();
    if age.as_secs() < TOO_FRESH_S {
        return None;
    }
    let changed = changed.duration_since(std::time::UNIX_EPOCH).ok()?;
    let _ = write!(
        text,
        "{:?} {} {} {}",
        path.file_name(),
        found.len(),
        changed.as_nanos(),
        found.file_type().is_file()
    );
    more(text, path, &found)?;
    text.push('\n');
    Some(())
}

#[cfg(unix)]
fn more(text: &mut String, _path: &Path, found: &fs::Metadata) -> Option<()> {
    use std::os::unix::fs::MetadataExt;
    let _ = write!(
        text,
        " {}.{} {} {}",
        found.ctime(),
        found.ctime_nsec(),
        found.ino(),
        found.dev()
    );
    Some(())
}

/// Elsewhere a time of change is easily set back: the bytes themselves.
#[cfg(not(unix))]
fn more(text: &mut String, path: &Path, found: &fs::Metadata) -> Option<()> {
    if found.is_file() {
        let mut file = plain_file::open(path, plain_file::Links::Refuse).ok()?;
        let mut state = Sha256::new();
        let mut buffer = vec![0; 1 << 16];
        loop {
            let count = io::Read::read(&mut file, &mut buffer).ok()?;
            if count == 0 {
                break;
            }
            state.update(buffer.get(..count)?);
        }
        text.push_str(&hex(&state.finalize()));
    }
    Some(())
}

fn read(file: &Path, key: &str, thing: &Thing) -> Option<Row> {
    let text = plain_file::read_text(file, LARGEST, plain_file::Links::Refuse).ok()?;
    let (kept_for, row) = text.split_once('\n')?;
    let row: Row = (kept_for == key).then(|| serde_json::from_str(row).ok())??;
    (Path::new(&row.path) == thing.path).then_some(row)
}

/// Written beside and renamed: a reader finds a whole row or none. It is not synced: what a
/// power cut leaves is torn, and made anew.
fn keep(file: &Path, key: &str, row: &Row) -> io::Result<()> {
    let folder = whole_file::folder_of(file);
    fs::create_dir_all(folder)?;
    let row = serde_json::to_string(row).map_err(io::Error::other)?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.join(format!(".{name}.{}", std::process::id()));
    fs::write(&beside, format!("{key}\n{row}"))?;
    fs::rename(&beside, file)
}
