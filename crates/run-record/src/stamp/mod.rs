//! The time stamp of a seal: somebody else's word for when it existed.
//!
//! A seal says when it was made by the clock of the computer that made it. A time
//! stamp of RFC 3161 over its bytes says by an authority's clock that it existed then,
//! and with it the digests of the record. `FORMAT.md` describes the two files.

mod error;
mod make;

use std::{io, path::Path};

use chrono::{DateTime, TimeDelta, Utc};
use plain_file::{Links, io_words};
use sha2::{Digest, Sha256};
use time_stamp::{LONGEST, Signed, Token, Trusted};

use crate::{
    seal::{FileKind, Opened, SEAL_NAME, STAMP_NAME, STAMPED_SEAL_NAME, Seal, SealedFile, open},
    verify::{LARGEST_SEAL, SealCheck, Verification},
};

pub use error::StampError;
pub use make::{SealToStamp, Stamping};

/// How far a clock may be ahead before a word is said about it. Common practice, no
/// source: clocks are printed in minutes.
const CLOCK_MAY_BE_AHEAD: TimeDelta = TimeDelta::seconds(60);

/// What became of the time stamp of a run's seal.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum StampCheck {
    /// There is none: when the seal was made is only its own word.
    Absent,
    /// A request was made for it, and no answer was put beside it yet.
    Asked,
    /// There is one, and it is none of this seal.
    DoesNotFit {
        /// What is wrong with it, for a person.
        why: String,
    },
    /// It fits the seal. Whoever signed it was not checked, because no certificate of
    /// an authority was given.
    NotChecked(SealStamp),
    /// It fits the seal, and a certificate that was given vouches for who signed it.
    Checked(SealStamp),
}

impl StampCheck {
    /// The stamp, where it fits the seal.
    #[must_use]
    pub fn stamp(&self) -> Option<&SealStamp> {
        match self {
            Self::NotChecked(stamp) | Self::Checked(stamp) => Some(stamp),
            Self::Absent | Self::Asked | Self::DoesNotFit { .. } => None,
        }
    }
}

/// A time stamp that fits the seal beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealStamp {
    /// When the seal existed, by the clock of the authority.
    pub time: DateTime<Utc>,
    /// How far that may be off, to either side, where the authority says it.
    pub accuracy: Option<TimeDelta>,
    /// Name in the certificate that signed the stamp. Anybody can make one.
    pub authority: String,
    /// Name of the given certificate that vouches for it.
    pub vouched_for_by: Option<String>,
    /// A clock of the record that ran ahead of the authority's, and by how much at
    /// least.
    pub clock_ahead: Option<ClockAhead>,
    /// False when products were made and sealed after the stamp: it does not cover
    /// those.
    pub covers_products: bool,
}

/// A clock that showed a time which had not come yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockAhead {
    /// True for the clock that stamped the rows; false for that of the computer that
    /// sealed the record later.
    pub of_recorder: bool,
    /// By how much at least.
    pub by: TimeDelta,
}

/// Checks the time stamp of a run folder that was verified, with nothing but what is in
/// the folder and these certificates. Reads only.
#[must_use]
pub fn check_stamp(path: &Path, found: &Verification, trusted: &Trusted) -> StampCheck {
    let folder = match path.is_dir() {
        true => path,
        false => path.parent().unwrap_or(path),
    };
    checked(folder, found, trusted).unwrap_or_else(|why| StampCheck::DoesNotFit { why })
}

fn checked(folder: &Path, found: &Verification, trusted: &Trusted) -> Result<StampCheck, String> {
    let answer = read(folder, STAMP_NAME, LONGEST as u64)?;
    let stamped = read(folder, STAMPED_SEAL_NAME, LARGEST_SEAL)?;
    if answer.is_none() && stamped.is_none() {
        return Ok(StampCheck::Absent);
    }
    let seal = match &found.seal {
        SealCheck::Absent => return Err(format!("{SEAL_NAME}, which it was made for, is missing")),
        check => check
            .seal()
            .ok_or("the seal is not one that can be compared")?,
    };
    let Some(answer) = answer else {
        return Ok(StampCheck::Asked);
    };
    let (stamped, is_own) = match stamped {
        Some(bytes) => (bytes, false),
        // a stamp that was asked for by other means is over the seal itself
        None => (
            read(folder, SEAL_NAME, LARGEST_SEAL)?.unwrap_or_default(),
            true,
        ),
    };
    let covers_products = match is_own {
        true => true,
        false => agrees(&stamped, seal)?,
    };
    let signed = signed_over(&answer, &stamped).map_err(|e| e.to_string())?;
    let mut stamp = SealStamp::of(&signed, seal, covers_products);
    if trusted.is_empty() {
        return Ok(StampCheck::NotChecked(stamp));
    }
    let root = signed.vouched_for(trusted).map_err(|e| e.to_string())?;
    stamp.vouched_for_by = Some(root);
    Ok(StampCheck::Checked(stamp))
}

/// The bytes of a file of the folder, or none when it is missing.
fn read(folder: &Path, name: &str, most: u64) -> Result<Option<Vec<u8>>, String> {
    match plain_file::read(&folder.join(name), most, Links::Refuse) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(format!("{name}: {}", io_words(&e))),
    }
}

/// The stamp in an answer, when it is over these bytes.
fn signed_over(answer: &[u8], stamped: &[u8]) -> Result<Signed, time_stamp::Refusal> {
    Token::read(answer)?.signed_over(&Sha256::digest(stamped).into())
}

/// Whether the seal that was stamped says the same of the record as the seal of now;
/// gives whether it says the same of the products too.
fn agrees(stamped: &[u8], seal: &Seal) -> Result<bool, String> {
    let Opened::Signed(stamped) = open(stamped) else {
        return Err(format!("{STAMPED_SEAL_NAME} is no seal as a key left it"));
    };
    if of_record(&stamped) != of_record(seal) {
        return Err(format!(
            "{STAMPED_SEAL_NAME}, which was stamped, is not the seal of this record"
        ));
    }
    Ok(stamped.files == seal.files)
}

/// What a seal says of the record itself. It stays as it is when products are sealed.
fn of_record(seal: &Seal) -> Seal {
    let is_product = |f: &SealedFile| f.kind == FileKind::Product;
    let mut seal = seal.clone();
    seal.files.retain(|f| !is_product(f));
    seal.products_utc = None;
    seal
}

impl SealStamp {
    fn of(signed: &Signed, seal: &Seal, covers_products: bool) -> Self {
        let latest = signed.time() + signed.accuracy().unwrap_or_default();
        let ahead = |at: DateTime<Utc>, of_recorder| {
            let by = at - latest;
            (by > CLOCK_MAY_BE_AHEAD).then_some(ClockAhead { of_recorder, by })
        };
        let last_row = seal.last_row_utc().and_then(|last| ahead(last, true));
        Self {
            time: signed.time(),
            accuracy: signed.accuracy(),
            authority: signed.authority(),
            vouched_for_by: None,
            clock_ahead: last_row.or_else(|| ahead(seal.sealed_utc, !seal.later)),
            covers_products,
        }
    }
}
