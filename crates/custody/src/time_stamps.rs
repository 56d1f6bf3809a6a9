//! What `verify` says of the time stamp of a seal.

use std::path::Path;

use chrono::TimeDelta;
use plain_file::io_words;
use run_record::{SealCheck, SealStamp, StampCheck, Verification, check_stamp};
use serde_json::{Value, json};
use time_stamp::Trusted;

use crate::{dates::stamp as date, error::CustodyError, known_keys::files_of, sealer::clock_words};

/// Largest file of certificates: a collection of all roots of a computer has less.
const MOST_BYTES: u64 = 4 << 20;

/// The certificates of time-stamp authorities that whoever checks records trusts.
pub struct Authorities(Trusted);

impl Authorities {
    /// Reads what was given: files, or folders with files `NAME.pem`.
    pub fn read(given: &[std::path::PathBuf]) -> Result<Self, CustodyError> {
        let wrong = |path: &Path, why: String| {
            CustodyError::usage(format!("--timestamp-root {}: {why}", path.display()))
        };
        let mut trusted = Trusted::none();
        for path in given {
            let files = match path.is_dir() {
                true => files_of(path).map_err(|e| wrong(path, io_words(&e)))?,
                false => vec![path.clone()],
            };
            if files.is_empty() {
                let why = "there is no file NAME.pem in this folder";
                return Err(wrong(path, why.into()));
            }
            for file in files {
                let bytes = plain_file::read(&file, MOST_BYTES, plain_file::Links::Follow)
                    .map_err(|e| wrong(&file, io_words(&e)))?;
                trusted
                    .add(&bytes)
                    .map_err(|e| wrong(&file, e.to_string()))?;
            }
        }
        Ok(Self(trusted))
    }
}

/// What was found of the time stamp of one record.
pub struct TimeStamp {
    check: StampCheck,
    /// Whether there was anything that could have been stamped.
    is_sealed: bool,
    is_asked_for: bool,
}

impl TimeStamp {
    /// Checks it.
    pub fn of(path: &Path, found: &Verification, authorities: &Authorities) -> Self {
        Self {
            check: check_stamp(path, found, &authorities.0),
            is_sealed: found.seal != SealCheck::Absent,
            is_asked_for: !authorities.0.is_empty(),
        }
    }

    /// True where it is not as it should be: a stamp that does not fit, or none where one was
    /// asked for.
    ///
    /// A clock that ran ahead adds nothing: every byte is as it was sealed and stamped,
    /// and elapsed time, by which a hold is judged, does not rest on that clock.
    pub fn is_wrong(&self) -> bool {
        match &self.check {
            StampCheck::DoesNotFit { .. } => true,
            StampCheck::Absent | StampCheck::Asked => self.is_asked_for,
            _ => false,
        }
    }

    /// What is said where each record has few lines.
    pub fn short(&self) -> Vec<String> {
        let checked = match &self.check {
            StampCheck::Checked(stamp) => Some(format!("{} (time stamp).", existed(stamp))),
            _ => None,
        };
        self.trouble().into_iter().chain(checked).collect()
    }

    /// What is wrong.
    fn trouble(&self) -> Option<String> {
        match &self.check {
            StampCheck::DoesNotFit { why } => Some(format!("ITS TIME STAMP DOES NOT FIT: {why}.")),
            StampCheck::Absent | StampCheck::Asked if self.is_asked_for => {
                Some("NO TIME STAMP, although a certificate to check one with was given.".into())
            }
            StampCheck::Checked(stamp) => clock_words(stamp),
            _ => None,
        }
    }

    /// The whole of it.
    pub fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.trouble().into_iter().collect();
        match &self.check {
            StampCheck::DoesNotFit { .. } => {}
            // without a seal there is nothing to stamp, and that is said already
            StampCheck::Absent if !self.is_sealed => {}
            StampCheck::Absent => lines.push(
                "No time stamp: when it was sealed is only the word of the computer that sealed it."
                    .into(),
            ),
            StampCheck::Asked => lines.push(
                "No time stamp yet: a request was made, and the answer is not here.".into(),
            ),
            StampCheck::NotChecked(stamp) => {
                lines.push(format!(
                    "It carries a time stamp of {}, said to be by {},",
                    date(stamp.time),
                    stamp.authority
                ));
                lines.push(
                    "not checked: no certificate of the time-stamp authority was given \
                     (--timestamp-root FILE)."
                        .into(),
                );
                lines.extend(clock_words(stamp));
                lines.extend(products(stamp));
            }
            StampCheck::Checked(stamp) => {
                lines.push(format!("{}, said by {}.", existed(stamp), stamp.authority));
                let root = stamp.vouched_for_by.as_deref().unwrap_or_default();
                lines.push(format!(
                    "The certificate \"{root}\" that you gave vouches for this time stamp."
                ));
                let shows = [
                    "So the record was not made or changed after that. It does not show that the clock of",
                    "the recorder was right before. Whether the authority revoked its certificate is not",
                    "asked here.",
                ];
                lines.extend(shows.map(str::to_owned));
                lines.extend(products(stamp));
            }
            // a kind that is added later has to be given words here
            _ => {}
        }
        lines
    }

    /// As a program reads it.
    pub fn json(&self) -> Value {
        let word = match &self.check {
            StampCheck::Absent => "absent",
            StampCheck::Asked => "asked",
            StampCheck::DoesNotFit { .. } => "does_not_fit",
            StampCheck::NotChecked(_) => "not_checked",
            StampCheck::Checked(_) => "checked",
            _ => "not_known",
        };
        let why = match &self.check {
            StampCheck::DoesNotFit { why } => Some(why),
            _ => None,
        };
        let stamp = self.check.stamp();
        let seconds = |length: TimeDelta| length.num_milliseconds() as f64 / 1000.0;
        json!({
            "answer": word,
            "why": why,
            "utc": stamp.map(|s| s.time.to_rfc3339()),
            "accuracy_s": stamp.and_then(|s| s.accuracy).map(seconds),
            "authority": stamp.map(|s| &s.authority),
            "vouched_for_by": stamp.and_then(|s| s.vouched_for_by.as_deref()),
            "covers_products": stamp.map(|s| s.covers_products),
            "recorder_clock_ahead_s": ahead(stamp, true).map(seconds),
            "sealing_clock_ahead_s": ahead(stamp, false).map(seconds),
        })
    }
}

fn ahead(stamp: Option<&SealStamp>, of_recorder: bool) -> Option<TimeDelta> {
    let clock = stamp?.clock_ahead?;
    (clock.of_recorder == of_recorder).then_some(clock.by)
}

/// When it existed, and how far that may be off.
fn existed(stamp: &SealStamp) -> String {
    let off = match stamp.accuracy.filter(|a| a.num_milliseconds() > 0) {
        // to the next whole second: no more is printed of the time
        Some(off) => format!(" ± {} s", (off.num_milliseconds() + 999) / 1000),
        None => String::new(),
    };
    format!("The seal existed at {}{off}", date(stamp.time))
}

fn products(stamp: &SealStamp) -> Option<String> {
    (!stamp.covers_products).then(|| {
        "Curve and sheet were sealed anew after the time stamp, which covers the record only."
            .into()
    })
}
