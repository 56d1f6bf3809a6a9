//! `dryhold seal`: seals run folders that have no seal yet, and stamps them.

mod stamp_options;

use std::path::{Path, PathBuf};

use chrono::Utc;
use clap::Args;
use console::{complain, say};
use custody::{SEAL, Stamper, stamp, tell_place, when};
use run_record::{ImportOptions, SealMoment, seal_run};
use run_review::{Draw, Record, are_in};
use seal_keys::SealKey;
use vacuum::SheetChoices;

use crate::{
    made_by::MADE_BY,
    options::{judging::JudgingArguments, key::KeyOptions, sheet::SheetOptions},
    outcome::{Failure, Outcome},
    products::make_products,
};
use stamp_options::StampArguments;

#[derive(Debug, Args)]
pub(crate) struct SealArguments {
    /// Run folders
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) choice: KeyOptions,
    #[command(flatten)]
    pub(crate) stamp: StampArguments,
}

/// Seals run folders that have no seal yet; one that cannot be sealed is
/// reported, the rest go on.
pub(crate) fn run(arguments: &SealArguments) -> Outcome {
    let opened = || {
        let stamper = Stamper::of(&arguments.stamp.choice(), arguments.paths.len())?;
        // a time stamp alone takes no key
        let key = match arguments.paths.iter().all(|p| stamper.is_all_for(p)) {
            true => None,
            false => Some(arguments.choice.choice().open(SEAL)?.key),
        };
        Ok::<_, Failure>((stamper, key))
    };
    let (stamper, key) = match opened() {
        Ok(opened) => opened,
        Err(failure) => {
            complain(&failure);
            return failure.outcome();
        }
    };
    let mut worst = Outcome::Done;
    for path in &arguments.paths {
        let sealed = match &key {
            Some(key) if !stamper.is_all_for(path) => seal_one(path, key),
            _ => Ok(()),
        };
        let stamped = sealed.and_then(|()| Ok(stamper.stamp(path)?));
        let outcome = match stamped {
            Ok(()) => Outcome::Done,
            Err(failure) => {
                complain(&failure);
                failure.outcome()
            }
        };
        worst = worst.worse(outcome);
    }
    worst
}

fn seal_one(path: &Path, key: &SealKey) -> Result<(), Failure> {
    let shown = path.display();
    let was_sealed = run_record::is_sealed(path);
    let seal = seal_run(path, key, MADE_BY, Utc::now(), SealMoment::Later)?;
    if was_sealed {
        say(format!(
            "{shown}: sealed already, {}; nothing to do.",
            stamp(seal.sealed_utc)
        ));
        return Ok(());
    }
    say(format!(
        "{shown}: sealed, by the key {}.",
        seal.key.fingerprint()
    ));
    say(format!("  {}", when(&seal)));
    tell_place(&seal);
    draw_anew(path, key)
}

/// Curve and sheet that lie in a folder sealed just now: nobody knows who made them, so
/// they are made anew from the record, and sealed.
fn draw_anew(path: &Path, key: &SealKey) -> Result<(), Failure> {
    let record = Record::open(path, &ImportOptions::default())?;
    let mut judged = record.judge_as_recorded(Draw::Yes, &JudgingArguments::ADVICE)?;
    judged.take_rig_off(&JudgingArguments::ADVICE);
    let Some(folder) = judged.origin().folder().filter(|folder| are_in(folder)) else {
        return Ok(());
    };
    let (spoken, options) = (SheetChoices::default(), SheetOptions::default());
    let made = make_products((&judged, &[]), &folder, &spoken, &options, Some(key))?;
    if let Some(why) = made.unsealed {
        return Err(why.into());
    }
    say("  Curve and sheet were made anew from the record, and the seal covers them.");
    made.failure.map_or(Ok(()), |why| Err(why.into()))
}
