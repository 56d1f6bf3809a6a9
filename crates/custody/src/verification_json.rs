//! What a check of a record found, as a program reads it.

use std::path::Path;

use run_record::{Answer, Seal, Verification};
use serde_json::{Value, json};

/// Name and version of the JSON that is printed.
pub const VERIFICATION_SCHEMA: &str = "dryhold.verification/1";

/// The answer as a program reads it.
pub fn answer_word(answer: Answer) -> &'static str {
    match answer {
        Answer::AsSealed => "as_sealed",
        Answer::NotSealed => "not_sealed",
        Answer::SealMissing => "seal_missing",
        Answer::OtherKey => "other_key",
        Answer::KeyRevoked => "key_revoked",
        Answer::KeyReplaced => "key_replaced",
        Answer::ProductChanged => "product_changed",
        Answer::Altered => "altered",
        Answer::CannotTell => "cannot_tell",
    }
}

/// All of it as one object.
pub fn verification_json(path: &Path, found: &Verification, answer: Answer) -> Value {
    let first_change = found.first_change().map(|(file, change)| {
        json!({"file": file, "row": change.from, "to_row": change.to, "text": change.to_string()})
    });
    let torn = found
        .torn_tail
        .as_ref()
        .map(|t| json!({"row": t.row, "bytes": t.bytes}));
    json!({
        "schema": VERIFICATION_SCHEMA,
        "source": path.display().to_string(),
        "answer": answer_word(answer),
        "rows": found.rows,
        "first_change": first_change,
        "changes": found.changes(),
        "uncovered": found.uncovered.iter().map(ToString::to_string).collect::<Vec<_>>(),
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
        "register": seal.register.as_ref().map(|place| json!({
            "series": place.series,
            "number": place.number,
            "run": place.run,
        })),
        "by_given_key": found.seal.by_given_key(),
        "known_by": found.key.way.iter().map(|step| json!({
            "old": step.statement.old.fingerprint(),
            "new": step.statement.new.fingerprint(),
            "stated_utc": step.statement.stated_utc.to_rfc3339(),
        })).collect::<Vec<_>>(),
        "key_trouble": found.key.trouble.as_ref().map(ToString::to_string),
    })
}
