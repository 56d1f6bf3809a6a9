//! Walking along a stamp: numbers, words and signs, one after the other.

use super::fields::{
    ClockText, DateText, day_number, full_year, month_named, whole_clock, whole_date, zone_named,
};

/// Walks along the bytes of a stamp.
pub(super) struct Cursor<'a> {
    pub(super) bytes: &'a [u8],
    pub(super) at: usize,
    /// Points may stand between hours, minutes and seconds (behind a date).
    pub(super) dots: bool,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self {
            bytes,
            at: 0,
            dots: false,
        }
    }

    pub(super) fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    pub(super) fn eat(&mut self, wanted: u8) -> bool {
        let found = self.peek() == Some(wanted);
        self.at += usize::from(found);
        found
    }

    pub(super) fn skip_blanks(&mut self) {
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
    pub(super) fn fraction(&mut self) -> Option<f64> {
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

    /// `2026-W11-6`, `2026W116`: year, week and weekday of ISO 8601; or `2026-073`, year and
    /// day of the year. `None`, and nothing eaten, when it is something else.
    fn iso_day(&mut self) -> Option<DateText> {
        let from = self.at;
        let found = self.iso_day_parts();
        if found.is_none() {
            self.at = from;
        }
        found
    }

    fn iso_day_parts(&mut self) -> Option<DateText> {
        let year = i32::try_from(self.digits(4)?).ok()?;
        let dashed = self.eat(b'-');
        if self.eat(b'W') {
            let week = self.digits(2)?;
            if dashed != self.eat(b'-') {
                return None;
            }
            return DateText::of_week(year, week, self.digits(1)?);
        }
        let (day, len) = self.number()?;
        let ends = !self.peek().is_some_and(|b| matches!(b, b'-' | b'/' | b'.'));
        (dashed && len == 3 && ends).then(|| DateText::of_year(year, day))?
    }

    pub(super) fn date(&mut self) -> Option<DateText> {
        if let Some(day) = self.iso_day() {
            return Some(day);
        }
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

    /// `2 days, ` or `2 days ` before a span.
    pub(super) fn days(&mut self) -> Option<u32> {
        let from = self.at;
        let found = self.number().and_then(|(days, _)| {
            self.skip_blanks();
            let word = self.word().to_ascii_lowercase();
            matches!(word.as_slice(), b"day" | b"days").then_some(days)
        });
        if found.is_none() {
            self.at = from;
            return None;
        }
        self.eat(b',');
        self.skip_blanks();
        found
    }

    /// `091500` behind a date.
    fn clock_of_six_digits(&mut self) -> Option<ClockText> {
        let from = self.at;
        let found = self.digits(6).and_then(|digits| {
            let more = |b: u8| b.is_ascii_digit() || b == b':';
            let whole = !self.peek().is_some_and(more);
            whole_clock(digits, self.fraction()?).filter(|_| whole)
        });
        if found.is_none() {
            self.at = from;
        }
        found
    }

    pub(super) fn clock(&mut self) -> Option<ClockText> {
        if self.dots
            && let Some(clock) = self.clock_of_six_digits()
        {
            return Some(clock);
        }
        let (first, _) = self.number()?;
        let dots = self.dots && self.peek() == Some(b'.');
        if !(self.eat(b':') || dots && self.eat(b'.')) {
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
        if self.eat(b':') || dots && self.eat(b'.') {
            let (whole, _) = self.number()?;
            // 09:15:00:250 has a fourth number for the milliseconds
            let fraction = match self.peek() {
                Some(b':') => {
                    self.at += 1;
                    f64::from(self.digits(3)?) / 1000.0
                }
                _ => self.fraction()?,
            };
            clock.third = Some(f64::from(whole) + fraction);
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
        self.skip_blanks();
        if !(self.eat(b'm') || self.eat(b'M')) || !(1..=12).contains(&clock.first) {
            return None;
        }
        self.eat(b'.');
        clock.first = clock.first % 12 + if half == b'p' { 12 } else { 0 };
        clock.twelve_hour = true;
        Some(())
    }

    /// `Z`, `UTC`, `CEST`, `+01:00`, `-0530`, `+01`, `UTC+1`; `Some(None)` when
    /// absent. A zone's name in brackets behind it (RFC 9557) adds nothing.
    pub(super) fn zone(&mut self) -> Option<Option<i32>> {
        self.skip_blanks();
        if let [head @ .., b']'] = self.bytes
            && let Some(open) = head.iter().rposition(|b| *b == b'[')
        {
            self.bytes = head[..open].trim_ascii_end();
        }
        let Some(first) = self.peek() else {
            return Some(None);
        };
        if first.is_ascii_alphabetic() {
            let named = zone_named(self.word())?;
            if self.peek().is_none() || named != 0 {
                return self.peek().is_none().then_some(Some(named));
            }
        }
        let sign = match self.peek()? {
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
        // only a sum of counts that can be a zone's fits its type
        valid.then(|| {
            let seconds = i32::try_from(hours * 3600 + minutes * 60);
            seconds.ok().map(|s| sign * s)
        })
    }

    /// `20260314T091500`, with or without the `T`, and a fraction behind it.
    pub(super) fn compact(&mut self) -> Option<(DateText, ClockText)> {
        let date = self.digits(8)?;
        if matches!(self.peek(), Some(b'T' | b't' | b' ' | b'_')) {
            self.at += 1;
        }
        let clock = self.digits(6)?;
        let fraction = match self.peek() {
            // 20260314091500250: milliseconds without a point
            Some(b'0'..=b'9') => f64::from(self.digits(3)?) / 1000.0,
            _ => self.fraction()?,
        };
        let date = whole_date(date)?;
        Some((date, whole_clock(clock, fraction)?))
    }

    /// Exactly so many digits.
    pub(super) fn digits(&mut self, count: usize) -> Option<u32> {
        let digits = self.bytes.get(self.at..self.at + count)?;
        let value = digits.iter().try_fold(0, |value, b| {
            b.is_ascii_digit().then(|| value * 10 + u32::from(b - b'0'))
        })?;
        self.at += count;
        Some(value)
    }
}
