//! What stands in a record: marks, and the digest over all of it.

use vacuum::{ChargingAct, Mark, MarkKind};

use crate::{Voice, labels::mark_kind_words, say, weighed::charging_act_words};

/// What a technician did, with what was typed about it.
#[must_use]
pub fn mark_words(voice: &Voice, kind: MarkKind, note: &str) -> String {
    match (kind, note.is_empty()) {
        // what the program itself wrote, in the language of the run
        (MarkKind::Note, false) if note == Mark::MANIFOLD_SHUT => say!(voice, "mark-manifold-shut"),
        (MarkKind::Note, false) if note == Mark::BALLAST_CLOSED => {
            say!(voice, "mark-ballast-closed")
        }
        (MarkKind::Note, false) => match ChargingAct::of_remark(note) {
            Some(act) => charging_act_words(voice, act),
            None => note.to_owned(),
        },
        (kind, true) => mark_kind_words(voice, kind),
        (kind, false) => {
            let kind = mark_kind_words(voice, kind);
            say!(voice, "labelled", name = kind, text = note)
        }
    }
}

/// Holds paper and record together: the record's digest, and how to compare it.
#[must_use]
pub fn record_line(voice: &Voice, sha256: &str) -> String {
    let digest: Vec<char> = sha256
        .chars()
        .filter(char::is_ascii_hexdigit)
        .take(64)
        .collect();
    let groups: Vec<String> = digest
        .chunks(8)
        .map(|group| group.iter().collect())
        .collect();
    say!(voice, "digest", digest = groups.join(" "))
}
