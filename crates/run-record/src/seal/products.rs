//! Files made from a record: written, and sealed by whoever has just written them.
//!
//! A seal of a product says that the holder of the key made it from this record.
//! So nothing is taken from the disk here: what is signed is the digest of the bytes
//! that this process had in memory when it wrote them.

use std::{
    io,
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use plain_file::Links;
use seal_keys::{PublicKey, SealKey};
use whole_file::{Unplaced, sync_folder, write_beside};

use super::{
    contents::{FileDigest, FileKind, SEAL_NAME},
    error::{SealError, SealProblem},
    make::{does_not_fit, write},
    statement::{Opened, Seal, SealedFile, open},
};
use crate::header::JOB_NAME;
use crate::verify::{Answer, LARGEST_SEAL, SealCheck, run_folder, verify};

/// Files made from a record, on their way into a folder: each is written and synced
/// under another name first, then all get their own at once. While one cannot be
/// made, the folder stays as it was.
#[derive(Debug)]
pub struct Products {
    folder: PathBuf,
    waiting: Vec<(SealedFile, Unplaced)>,
}

/// Files that this process has written, with their digests.
#[derive(Debug, Clone, Default)]
pub struct WrittenProducts {
    files: Vec<SealedFile>,
}

impl Products {
    /// None yet, for this folder.
    #[must_use]
    pub fn new(folder: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            waiting: Vec::new(),
        }
    }

    /// Writes one beside its place.
    ///
    /// # Errors
    /// Whatever the disk says.
    pub fn add(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let unplaced = write_beside(&self.folder, bytes)?;
        let file = SealedFile {
            name: name.to_owned(),
            kind: FileKind::Product,
            digest: FileDigest::of(bytes),
        };
        self.waiting.push((file, unplaced));
        Ok(())
    }

    /// Gives all of them their names in a folder sealed by `key`, and makes the seal cover
    /// them. They have their names also where they cannot be sealed.
    ///
    /// Where all the names are free the seal comes first: a power cut in between leaves a
    /// seal that names files which are not there, which is no sign of tampering. The
    /// other order would leave files that nobody vouches for. Files that replace others
    /// are sealed as soon as all are placed.
    #[must_use]
    pub fn place_sealed(self, key: &SealKey, now: DateTime<Utc>) -> PlacedProducts {
        let (path, folder) = (self.folder.clone(), &self.folder);
        let is_free = |(file, _): &(SealedFile, Unplaced)| {
            folder.join(&file.name).symlink_metadata().is_err()
        };
        let first = self.waiting.iter().all(is_free).then(|| {
            let files = self.waiting.iter().map(|(file, _)| file.clone());
            let files = files.collect();
            seal_products(&path, key, now, &WrittenProducts { files })
        });
        let (written, failed) = self.place();
        let sealed = first.unwrap_or_else(|| seal_products(&path, key, now, &written));
        PlacedProducts {
            written,
            failed,
            sealed,
        }
    }

    /// Gives all of them their names. Gives those that have theirs, and the first
    /// that could not have it, with the reason.
    #[must_use]
    pub fn place(self) -> (WrittenProducts, Option<(PathBuf, io::Error)>) {
        let mut written = WrittenProducts::default();
        for (file, unplaced) in self.waiting {
            let path = self.folder.join(&file.name);
            if let Err(e) = unplaced.place(&path) {
                return (written, Some((path, e)));
            }
            written.files.push(file);
        }
        let synced = sync_folder(&self.folder);
        (written, synced.err().map(|e| (self.folder, e)))
    }
}

/// What came of products that were to be sealed.
#[derive(Debug)]
pub struct PlacedProducts {
    /// Those that have their names.
    pub written: WrittenProducts,
    /// The first that could not have its name, with the reason.
    pub failed: Option<(PathBuf, io::Error)>,
    /// The seal that covers them, or why none does.
    pub sealed: Result<Seal, SealError>,
}

impl WrittenProducts {
    /// Their names, in the order they were made.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|f| f.name.as_str())
    }
}

/// Whether products made anew in this folder can be sealed by this key: only looks.
///
/// # Errors
/// When there is no seal, it is by another key, or the record is not as it was
/// sealed.
pub fn check_before_products(path: &Path, key: &SealKey) -> Result<(), SealError> {
    fitting_seal(path, key).map(drop)
}

/// Makes the seal of a run cover files that this process has just made from it. What
/// the seal says of the record itself, and of products made before, stays as it was.
///
/// # Errors
/// As [`check_before_products`]; when the seal cannot be written.
pub fn seal_products(
    path: &Path,
    key: &SealKey,
    now: DateTime<Utc>,
    written: &WrittenProducts,
) -> Result<Seal, SealError> {
    let (folder, mut seal) = fitting_seal(path, key)?;
    let before = seal.files.clone();
    let is_new = |f: &SealedFile| written.files.iter().any(|w| w.name == f.name);
    seal.files.retain(|f| !is_new(f));
    seal.files.extend(written.files.iter().cloned());
    seal.files.sort_by(|a, b| a.name.cmp(&b.name));
    if seal.files != before {
        seal.products_utc = Some(now);
        write(&folder, &seal, key)?;
    }
    Ok(seal)
}

/// The run folder, and its seal when that is by this key and fits the record.
fn fitting_seal(path: &Path, key: &SealKey) -> Result<(PathBuf, Seal), SealError> {
    let problem = |problem| SealError::new(path, problem);
    let folder = run_folder(path).map_err(|e| problem(e.into()))?;
    let found = verify(&folder).map_err(|e| problem(e.into()))?;
    let seal = match &found.seal {
        SealCheck::Absent => return Err(problem(SealProblem::NoSeal)),
        SealCheck::ByOwnKey(seal) => (**seal).clone(),
        _ => return Err(problem(does_not_fit(&found))),
    };
    if !matches!(
        found.answer(false),
        Answer::AsSealed | Answer::ProductChanged
    ) {
        return Err(problem(does_not_fit(&found)));
    }
    if seal.key != key.public() {
        let fingerprint = seal.key.fingerprint();
        return Err(problem(SealProblem::OtherKey { fingerprint }));
    }
    key.check_in_use()?;
    Ok((folder, seal))
}

/// The bytes of a product of a run folder (`findings.json` for instance), when the
/// seal beside it is by this key and covers exactly these bytes. `None` else: then
/// nobody vouches for what the file says.
///
/// Of the record only `job.toml` and the lengths of the traces are compared: [`verify`]
/// looks closer.
#[must_use]
pub fn sealed_product(
    folder: &Path,
    name: &str,
    most_bytes: u64,
    key: &PublicKey,
) -> Option<Vec<u8>> {
    let read = |name: &str, most| plain_file::read(&folder.join(name), most, Links::Refuse).ok();
    let Opened::Signed(seal) = open(&read(SEAL_NAME, LARGEST_SEAL)?) else {
        return None;
    };
    let file = seal.files.iter().find(|f| f.name == name)?;
    let is_whole = |f: &SealedFile| {
        let length = folder.join(&f.name).symlink_metadata().map(|m| m.len());
        let as_long = length.is_ok_and(|bytes| bytes == f.digest.bytes);
        let same = || read(&f.name, most_bytes).is_some_and(|b| FileDigest::of(&b) == f.digest);
        f.kind != FileKind::Record || (as_long && (f.name != JOB_NAME || same()))
    };
    if seal.key != *key || !seal.files.iter().all(is_whole) {
        return None;
    }
    read(name, most_bytes).filter(|bytes| FileDigest::of(bytes) == file.digest)
}
