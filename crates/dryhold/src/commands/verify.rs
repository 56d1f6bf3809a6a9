//! `dryhold verify`: is this what was recorded, and what was sealed? Offline,
//! from the folder alone, with a public key if there is one.

use std::path::{Path, PathBuf};

use clap::Args;
use console::{complain, say};
use custody::{
    Authorities, Counted, KnownKeys, Registers, TimeStamp, cannot_tell_json, cannot_tell_line,
    told_json, told_lines,
};
use run_record::{Answer, RecordError, verify_with};
use run_review::{OnDisk, records_at};

use crate::outcome::{Failure, Outcome};

#[derive(Debug, Args)]
pub(crate) struct VerifyArguments {
    /// Run folders, zip archives of them, their trace.csv, or folders with runs in them
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// Public key the seal has to be by: a file, a folder of such files (NAME.pem) and of
    /// what shops state of their keys (NAME.statement), or its 64 hexadecimal characters;
    /// given several times, the seal has to be by one of them
    #[arg(long, value_name = "FILE|DIR|HEX")]
    pub(crate) public_key: Vec<String>,
    /// Certificate of a time-stamp authority you trust: a file, or a folder of such files
    /// (NAME.pem); the seal then has to have a time stamp that it vouches for
    #[arg(long, value_name = "FILE|DIR")]
    pub(crate) timestamp_root: Vec<PathBuf>,
    /// List of keys that are not to be trusted any more: a line each with the
    /// fingerprint, then from when (if it was good before), then why; # begins a remark
    #[arg(long, value_name = "FILE")]
    pub(crate) revoked: Vec<PathBuf>,
    /// Prints one JSON object per PATH
    #[arg(long)]
    pub(crate) json: bool,
}

/// Checks every path; one that cannot be read is reported, the rest go on.
pub(crate) fn run(arguments: &VerifyArguments) -> Result<Outcome, Failure> {
    let keys = KnownKeys::read(&arguments.public_key, &arguments.revoked)?;
    for statement in keys.ring().doubtful() {
        complain(format!("a statement is not believed: {statement}"));
    }
    let authorities = Authorities::read(&arguments.timestamp_root)?;
    let mut worst = Outcome::Done;
    let (paths, complaints) = records_at(&arguments.paths);
    complaints.iter().for_each(complain);
    let mut registers = Registers::default();
    let mut counted = Counted::default();
    for path in &paths {
        let on_disk = match OnDisk::of(path) {
            Ok(on_disk) => on_disk,
            Err(e) => {
                complain(&e);
                counted.add_unreadable();
                worst = worst.worse(Outcome::Error);
                continue;
            }
        };
        let outcome = match verify_with(on_disk.path(), keys.ring()) {
            Ok(found) => {
                let answer = found.answer(!keys.ring().is_empty());
                if matches!(answer, Answer::AsSealed | Answer::ProductChanged) {
                    found
                        .seal
                        .seal()
                        .iter()
                        .for_each(|seal| registers.add(seal, &keys.ring().line_of(&seal.key)));
                }
                counted.add(answer);
                let told = TimeStamp::of(on_disk.path(), &found, &authorities);
                let several = paths.len() > 1;
                let this = (path.as_path(), on_disk.path(), &found, answer);
                match arguments.json {
                    true => say(told_json(this, &told)),
                    false => told_lines(this, &told, &keys, several).iter().for_each(say),
                }
                outcome(answer).worse(match told.is_wrong() {
                    true => Outcome::Altered,
                    false => Outcome::Done,
                })
            }
            Err(e) => {
                let outcome = unreadable(path, &on_disk, e, arguments.json);
                match outcome {
                    Outcome::Altered => counted.add(Answer::CannotTell),
                    _ => counted.add_unreadable(),
                }
                outcome
            }
        };
        worst = worst.worse(outcome);
    }
    if paths.len() > 1 && !arguments.json {
        say(counted.words());
    }
    // one record shows nothing of its register but its own place
    if paths.len() > 1 && arguments.json {
        registers.json().iter().for_each(say);
    } else if paths.len() > 1 {
        registers.lines().iter().for_each(say);
    }
    if registers.is_contradicted() {
        worst = worst.worse(Outcome::Altered);
    }
    Ok(worst)
}

/// A record that cannot be read is an error. One that is sealed and cannot be read is
/// more than that: what was signed does not verify.
fn unreadable(path: &Path, on_disk: &OnDisk, error: RecordError, json: bool) -> Outcome {
    let failure = Failure::from(on_disk.named(error));
    complain(&failure);
    let read = on_disk.path();
    let folder = match read.is_dir() {
        true => read,
        false => read.parent().unwrap_or(read),
    };
    if !run_record::is_sealed(folder) {
        return failure.outcome();
    }
    let why = failure.to_string();
    match json {
        true => say(cannot_tell_json(path, &why)),
        false => say(cannot_tell_line(path, &why)),
    }
    Outcome::Altered
}

fn outcome(answer: Answer) -> Outcome {
    match answer {
        Answer::AsSealed | Answer::NotSealed => Outcome::Done,
        Answer::SealMissing
        | Answer::OtherKey
        | Answer::KeyRevoked
        | Answer::KeyReplaced
        | Answer::ProductChanged
        | Answer::Altered
        | Answer::CannotTell => Outcome::Altered,
    }
}
