//! The keys that whoever checks records has been given, what shops state of their keys,
//! and which keys are not to be trusted any more.

use std::path::{Path, PathBuf};

use chrono::Utc;
use plain_file::{Links, io_words};
use seal_keys::{
    KeyRing, KeyRingParts, PublicKey, read_revoked_list, read_statements, split_statements,
};

use crate::error::CustodyError;

/// Largest file of a key and statements that is read, bytes.
const LARGEST: u64 = 1 << 20;

/// What is known of keys, and the names of the files they were read from.
pub struct KnownKeys {
    ring: KeyRing,
    names: Vec<(Option<String>, PublicKey)>,
}

/// What is being read.
#[derive(Default)]
struct Reading {
    parts: KeyRingParts,
    names: Vec<(Option<String>, PublicKey)>,
}

impl KnownKeys {
    /// Reads what was given: a key itself, a file, a folder of files. A folder has one
    /// file for each shop, `NAME.pem`, and may have what shops state of their keys,
    /// `NAME.statement`; other files in it are left alone. `revoked` are lists.
    pub fn read(given: &[String], revoked: &[PathBuf]) -> Result<Self, CustodyError> {
        let mut reading = Reading::default();
        for text in given {
            let path = Path::new(text);
            if path.is_dir() {
                reading.folder(text, path)?;
            } else {
                reading.key(text, false)?;
            }
        }
        if let (true, Some(text)) = (reading.names.is_empty(), given.first()) {
            let why = "there is no key, only statements: give the key that they begin with as well";
            return Err(wrong(text, why.into()));
        }
        for list in revoked {
            let entries = read_revoked_list(list);
            let entries = entries.map_err(|e| CustodyError::usage(format!("--revoked {e}")))?;
            reading.parts.revoked.extend(entries);
        }
        Ok(Self {
            ring: KeyRing::new(reading.parts, Utc::now()),
            names: reading.names,
        })
    }

    /// What is known.
    pub fn ring(&self) -> &KeyRing {
        &self.ring
    }

    /// The name of the file that a key was read from.
    pub fn name_of(&self, key: &PublicKey) -> Option<&str> {
        let (name, _) = self.names.iter().find(|(_, known)| known == key)?;
        name.as_deref()
    }
}

impl Reading {
    fn folder(&mut self, text: &str, folder: &Path) -> Result<(), CustodyError> {
        let listed =
            |files: std::io::Result<Vec<PathBuf>>| files.map_err(|e| wrong(text, io_words(&e)));
        let keys = listed(files_of(folder))?;
        let stated = listed(files_ending(folder, "statement"))?;
        if keys.is_empty() && stated.is_empty() {
            return Err(wrong(
                text,
                "there is no file NAME.pem in this folder".into(),
            ));
        }
        for file in keys {
            self.key(&file.display().to_string(), true)?;
        }
        for file in stated {
            let shown = file.display().to_string();
            let stated = plain_file::read_text(&file, LARGEST, Links::Follow);
            let stated = stated.map_err(|e| wrong(&shown, io_words(&e)))?;
            self.statements(&shown, &stated)?;
        }
        Ok(())
    }

    /// A file with a key and perhaps statements behind it, or the key itself.
    fn key(&mut self, text: &str, is_file: bool) -> Result<(), CustodyError> {
        let parsed = PublicKey::parse(text);
        if let (Ok(key), false) = (&parsed, is_file) {
            self.take(None, *key);
            return Ok(());
        }
        let whole = plain_file::read_text(Path::new(text), LARGEST, Links::Follow);
        let whole = whole.map_err(|e| match e.kind() {
            std::io::ErrorKind::NotFound => {
                let e = parsed
                    .err()
                    .map_or_else(String::new, |e| format!(", and {e}"));
                wrong(text, format!("there is no such file{e}"))
            }
            _ => wrong(text, io_words(&e)),
        })?;
        let (key, stated) = split_statements(&whole);
        if !key.trim().is_empty() || stated.is_empty() {
            let key = PublicKey::parse(key).map_err(|e| wrong(text, e.to_string()))?;
            self.take(name(Path::new(text)), key);
        }
        self.statements(text, stated)
    }

    fn take(&mut self, name: Option<String>, key: PublicKey) {
        self.names.push((name, key));
        self.parts.given.push(key);
    }

    /// Statements let nobody in by themselves: a key among them is an error.
    fn statements(&mut self, file: &str, text: &str) -> Result<(), CustodyError> {
        for stated in read_statements(text) {
            if let Err(bad) = &stated
                && bad.keys.is_empty()
            {
                let why = format!(
                    "{}; it is not known which key it is about: have the shop send it again, or \
                     take the file away",
                    bad.why
                );
                return Err(wrong(file, why));
            }
            self.parts.statements.push((file.to_owned(), stated));
        }
        Ok(())
    }
}

fn wrong(text: &str, why: String) -> CustodyError {
    CustodyError::usage(format!("--public-key {text}: {why}"))
}

fn name(path: &Path) -> Option<String> {
    Some(path.file_name()?.to_string_lossy().into_owned())
}

/// The files `NAME.pem` of a folder, in the order of their names.
pub(crate) fn files_of(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    files_ending(folder, "pem")
}

/// The files of a folder whose names end so, in the order of their names.
fn files_ending(folder: &Path, wanted: &str) -> std::io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let hidden = name(&path).is_some_and(|name| name.starts_with('.'));
        let extension = path.extension();
        if !hidden && extension.is_some_and(|e| e.eq_ignore_ascii_case(wanted)) {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}
