//! Where the clock of the computer was set while it recorded: the stamps of the rows move, and
//! the time since the start does not.

use chrono::{DateTime, NaiveDate, NaiveDateTime, Timelike};

/// A clock that is kept right moves by less between two rows, s; a program that keeps it right
/// sets it at once only where it is wrong by more than about this (common practice, no source).
const LEAST_S: f64 = 2.0;
/// Steps that are kept.
const MOST: usize = 20;
/// Length of the day part of a stamp, `2026-03-14T`.
const DAY: usize = 11;

/// One step of the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockStep {
    /// Row of the file before which it happened, counted from 1 as an editor counts lines.
    pub row: u64,
    /// When, s since the start of the run.
    pub elapsed_s: f64,
    /// By how much the clock was set forward, s; below 0 where it was set back.
    pub by_s: f64,
}

/// Follows stamps and seconds of the rows of one trace.
#[derive(Debug, Default)]
pub(crate) struct ClockSteps {
    /// The day part of the newest stamp, and its midnight in s since 1970.
    day: Vec<u8>,
    midnight_s: f64,
    /// Clock less seconds since the start, s, at the row before.
    before_s: Option<f64>,
    found: Vec<ClockStep>,
}

impl ClockSteps {
    /// Takes the stamp of a row; one that is none says nothing.
    pub(crate) fn row(&mut self, row: u64, elapsed_s: f64, utc: &[u8]) {
        let Some(stamp_s) = self.seconds(utc) else {
            return;
        };
        let apart_s = stamp_s - elapsed_s;
        if let Some(before_s) = self.before_s {
            let by_s = apart_s - before_s;
            if by_s.abs() >= LEAST_S && self.found.len() < MOST {
                self.found.push(ClockStep {
                    row,
                    elapsed_s,
                    by_s,
                });
            }
        }
        self.before_s = Some(apart_s);
    }

    /// Where the clock was set.
    pub(crate) fn found(&self) -> Vec<ClockStep> {
        self.found.clone()
    }

    /// Seconds since 1970. Rows of one day differ in their last part only, which is all that
    /// is read then.
    fn seconds(&mut self, utc: &[u8]) -> Option<f64> {
        if let Some(time) = utc.strip_prefix(self.day.as_slice())
            && !self.day.is_empty()
            && let Some(of_day_s) = time_of_day_s(time)
        {
            return Some(self.midnight_s + of_day_s);
        }
        let text = std::str::from_utf8(utc).ok()?;
        let at = DateTime::parse_from_rfc3339(text).ok()?.naive_utc();
        let epoch = NaiveDateTime::from(NaiveDate::from_ymd_opt(1970, 1, 1)?);
        let since_s = (at - epoch).num_milliseconds() as f64 / 1e3;
        if let (true, Some(day)) = (utc.ends_with(b"Z"), utc.get(..DAY)) {
            self.day = day.to_vec();
            let ms = f64::from(at.nanosecond() / 1_000_000) / 1e3;
            self.midnight_s = since_s - f64::from(at.num_seconds_from_midnight()) - ms;
        }
        Some(since_s)
    }
}

/// `hh:mm:ss.mmmZ` and nothing else, s.
fn time_of_day_s(text: &[u8]) -> Option<f64> {
    let &[h, i, b':', m, n, b':', s, t, b'.', x, y, z, b'Z'] = text else {
        return None;
    };
    let number = |digits: &[u8]| {
        digits.iter().try_fold(0_u32, |sum, d| {
            d.is_ascii_digit().then(|| 10 * sum + u32::from(d - b'0'))
        })
    };
    let (hours, minutes, seconds) = (number(&[h, i])?, number(&[m, n])?, number(&[s, t])?);
    let whole = 3_600 * hours + 60 * minutes + seconds;
    Some(f64::from(whole) + f64::from(number(&[x, y, z])?) / 1e3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(rows: &[(f64, &str)]) -> Vec<ClockStep> {
        let mut steps = ClockSteps::default();
        for (i, (elapsed_s, utc)) in rows.iter().enumerate() {
            steps.row(i as u64 + 2, *elapsed_s, utc.as_bytes());
        }
        steps.found()
    }

    #[test]
    fn a_clock_that_is_set_is_found_and_midnight_is_none() {
        let kept = [
            (0.0, "2026-03-14T23:59:58.000Z"),
            (1.0, "2026-03-14T23:59:59.010Z"),
            (2.0, "2026-03-15T00:00:00.020Z"),
            (3.0, "2026-03-15T00:00:01.900Z"),
            (4.0, "not a stamp"),
            (900.0, "2026-03-15T00:14:58.000Z"),
        ];
        assert_eq!(steps(&kept), []);
        let set = [
            (0.0, "2026-03-14T09:15:00.000Z"),
            (1.0, "2026-03-14T09:15:01.000Z"),
            (2.0, "2026-03-14T10:15:02.000Z"),
            (3.0, "2026-03-14T10:15:03.000Z"),
            (4.0, "2026-03-13T10:15:04.000Z"),
        ];
        let found = steps(&set);
        assert_eq!(found.len(), 2, "{found:?}");
        assert_eq!((found[0].row, found[0].by_s), (4, 3_600.0));
        assert_eq!((found[1].row, found[1].by_s), (6, -86_400.0));
    }
}
