//! What a check of a run folder can find.

use seal_keys::{KeyStanding, PublicKey};

use crate::{
    chain::{BreakKind, ChainBreak, ChainStatus},
    link::Link,
    parts::TornTail,
    seal::{FileKind, Seal, Uncovered},
};

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

impl RowChange {
    pub(super) fn of(broken: &ChainBreak) -> Self {
        Self {
            from: broken.row,
            to: broken.row,
            kind: match broken.kind {
                BreakKind::Header => RowChangeKind::Header,
                BreakKind::JobMissing => RowChangeKind::JobMissing,
                BreakKind::FirstRow => RowChangeKind::FirstRow,
                BreakKind::Changed => RowChangeKind::Changed,
                BreakKind::Dropped { missing } => RowChangeKind::Dropped { missing },
                BreakKind::OutOfPlace => RowChangeKind::OutOfPlace,
                BreakKind::Damaged => RowChangeKind::Damaged,
                BreakKind::Differs => RowChangeKind::Differs,
            },
        }
    }
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
