//! The public keys that whoever checks records has been given.

use std::path::{Path, PathBuf};

use run_record::{PublicKey, io_words};

use crate::outcome::Failure;

/// Keys a seal may be by; none when it does not matter whose it is.
pub(crate) struct KnownKeys(Vec<(Option<String>, PublicKey)>);

impl KnownKeys {
    /// Reads what was given: a key itself, a file, a folder of files. A folder has one
    /// file for each shop, `NAME.pem`; other files in it are left alone.
    pub(crate) fn read(given: &[String]) -> Result<Self, Failure> {
        let mut all = Vec::new();
        for text in given {
            let path = Path::new(text);
            if path.is_dir() {
                let files = files_of(path).map_err(|e| wrong(text, io_words(&e)))?;
                if files.is_empty() {
                    let why = "there is no file NAME.pem in this folder";
                    return Err(wrong(text, why.into()));
                }
                for file in files {
                    all.push((name(&file), read(&file.display().to_string())?));
                }
            } else {
                all.push((name(path).filter(|_| path.exists()), read(text)?));
            }
        }
        Ok(Self(all))
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn keys(&self) -> impl Iterator<Item = &PublicKey> {
        self.0.iter().map(|(_, key)| key)
    }

    /// The name of the file that a key was read from.
    pub(crate) fn name_of(&self, key: &PublicKey) -> Option<&str> {
        let (name, _) = self.0.iter().find(|(_, known)| known == key)?;
        name.as_deref()
    }
}

fn wrong(text: &str, why: String) -> Failure {
    Failure::usage(format!("--public-key {text}: {why}"))
}

fn name(path: &Path) -> Option<String> {
    Some(path.file_name()?.to_string_lossy().into_owned())
}

/// The files `NAME.pem` of a folder, in the order of their names.
pub(crate) fn files_of(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let hidden = name(&path).is_some_and(|name| name.starts_with('.'));
        if !hidden
            && path
                .extension()
                .is_some_and(|e| e.eq_ignore_ascii_case("pem"))
        {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// A file, or the key itself.
fn read(text: &str) -> Result<PublicKey, Failure> {
    match PublicKey::parse(text) {
        Ok(key) => Ok(key),
        Err(e) => match PublicKey::read(Path::new(text)) {
            Ok(key) => Ok(key),
            Err(missing) if missing.kind() == std::io::ErrorKind::NotFound => {
                Err(wrong(text, format!("there is no such file, and {e}")))
            }
            Err(why) => Err(wrong(text, io_words(&why))),
        },
    }
}
