//! What a check of a record found, for whoever reads it in a terminal.

use std::path::Path;

use run_record::{Answer, Seal, SealCheck, Verification};
use run_review::Subject;
use serde_json::{Value, json};

use crate::{dates::stamp, known_keys::KnownKeys, sealer::when, time_stamps::TimeStamp};

/// What a seal can and cannot show.
const SHOWS: [&str; 2] = [
    "A seal shows that nothing in the record has changed since that key sealed it. It does not",
    "show that the gauge was on the system, that the clock was right, or that it was this appliance.",
];

/// The answer to a check of a record, in one line.
pub(crate) fn answer_line(path: &Path, found: &Verification, answer: Answer) -> String {
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
fn way(found: &Verification) -> Option<String> {
    let way = found.key.way_in_words()?;
    Some(format!("Sealed by the key {}, {way}.", fingerprint(found)))
}

/// The fingerprint of the key that signed.
fn fingerprint(found: &Verification) -> String {
    let key = found.seal.key();
    key.map_or_else(String::new, |key| key.fingerprint())
}

/// What lies in the folder and nobody vouches for.
fn uncovered(found: &Verification) -> Option<String> {
    let names: Vec<String> = found.uncovered.iter().map(ToString::to_string).collect();
    (!names.is_empty()).then(|| format!("Not covered by the seal: {}.", names.join(", ")))
}

/// What stands below the answer where several records are checked: what nobody may miss.
pub(crate) fn in_short(found: &Verification, told: &TimeStamp) -> Vec<String> {
    let mut lines = told.short();
    lines.extend(way(found));
    lines.extend(uncovered(found));
    lines
}

/// All that stands below the answer where one record is checked.
pub(crate) fn explained(
    (path, found, answer): (&Path, &Verification, Answer),
    keys: &KnownKeys,
    told: &TimeStamp,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut say = |line: String| lines.push(line);
    for change in found.changes().iter().skip(1) {
        say(format!("Also: {change}."));
    }
    for file in found
        .files
        .iter()
        .filter(|f| !found.changes().contains(&f.to_string()))
    {
        // what is told by its row needs no second line; a product that is gone does
        if !found.traces.iter().any(|t| t.file == file.name) {
            say(format!("{file}."));
        }
    }
    if answer == Answer::ProductChanged {
        say(format!(
            "Make it anew from the record, elsewhere: dryhold report {} --out DIR",
            path.display()
        ));
    }
    if matches!(answer, Answer::KeyReplaced | Answer::KeyRevoked) {
        say("Ask the shop. Whoever has copied that key can seal anything with it, and the date in a".to_owned());
        say("seal is whatever its maker writes.".to_owned());
    }
    // an older part may be torn: the next one tells those rows again
    if let Some(torn) = found
        .torn_tail
        .as_ref()
        .filter(|_| answer != Answer::Altered)
    {
        say(format!("{torn}."));
    }
    if let Some(seal) = found.seal.seal() {
        seal_explained(found, seal, keys)
            .into_iter()
            .for_each(&mut say);
    }
    told.lines().into_iter().for_each(&mut say);
    uncovered(found).into_iter().for_each(&mut say);
    if found.invented == Some(true) {
        say("Invented data, as job.toml says: evidence of nothing.".to_owned());
    }
    say(format!(
        "Digest of the record as it is now (a sheet prints it): {}",
        grouped(&found.record_sha256)
    ));
    match found.seal {
        SealCheck::Absent if answer != Answer::Altered => {
            say("The links between rows show a row changed, dropped, put in or swapped. They do not".to_owned());
            say("show rows cut off the very end, or a record made anew as a whole: that takes a seal.".to_owned());
            if answer == Answer::NotSealed {
                say("\"dryhold seal\" on the computer that recorded adds one, marked as made later.".to_owned());
            }
        }
        SealCheck::Absent | SealCheck::Broken { .. } | SealCheck::Newer { .. } => {}
        _ => SHOWS.iter().for_each(|line| say((*line).to_owned())),
    }
    lines
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

fn seal_explained(found: &Verification, seal: &Seal, keys: &KnownKeys) -> Vec<String> {
    let mut lines = Vec::new();
    let mut say = |line: String| lines.push(line);
    say(when(seal));
    if let Some(at) = seal.products_utc {
        say(format!(
            "Curve and sheet were made from it and sealed {}.",
            stamp(at)
        ));
    }
    say(match &seal.register {
        Some(place) => format!("Number {} in the register of that key.", place.number),
        None => "It has no number in a register of that key.".to_owned(),
    });
    let fingerprint = seal.key.fingerprint();
    match found.seal {
        SealCheck::ByGivenKey(_) if !found.key.way.is_empty() => {
            way(found).into_iter().for_each(&mut say);
        }
        SealCheck::ByGivenKey(_) => {
            let from = keys.name_of(&seal.key);
            let from = from.map_or_else(String::new, |name| format!(", of {name}"));
            say(format!("Signed by the key you gave, {fingerprint}{from}."));
        }
        SealCheck::OtherKey(_) => {
            say(
                "The files are compared with what that other key sealed. Anybody can make a key."
                    .to_owned(),
            );
            for statement in &found.key.doubtful {
                say(format!(
                    "A statement on that key is not believed: {statement}."
                ));
            }
        }
        _ => {
            say(format!(
                "Signed by the key in the seal itself, {fingerprint}. Anybody can make a key:"
            ));
            say(
                "compare this fingerprint with the one the shop gave you, or give --public-key."
                    .to_owned(),
            );
        }
    }
    lines
}

/// True where the rows are what was recorded, as far as anybody can tell: only then is a
/// verdict on them worth a word.
fn is_judged(answer: Answer) -> bool {
    !matches!(answer, Answer::Altered | Answer::CannotTell)
}

/// What stands behind the answer on its line: when it was sealed, that it is invented,
/// which repair it is and what it shows.
pub(crate) fn about(found: &Verification, answer: Answer, subject: Option<&Subject>) -> String {
    let later = found.seal.seal().is_some_and(|seal| seal.later);
    let mut parts = Vec::new();
    parts.extend(later.then(|| "SEALED LATER, not by the recording.".to_owned()));
    parts.extend((found.invented == Some(true)).then(|| "INVENTED DEMONSTRATION.".to_owned()));
    parts.push(match (subject, is_judged(answer)) {
        (Some(subject), true) => {
            let headline = subject.headline.as_deref().unwrap_or("cannot be judged");
            format!("{}: {headline}.", subject.words())
        }
        (Some(subject), false) => format!("{}, as it is now; not judged.", subject.words()),
        (None, _) => "It cannot be judged.".to_owned(),
    });
    parts.iter().map(|part| format!(" {part}")).collect()
}

/// The same for a program, put into what [`verification_json`](crate::verification_json())
/// gives.
pub(crate) fn add_subject(json: &mut Value, subject: Option<&Subject>, answer: Answer) {
    let text = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    json["job"] = json!(subject.and_then(|s| text(&s.job)));
    json["serial"] = json!(subject.and_then(|s| text(&s.serial)));
    let judged = subject.filter(|_| is_judged(answer));
    json["verdict"] = json!(judged.and_then(|s| s.verdict));
    json["headline"] = json!(judged.and_then(|s| s.headline.as_deref()));
}

/// How many records have which answer.
#[derive(Debug, Default)]
pub struct Counted {
    wrong: usize,
    unsealed: usize,
    unchanged: usize,
    unreadable: usize,
}

impl Counted {
    /// Counts an answer.
    pub fn add(&mut self, answer: Answer) {
        *match answer {
            Answer::AsSealed => &mut self.unchanged,
            Answer::NotSealed => &mut self.unsealed,
            _ => &mut self.wrong,
        } += 1;
    }

    /// Counts a path that is no record, or cannot be read.
    pub fn add_unreadable(&mut self) {
        self.unreadable += 1;
    }

    /// The worst first, so that no number of good ones hides a bad one.
    pub fn words(&self) -> String {
        let all = [
            (self.wrong, "not as sealed or not to be trusted"),
            (self.unreadable, "not a record that can be read"),
            (self.unsealed, "not sealed"),
            (self.unchanged, "unchanged since sealed"),
        ];
        let some = all.iter().filter(|(count, _)| *count > 0);
        let parts: Vec<String> = some.map(|(n, what)| format!("{n} {what}")).collect();
        format!("In all: {}.", parts.join(", "))
    }
}
