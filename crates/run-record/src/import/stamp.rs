//! Clock times and dates as loggers write them.

use chrono::NaiveDate;

/// A date whose order of day and month may be open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct DateText {
    /// Day number, month first; `None` when that is no date.
    pub(crate) month_first: Option<i32>,
    /// Day number, day first; `None` when that is no date.
    pub(crate) day_first: Option<i32>,
}

impl DateText {
    fn certain(year: i32, month: u32, day: u32) -> Option<Self> {
        let day = day_number(year, month, day)?;
        Some(Self {
            month_first: Some(day),
            day_first: Some(day),
        })
    }

    /// The day, when both orders agree or only one is a date.
    pub(crate) fn settled(self) -> Option<i32> {
        match (self.month_first, self.day_first) {
            (Some(a), Some(b)) if a == b => Some(a),
            (Some(a), None) => Some(a),
            (None, Some(b)) => Some(b),
            _ => None,
        }
    }
}

fn day_number(year: i32, month: u32, day: u32) -> Option<i32> {
    use chrono::Datelike;
    NaiveDate::from_ymd_opt(year, month, day).map(|d| d.num_days_from_ce())
}

/// A clock time: two or three numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ClockText {
    pub(crate) first: u32,
    pub(crate) second: u32,
    pub(crate) third: Option<f64>,
    /// The second number has a fraction (`12:34.5`), so it counts seconds.
    pub(crate) second_fraction: f64,
    /// Written with AM or PM (then `first` is already 0–23).
    pub(crate) twelve_hour: bool,
}

/// A stamp cut into its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    pub(crate) date: Option<DateText>,
    pub(crate) clock: Option<ClockText>,
    /// Seconds east of UTC, when a zone is written.
    pub(crate) zone_s: Option<i32>,
}

/// Walks along the bytes of a stamp.
struct Cursor<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Cursor<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn eat(&mut self, wanted: u8) -> bool {
        let found = self.peek() == Some(wanted);
        self.at += usize::from(found);
        found
    }

    fn skip_blanks(&mut self) {
        while self.peek() == Some(b' ') {
            self.at += 1;
        }
    }

    /// A number of at most nine digits, with its length.
    fn number(&mut self) -> Option<(u32, usize)> {
        let from = self.at;
        let mut value = 0_u32;
        while let Some(b @ b'0'..=b'9') = self.peek() {
            if self.at - from == 9 {
                return None;
            }
            value = value * 10 + u32::from(b - b'0');
            self.at += 1;
        }
        (self.at > from).then_some((value, self.at - from))
    }

    /// The fraction behind a point or comma; 0 when there is none.
    fn fraction(&mut self) -> Option<f64> {
        if !(self.eat(b'.') || self.eat(b',')) {
            return Some(0.0);
        }
        let (mut value, mut scale, from) = (0.0, 1.0, self.at);
        while let Some(b @ b'0'..=b'9') = self.peek() {
            value = value * 10.0 + f64::from(b - b'0');
            scale *= 10.0;
            self.at += 1;
            if self.at - from > 15 {
                return None;
            }
        }
        (self.at > from).then_some(value / scale)
    }

    fn word(&mut self) -> &[u8] {
        let from = self.at;
        while self
            .peek()
            .is_some_and(|b| b.is_ascii_alphabetic() || b >= 0x80)
        {
            self.at += 1;
        }
        &self.bytes[from..self.at]
    }

    fn date(&mut self) -> Option<DateText> {
        let (a, a_len) = self.number()?;
        let separator = self.peek()?;
        if !matches!(separator, b'-' | b'/' | b'.' | b' ') {
            return None;
        }
        self.at += 1;
        if self.peek()?.is_ascii_alphabetic() {
            let month = month_named(self.word())?;
            if !self.eat(separator) {
                return None;
            }
            let (year, len) = self.number()?;
            return DateText::certain(full_year(year, len)?, month, a);
        }
        let (b, _) = self.number()?;
        if separator == b' ' || !self.eat(separator) {
            return None;
        }
        let (c, c_len) = self.number()?;
        if a_len == 4 {
            return DateText::certain(i32::try_from(a).ok()?, b, c);
        }
        let year = full_year(c, c_len)?;
        if separator == b'.' {
            // a date with dots is day first everywhere it is used
            return DateText::certain(year, b, a);
        }
        let date = DateText {
            month_first: day_number(year, a, b),
            day_first: day_number(year, b, a),
        };
        (date.month_first.is_some() || date.day_first.is_some()).then_some(date)
    }

    fn clock(&mut self) -> Option<ClockText> {
        let (first, _) = self.number()?;
        if !self.eat(b':') {
            return None;
        }
        let (second, _) = self.number()?;
        let mut clock = ClockText {
            first,
            second,
            third: None,
            second_fraction: 0.0,
            twelve_hour: false,
        };
        if self.eat(b':') {
            let (whole, _) = self.number()?;
            clock.third = Some(f64::from(whole) + self.fraction()?);
        } else {
            clock.second_fraction = self.fraction()?;
        }
        let seconds_fit = clock.third.is_none_or(|s| s < 61.0);
        if second >= 60 || !seconds_fit {
            return None;
        }
        self.half_day(&mut clock)?;
        Some(clock)
    }

    /// `AM`, `pm`, `a.m.` …
    fn half_day(&mut self, clock: &mut ClockText) -> Option<()> {
        let from = self.at;
        self.skip_blanks();
        let letter = self.peek().map(|b| b.to_ascii_lowercase());
        let Some(half @ (b'a' | b'p')) = letter else {
            self.at = from;
            return Some(());
        };
        self.at += 1;
        self.eat(b'.');
        if !(self.eat(b'm') || self.eat(b'M')) || !(1..=12).contains(&clock.first) {
            return None;
        }
        self.eat(b'.');
        clock.first = clock.first % 12 + if half == b'p' { 12 } else { 0 };
        clock.twelve_hour = true;
        Some(())
    }

    /// `Z`, `UTC`, `GMT`, `+01:00`, `-0530`, `+01`; `Some(None)` when absent.
    fn zone(&mut self) -> Option<Option<i32>> {
        self.skip_blanks();
        let Some(first) = self.peek() else {
            return Some(None);
        };
        if first.is_ascii_alphabetic() {
            return match self.word().to_ascii_lowercase().as_slice() {
                b"z" | b"utc" | b"gmt" if self.peek().is_none() => Some(Some(0)),
                _ => None,
            };
        }
        let sign = match first {
            b'+' => 1,
            b'-' => -1,
            _ => return None,
        };
        self.at += 1;
        let (mut hours, len) = self.number()?;
        let mut minutes = 0;
        if len == 4 {
            (hours, minutes) = (hours / 100, hours % 100);
        } else if self.eat(b':') {
            (minutes, _) = self.number()?;
        }
        let valid = hours <= 14 && minutes < 60 && self.peek().is_none();
        valid.then_some(Some(
            sign * i32::try_from(hours * 3600 + minutes * 60).ok()?,
        ))
    }

    /// `20260314T091500`
    fn compact(&mut self) -> Option<(DateText, ClockText)> {
        let (date, 8) = self.number()? else {
            return None;
        };
        if !self.eat(b'T') {
            return None;
        }
        let (clock, 6) = self.number()? else {
            return None;
        };
        let date = DateText::certain(
            i32::try_from(date / 10_000).ok()?,
            date / 100 % 100,
            date % 100,
        )?;
        let seconds = f64::from(clock % 100) + self.fraction()?;
        let clock = ClockText {
            first: clock / 10_000,
            second: clock / 100 % 100,
            third: Some(seconds),
            second_fraction: 0.0,
            twelve_hour: false,
        };
        Some((date, clock))
    }
}

fn full_year(year: u32, digits: usize) -> Option<i32> {
    match digits {
        4 => i32::try_from(year).ok(),
        2 => i32::try_from(2000 + year).ok(),
        _ => None,
    }
}

fn month_named(word: &[u8]) -> Option<u32> {
    const MONTHS: [&[u8; 3]; 12] = [
        b"jan", b"feb", b"mar", b"apr", b"may", b"jun", b"jul", b"aug", b"sep", b"oct", b"nov",
        b"dec",
    ];
    let start = word.get(..3)?.to_ascii_lowercase();
    let at = MONTHS.iter().position(|m| m.as_slice() == start)?;
    u32::try_from(at + 1).ok()
}

/// Cuts a stamp: a date, a clock time, or both, with or without a zone.
pub(crate) fn parse(text: &[u8]) -> Option<Stamp> {
    let bytes = text.trim_ascii();
    let mut cursor = Cursor { bytes, at: 0 };
    if bytes.len() >= 15 && bytes.get(8) == Some(&b'T') {
        let (date, clock) = cursor.compact()?;
        let zone_s = cursor.zone()?;
        return Some(Stamp {
            date: Some(date),
            clock: Some(clock),
            zone_s,
        });
    }
    let date = cursor.date();
    if date.is_none() {
        cursor.at = 0;
    } else if cursor.peek().is_none() {
        return Some(Stamp {
            date,
            clock: None,
            zone_s: None,
        });
    } else {
        cursor.eat(b',');
        if !(cursor.eat(b'T') || cursor.eat(b't') || cursor.eat(b' ')) {
            return None;
        }
        cursor.skip_blanks();
    }
    let clock = Some(cursor.clock()?);
    let zone_s = cursor.zone()?;
    Some(Stamp {
        date,
        clock,
        zone_s,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

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
            "2026-03-14",
        ] {
            assert_eq!(day(text), pi_day, "{text}");
        }
        assert_eq!(day("03/04/2026 09:15:00"), None);
        assert_eq!(day("2026-02-30 09:15:00"), None);
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
        assert_eq!(parse(b"2026-03-14 09:15:00 EST"), None);
        let third = |t: &str| parse(t.as_bytes()).and_then(|s| s.clock?.third);
        assert_eq!(third("09:15:07,250"), Some(7.25));
    }

    proptest! {
        #[test]
        fn any_text_is_a_stamp_or_not(text in "[-0-9TZ:./, apmAPM+]{0,30}") {
            let _ = parse(text.as_bytes());
        }
    }
}
