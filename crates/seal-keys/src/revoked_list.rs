//! The list of keys that a desk does not trust any more: a plain text file it keeps.

use std::path::Path;

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};
use plain_file::{Links, io_words, one_line};

use super::key_statement::one_line_reason;

/// Largest list that is read, bytes.
const LARGEST: u64 = 1 << 20;

/// A key that somebody does not trust any more.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct RevokedKey {
    /// Fingerprint of the key, as [`super::PublicKey::fingerprint`] gives it.
    pub fingerprint: String,
    /// From when it is not to be trusted; `None`: nothing that it has ever sealed.
    pub since_utc: Option<DateTime<Utc>>,
    /// Why, in one line; may be empty.
    pub reason: String,
    /// Who says so: file and line of a list, or the file of a statement.
    pub source: String,
}

/// A list that cannot be taken: the file, the line, what is wrong and what belongs there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct RevokedListError(String);

/// Reads a list: a line for each key with its fingerprint, then a date if it was good
/// before, then the reason in words. From a `#` at the beginning of a word on a line is a
/// remark.
///
/// ```
/// use seal_keys::{moment, read_revoked_list};
///
/// # let folder = tempfile::tempdir()?;
/// let path = folder.path().join("revoked.txt");
/// std::fs::write(&path, "0123-4567-89ab-cdef-0123 2026-03-14 van broken into # by telephone\n")?;
/// let listed = read_revoked_list(&path)?;
/// assert_eq!(listed[0].since_utc, moment("2026-03-14"));
/// assert_eq!(listed[0].reason, "van broken into");
///
/// std::fs::write(&path, "the key of the van\n")?;
/// assert!(read_revoked_list(&path).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// When the file cannot be read, or a line is something else: a line that is passed over
/// would leave a key trusted.
pub fn read_revoked_list(path: &Path) -> Result<Vec<RevokedKey>, RevokedListError> {
    let shown = one_line(path);
    let text = plain_file::read_text(path, LARGEST, Links::Follow)
        .map_err(|e| RevokedListError(format!("{shown}: {}", io_words(&e))))?;
    let mut keys = Vec::new();
    for (i, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let source = format!("{shown}, line {}", i + 1);
        let entry = entry(line, &source);
        keys.extend(entry.map_err(|why| RevokedListError(format!("{source}: {why}")))?);
    }
    Ok(keys)
}

fn entry(line: &str, source: &str) -> Result<Option<RevokedKey>, String> {
    let words = line.split_whitespace().take_while(|w| !w.starts_with('#'));
    let words: Vec<&str> = words.collect();
    let Some((first, rest)) = words.split_first() else {
        return Ok(None);
    };
    let fingerprint = fingerprint(first).ok_or_else(|| {
        "this is no fingerprint of a key: it has five groups of four characters 0-9, a-f, as \
         \"0123-4567-89ab-cdef-0123\"; write a date or a reason behind it, a remark behind #"
            .to_owned()
    })?;
    // a reason does not begin with a digit, so that a mistyped date is never one
    let (since_utc, reason) = match rest.split_first() {
        Some((date, reason)) if date.starts_with(|c: char| c.is_ascii_digit()) => {
            let since = moment(date).ok_or_else(|| {
                format!(
                    "\"{}\" is no date: write it as 2026-03-14 or 2026-03-14T09:15:00Z, or begin \
                     the reason with a letter",
                    one_line_reason(date)
                )
            })?;
            (Some(since), reason)
        }
        _ => (None, rest),
    };
    Ok(Some(RevokedKey {
        fingerprint,
        since_utc,
        reason: one_line_reason(&reason.join(" ")),
        source: source.to_owned(),
    }))
}

/// A fingerprint in the form that [`super::PublicKey::fingerprint`] gives; `None` for
/// anything else. Upper-case letters are taken.
#[must_use]
pub fn fingerprint(text: &str) -> Option<String> {
    let text = text.to_ascii_lowercase();
    let groups: Vec<&str> = text.split('-').collect();
    let is_group =
        |g: &&str| g.len() == 4 && g.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
    (groups.len() == 5 && groups.iter().all(is_group)).then_some(text)
}

/// A day in UTC, from its beginning, or a moment with its zone (RFC 3339).
#[must_use]
pub fn moment(text: &str) -> Option<DateTime<Utc>> {
    if let Ok(day) = NaiveDate::parse_from_str(text, "%Y-%m-%d") {
        return Some(day.and_time(NaiveTime::MIN).and_utc());
    }
    let at = DateTime::parse_from_rfc3339(text).ok()?;
    Some(at.with_timezone(&Utc))
}

#[cfg(test)]
mod tests {
    use super::*;

    const KEY: &str = "0123-4567-89ab-cdef-0123";

    fn read(text: &str) -> Result<Vec<RevokedKey>, String> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("revoked.txt");
        std::fs::write(&path, text).unwrap();
        read_revoked_list(&path).map_err(|e| e.to_string())
    }

    #[test]
    fn a_line_has_a_fingerprint_and_may_have_date_and_reason() {
        let text = format!(
            "\u{feff}# kept by the desk\r\n\r\n{KEY}\n  {} 2026-03-14 van stolen # call 7\n\
             {KEY} left the trade\n{KEY} 2026-03-14T10:15:00+01:00 #\n",
            KEY.to_uppercase()
        );
        let all = read(&text).unwrap();
        let given: Vec<_> = all
            .iter()
            .map(|k| (k.since_utc.map(|t| t.to_rfc3339()), k.reason.as_str()))
            .collect();
        let at = |text: &str| Some(text.to_owned());
        assert_eq!(
            given,
            [
                (None, ""),
                (at("2026-03-14T00:00:00+00:00"), "van stolen"),
                (None, "left the trade"),
                (at("2026-03-14T09:15:00+00:00"), ""),
            ]
        );
        assert!(all.iter().all(|k| k.fingerprint == KEY));
        assert!(all[1].source.ends_with("revoked.txt, line 4"), "{all:?}");
        assert!(read("# nobody\n").unwrap().is_empty());
    }

    /// A line that is passed over would leave a stolen key trusted.
    #[test]
    fn a_line_that_is_not_understood_is_named() {
        for (line, why) in [
            ("0123-4567-89ab-cdef", "no fingerprint"),
            ("0123-4567-89ab-cdef-012g", "no fingerprint"),
            ("0123-4567-89ab-cdef-0123-4567", "no fingerprint"),
            ("0123456789abcdef0123", "no fingerprint"),
            ("stolen", "no fingerprint"),
            ("\u{0}", "no fingerprint"),
            (&format!("{KEY} 14.03.2026 stolen"), "no date"),
            (&format!("{KEY} 2026-02-30"), "no date"),
            (&format!("{KEY} 2026-03-14T09:15:00"), "no date"),
            (&format!("{KEY} 2 laptops stolen"), "no date"),
        ] {
            let refused = read(&format!("# a remark\n{KEY} sold\n{line}\n")).unwrap_err();
            assert!(refused.contains("revoked.txt, line 3"), "{refused}");
            assert!(refused.contains(why), "{refused}");
            assert_eq!(refused.lines().count(), 1, "{refused}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn what_is_no_plain_small_text_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list");
        assert!(read_revoked_list(&path).is_err(), "missing");
        std::fs::write(&path, "# x\n".repeat(1 << 19)).unwrap();
        let refused = read_revoked_list(&path).unwrap_err().to_string();
        assert!(refused.contains("1 MB"), "{refused}");
        std::fs::write(&path, b"\xff\xfe").unwrap();
        assert!(read_revoked_list(&path).is_err(), "no text");
        for odd in ["/dev/zero", "/dev"] {
            assert!(read_revoked_list(Path::new(odd)).is_err(), "{odd}");
        }
    }
}
