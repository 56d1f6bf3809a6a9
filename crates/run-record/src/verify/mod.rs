//! Checking that a record is what was recorded, and what was sealed.

mod family;
mod files;
mod findings;
mod walk;
mod words;

use std::{
    collections::BTreeMap,
    io,
    path::{Path, PathBuf},
};

use chrono::DateTime;
use plain_file::{Links, Refused, io_words};
use seal_keys::{KeyRing, KeyRingParts, KeyStanding, PublicKey};

use crate::{
    error::{AtPath, Problem, RecordError},
    header::{JOB_NAME, LARGEST, RunHeader},
    parts::{header_row_of, is_trace_name, seed_of},
    seal::{
        FileDigest, FileKind, Opened, SEAL_NAME, Seal, contents, digest_of, digest_of_record, open,
    },
    trace::TRACE_NAME,
};

use family::{broken_header, read_family};
use files::{changed_files, uncovered};

pub(crate) use family::families_of;
pub(crate) use walk::walk;

pub use findings::{
    Answer, FileChange, FileChangeKind, RowChange, RowChangeKind, SealCheck, TraceCheck,
    Verification,
};

/// Largest `seal.json` that is read.
pub(crate) const LARGEST_SEAL: u64 = 1 << 24;

/// Checks a run folder (or the one that holds this trace) with nothing but what
/// is in it. Reads only.
///
/// Without a seal it finds rows changed, dropped, inserted or swapped, and a
/// changed `job.toml`. With one it also finds rows cut off the end, a chain made
/// anew, and every other change of a sealed file.
///
/// ```
/// use chrono::{TimeZone, Utc};
/// use run_record::{Answer, RunHeader, RunWriter, verify};
/// use vacuum::{Entry, Pressure, Reading};
///
/// # let place = tempfile::tempdir()?;
/// let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).unwrap();
/// let mut run = RunWriter::create(place.path(), &RunHeader::default(), started)?;
/// let reading = Reading::measured(0.0, Pressure::from_micron(18_500.0)?);
/// run.append(&Entry::Reading(reading), started)?;
/// let folder = run.finish()?.folder;
/// assert!(verify(&folder)?.chain.is_intact());
///
/// // somebody makes the reading another one
/// let trace = folder.join("trace.csv");
/// let text = std::fs::read_to_string(&trace)?;
/// std::fs::write(&trace, text.replace("18500", "14500"))?;
/// let found = verify(&folder)?;
/// assert!(!found.chain.is_intact());
/// assert_eq!(found.answer(false), Answer::Altered);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// When it is no run folder or cannot be read.
pub fn verify(path: &Path) -> Result<Verification, RecordError> {
    verify_by(path, None)
}

/// As [`verify`], for a seal by one of these keys.
///
/// # Errors
/// As [`verify`].
pub fn verify_by<'k>(
    path: &Path,
    keys: impl IntoIterator<Item = &'k PublicKey>,
) -> Result<Verification, RecordError> {
    let parts = KeyRingParts {
        given: keys.into_iter().copied().collect(),
        ..KeyRingParts::default()
    };
    // without statements it does not matter when
    verify_with(path, &KeyRing::new(parts, DateTime::UNIX_EPOCH))
}

/// As [`verify`], for a seal by a key that is known and to be trusted.
///
/// # Errors
/// As [`verify`].
pub fn verify_with(path: &Path, keys: &KeyRing) -> Result<Verification, RecordError> {
    let folder = run_folder(path)?;
    let listed = contents(&folder).reading(&folder)?;
    let seal = check_seal(&folder, keys)?;
    let sealed = seal.seal();
    let job = read_job(&folder)?;
    let job_is_edited = job.is_some() && sealed.is_some_and(|s| is_edited(s, &folder, JOB_NAME));
    let mut digests: BTreeMap<&str, FileDigest> = BTreeMap::new();
    let mut traces = Vec::new();
    let mut families = Vec::new();
    for names in families_of(&listed.files) {
        let family = read_family(&folder, &names, sealed.is_some(), job_is_edited)?;
        for (i, name) in names.iter().enumerate() {
            let path = folder.join(name);
            let sealed_trace = sealed.and_then(|s| s.traces.iter().find(|t| t.name == *name));
            let is_sealed = sealed.and_then(|s| s.files.iter().find(|f| f.name == *name));
            let part = family.parts.iter().find(|p| p.file == *name);
            let torn_tail = part.and_then(|p| p.torn.clone());
            // byte for byte as it was sealed: no line of it can be another
            if let Some(file) = is_sealed
                && digest_of(&path).reading(&path)? == file.digest
            {
                traces.push(TraceCheck {
                    file: (*name).to_owned(),
                    rows: part.map_or_else(|| sealed_trace.map_or(0, |t| t.rows), |p| p.rows),
                    change: None,
                    torn_tail,
                });
                digests.insert(name, file.digest.clone());
                continue;
            }
            // where a part begins, only the reader of the whole knows
            let seed = job
                .as_deref()
                .filter(|_| i == 0)
                .map(|job| seed_of(&path, header_row_of(name), job));
            let walked = walk(&path, seed, sealed_trace, &mut BTreeMap::new()).reading(&path)?;
            traces.push(TraceCheck {
                file: (*name).to_owned(),
                rows: part.map_or(walked.kept.rows, |p| p.rows),
                change: match sealed_trace {
                    Some(_) => walked.change,
                    None => family.change(name, walked.change.filter(|_| i == 0)),
                },
                torn_tail,
            });
            digests.insert(name, walked.digest);
        }
        families.push(family);
    }
    for name in &listed.files {
        let wanted = sealed.is_some_and(|s| s.files.iter().any(|f| f.name == *name));
        let is_record = FileKind::of(name) == FileKind::Record;
        if (wanted || is_record) && !digests.contains_key(name.as_str()) {
            let path = folder.join(name);
            digests.insert(name, digest_of(&path).reading(&path)?);
        }
    }
    let files = changed_files(sealed, &listed, &digests);
    let record = digests
        .iter()
        .filter(|(name, _)| FileKind::of(name) == FileKind::Record);
    let record_sha256 = digest_of_record(record.map(|(name, d)| (*name, d.sha256.as_str())));
    let judged = families.first().filter(|f| f.first == TRACE_NAME);
    let broken = families.iter().map(|f| &f.chain).find(|c| !c.is_intact());
    Ok(Verification {
        rows: judged.map_or(0, |f| f.rows),
        torn_tail: judged.and_then(|f| f.torn.clone()),
        last_link: judged.and_then(|f| f.last_link),
        chain: match (broken, judged) {
            (Some(broken), _) => broken.clone(),
            (None, Some(judged)) => judged.chain.clone(),
            // the seal is there, the trace is not
            (None, None) => broken_header(TRACE_NAME),
        },
        uncovered: uncovered(sealed, &listed),
        record_sha256,
        invented: job.and_then(|job| {
            let header = RunHeader::from_bytes(&folder.join(JOB_NAME), &job);
            header.ok().map(|h| h.job.invented)
        }),
        traces,
        files,
        key: match seal.key() {
            Some(key) => keys.standing(&key, seal.seal().map(Seal::facts).as_ref()),
            None => KeyStanding::default(),
        },
        seal,
    })
}

/// The run folder a path means.
pub(crate) fn run_folder(path: &Path) -> Result<PathBuf, RecordError> {
    let not_a_run = || RecordError::new(path, Problem::NotARun);
    let folder = if std::fs::metadata(path).reading(path)?.is_dir() {
        path.to_owned()
    } else {
        let name = path.file_name().and_then(|n| n.to_str());
        name.filter(|n| is_trace_name(n)).ok_or_else(not_a_run)?;
        match path.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
            _ => PathBuf::from("."),
        }
    };
    // what is there and no plain file is found by whoever reads it
    let is_run = [TRACE_NAME, SEAL_NAME]
        .iter()
        .any(|n| folder.join(n).symlink_metadata().is_ok());
    is_run.then_some(folder).ok_or_else(not_a_run)
}

/// The bytes of `job.toml`, or none when it is missing or cannot be one: a link, a
/// pipe, more than such a file ever holds.
pub(crate) fn read_job(folder: &Path) -> Result<Option<Vec<u8>>, RecordError> {
    let path = folder.join(JOB_NAME);
    match plain_file::read(&path, LARGEST, Links::Refuse) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(e) if is_none(&e) || e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(e).reading(&path),
    }
}

/// True when what stands there cannot be the file that it should be.
fn is_none(error: &io::Error) -> bool {
    Refused::of(error).is_some() || error.kind() == io::ErrorKind::IsADirectory
}

/// Whether a sealed file is there and is not what was sealed.
fn is_edited(seal: &Seal, folder: &Path, name: &str) -> bool {
    let sealed = seal.files.iter().find(|f| f.name == name);
    sealed.is_some_and(|f| digest_of(&folder.join(name)).is_ok_and(|d| d != f.digest))
}

fn check_seal(folder: &Path, keys: &KeyRing) -> Result<SealCheck, RecordError> {
    let path = folder.join(SEAL_NAME);
    let bytes = match plain_file::read(&path, LARGEST_SEAL, Links::Refuse) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(SealCheck::Absent),
        Err(e) if is_none(&e) => {
            let why = io_words(&e);
            return Ok(SealCheck::Broken { why });
        }
        Err(e) => return Err(e).reading(&path),
    };
    let by_given_key = |key: &PublicKey| keys.knows(key);
    Ok(match open(&bytes) {
        Opened::Broken { why } => SealCheck::Broken { why: why.into() },
        Opened::Newer { schema, key } => SealCheck::Newer {
            schema,
            key,
            by_given_key: by_given_key(&key),
        },
        Opened::Signed(seal) => match by_given_key(&seal.key) {
            None => SealCheck::ByOwnKey(seal),
            Some(true) => SealCheck::ByGivenKey(seal),
            Some(false) => SealCheck::OtherKey(seal),
        },
    })
}
