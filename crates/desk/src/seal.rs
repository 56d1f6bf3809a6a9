//! What the seal of a record says, and what flags it gives.

use std::path::Path;

use custody::KnownKeys;
use run_record::{Answer, RecordError, Seal, Verification};

use crate::{
    flag::FlagCode,
    row::{Row, SealState},
};

/// Takes over what a check of the run folder found; true where the record says that it is
/// invented.
pub(crate) fn take(row: &mut Row, found: &Verification, keys: &KnownKeys) -> bool {
    let answer = found.answer(!keys.ring().is_empty());
    row.seal = match answer {
        Answer::AsSealed => SealState::Good,
        Answer::NotSealed | Answer::SealMissing => SealState::None,
        Answer::OtherKey | Answer::KeyRevoked | Answer::KeyReplaced => SealState::OtherKey,
        Answer::Altered if !is_sealed(found) => SealState::None,
        Answer::ProductChanged | Answer::Altered | Answer::CannotTell => SealState::Broken,
    };
    row.changed = found.changes().into_iter().next();
    row.record_sha256 = Some(found.record_sha256.clone());
    row.shop = found.seal.key().and_then(|key| {
        let line = keys.ring().line_of(&key);
        let mut names = line.iter().filter_map(|key| keys.name_of(key));
        let name = names.next_back()?;
        Some(name.strip_suffix(".pem").unwrap_or(name).to_owned())
    });
    flag(row, found, answer);
    if let Some(seal) = found.seal.seal().filter(|seal| seal.later) {
        row.flag(FlagCode::SealedLater, later_words(seal));
    }
    found.invented == Some(true)
}

fn is_sealed(found: &Verification) -> bool {
    !matches!(found.seal, run_record::SealCheck::Absent)
}

fn flag(row: &mut Row, found: &Verification, answer: Answer) {
    let first = row.changed.clone().unwrap_or_default();
    if !is_sealed(found) {
        row.flag(
            FlagCode::Unsealed,
            "Nobody sealed this record: it could have been changed.",
        );
    }
    let trouble = || {
        let trouble = found.key.trouble.as_ref();
        trouble.map_or(String::new(), |trouble| format!("{trouble}."))
    };
    match answer {
        Answer::AsSealed | Answer::NotSealed | Answer::SealMissing => {}
        Answer::Altered if !is_sealed(found) => row.flag(
            FlagCode::SealBroken,
            format!("The rows are not as they were recorded: {first}."),
        ),
        Answer::Altered => row.flag(
            FlagCode::SealBroken,
            format!("The record is not as it was sealed: {first}."),
        ),
        Answer::ProductChanged => row.flag(
            FlagCode::SealBroken,
            format!("The record itself is as it was sealed, but {first}."),
        ),
        Answer::CannotTell => row.flag(
            FlagCode::SealBroken,
            "The seal is in a format that this version does not know, so it cannot be checked.",
        ),
        Answer::OtherKey => {
            let key = found.seal.key().map(|key| key.fingerprint());
            let key = key.unwrap_or_default();
            row.flag(
                FlagCode::UnknownKey,
                format!("Sealed by the key {key}, which is not among the trusted ones."),
            );
        }
        Answer::KeyRevoked | Answer::KeyReplaced => row.flag(FlagCode::UnknownKey, trouble()),
    }
}

fn later_words(seal: &Seal) -> String {
    format!(
        "Sealed later, on {}, and not when recording ended: until then it could have been changed.",
        seal.sealed_utc.format("%Y-%m-%d %H:%M UTC")
    )
}

/// A run folder that cannot even be checked: more than an error where it is sealed.
pub(crate) fn cannot_be_checked(row: &mut Row, folder: &Path, why: &RecordError) {
    match run_record::is_sealed(folder) {
        true => {
            row.seal = SealState::Broken;
            row.changed = Some(why.to_string());
            row.flag(
                FlagCode::SealBroken,
                format!("The record is sealed and cannot be checked: {why}."),
            );
        }
        false => row.flag(FlagCode::Unsealed, "Nobody sealed this record."),
    }
}
