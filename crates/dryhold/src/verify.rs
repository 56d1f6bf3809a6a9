//! `dryhold verify`: is this what was recorded, and what was sealed? Offline,
//! from the folder alone, with a public key if there is one.

use std::path::Path;

use run_record::{Answer, PublicKey, Seal, SealCheck, Verification, verify_by};
use serde_json::{Value, json};

use crate::{
    arguments::VerifyArguments,
    outcome::{Failure, Outcome, complain, say},
    seal::{stamp, when},
};

/// What a seal can and cannot show.
const SHOWS: [&str; 2] = [
    "A seal shows that nothing in the record has changed since that key sealed it. It does not",
    "show that the gauge was on the system, that the clock was right, or that it was this appliance.",
];

/// Checks every path; one that cannot be read is reported, the rest go on.
pub(crate) fn run(arguments: &VerifyArguments) -> Result<Outcome, Failure> {
    let key = arguments
        .public_key
        .as_deref()
        .map(public_key)
        .transpose()?;
    let mut worst = Outcome::Done;
    for path in &arguments.paths {
        let outcome = match verify_by(path, key.as_ref()) {
            Ok(found) => {
                let answer = found.answer(key.is_some());
                if arguments.json {
                    say(as_json(path, &found, answer));
                } else {
                    say(first_line(path, &found, answer));
                    if arguments.paths.len() == 1 {
                        explain(path, &found, answer);
                    }
                }
                outcome(answer)
            }
            Err(e) => {
                let failure = Failure::from(e);
                complain(&failure);
                failure.outcome()
            }
        };
        worst = worst.worse(outcome);
    }
    Ok(worst)
}

/// A file, or the key itself.
fn public_key(text: &str) -> Result<PublicKey, Failure> {
    let wrong = |why: String| Failure::usage(format!("--public-key {text}: {why}"));
    match PublicKey::parse(text) {
        Ok(key) => Ok(key),
        Err(e) => match PublicKey::read(Path::new(text)) {
            Ok(key) => Ok(key),
            Err(missing) if missing.kind() == std::io::ErrorKind::NotFound => {
                Err(wrong(format!("there is no such file, and {e}")))
            }
            Err(why) => Err(wrong(why.to_string())),
        },
    }
}

fn outcome(answer: Answer) -> Outcome {
    match answer {
        Answer::AsSealed | Answer::NotSealed => Outcome::Done,
        Answer::SealMissing | Answer::OtherKey | Answer::ProductChanged | Answer::Altered => {
            Outcome::Altered
        }
        Answer::CannotTell => Outcome::Error,
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
        Answer::OtherKey => {
            let by = found.seal.seal().map(|s| s.key.fingerprint());
            format!(
                "{path}: SEALED BY ANOTHER KEY, {}, not by the one given.",
                by.unwrap_or_default()
            )
        }
        Answer::ProductChanged => format!("{path}: RECORD UNCHANGED, BUT {}.", first()),
        Answer::Altered => format!("{path}: ALTERED. {}.", first()),
        Answer::CannotTell => format!(
            "{path}: CANNOT TELL. The seal was made by a later version of dryhold: use that one."
        ),
    }
}

/// What stands below the answer.
fn explain(path: &Path, found: &Verification, answer: Answer) {
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
    // an older part may be torn: the next one tells those rows again
    if let Some(torn) = found
        .torn_tail
        .as_ref()
        .filter(|_| answer != Answer::Altered)
    {
        say(format!("  {torn}."));
    }
    if let Some(seal) = found.seal.seal() {
        explain_seal(found, seal);
    }
    if !found.uncovered.is_empty() {
        say(format!(
            "  Not covered by the seal: {}.",
            found.uncovered.join(", ")
        ));
    }
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

fn explain_seal(found: &Verification, seal: &Seal) {
    say(format!("  {}", when(seal)));
    if let Some(at) = seal.products_utc {
        say(format!(
            "  Curve and sheet were made anew and sealed {}.",
            stamp(at)
        ));
    }
    let fingerprint = seal.key.fingerprint();
    match found.seal {
        SealCheck::ByGivenKey(_) => say(format!("  Signed by the key you gave, {fingerprint}.")),
        SealCheck::OtherKey(_) => {
            say(
                "  The files are compared with what that other key sealed. Anybody can make a key.",
            );
        }
        _ => {
            say(format!(
                "  Signed by the key in the seal itself, {fingerprint}. Anybody can make a key:"
            ));
            say("  compare this fingerprint with the one the shop gave you, or give --public-key.");
        }
    }
}

fn as_json(path: &Path, found: &Verification, answer: Answer) -> Value {
    let word = match answer {
        Answer::AsSealed => "as_sealed",
        Answer::NotSealed => "not_sealed",
        Answer::SealMissing => "seal_missing",
        Answer::OtherKey => "other_key",
        Answer::ProductChanged => "product_changed",
        Answer::Altered => "altered",
        Answer::CannotTell => "cannot_tell",
    };
    let first_change = found.first_change().map(|(file, change)| {
        json!({"file": file, "row": change.from, "to_row": change.to, "text": change.to_string()})
    });
    let torn = found
        .torn_tail
        .as_ref()
        .map(|t| json!({"row": t.row, "bytes": t.bytes}));
    json!({
        "schema": "dryhold.verification/1",
        "source": path.display().to_string(),
        "answer": word,
        "rows": found.rows,
        "first_change": first_change,
        "changes": found.changes(),
        "uncovered": found.uncovered,
        "torn_tail": torn,
        "last_link": found.last_link.map(|l| l.to_string()),
        "record_sha256": found.record_sha256,
        "invented": found.invented,
        "seal": found.seal.seal().map(|seal| seal_json(found, seal)),
    })
}

fn seal_json(found: &Verification, seal: &Seal) -> Value {
    let after = seal.last_row_utc().map(|last| {
        let milliseconds = (seal.sealed_utc - last).num_milliseconds();
        milliseconds as f64 / 1000.0
    });
    json!({
        "sealed_utc": seal.sealed_utc.to_rfc3339(),
        "later": seal.later,
        "after_last_row_s": after,
        "products_utc": seal.products_utc.map(|t| t.to_rfc3339()),
        "software": seal.software,
        "public_key": seal.key.to_hex(),
        "fingerprint": seal.key.fingerprint(),
        "by_given_key": match found.seal {
            SealCheck::ByGivenKey(_) => Some(true),
            SealCheck::OtherKey(_) => Some(false),
            _ => None,
        },
    })
}
