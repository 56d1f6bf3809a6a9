//! Checking that a record is what was recorded, and what was sealed.

mod family;
mod files;
mod walk;
mod words;

use std::{
    collections::BTreeMap,
    io,
    path::{Path, PathBuf},
};

use chrono::DateTime;
use plain_file::{Links, Refused};

use crate::{
    chain::{ChainStatus, Link},
    error::{AtPath, Problem, RecordError, io_words},
    header::{JOB_NAME, LARGEST, RunHeader},
    parts::{TornTail, is_trace_name},
    run::seed_of,
    seal::{
        FileDigest, FileKind, KeyRing, KeyRingParts, KeyStanding, Opened, PublicKey, SEAL_NAME,
        Seal, Uncovered, contents, digest_of, digest_of_record, open,
    },
    trace::{HEADER_ROW, TRACE_NAME},
};

use family::{broken_header, read_family};
use files::{changed_files, uncovered};

pub(crate) use family::families_of;
pub(crate) use walk::walk;

/// Largest `seal.json` that is read.
pub(crate) const LARGEST_SEAL: u64 = 1 << 24;

/// What a check of a run folder found.
#[derive(Debug, Clone, PartialEq)]
pub struct Verification {
    /// Rows of `trace.csv` and its continuations.
    pub rows: u64,
    /// Whether every row follows from the one before, by the links alone: the
    /// first break in the first file that has one.
    pub chain: ChainStatus,
    /// What a cut-off recording left, if anything.
    pub torn_tail: Option<TornTail>,
    /// Link of the last whole row.
    pub last_link: Option<Link>,
    /// Every trace, the judged one and its continuations first.
    pub traces: Vec<TraceCheck>,
    /// Files that are not as they were sealed.
    pub files: Vec<FileChange>,
    /// What lies in the folder and is not covered by its seal.
    pub uncovered: Vec<Uncovered>,
    /// The seal itself.
    pub seal: SealCheck,
    /// What is known of the key that signed it; nothing where nothing is signed.
    pub key: KeyStanding,
    /// Digest of the record as a whole as it is now; the sheet prints it.
    pub record_sha256: String,
    /// Whether `job.toml` says that the data are invented; `None` when it cannot
    /// be read.
    pub invented: Option<bool>,
}

/// One trace of a run folder.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceCheck {
    /// Its file name.
    pub file: String,
    /// Rows below its header.
    pub rows: u64,
    /// The first row that is not what was recorded, if there is one.
    pub change: Option<RowChange>,
    /// What a cut-off recording left at its end.
    pub torn_tail: Option<TornTail>,
}

/// The first place where a trace is not what was recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RowChange {
    /// Row of the file, counted from 1 as an editor counts lines; the header is
    /// row 1. A missing row is named by where it stood.
    pub from: u64,
    /// The same as `from`, or the last of the rows among which it is: of a trace
    /// of more than 65,536 rows a seal does not keep every row.
    pub to: u64,
    /// What seems to have been done.
    pub kind: RowChangeKind,
}

/// What a change of a row looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum RowChangeKind {
    /// The header row is not the one this program writes.
    Header,
    /// Without `job.toml` or a seal the first row cannot be checked.
    JobMissing,
    /// The first row does not fit: it or `job.toml` was changed.
    FirstRow,
    /// Its text was changed.
    Changed,
    /// Its link was changed, its text was not.
    Link,
    /// Its line end was changed: an editor or a spreadsheet saved the file.
    LineEnd,
    /// It has not the nine columns of a row.
    Damaged,
    /// Rows that stood here are gone.
    Dropped {
        /// How many, by their numbers.
        missing: u64,
    },
    /// Rows have changed places from here on.
    Moved,
    /// It was put in.
    Inserted,
    /// It stands where another row should: put in, repeated or moved.
    OutOfPlace,
    /// It is not the row that was sealed, and its link was made to fit.
    Remade,
    /// The file ends before this row, which was sealed.
    CutOff {
        /// Sealed rows that are missing.
        missing: u64,
    },
    /// It was added behind the last row that was sealed.
    Appended,
    /// A line that was no whole row when it was sealed, left by a power cut, is not
    /// as it was.
    TornEnd,
    /// A row of the same number in an earlier file says something else.
    Differs,
}

/// A file that is not as it was sealed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileChange {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: FileKind,
    /// How it differs.
    pub change: FileChangeKind,
}

/// How a file differs from what was sealed.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum FileChangeKind {
    /// Other bytes.
    Changed,
    /// It is gone.
    Missing,
    /// A part of a record, or something that may be taken for a product, which the
    /// seal does not cover.
    Added,
    /// Something else than a plain file stands in its place.
    NotAFile {
        /// What it is: "a link to /x", "a named pipe".
        what: String,
    },
}

/// What became of the seal.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum SealCheck {
    /// There is none.
    Absent,
    /// It is not as any key left it.
    Broken {
        /// What is wrong with it.
        why: String,
    },
    /// It is signed, in a format that this version does not know: that of a later
    /// version, or anybody's.
    Newer {
        /// Its format.
        schema: String,
        /// The key that signed.
        key: PublicKey,
        /// Whether that is a key that was asked for; `None` when none was.
        by_given_key: Option<bool>,
    },
    /// Its signature fits, but it is not by the key that was asked for.
    OtherKey(Box<Seal>),
    /// Its signature fits the key that was asked for.
    ByGivenKey(Box<Seal>),
    /// Its signature fits the key it names itself; none was asked for.
    ByOwnKey(Box<Seal>),
}

impl SealCheck {
    /// The seal, when its signature fits the key it names.
    #[must_use]
    pub fn seal(&self) -> Option<&Seal> {
        match self {
            Self::OtherKey(seal) | Self::ByGivenKey(seal) | Self::ByOwnKey(seal) => Some(seal),
            Self::Absent | Self::Broken { .. } | Self::Newer { .. } => None,
        }
    }

    /// The key that signed, when its signature fits.
    #[must_use]
    pub fn key(&self) -> Option<PublicKey> {
        match self {
            Self::Newer { key, .. } => Some(*key),
            _ => self.seal().map(|seal| seal.key),
        }
    }

    /// Whether a key that was asked for signed; `None` when none was asked for, or
    /// nothing is signed.
    #[must_use]
    pub fn by_given_key(&self) -> Option<bool> {
        match self {
            Self::ByGivenKey(_) => Some(true),
            Self::OtherKey(_) => Some(false),
            Self::Newer { by_given_key, .. } => *by_given_key,
            Self::ByOwnKey(_) | Self::Absent | Self::Broken { .. } => None,
        }
    }
}

/// The answer in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Sealed, and everything sealed is as it was.
    AsSealed,
    /// No seal; the rows follow from each other, which is all that can be said.
    NotSealed,
    /// A key was asked for and there is no seal.
    SealMissing,
    /// The seal is by another key than the one asked for.
    OtherKey,
    /// The key that sealed is not to be trusted, as somebody says who may.
    KeyRevoked,
    /// It was sealed by a key that had been replaced by then.
    KeyReplaced,
    /// The record is as it was sealed; a file made from it is not.
    ProductChanged,
    /// The record, the seal, or something attached is not as it was.
    Altered,
    /// It is signed in a format that this version does not know.
    CannotTell,
}

impl Verification {
    /// The answer in one word.
    #[must_use]
    pub fn answer(&self, key_asked_for: bool) -> Answer {
        if self.is_altered() {
            return Answer::Altered;
        }
        match self.seal {
            SealCheck::Absent if key_asked_for => Answer::SealMissing,
            SealCheck::Absent => Answer::NotSealed,
            _ if self.key.is_revoked() => Answer::KeyRevoked,
            _ if self.seal.by_given_key() == Some(false) => Answer::OtherKey,
            _ if self.key.trouble.is_some() => Answer::KeyReplaced,
            SealCheck::Newer { .. } => Answer::CannotTell,
            _ if self.changed_products().next().is_some() => Answer::ProductChanged,
            _ => Answer::AsSealed,
        }
    }

    /// True when nothing was changed, as far as can be told, and nothing is torn.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        !self.is_altered()
            && self.chain.is_intact()
            && self.torn_tail.is_none()
            && self.changed_products().next().is_none()
    }

    /// True when record, seal or attachments are not what they were.
    fn is_altered(&self) -> bool {
        matches!(self.seal, SealCheck::Broken { .. })
            || self.traces.iter().any(|t| t.change.is_some())
            || self.files.iter().any(|f| f.kind != FileKind::Product)
    }

    /// Products that are there and are not those that were sealed, and what may be
    /// taken for one. One that was deleted does no harm: it can be made again.
    pub fn changed_products(&self) -> impl Iterator<Item = &str> {
        let products = self.files.iter().filter(|f| f.kind == FileKind::Product);
        let changed = products.filter(|f| f.change != FileChangeKind::Missing);
        changed.map(|f| f.name.as_str())
    }

    /// The first changed row of the first trace that has one.
    #[must_use]
    pub fn first_change(&self) -> Option<(&str, RowChange)> {
        self.traces
            .iter()
            .find_map(|t| t.change.map(|change| (t.file.as_str(), change)))
    }
}

/// Checks a run folder (or the one that holds this trace) with nothing but what
/// is in it. Reads only.
///
/// Without a seal it finds rows changed, dropped, inserted or swapped, and a
/// changed `job.toml`. With one it also finds rows cut off the end, a chain made
/// anew, and every other change of a sealed file.
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
            // where a part begins, only the reader of the whole knows
            let seed = job
                .as_deref()
                .filter(|_| i == 0)
                .map(|job| seed_of(&path, HEADER_ROW, job));
            let sealed_trace = sealed.and_then(|s| s.traces.iter().find(|t| t.name == *name));
            let walked = walk(&path, seed, sealed_trace, &mut BTreeMap::new()).reading(&path)?;
            let is_sealed = sealed.and_then(|s| s.files.iter().find(|f| f.name == *name));
            let part = family.parts.iter().find(|p| p.file == *name);
            traces.push(TraceCheck {
                file: (*name).to_owned(),
                rows: part.map_or(walked.kept.rows, |p| p.rows),
                change: match (is_sealed, sealed_trace) {
                    (Some(file), _) if file.digest == walked.digest => None,
                    (_, Some(_)) => walked.change,
                    _ => family.change(name, walked.change.filter(|_| i == 0)),
                },
                torn_tail: part.and_then(|p| p.torn.clone()),
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
            Some(key) => keys.standing(&key, seal.seal()),
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
