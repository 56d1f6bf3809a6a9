//! What stands in a record: marks, and the digest over all of it.

use vacuum::MarkKind;

use crate::{Voice, labels::mark_kind_words, say};

/// What a technician did, with what was typed about it.
#[must_use]
pub fn mark_words(voice: &Voice, kind: MarkKind, note: &str) -> String {
    match (kind, note.is_empty()) {
        (MarkKind::Note, false) => note.to_owned(),
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
