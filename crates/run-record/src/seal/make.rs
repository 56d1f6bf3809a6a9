//! Sealing a run folder.

use std::{collections::BTreeMap, path::Path};

use chrono::{DateTime, Utc};
use plain_file::one_line;
use seal_keys::SealKey;

use super::{
    contents::{FileDigest, FileKind, SEAL_NAME, contents, digest_of, digest_of_record},
    error::{SealError, SealProblem},
    statement::{Seal, SealedFile, SealedTrace},
};
use crate::{
    link::Link,
    parts::{file_name, first_seq, header_row_of, seed_of},
    run::is_being_recorded,
    run_folder::put_file,
    verify::{Answer, SealCheck, Verification, families_of, read_job, run_folder, verify, walk},
};

/// When a run is sealed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SealMoment {
    /// At the end of recording, by the program that recorded: the last row has
    /// to be the one it wrote.
    AtTheEnd {
        /// Link of the last row written.
        last_link: Link,
    },
    /// At a later start, after a power cut for instance. The seal says so.
    Later,
}

/// Seals a run folder: the record, what is attached to it, and the last link and
/// rows of each trace. Writes `seal.json`, whole or not at all.
///
/// Files made from the record are left out, whoever put them there:
/// `seal_products` takes those that this process has just made.
///
/// A folder that is sealed and as it was sealed by this key stays as it is.
///
/// # Errors
/// When it cannot be read or written, is being recorded, or does not hold
/// together; when it has a seal that does not fit, or one by another key. The
/// record is never touched.
pub fn seal_run(
    path: &Path,
    key: &SealKey,
    software: &str,
    now: DateTime<Utc>,
    moment: SealMoment,
) -> Result<Seal, SealError> {
    let problem = |problem| SealError::new(path, problem);
    let folder = run_folder(path).map_err(|e| problem(e.into()))?;
    if is_being_recorded(&folder).map_err(|e| problem(e.into()))? {
        return Err(problem(SealProblem::BeingRecorded));
    }
    let found = verify(&folder).map_err(|e| problem(e.into()))?;
    match &found.seal {
        SealCheck::Absent => {}
        SealCheck::ByOwnKey(seal) if found.answer(false) == Answer::AsSealed => {
            return if seal.key == key.public() {
                Ok((**seal).clone())
            } else {
                let fingerprint = seal.key.fingerprint();
                Err(problem(SealProblem::OtherKey { fingerprint }))
            };
        }
        _ => return Err(problem(does_not_fit(&found))),
    }
    if let Some(what) = found.changes().into_iter().next() {
        return Err(problem(SealProblem::NotSound { what }));
    }
    if let SealMoment::AtTheEnd { last_link } = moment
        && found.last_link != Some(last_link)
    {
        return Err(problem(SealProblem::ChangedMeanwhile));
    }
    let (files, traces) = state(&folder)?;
    let record_sha256 = digest_of_files(&files);
    if record_sha256 != found.record_sha256 {
        return Err(problem(SealProblem::ChangedMeanwhile));
    }
    let seal = Seal {
        // last of all that can fail, so that every number has its seal
        register: key.enter(&name_of(&folder), &record_sha256)?,
        software: software.to_owned(),
        sealed_utc: now,
        later: moment == SealMoment::Later,
        products_utc: None,
        record_sha256,
        key: key.public(),
        files,
        traces,
    };
    write(&folder, &seal, key)?;
    Ok(seal)
}

/// The name of a run folder, also where it is given as ".".
fn name_of(folder: &Path) -> String {
    let whole = folder.canonicalize();
    one_line(&file_name(whole.as_deref().unwrap_or(folder)))
}

/// True when there is a seal in this folder, whether it fits or not. Nothing may
/// be added to such a record.
#[must_use]
pub fn is_sealed(folder: &Path) -> bool {
    folder.join(SEAL_NAME).symlink_metadata().is_ok()
}

/// Digest of the record of a run folder as a whole, 64 hexadecimal characters:
/// the SHA-256 of what `sha256sum` prints for `job.toml` and the traces in the
/// order of their names.
///
/// # Errors
/// When it is no run folder or cannot be read.
pub fn record_digest(path: &Path) -> Result<String, SealError> {
    let problem = |problem| SealError::new(path, problem);
    let folder = run_folder(path).map_err(|e| problem(e.into()))?;
    let mut files = Vec::new();
    for name in contents(&folder)
        .map_err(|e| problem(SealProblem::Read(e)))?
        .files
    {
        if FileKind::of(&name) == FileKind::Record {
            files.push(sealed_file(&folder, name)?);
        }
    }
    Ok(digest_of_files(&files))
}

fn digest_of_files(files: &[SealedFile]) -> String {
    let record = files.iter().filter(|f| f.kind == FileKind::Record);
    digest_of_record(record.map(|f| (f.name.as_str(), f.digest.sha256.as_str())))
}

pub(super) fn does_not_fit(found: &Verification) -> SealProblem {
    let what = match &found.seal {
        SealCheck::Newer { .. } => "it is in a format that this version does not know".to_owned(),
        _ => found.changes().into_iter().next().unwrap_or_default(),
    };
    SealProblem::OldSealDoesNotFit { what }
}

/// Every file and trace as it is now, without products.
fn state(folder: &Path) -> Result<(Vec<SealedFile>, Vec<SealedTrace>), SealError> {
    let problem = |path: &Path, e| SealError::new(path, SealProblem::Read(e));
    let names = contents(folder).map_err(|e| problem(folder, e))?.files;
    let job = read_job(folder).map_err(|e| SealError::new(folder, e.into()))?;
    let job = job.unwrap_or_default();
    let mut files = Vec::new();
    let mut traces = Vec::new();
    for family in families_of(&names) {
        for trace in state_of_trace(folder, &family, &job)? {
            files.push(named(trace.0.name.clone(), trace.1));
            traces.push(trace.0);
        }
    }
    for name in names {
        let is_told = files.iter().any(|f| f.name == name);
        if !is_told && FileKind::of(&name) != FileKind::Product {
            files.push(sealed_file(folder, name)?);
        }
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    Ok((files, traces))
}

/// The files of one trace. A part begins behind some row of an earlier one.
fn state_of_trace(
    folder: &Path,
    names: &[&str],
    job: &[u8],
) -> Result<Vec<(SealedTrace, FileDigest)>, SealError> {
    let problem = |path: &Path, e| SealError::new(path, SealProblem::Read(e));
    let mut begins = Vec::new();
    let mut links = BTreeMap::new();
    for name in names {
        let path = folder.join(name);
        let first = first_seq(&path).map_err(|e| problem(&path, e))?;
        // the row before the first of this file
        let before = first.and_then(|n| n.checked_sub(1));
        links.extend(before.map(|n| (n, None)));
        begins.push((path, before));
    }
    let mut out = Vec::new();
    let mut seed = seed_of(&folder.join(names[0]), header_row_of(names[0]), job);
    links.insert(0, Some(seed));
    for ((path, before), name) in begins.into_iter().zip(names) {
        if let Some(Some(link)) = before.and_then(|n| links.get(&n)) {
            seed = *link;
        }
        let walked = walk(&path, Some(seed), None, &mut links).map_err(|e| problem(&path, e))?;
        let kept = SealedTrace {
            name: (*name).to_owned(),
            ..walked.kept
        };
        out.push((kept, walked.digest));
    }
    Ok(out)
}

fn sealed_file(folder: &Path, name: String) -> Result<SealedFile, SealError> {
    let path = folder.join(&name);
    let digest = digest_of(&path).map_err(|e| SealError::new(&path, SealProblem::Read(e)))?;
    Ok(named(name, digest))
}

fn named(name: String, digest: FileDigest) -> SealedFile {
    SealedFile {
        kind: FileKind::of(&name),
        name,
        digest,
    }
}

pub(super) fn write(folder: &Path, seal: &Seal, key: &SealKey) -> Result<(), SealError> {
    let path = folder.join(SEAL_NAME);
    let bytes = seal.to_bytes(key).ok_or_else(|| {
        let e = std::io::Error::other("the seal could not be put into words");
        SealError::new(&path, SealProblem::Read(e))
    })?;
    put_file(folder, SEAL_NAME, &bytes).map_err(|e| SealError::new(&path, e.into()))
}
