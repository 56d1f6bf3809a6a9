//! Clock times and dates as loggers write them.

mod cursor;
mod fields;

use cursor::Cursor;
use fields::{month_named, whole_clock, whole_date};

pub(crate) use fields::{ClockText, DateText};

/// A stamp cut into its fields.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    pub(crate) date: Option<DateText>,
    pub(crate) clock: Option<ClockText>,
    /// Seconds east of UTC, when a zone is written.
    pub(crate) zone_s: Option<i32>,
    /// Whole days before the clock time of a span (`1 day, 2:03:04`).
    pub(crate) days: Option<u32>,
}

/// A clock time of six digits alone, beside a column of dates.
pub(crate) fn six_digits(text: &[u8]) -> Option<Stamp> {
    let mut cursor = Cursor::new(text);
    let digits = cursor.digits(6)?;
    let fraction = cursor.fraction()?;
    cursor.peek().is_none().then_some(())?;
    Some(Stamp {
        date: None,
        clock: Some(whole_clock(digits, fraction)?),
        zone_s: None,
        days: None,
    })
}

/// A date of eight digits alone, in a column of dates.
pub(crate) fn eight_digits(text: &[u8]) -> Option<DateText> {
    let mut cursor = Cursor::new(text);
    let digits = cursor.digits(8)?;
    cursor.peek().is_none().then(|| whole_date(digits))?
}

/// Cuts a stamp: a date, a clock time, or both, with or without a zone.
pub(crate) fn parse(text: &[u8]) -> Option<Stamp> {
    let text = text.trim_ascii();
    cut(text).or_else(|| cut(plain_words(text)?.as_bytes()))
}

fn cut(bytes: &[u8]) -> Option<Stamp> {
    let mut cursor = Cursor::new(bytes);
    let leading = bytes.iter().take_while(|b| b.is_ascii_digit()).count();
    if matches!(leading, 8 | 14 | 17) && bytes.len() >= 14 && bytes.get(8) != Some(&b':') {
        let (date, clock) = cursor.compact()?;
        let zone_s = cursor.zone()?;
        return Some(Stamp {
            date: Some(date),
            clock: Some(clock),
            zone_s,
            days: None,
        });
    }
    let spoken = matches!(bytes.get(leading), Some(b' ' | b'd'));
    let days = if spoken { cursor.days() } else { None };
    let date = if days.is_some() { None } else { cursor.date() };
    if date.is_none() {
        if days.is_none() {
            cursor.at = 0;
        }
    } else if cursor.peek().is_none() {
        return Some(Stamp {
            date,
            clock: None,
            zone_s: None,
            days: None,
        });
    } else {
        cursor.eat(b',');
        if !(cursor.eat(b'T') || cursor.eat(b't') || cursor.eat(b' ')) {
            return None;
        }
        cursor.skip_blanks();
    }
    cursor.dots = date.is_some();
    let clock = Some(cursor.clock()?);
    let zone_s = cursor.zone()?;
    Some(Stamp {
        date,
        clock,
        zone_s,
        days,
    })
}

/// A stamp with its typesetting and its weekday taken out, and a month's name
/// put where it is looked for; `None` when there is nothing of that in it.
fn plain_words(text: &[u8]) -> Option<String> {
    let has_letters = text.iter().filter(|b| b.is_ascii_alphabetic()).count() > 2;
    if text.len() > 60 || text.is_ascii() && !has_letters && !text.contains(&b'#') {
        return None;
    }
    let text = match std::str::from_utf8(text) {
        Ok(text) => text.to_owned(),
        Err(_) => text.iter().map(|b| char::from(*b)).collect(),
    };
    let blank = |c: char| c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200e}' | '#');
    let text = text.replace(blank, " ").replace("\u{2212}", "-");
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let bare = |w: &str| w.trim_end_matches([',', '.']).to_owned();
    if words.len() > 1 && weekday(&bare(words[0])) {
        words.remove(0);
    }
    // "Mar 14, 2026 9:15" and "Mar 14 09:15:00 2026"
    if words.len() >= 3 && month_named(words[0].as_bytes()).is_some() {
        let (month, day) = (words[0], bare(words[1]));
        let year_at = (2..words.len()).find(|i| {
            let w = bare(words[*i]);
            w.len() == 4 && w.bytes().all(|b| b.is_ascii_digit())
        })?;
        let year = bare(words[year_at]);
        let rest: Vec<&str> = (2..words.len())
            .filter(|i| *i != year_at)
            .map(|i| words[i])
            .collect();
        return Some(
            format!("{day} {month} {year} {}", rest.join(" "))
                .trim_end()
                .to_owned(),
        );
    }
    // "p. m." is one word
    Some(words.join(" ").replace(". m", ".m"))
}

fn weekday(word: &str) -> bool {
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let start = word.get(..3).map(str::to_ascii_lowercase);
    start.is_some_and(|s| DAYS.contains(&s.as_str()))
        && word.bytes().all(|b| b.is_ascii_alphabetic())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{fields::day_number, *};

    fn day(text: &str) -> Option<i32> {
        parse(text.as_bytes())?.date?.settled()
    }

    #[test]
    fn dates_are_read_however_they_are_ordered() {
        let pi_day = day_number(2026, 3, 14);
        for text in [
            "2026-03-14T09:15:00Z",
            "2026-03-14 09:15",
            "2026/3/14 9:15:00",
            "14.03.2026 09:15:00",
            "14/03/2026 09:15:00",
            "3/14/2026 9:15:00 AM",
            "3/14/26, 9:15:00 a.m.",
            "14-Mar-2026 09:15:00",
            "14 March 2026 09:15:00",
            "20260314T091500Z",
            "20260314091500",
            "20260314091500250",
            "20260314 091500.25",
            "2026-03-14",
            "14.3.2026 9.15.02",
            "Sat Mar 14 09:15:00 2026",
            "Sat, 14 Mar 2026 09:15:00 +0100",
            "Mar 14, 2026 9:15:00 AM",
            "March 14, 2026, 09:15",
            "#2026-03-14 09:15:00#",
        ] {
            assert_eq!(day(text), pi_day, "{text}");
        }
        assert_eq!(day("03/04/2026 09:15:00"), None);
        assert_eq!(day("2026-02-30 09:15:00"), None);
    }

    /// Weeks: pairs of ISO 8601 (2004-W53-6 is 2005-01-01, 2009-W01-1 is 2008-12-29; from
    /// memory), the rest by `datetime.date.fromisocalendar` and `strftime("%j")` of the
    /// Python standard library.
    #[test]
    fn weeks_and_days_of_the_year_are_dates() {
        for (text, (year, month, date)) in [
            ("2004-W53-6T09:15:00", (2005, 1, 1)),
            ("2009-W01-1 09:15", (2008, 12, 29)),
            ("2026-W11-6T09:15:00Z", (2026, 3, 14)),
            ("2026W116T091500Z", (2026, 3, 14)),
            ("2026-073T09:15:00+01:00", (2026, 3, 14)),
            ("2024-366 23:59:59", (2024, 12, 31)),
        ] {
            assert_eq!(day(text), day_number(year, month, date), "{text}");
        }
        let clock = parse(b"2026W116T091507Z")
            .and_then(|s| s.clock)
            .and_then(|c| c.third);
        assert_eq!(clock, Some(7.0));
        for text in [
            "2026-W54-1T09:15:00",
            "2026-W11-8T09:15:00",
            "2026-W116T09:15:00",
            "2026-366T09:15:00",
            "2026-W11T09:15:00",
        ] {
            assert_eq!(parse(text.as_bytes()).and_then(|s| s.date), None, "{text}");
        }
    }

    #[test]
    fn clocks_and_zones() {
        let hour = |t: &str| parse(t.as_bytes()).and_then(|s| s.clock).map(|c| c.first);
        assert_eq!(hour("12:00:00 AM"), Some(0));
        assert_eq!(hour("12:00:00 PM"), Some(12));
        assert_eq!(hour("1:05:09 pm"), Some(13));
        assert_eq!(hour("13:05:09 PM"), None);
        assert_eq!(hour("09:61:00"), None);
        let zone = |t: &str| parse(t.as_bytes()).and_then(|s| s.zone_s);
        assert_eq!(zone("2026-03-14T09:15:00.250+01:00"), Some(3600));
        assert_eq!(zone("2026-03-14T09:15:00-0530"), Some(-19_800));
        assert_eq!(zone("2026-03-14 09:15:00 UTC"), Some(0));
        assert_eq!(zone("2026-03-14 09:15:00"), None);
        assert_eq!(zone("2026-03-14 09:15:00 EST"), Some(-18_000));
        assert_eq!(zone("2026-10-25 02:30:00 CEST"), Some(7200));
        assert_eq!(zone("2026-10-25 02:30:00 UTC+2"), Some(7200));
        assert_eq!(parse(b"2026-03-14 09:15:00 IST"), None);
        assert_eq!(parse(b"2026-03-14 09:15:00 EST+2"), None);
        assert_eq!(
            zone("2022-07-08T00:14:07+01:00[Europe/Paris]"),
            Some(3600),
            "the form of RFC 9557 section 3"
        );
        assert_eq!(hour("9:15:00\u{202f}PM"), Some(21));
        assert_eq!(hour("9:15:00 p.\u{a0}m."), Some(21));
        let third = |t: &str| parse(t.as_bytes()).and_then(|s| s.clock?.third);
        assert_eq!(third("09:15:07,250"), Some(7.25));
        assert_eq!(third("09:15:07:250"), Some(7.25));
        assert_eq!(parse(b"1 day, 2:03:04").and_then(|s| s.days), Some(1));
        assert_eq!(parse(b"0 days 00:00:01.5").and_then(|s| s.days), Some(0));
    }

    proptest! {
        #[test]
        fn any_text_is_a_stamp_or_not(text in "[-0-9TZ:./, apmAPM+]{0,30}") {
            let _ = parse(text.as_bytes());
        }
    }
}
