//! The fields of a stamp: its date, clock time and zone.

use chrono::{Datelike, NaiveDate, Weekday};

/// A date whose order of day and month may be open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct DateText {
    /// Day number, month first; `None` when that is no date.
    pub(crate) month_first: Option<i32>,
    /// Day number, day first; `None` when that is no date.
    pub(crate) day_first: Option<i32>,
}

impl DateText {
    pub(super) fn certain(year: i32, month: u32, day: u32) -> Option<Self> {
        let day = day_number(year, month, day)?;
        Some(Self {
            month_first: Some(day),
            day_first: Some(day),
        })
    }

    /// A day of a week of ISO 8601: year of the week, week 1 to 53, day 1 (Monday) to 7.
    pub(super) fn of_week(year: i32, week: u32, weekday: u32) -> Option<Self> {
        let weekday = Weekday::try_from(u8::try_from(weekday).ok()?.checked_sub(1)?).ok()?;
        Self::of(NaiveDate::from_isoywd_opt(year, week, weekday)?)
    }

    /// A day of the year of ISO 8601, 1 to 366.
    pub(super) fn of_year(year: i32, day: u32) -> Option<Self> {
        Self::of(NaiveDate::from_yo_opt(year, day)?)
    }

    fn of(date: NaiveDate) -> Option<Self> {
        let day = Some(date.num_days_from_ce());
        Some(Self {
            month_first: day,
            day_first: day,
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

pub(super) fn day_number(year: i32, month: u32, day: u32) -> Option<i32> {
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

/// 20260314
pub(super) fn whole_date(digits: u32) -> Option<DateText> {
    let year = i32::try_from(digits / 10_000).ok()?;
    if !(1900..2200).contains(&year) {
        return None;
    }
    DateText::certain(year, digits / 100 % 100, digits % 100)
}

/// 091500
pub(super) fn whole_clock(digits: u32, fraction: f64) -> Option<ClockText> {
    let (hour, minute, second) = (digits / 10_000, digits / 100 % 100, digits % 100);
    (hour <= 24 && minute < 60 && second < 61).then(|| ClockText {
        first: hour,
        second: minute,
        third: Some(f64::from(second) + fraction),
        second_fraction: 0.0,
        twelve_hour: false,
    })
}

/// Zones by abbreviation, seconds east: those of RFC 5322 section 4.3, and the
/// European ones of the IANA time zone database. Others mean several zones.
pub(super) fn zone_named(word: &[u8]) -> Option<i32> {
    let hours = match word.to_ascii_uppercase().as_slice() {
        b"Z" | b"UT" | b"UTC" | b"GMT" | b"WET" => 0,
        b"WEST" | b"CET" | b"MET" => 1,
        b"CEST" | b"MEST" | b"EET" => 2,
        b"EEST" => 3,
        b"EDT" => -4,
        b"EST" | b"CDT" => -5,
        b"CST" | b"MDT" => -6,
        b"MST" | b"PDT" => -7,
        b"PST" => -8,
        _ => return None,
    };
    Some(hours * 3600)
}

pub(super) fn full_year(year: u32, digits: usize) -> Option<i32> {
    match digits {
        4 => i32::try_from(year).ok(),
        2 => i32::try_from(2000 + year).ok(),
        _ => None,
    }
}

pub(super) fn month_named(word: &[u8]) -> Option<u32> {
    const MONTHS: [&[u8; 3]; 12] = [
        b"jan", b"feb", b"mar", b"apr", b"may", b"jun", b"jul", b"aug", b"sep", b"oct", b"nov",
        b"dec",
    ];
    let start = word.get(..3)?.to_ascii_lowercase();
    let at = MONTHS.iter().position(|m| m.as_slice() == start)?;
    u32::try_from(at + 1).ok()
}
