//! The time in a stamp.

use chrono::{DateTime, NaiveDateTime, Utc};
use der::{Any, Tag, Tagged};

/// `GeneralizedTime` as RFC 3161 section 2.4.2 has it: `20260314091500Z`, or with a
/// fraction of a second behind a point that does not end in 0.
pub(crate) fn generalized_time(value: &Any) -> Option<DateTime<Utc>> {
    (value.tag() == Tag::GeneralizedTime).then_some(())?;
    let text = std::str::from_utf8(value.value()).ok()?.strip_suffix('Z')?;
    let (whole, fraction) = match text.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (text, None),
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    (whole.len() == 14 && digits(whole)).then_some(())?;
    let nanoseconds = match fraction {
        None => 0,
        Some(text) => {
            (digits(text) && text.len() <= 9 && !text.ends_with('0')).then_some(())?;
            format!("{text:0<9}").parse().ok()?
        }
    };
    // a second 60 is left to the reader of dates, which takes no other such
    let at = NaiveDateTime::parse_from_str(whole, "%Y%m%d%H%M%S").ok()?;
    let at = at.and_utc();
    at.checked_add_signed(chrono::TimeDelta::nanoseconds(nanoseconds))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<String> {
        let value = Any::new(Tag::GeneralizedTime, text.as_bytes()).unwrap();
        Some(generalized_time(&value)?.to_rfc3339())
    }

    /// The first two are the examples of RFC 3161 section 2.4.2.
    #[test]
    fn a_time_may_have_a_fraction_and_nothing_else_beside_it() {
        let at = |text: &str| Some(text.to_owned());
        assert_eq!(
            read("19990609001326.34352Z"),
            at("1999-06-09T00:13:26.343520+00:00")
        );
        assert_eq!(
            read("19920722132100.3Z"),
            at("1992-07-22T13:21:00.300+00:00")
        );
        assert_eq!(read("20260314091500Z"), at("2026-03-14T09:15:00+00:00"));
        for wrong in [
            "",
            "Z",
            "20260314091500",
            "202603140915Z",
            "20260314091500+0000",
            "20260314091500.Z",
            "20260314091500.10Z",
            "20260314091500.1234567891Z",
            "20260314091500,5Z",
            "20260230091500Z",
            "20260314251500Z",
            "2026031409150xZ",
            "+2026031409150Z",
            "20260314091500.5é",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
        let other = Any::new(Tag::UtcTime, *b"260314091500Z").unwrap();
        assert_eq!(generalized_time(&other), None);
    }
}
