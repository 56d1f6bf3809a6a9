//! Answers in a file.

use std::path::Path;

use plain_file::Links;

use crate::{draft::Draft, error::FormError};

/// Largest file that is read, bytes.
const MOST_BYTES: u64 = 64 << 10;

pub(crate) fn bytes(path: &Path) -> Result<String, FormError> {
    let bytes = plain_file::read(path, MOST_BYTES, Links::Follow);
    let bytes = bytes.map_err(|e| of_file(path, &e))?;
    String::from_utf8(bytes).map_err(|_| of_file(path, &plain_file::Refused::NotText))
}

pub(crate) fn of_file(path: &Path, why: &impl std::fmt::Display) -> FormError {
    FormError::File {
        path: path.display().to_string(),
        why: why.to_string(),
    }
}

/// Reads answers from a TOML file: one key a line, keys as those of the options with `_` or
/// `-`; numbers, days, true and false with or without quotes.
///
/// # Errors
/// [`FormError::File`] where it cannot be read or is no TOML; else as [`Draft::take`], with
/// the file's name in front.
pub fn read(path: &Path) -> Result<Draft, FormError> {
    of_text(&bytes(path)?).map_err(|e| of_file(path, &e))
}

pub(crate) fn of_text(text: &str) -> Result<Draft, FormError> {
    let table: toml::Table = text.parse().map_err(|e: toml::de::Error| FormError::File {
        path: "it is no TOML".into(),
        why: e.message().to_owned(),
    })?;
    let mut draft = Draft::default();
    for (key, value) in &table {
        // whoever invents an appliance says so
        if key == "invented" {
            continue;
        }
        let answer = match value {
            toml::Value::String(text) => text.clone(),
            toml::Value::Array(_) | toml::Value::Table(_) => {
                return Err(FormError::UnknownKey {
                    given: crate::text::short(key),
                    near: ": one key and one value a line".into(),
                });
            }
            other => other.to_string(),
        };
        draft.take(key, &answer)?;
    }
    Ok(draft)
}

/// The answers as the text of such a file.
#[must_use]
pub fn text_of(draft: &Draft) -> String {
    let mut text = String::from(
        "# What was seen of an appliance before it was cut open. `dryhold fault FILE` weighs it,\n\
         # `dryhold review RUN --fault FILE` closes its question after the hold.\n",
    );
    for (field, answer) in draft.answers() {
        let key = field.key.replace('-', "_");
        let value = toml::Value::String(answer.to_owned());
        text.push_str(&format!("{key} = {value}\n"));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fields::FIELDS;

    #[test]
    fn what_is_written_is_read_again() {
        let mut draft = Draft::default();
        for (key, answer) in [
            ("refrigerant", "R-600a"),
            ("ambient_c", "24"),
            ("suction", "-0.3 bar gauge"),
            ("last-service", "2026-05-14"),
        ] {
            draft.take(key, answer).expect("it is good");
        }
        let again = of_text(&text_of(&draft)).expect("it was written here");
        let answers =
            |d: &Draft| -> Vec<_> { d.answers().map(|(f, a)| (f.key, a.to_owned())).collect() };
        assert_eq!(answers(&draft), answers(&again));
    }

    #[test]
    fn values_need_no_quotes() {
        let draft = of_text("ambient_c = 24.5\nfans_turn = true\nlast_service = 2026-05-14\n");
        let draft = draft.expect("all of them are good");
        assert_eq!(draft.get("ambient-c"), Some("24.5"));
        assert_eq!(draft.get("fans-turn"), Some("true"));
        assert_eq!(draft.get("last-service"), Some("2026-05-14"));
    }

    #[test]
    fn a_mistyped_key_has_its_question() {
        let error = of_text("ambint_c = 24\n").expect_err("nothing is called so");
        assert!(
            error.to_string().contains("did you mean ambient-c?"),
            "{error}"
        );
        assert!(of_text("[x]\ny = 1\n").is_err() && of_text("a = ").is_err());
    }

    #[test]
    fn keys_are_unique() {
        for (at, field) in FIELDS.iter().enumerate() {
            assert!(FIELDS[at + 1..].iter().all(|other| other.key != field.key));
        }
    }
}
