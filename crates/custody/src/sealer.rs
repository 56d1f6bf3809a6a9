//! Sealing at the end of a recording and after a sheet was drawn anew, and what is said of
//! a seal.

use std::path::Path;

use chrono::{TimeDelta, Utc};
use console::{complain, say};
use run_record::{FinishedRun, Seal, SealMoment, SealStamp, check_before_products, seal_run};
use run_review::Made;
use seal_keys::SealKey;

use wording::Voice;

use crate::{
    dates::stamp,
    error::CustodyError,
    key_choice::{Asking, KeyChoice, NoKey},
};

/// What Enter alone does where a record is about to be sealed, and where one is about to
/// be made.
pub const SEAL: Asking = Asking::AtTheTerminal("Enter alone seals nothing");
/// The same where a note on a rig is about to be signed.
pub const NOTE: Asking = Asking::AtTheTerminal("Enter alone notes nothing");
const RECORD: Asking = Asking::AtTheTerminal("Enter alone records without a seal");

/// Seals a run when its recording ends. Whatever goes wrong here is said and
/// never stops a recording.
pub struct Sealer {
    key: Option<SealKey>,
    choice: KeyChoice,
    wanted: bool,
    made_by: &'static str,
}

impl Sealer {
    /// Opens the key before recording begins, so that a missing one is known
    /// while there is time to mend it. Whoever sits at the terminal is asked for the
    /// passphrase of a locked one.
    ///
    /// # Errors
    /// When whoever was asked for the passphrase leaves.
    pub fn prepare(
        choice: &KeyChoice,
        wanted: bool,
        made_by: &'static str,
    ) -> Result<Self, CustodyError> {
        let mut sealer = Self::without(choice, wanted, made_by);
        if sealer.wanted {
            sealer.key = match in_use(&sealer.choice, RECORD) {
                Ok(key) => Some(key),
                Err(NoKey::Left(failure)) => return Err(failure),
                Err(why) => {
                    not_sealed(&why.into());
                    None
                }
            };
        }
        Ok(sealer)
    }

    /// The same where nobody is there to type a passphrase, or to read that there was
    /// none.
    ///
    /// # Errors
    /// When the key is locked and what unlocks it is not there, or it was replaced or
    /// revoked.
    pub fn prepare_unattended(
        choice: &KeyChoice,
        wanted: bool,
        made_by: &'static str,
    ) -> Result<Self, CustodyError> {
        let mut sealer = Self::without(choice, wanted, made_by);
        if sealer.wanted {
            sealer.key = match in_use(&sealer.choice, Asking::Nobody) {
                Ok(key) => Some(key),
                Err(NoKey::SealsNothing(failure)) => {
                    return Err(CustodyError::usage(format!(
                        "nothing is recorded, because no run would be sealed: {failure}. \
                         --no-seal records without seals"
                    )));
                }
                Err(why) => {
                    not_sealed(&why.into());
                    None
                }
            };
        }
        Ok(sealer)
    }

    fn without(choice: &KeyChoice, wanted: bool, made_by: &'static str) -> Self {
        Self {
            key: None,
            choice: choice.clone(),
            wanted,
            made_by,
        }
    }

    /// Takes the key anew where it was replaced meanwhile. Nobody is asked.
    pub fn renew(&mut self) {
        let out_of_use = |key: &SealKey| key.check_in_use().is_err_and(|e| e.is_key_out_of_use());
        if self.key.as_ref().is_some_and(out_of_use)
            && let Ok(unlocked) = self.choice.open_existing(Asking::Nobody)
        {
            self.key = Some(unlocked.key);
        }
    }

    /// Seals the record of a run, or says why not. Gives the key that seals what is drawn
    /// from it afterwards.
    pub fn seal(&self, run: &FinishedRun) -> Option<&SealKey> {
        let shown = run.folder.display();
        let Some(key) = &self.key else {
            if self.wanted {
                say(format!(
                    "Not sealed. Once there is a key: dryhold seal {shown}"
                ));
            }
            return None;
        };
        if let Some(rescued) = &run.rescued {
            say(format!(
                "Not sealed: the end of the record is in {}. Copy it into the run folder, then: \
                 dryhold seal {shown}",
                rescued.folder.display()
            ));
            return None;
        }
        let moment = SealMoment::AtTheEnd {
            last_link: run.last_link,
        };
        match seal_run(&run.folder, key, self.made_by, Utc::now(), moment) {
            Ok(seal) => {
                say(format!(
                    "Sealed by the key {}; \"dryhold key\" shows what the warranty desk needs.",
                    seal.key.fingerprint()
                ));
                tell_place(&seal);
            }
            Err(e) => {
                let why = CustodyError::from(e);
                complain(format!("the record is kept, but not sealed: {why}"));
                return None;
            }
        }
        Some(key)
    }
}

/// The key, when it still seals.
fn in_use(choice: &KeyChoice, asking: Asking) -> Result<SealKey, NoKey> {
    let key = choice.open(asking)?.key;
    key.check_in_use()?;
    Ok(key)
}

/// Says before a recording that it will have no seal.
fn not_sealed(why: &CustodyError) {
    complain(format!(
        "this run will be recorded, but not sealed: {why} (seal it later with \"dryhold seal\")"
    ));
}

/// Says why the seal of a record does not cover what was made from it.
pub fn tell_unsealed(made: &Made) {
    if let Some(why) = &made.unsealed {
        complain(format!(
            "the record is sealed, curve and sheet are not: {why}"
        ));
    }
}

/// Makes the seal of a run cover a sheet that is made anew.
pub struct Renewal {
    key: SealKey,
}

impl Renewal {
    /// Nothing to do when `out` is no sealed folder. Refuses to write into one
    /// whose seal could not be renewed: it would no longer fit.
    pub fn prepare(
        path: &Path,
        out: &Path,
        choice: &KeyChoice,
    ) -> Result<Option<Self>, CustodyError> {
        if !run_record::is_sealed(out) {
            return Ok(None);
        }
        let refuse = |why: String| {
            CustodyError::usage(format!(
                "{} is sealed, and what is written into it would no longer fit its seal ({why}): \
                 give --out DIR",
                out.display()
            ))
        };
        let run = if path.is_dir() {
            Some(path)
        } else {
            path.parent()
        };
        let same = |a: &Path, b: &Path| match (a.canonicalize(), b.canonicalize()) {
            (Ok(a), Ok(b)) => a == b,
            _ => false,
        };
        let run = run.map(|p| {
            if p.as_os_str().is_empty() {
                Path::new(".")
            } else {
                p
            }
        });
        if !run.is_some_and(|run| same(run, out)) {
            return Err(refuse("it belongs to another run".into()));
        }
        // a key is not made for this: a new one could not renew anything
        let opened = choice.open_existing(SEAL);
        let key = opened
            .map_err(|why| refuse(CustodyError::from(why).to_string()))?
            .key;
        check_before_products(out, &key).map_err(|e| refuse(e.to_string()))?;
        Ok(Some(Self { key }))
    }

    /// The key that seals them.
    pub fn key(&self) -> &SealKey {
        &self.key
    }
}

/// Says which number a run has in the register of its key; above all when it has none, or
/// the register begins with it.
pub fn tell_place(seal: &Seal) {
    match &seal.register {
        None => complain(
            "this run has no number in the register of the key, because register.csv beside the \
             key could not be written: the seal says so",
        ),
        Some(place) if place.number == 1 => say(
            "  Number 1: a register of the runs that this key seals begins beside the key. If there \
             was one before, it is lost, and the seals from here on show it.",
        ),
        Some(place) => say(format!(
            "  Number {} in the register of that key.",
            place.number
        )),
    }
}

/// When a record was sealed, in words.
pub fn when(seal: &Seal) -> String {
    let at = stamp(seal.sealed_utc);
    if !seal.later {
        return format!("Sealed at the end of recording, {at}.");
    }
    let Some(last) = seal.last_row_utc() else {
        return format!("Sealed later, {at}; the record has no rows.");
    };
    let after = seal.sealed_utc - last;
    let how_long = if after < TimeDelta::zero() {
        "by a clock that stood before its last row".to_owned()
    } else {
        format!(
            "{} after its last row",
            Voice::default().two_units(after.as_seconds_f64())
        )
    };
    format!(
        "Sealed later, {at}, {how_long}: the program that recorded did not close the record, and \
         what happened to it in between nobody vouches for."
    )
}

/// What there is to say of a clock that ran ahead. Anybody can make a stamp of any time:
/// only one that is vouched for says it for sure.
pub(crate) fn clock_words(stamp: &SealStamp) -> Option<String> {
    let clock = stamp.clock_ahead?;
    let whose = match clock.of_recorder {
        true => "the clock of the recorder",
        false => "the clock of the computer that sealed",
    };
    let was_ahead = match stamp.vouched_for_by {
        Some(_) => format!("{} WAS AHEAD", whose.to_uppercase()),
        None => format!("If that time is right, {whose} was ahead"),
    };
    Some(format!(
        "{was_ahead} by at least {}: its times had not come yet when the time stamp was made. \
         Lengths of time are not touched by that.",
        Voice::default().two_units(clock.by.as_seconds_f64())
    ))
}
