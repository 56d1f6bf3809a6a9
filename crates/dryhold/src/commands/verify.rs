//! `dryhold verify`: is this what was recorded, and what was sealed? Offline,
//! from the folder alone, with a public key if there is one.

use std::path::{Path, PathBuf};

use clap::Args;
use console::{complain, say};
use custody::{
    Authorities, KnownKeys, Registers, TimeStamp, VERIFICATION_SCHEMA, answer_word, stamp,
    verification_json, when,
};
use run_record::{Answer, RecordError, Seal, SealCheck, Verification, verify_with};
use run_review::{is_run, runs_below};
use serde_json::json;

use crate::{
    below::tell_unreadable,
    outcome::{Failure, Outcome},
};

#[derive(Debug, Args)]
pub(crate) struct VerifyArguments {
    /// Run folders, their trace.csv, or folders with runs in them
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

/// What a seal can and cannot show.
const SHOWS: [&str; 2] = [
    "A seal shows that nothing in the record has changed since that key sealed it. It does not",
    "show that the gauge was on the system, that the clock was right, or that it was this appliance.",
];

/// Checks every path; one that cannot be read is reported, the rest go on.
pub(crate) fn run(arguments: &VerifyArguments) -> Result<Outcome, Failure> {
    let keys = KnownKeys::read(&arguments.public_key, &arguments.revoked)?;
    for statement in keys.ring().doubtful() {
        complain(format!("a statement is not believed: {statement}"));
    }
    let authorities = Authorities::read(&arguments.timestamp_root)?;
    let mut worst = Outcome::Done;
    let paths = records(&arguments.paths);
    let mut registers = Registers::default();
    for path in &paths {
        let outcome = match verify_with(path, keys.ring()) {
            Ok(found) => {
                let answer = found.answer(!keys.ring().is_empty());
                if matches!(answer, Answer::AsSealed | Answer::ProductChanged) {
                    found
                        .seal
                        .seal()
                        .iter()
                        .for_each(|seal| registers.add(seal, &keys.ring().line_of(&seal.key)));
                }
                let told = TimeStamp::of(path, &found, &authorities);
                if arguments.json {
                    let mut json = verification_json(path, &found, answer);
                    json["time_stamp"] = told.json();
                    say(json);
                } else {
                    say(first_line(path, &found, answer));
                    match paths.len() {
                        1 => explain(path, &found, answer, &keys, &told),
                        _ => {
                            told.short().iter().for_each(|t| say(format!("  {t}")));
                            tell_way(&found);
                            tell_uncovered(&found);
                        }
                    }
                }
                outcome(answer).worse(match told.is_wrong() {
                    true => Outcome::Altered,
                    false => Outcome::Done,
                })
            }
            Err(e) => unreadable(path, e, arguments.json),
        };
        worst = worst.worse(outcome);
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

/// What is to be checked: of a folder that is no run, the runs below it.
fn records(paths: &[PathBuf]) -> Vec<PathBuf> {
    let runs = |path: &PathBuf| {
        let below = match path.is_dir() && !is_run(path) {
            true => {
                let found = runs_below(path);
                tell_unreadable(&found);
                found.runs
            }
            false => Vec::new(),
        };
        if below.is_empty() {
            return vec![path.clone()];
        }
        below
    };
    paths.iter().flat_map(runs).collect()
}

/// A record that cannot be read is an error. One that is sealed and cannot be read is
/// more than that: what was signed does not verify.
fn unreadable(path: &Path, error: RecordError, json: bool) -> Outcome {
    let failure = Failure::from(error);
    complain(&failure);
    let folder = match path.is_dir() {
        true => path,
        false => path.parent().unwrap_or(path),
    };
    if !run_record::is_sealed(folder) {
        return failure.outcome();
    }
    if json {
        say(json!({
            "schema": VERIFICATION_SCHEMA,
            "source": path.display().to_string(),
            "answer": answer_word(Answer::CannotTell),
            "changes": [failure.to_string()],
        }));
    } else {
        say(format!(
            "{}: CANNOT TELL. It is sealed and cannot be read as a whole: {failure}.",
            path.display()
        ));
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

/// The answer, in one line.
fn first_line(path: &Path, found: &Verification, answer: Answer) -> String {
    let path = path.display();
    let rows = found.rows;
    let first = || found.changes().into_iter().next().unwrap_or_default();
    match answer {
        Answer::AsSealed => format!("{path}: UNCHANGED since it was sealed, {rows} rows."),
        Answer::NotSealed => format!("{path}: NOT SEALED. Its {rows} rows follow from each other."),
        Answer::SealMissing => format!(
            "{path}: NOT SEALED, so the key shows nothing. Its {rows} rows follow from each other."
        ),
        Answer::OtherKey => format!(
            "{path}: SEALED BY ANOTHER KEY, {}, not by the one given.",
            fingerprint(found)
        ),
        Answer::KeyRevoked => format!(
            "{path}: SEALED BY A KEY NOT TO BE TRUSTED. {}.",
            trouble(found)
        ),
        Answer::KeyReplaced => format!(
            "{path}: SEALED BY A KEY THAT HAD BEEN REPLACED. {}.",
            trouble(found)
        ),
        Answer::ProductChanged => format!("{path}: RECORD UNCHANGED, BUT {}.", first()),
        Answer::Altered => format!("{path}: ALTERED. {}.", first()),
        Answer::CannotTell => {
            let format = match &found.seal {
                SealCheck::Newer { schema, .. } => schema.as_str(),
                _ => "",
            };
            format!(
                "{path}: CANNOT TELL. The key {} signed it in the format \"{format}\", which this \
                 version does not know: if it was sealed by a later version of dryhold, use that \
                 one.",
                fingerprint(found)
            )
        }
    }
}

/// Why the key that signed is not to be trusted.
fn trouble(found: &Verification) -> String {
    let trouble = found.key.trouble.as_ref();
    trouble.map_or_else(String::new, ToString::to_string)
}

/// How statements lead from a given key to the one that signed.
fn tell_way(found: &Verification) {
    if let Some(way) = found.key.way_in_words() {
        say(format!(
            "  Sealed by the key {}, {way}.",
            fingerprint(found)
        ));
    }
}

/// The fingerprint of the key that signed.
fn fingerprint(found: &Verification) -> String {
    let key = found.seal.key();
    key.map_or_else(String::new, |key| key.fingerprint())
}

/// What lies in the folder and nobody vouches for.
fn tell_uncovered(found: &Verification) {
    if !found.uncovered.is_empty() {
        let names: Vec<String> = found.uncovered.iter().map(ToString::to_string).collect();
        say(format!("  Not covered by the seal: {}.", names.join(", ")));
    }
}

/// What stands below the answer.
fn explain(path: &Path, found: &Verification, answer: Answer, keys: &KnownKeys, told: &TimeStamp) {
    for change in found.changes().iter().skip(1) {
        say(format!("  Also: {change}."));
    }
    for file in found
        .files
        .iter()
        .filter(|f| !found.changes().contains(&f.to_string()))
    {
        // what is told by its row needs no second line; a product that is gone does
        if !found.traces.iter().any(|t| t.file == file.name) {
            say(format!("  {file}."));
        }
    }
    if answer == Answer::ProductChanged {
        say(format!(
            "  Make it anew from the record, elsewhere: dryhold report {} --out DIR",
            path.display()
        ));
    }
    if matches!(answer, Answer::KeyReplaced | Answer::KeyRevoked) {
        say(
            "  Ask the shop. Whoever has copied that key can seal anything with it, and the date in a",
        );
        say("  seal is whatever its maker writes.");
    }
    // an older part may be torn: the next one tells those rows again
    if let Some(torn) = found
        .torn_tail
        .as_ref()
        .filter(|_| answer != Answer::Altered)
    {
        say(format!("  {torn}."));
    }
    if let Some(seal) = found.seal.seal() {
        explain_seal(found, seal, keys);
    }
    told.lines()
        .iter()
        .for_each(|line| say(format!("  {line}")));
    tell_uncovered(found);
    if found.invented == Some(true) {
        say("  Invented data, as job.toml says: evidence of nothing.");
    }
    say(format!(
        "  Digest of the record as it is now (a sheet prints it): {}",
        grouped(&found.record_sha256)
    ));
    match found.seal {
        SealCheck::Absent if answer != Answer::Altered => {
            say(
                "  The links between rows show a row changed, dropped, put in or swapped. They do not",
            );
            say(
                "  show rows cut off the very end, or a record made anew as a whole: that takes a seal.",
            );
            if answer == Answer::NotSealed {
                say(
                    "  \"dryhold seal\" on the computer that recorded adds one, marked as made later.",
                );
            }
        }
        SealCheck::Absent | SealCheck::Broken { .. } | SealCheck::Newer { .. } => {}
        _ => SHOWS.iter().for_each(|line| say(format!("  {line}"))),
    }
}

/// In groups of eight, as the sheet prints it.
fn grouped(digest: &str) -> String {
    let mut out = String::new();
    for (i, c) in digest.chars().enumerate() {
        if i > 0 && i % 8 == 0 {
            out.push(' ');
        }
        out.push(c);
    }
    out
}

fn explain_seal(found: &Verification, seal: &Seal, keys: &KnownKeys) {
    say(format!("  {}", when(seal)));
    if let Some(at) = seal.products_utc {
        say(format!(
            "  Curve and sheet were made from it and sealed {}.",
            stamp(at)
        ));
    }
    say(match &seal.register {
        Some(place) => format!("  Number {} in the register of that key.", place.number),
        None => "  It has no number in a register of that key.".to_owned(),
    });
    let fingerprint = seal.key.fingerprint();
    match found.seal {
        SealCheck::ByGivenKey(_) if !found.key.way.is_empty() => tell_way(found),
        SealCheck::ByGivenKey(_) => {
            let from = keys.name_of(&seal.key);
            let from = from.map_or_else(String::new, |name| format!(", of {name}"));
            say(format!(
                "  Signed by the key you gave, {fingerprint}{from}."
            ));
        }
        SealCheck::OtherKey(_) => {
            say(
                "  The files are compared with what that other key sealed. Anybody can make a key.",
            );
            for statement in &found.key.doubtful {
                say(format!(
                    "  A statement on that key is not believed: {statement}."
                ));
            }
        }
        _ => {
            say(format!(
                "  Signed by the key in the seal itself, {fingerprint}. Anybody can make a key:"
            ));
            say("  compare this fingerprint with the one the shop gave you, or give --public-key.");
        }
    }
}
