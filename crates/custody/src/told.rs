//! What is printed of one record that was checked.

use std::path::Path;

use run_record::{Answer, Verification};
use run_review::Subject;
use serde_json::{Value, json};

use crate::{
    known_keys::KnownKeys,
    time_stamps::TimeStamp,
    verification_json::{VERIFICATION_SCHEMA, answer_word, verification_json},
    verification_words::{about, add_subject, answer_line, explained, in_short},
};

/// One record: the path as given, where it is read, what was found, and the answer.
pub type Checked<'a> = (&'a Path, &'a Path, &'a Verification, Answer);

/// The record for a program.
#[must_use]
pub fn told_json((path, read, found, answer): Checked<'_>, stamp: &TimeStamp) -> Value {
    let mut json = verification_json(path, found, answer);
    json["time_stamp"] = stamp.json();
    add_subject(&mut json, Subject::of(read).ok().as_ref(), answer);
    json
}

/// The record for a person: a line, and below it what it rests on, short where it is one of
/// `several`.
#[must_use]
pub fn told_lines(
    (path, read, found, answer): Checked<'_>,
    stamp: &TimeStamp,
    keys: &KnownKeys,
    several: bool,
) -> Vec<String> {
    let subject = Subject::of(read).ok();
    let line = answer_line(path, found, answer);
    let mut lines = vec![format!("{line}{}", about(found, answer, subject.as_ref()))];
    let below = match several {
        false => explained((path, found, answer), keys, stamp),
        true => in_short(found, stamp),
    };
    lines.extend(below.iter().map(|line| format!("  {line}")));
    lines
}

/// A sealed record that cannot be read, for a program.
#[must_use]
pub fn cannot_tell_json(path: &Path, why: &str) -> Value {
    json!({
        "schema": VERIFICATION_SCHEMA,
        "source": path.display().to_string(),
        "answer": answer_word(Answer::CannotTell),
        "changes": [why],
    })
}

/// The same for a person.
#[must_use]
pub fn cannot_tell_line(path: &Path, why: &str) -> String {
    format!(
        "{}: CANNOT TELL. It is sealed and cannot be read as a whole: {why}.",
        path.display()
    )
}
