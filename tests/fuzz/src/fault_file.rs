//! What was seen of an appliance, in a file.
//!
//! Input: the bytes of a file for `dryhold fault`.
//!
//! Promises: answers, or one line of error; answers that were taken are written and read
//! back alike; what is said of them holds no control character, and its JSON is JSON.

use chrono::NaiveDate;
use fault_form::{FormError, json, lines, read, text_of};

use super::scratch;

/// Longest file looked at.
const MOST_BYTES: usize = 8192;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    let Some(today) = NaiveDate::from_ymd_opt(2026, 3, 14) else {
        return;
    };
    scratch::in_folder(|folder| {
        let path = folder.join("fault.toml");
        let again = folder.join("again.toml");
        scratch::put(&path, data);
        let draft = match read(&path) {
            Ok(draft) => draft,
            Err(error) => return assert_plain(&error),
        };
        scratch::put(&again, text_of(&draft).as_bytes());
        let back = read(&again).unwrap_or_else(|e| panic!("{e}"));
        assert!(
            draft
                .answers()
                .map(|(f, a)| (f.key, a))
                .eq(back.answers().map(|(f, a)| (f.key, a)))
        );
        let case = match draft.finish(today) {
            Ok(case) => case,
            Err(error) => return assert_plain(&error),
        };
        for line in lines(&case) {
            assert!(!line.chars().any(char::is_control), "{line:?}");
        }
        serde_json::from_str::<serde_json::Value>(&json(&case)).unwrap_or_else(|e| panic!("{e}"));
    });
}

fn assert_plain(error: &FormError) {
    let said = error.to_string();
    assert!(!said.trim().is_empty(), "{error:?}");
}
