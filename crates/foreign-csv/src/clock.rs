//! The time column: seconds since the run started, whatever it is written in.

use chrono::{DateTime, NaiveDate, Utc};

use super::{
    cells::{Decimal, parse_number},
    columns::TimeColumn,
    options::{TimeUnit, TwoPart},
    stamp::{self, ClockText, DateText, Stamp},
};

const DAY_S: f64 = 86_400.0;

/// Day number of 1970-01-01, as chrono counts days.
const UNIX_DAY: i32 = 719_163;

/// What a time cell says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TimeCell {
    /// Seconds since the run started.
    At(f64),
    Missing,
    /// `12:34`, and nothing says what that is.
    Ambiguous,
    Text,
}

/// How the column's first cell turned out to be written.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Unset,
    /// A number counting from the start of the run.
    Elapsed {
        scale: f64,
    },
    /// A number counting from 1970 or another fixed day.
    Epoch {
        scale: f64,
        first: f64,
    },
    /// `h:mm:ss` counting from the start of the run.
    Span,
    /// `h:mm:ss` of the day, without a date.
    OfDay {
        first_s: f64,
        days: f64,
        last_s: f64,
    },
    /// Date and clock time.
    Stamped {
        first: DateText,
        first_s: f64,
        zoned: bool,
    },
}

/// Reads the cells of a time column in order.
#[derive(Debug)]
pub(crate) struct Clock {
    column: TimeColumn,
    unit: Option<TimeUnit>,
    decimal: Decimal,
    form: Form,
    started: Option<DateTime<Utc>>,
    first_stamp: Option<FirstStamp>,
    notes: Vec<String>,
    day_numbers: bool,
}

/// The time of the first row by the clock of the file, where it writes times of day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstStamp {
    /// Its day, where the file has dates and their order is clear.
    pub date: Option<NaiveDate>,
    /// Seconds since midnight.
    pub second_of_day: f64,
}

impl Clock {
    /// `unit` is what the person said, else what the header says.
    pub(crate) fn new(column: TimeColumn, unit: Option<TimeUnit>, decimal: Decimal) -> Self {
        let unit = unit.or(column.unit);
        Self {
            column,
            unit,
            decimal,
            form: Form::Unset,
            started: None,
            first_stamp: None,
            notes: Vec::new(),
            day_numbers: false,
        }
    }

    /// Tells from two cells at the top whether a column without a unit holds
    /// spreadsheet day numbers: dates of this century, whose steps as seconds
    /// would be no steps at all.
    pub(crate) fn look_at(&mut self, first: &[u8], second: &[u8]) {
        const THIS_CENTURY: std::ops::Range<f64> = 36_526.0..73_051.0;
        let number = |cell| parse_number(cell, self.decimal).filter(|n| THIS_CENTURY.contains(n));
        if let (Some(a), Some(b)) = (number(first), number(second)) {
            let step = (b - a).abs();
            self.day_numbers = !self.column.elapsed && step > 0.0 && step < 0.02;
        }
    }

    /// True where a cell of two numbers says nothing of what they are.
    pub(crate) fn is_ambiguous(&self, cell: &[u8]) -> bool {
        let bare = stamp::parse(cell).filter(|s| s.date.is_none());
        let clock = bare.and_then(|s| s.clock);
        clock.is_some_and(|c| self.seconds_of(&c, false) == Err(TimeCell::Ambiguous))
    }

    /// True where two numbers, as of `cell`, can only be minutes and seconds: no clock
    /// has an hour 25, and hours have no fraction behind the minutes.
    pub(crate) fn shows_seconds(cell: &[u8]) -> bool {
        let bare = stamp::parse(cell).filter(|s| s.date.is_none());
        let two = bare.and_then(|s| s.clock).filter(|c| c.third.is_none());
        two.is_some_and(|c| c.first > 24 || c.second_fraction > 0.0)
    }

    /// When the run started, once the first cell was read, if a zone is known.
    pub(crate) fn started(&self) -> Option<DateTime<Utc>> {
        self.started
    }

    /// The time of the first row by the clock of the file, once it was read.
    pub(crate) fn first_stamp(&self) -> Option<FirstStamp> {
        self.first_stamp
    }

    pub(crate) fn has_notes(&self) -> bool {
        !self.notes.is_empty()
    }

    /// How the column was understood.
    pub(crate) fn take_notes(&mut self) -> Vec<String> {
        std::mem::take(&mut self.notes)
    }

    /// The next cell, with the cell of the date column when there is one.
    pub(crate) fn read(&mut self, time: &[u8], date: Option<&[u8]>) -> TimeCell {
        let time = time.trim_ascii();
        if time.is_empty() || matches!(time, b"--" | b"NaN" | b"nan") {
            return TimeCell::Missing;
        }
        // no number has a colon, and most stamps have one
        if !time.contains(&b':') {
            let stamp = match date {
                // 20260314091500 is no number of seconds
                None if time.len() >= 14 => stamp::parse(time).filter(|s| s.clock.is_some()),
                None => None,
                Some(_) => stamp::six_digits(time),
            };
            if let Some(stamp) = stamp {
                return self.dated_stamp(stamp, date);
            }
            if let Some(value) = parse_number(time, self.decimal) {
                return self.number(value);
            }
        }
        match stamp::parse(time) {
            Some(stamp) => self.dated_stamp(stamp, date),
            None => TimeCell::Text,
        }
    }

    /// A stamp, its date taken from the date column where it has none.
    fn dated_stamp(&mut self, mut stamp: Stamp, date: Option<&[u8]>) -> TimeCell {
        if stamp.date.is_none()
            && let Some(date) = date
        {
            let date = date.trim_ascii();
            stamp.date = stamp::eight_digits(date).or_else(|| stamp::parse(date)?.date);
        }
        self.stamp(stamp)
    }

    fn number(&mut self, value: f64) -> TimeCell {
        if self.form == Form::Unset {
            self.form = self.number_form(value);
        }
        match self.form {
            Form::Elapsed { scale } => TimeCell::At(value * scale),
            Form::Epoch { scale, first } => TimeCell::At((value - first) * scale),
            _ => TimeCell::Text,
        }
    }

    fn number_form(&mut self, value: f64) -> Form {
        // elapsed times never reach these; 1e8 s is more than three years
        let epoch_unit = match (self.unit, value) {
            (Some(unit), v) if v * unit.seconds() >= 3e8 => Some(unit.seconds()),
            (Some(_), _) => None,
            (None, 1e17..) => Some(1e-9),
            (None, 1e14..) => Some(1e-6),
            (None, 1e11..) => Some(1e-3),
            (None, 1e8..) => Some(1.0),
            (None, 20_000.0..80_000.0) if self.column.dated || self.day_numbers => {
                // spreadsheet day numbers carry no zone
                let note = "time column read as spreadsheet day numbers";
                self.notes.push(note.into());
                return Form::Epoch {
                    scale: DAY_S,
                    first: value,
                };
            }
            (None, _) => None,
        };
        if let Some(scale) = epoch_unit {
            self.started = utc_of(value * scale);
            return Form::Epoch {
                scale,
                first: value,
            };
        }
        if self.unit.is_none() {
            let note = "time column has no unit: read as seconds";
            self.notes.push(note.into());
        }
        Form::Elapsed {
            scale: self.unit.map_or(1.0, TimeUnit::seconds),
        }
    }

    fn stamp(&mut self, stamp: Stamp) -> TimeCell {
        let of_day = match stamp
            .clock
            .map(|clock| self.seconds_of(&clock, stamp.date.is_some()))
        {
            Some(Ok(seconds)) => seconds,
            Some(Err(cell)) => return cell,
            // a date alone says too little to order readings by
            None => return TimeCell::Text,
        };
        if self.form == Form::Unset {
            self.form = self.stamp_form(&stamp, of_day);
        }
        let zone_s = f64::from(stamp.zone_s.unwrap_or(0));
        match (&mut self.form, stamp.date) {
            (Form::Span, None) => TimeCell::At(f64::from(stamp.days.unwrap_or(0)) * DAY_S + of_day),
            (
                Form::OfDay {
                    first_s,
                    days,
                    last_s,
                },
                None,
            ) => {
                // a clock that falls by more than half a day has passed midnight,
                // and one that then rises as much belongs to a late row
                if of_day < *last_s - DAY_S / 2.0 {
                    *days += 1.0;
                } else if *last_s < 3600.0 && of_day > DAY_S - 3600.0 {
                    *days -= 1.0;
                }
                *last_s = of_day;
                TimeCell::At(*days * DAY_S + of_day - *first_s)
            }
            (
                Form::Stamped {
                    first,
                    first_s,
                    zoned,
                },
                Some(date),
            ) if *zoned == stamp.zone_s.is_some() => match days_between(*first, date) {
                Some(days) => TimeCell::At(f64::from(days) * DAY_S + of_day - zone_s - *first_s),
                None => TimeCell::Text,
            },
            _ => TimeCell::Text,
        }
    }

    fn stamp_form(&mut self, stamp: &Stamp, of_day: f64) -> Form {
        let Some(first) = stamp.date else {
            return if self.column.elapsed || stamp.days.is_some() {
                Form::Span
            } else {
                self.first_stamp = Some(FirstStamp {
                    date: None,
                    second_of_day: of_day,
                });
                Form::OfDay {
                    first_s: of_day,
                    days: 0.0,
                    last_s: of_day,
                }
            };
        };
        self.first_stamp = Some(FirstStamp {
            date: first
                .settled()
                .and_then(NaiveDate::from_num_days_from_ce_opt),
            second_of_day: of_day,
        });
        let first_s = of_day - f64::from(stamp.zone_s.unwrap_or(0));
        let zoned = stamp.zone_s.is_some() || self.column.utc;
        match first.settled() {
            Some(day) if zoned => {
                self.started = utc_of(f64::from(day - UNIX_DAY) * DAY_S + first_s);
            }
            Some(_) => {}
            None => self.notes.push(
                "dates could be day/month or month/day: only the time between rows is used".into(),
            ),
        }
        Form::Stamped {
            first,
            first_s,
            zoned: stamp.zone_s.is_some(),
        }
    }

    /// Seconds of a clock time, or why it cannot be told.
    fn seconds_of(&self, clock: &ClockText, dated: bool) -> Result<f64, TimeCell> {
        if dated && clock.first > 24 {
            return Err(TimeCell::Text);
        }
        let (first, second) = (f64::from(clock.first), f64::from(clock.second));
        let seconds = match (clock.third, self.column.two_part) {
            (Some(third), _) => first * 3600.0 + second * 60.0 + third,
            (None, Some(TwoPart::MinutesSeconds)) => first * 60.0 + second + clock.second_fraction,
            (None, _) if clock.second_fraction > 0.0 => {
                first * 60.0 + second + clock.second_fraction
            }
            (None, Some(TwoPart::HoursMinutes)) => first * 3600.0 + second * 60.0,
            (None, None) if clock.twelve_hour || dated => first * 3600.0 + second * 60.0,
            (None, None) => return Err(TimeCell::Ambiguous),
        };
        Ok(seconds)
    }
}

/// Days from one date to another. Where day and month could be swapped, the
/// order that gives the smaller step forward is meant: a run lasts hours.
fn days_between(first: DateText, date: DateText) -> Option<i32> {
    let step = |from: Option<i32>, to: Option<i32>| Some(to? - from?);
    let steps = [
        step(first.month_first, date.month_first),
        step(first.day_first, date.day_first),
    ];
    let known = steps.into_iter().flatten();
    known
        .clone()
        .filter(|d| *d >= 0)
        .min()
        .or_else(|| known.max())
}

fn utc_of(unix_s: f64) -> Option<DateTime<Utc>> {
    DateTime::from_timestamp_millis((unix_s * 1000.0).round() as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::columns::as_time;

    fn read(header: &str, cells: &[&str]) -> (Vec<TimeCell>, Option<String>) {
        let mut clock = Clock::new(as_time(0, header), None, Decimal::Point);
        let times = cells
            .iter()
            .map(|c| clock.read(c.as_bytes(), None))
            .collect();
        let started = clock
            .started()
            .map(|t| t.to_rfc3339_opts(chrono::SecondsFormat::Millis, true));
        (times, started)
    }

    fn seconds(header: &str, cells: &[&str]) -> Vec<f64> {
        read(header, cells)
            .0
            .into_iter()
            .map(|t| match t {
                TimeCell::At(s) => (s * 1e6).round() / 1e6,
                other => panic!("{header}: {other:?}"),
            })
            .collect()
    }

    #[test]
    fn numbers_count_in_the_unit_of_the_header() {
        assert_eq!(seconds("elapsed_s", &["5", "6.5"]), [5.0, 6.5]);
        assert_eq!(seconds("Time (min)", &["0", "0.5"]), [0.0, 30.0]);
        assert_eq!(seconds("time_ms", &["0", "1500"]), [0.0, 1.5]);
        assert_eq!(seconds("hours", &["1", "1.5"]), [3600.0, 5400.0]);
        assert_eq!(seconds("t", &["0", "0.1"]), [0.0, 0.1]);
    }

    #[test]
    fn epochs_are_told_by_their_size() {
        // 1 773 479 700 s is 2026-03-14T09:15:00Z (computed with chrono's calendar)
        let started = Some("2026-03-14T09:15:00.000Z".to_owned());
        for cells in [
            ["1773479700", "1773479700.5"],
            ["1773479700000", "1773479700500"],
            ["1773479700000000", "1773479700500000"],
        ] {
            assert_eq!(seconds("timestamp", &cells), [0.0, 0.5]);
            assert_eq!(read("timestamp", &cells).1, started);
        }
        assert_eq!(seconds("date", &["46095.25", "46095.5"]), [0.0, 21_600.0]);
    }

    #[test]
    fn stamps_with_and_without_zone() {
        let (times, started) = read(
            "time",
            &["2026-03-14T10:15:00+01:00", "2026-03-14T10:15:01.250+01:00"],
        );
        assert_eq!(times, [TimeCell::At(0.0), TimeCell::At(1.25)]);
        assert_eq!(started.as_deref(), Some("2026-03-14T09:15:00.000Z"));
        let (_, local) = read("time", &["2026-03-14 10:15:00"]);
        assert_eq!(local, None);
        let (_, utc) = read("utc", &["2026-03-14 09:15:00"]);
        assert_eq!(utc.as_deref(), Some("2026-03-14T09:15:00.000Z"));
    }

    #[test]
    fn midnight_passes_with_and_without_a_date() {
        let step = |cells: &[&str]| seconds("timestamp", cells)[1];
        assert_eq!(step(&["23:59:59", "00:00:01"]), 2.0);
        assert_eq!(step(&["11:59:59 PM", "12:00:01 AM"]), 2.0);
        // month first, day first, and an order that only the second row settles
        assert_eq!(step(&["03/04/2026 23:59:59", "03/05/2026 00:00:01"]), 2.0);
        assert_eq!(step(&["03/04/2026 23:59:59", "04/04/2026 00:00:01"]), 2.0);
        assert_eq!(step(&["12/04/2026 23:59:59", "13/04/2026 00:00:01"]), 2.0);
    }

    #[test]
    fn two_numbers_are_not_guessed() {
        assert_eq!(read("time", &["00:01"]).0, [TimeCell::Ambiguous]);
        assert_eq!(seconds("time (mm:ss)", &["00:01", "01:00"]), [0.0, 59.0]);
        assert_eq!(seconds("elapsed (mm:ss)", &["00:01", "01:00"]), [1.0, 60.0]);
        assert_eq!(seconds("time", &["1:05 PM", "1:06 PM"]), [0.0, 60.0]);
    }

    #[test]
    fn text_is_text() {
        assert_eq!(read("t", &["abc"]).0, [TimeCell::Text]);
        assert_eq!(read("t", &[""]).0, [TimeCell::Missing]);
        assert_eq!(read("t", &["5", "10:00:00"]).0[1], TimeCell::Text);
    }
}
