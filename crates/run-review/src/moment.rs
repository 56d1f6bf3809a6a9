//! A moment of a record as a person types it: seconds, a time of day, a date and time.

use chrono::{DateTime, Duration, NaiveDate, NaiveDateTime, NaiveTime, Timelike, Utc};
use run_record::Source;
use vacuum::Zone;

/// A moment somebody typed.
///
/// ```
/// use run_review::Moment;
/// assert_eq!(Moment::read("1200"), Ok(Moment::Seconds(1200.0)));
/// assert_eq!(Moment::read("20m5s"), Ok(Moment::Seconds(1205.0)));
/// assert!(matches!(Moment::read("2:05pm"), Ok(Moment::TimeOfDay { .. })));
/// assert!(Moment::read("soon").is_err());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub enum Moment {
    /// Seconds of the record.
    Seconds(f64),
    /// A time of day, without a date.
    TimeOfDay {
        /// The time.
        time: NaiveTime,
        /// It may be one of the afternoon: neither am nor pm nor a leading zero stood there.
        open_half: bool,
    },
    /// A date and a time of day.
    Local(NaiveDateTime),
    /// A date and time with its zone.
    Exact(DateTime<Utc>),
}

/// A moment, placed in a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Seconds of the record.
    pub at_s: f64,
    /// How what was typed was read, for a person; `None` where seconds were typed.
    pub note: Option<String>,
    /// It has no date, so it comes again a day later.
    pub comes_daily: bool,
}

/// When a record began, by which clock.
#[derive(Debug, Clone, PartialEq)]
struct Start {
    /// By the clock in which times of day are typed; the day counts only where it is known.
    wall: NaiveDateTime,
    /// The same as an instant, where a zone is known.
    utc: Option<DateTime<Utc>>,
    has_date: bool,
    /// Which clock, in words.
    clock: String,
}

/// A first row may come a little later than the start of the record.
const BEFORE_START: Duration = Duration::seconds(60);

impl Moment {
    /// Reads seconds ("1200"), a span ("20m5s", "1h2m"), a time of day ("14:05",
    /// "14:05:30", "2:05pm"), or a date and time ("2026-03-14 14:05", with or without a
    /// zone behind it).
    ///
    /// # Errors
    /// What to type instead, one clause.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        if is_clock_with_a_dot(text) {
            return Err(format!(
                "{text} may be a time of day or seconds: write {} or {text}s",
                text.replace('.', ":")
            ));
        }
        if let Some(seconds) = text.parse::<f64>().ok().or_else(|| span_s(text)) {
            // as far as a clock counts: a hundred years
            let fits = (0.0..=3.2e9).contains(&seconds);
            return match fits {
                true => Ok(Self::Seconds(seconds)),
                false => {
                    Err("seconds of the record must lie in 0 to 3200000000, a hundred years".into())
                }
            };
        }
        if let Ok(exact) = DateTime::parse_from_rfc3339(&text.replace(' ', "T")) {
            return Ok(Self::Exact(exact.to_utc()));
        }
        let plain = text.replace('T', " ");
        for form in ["%Y-%m-%d %H:%M:%S%.f", "%Y-%m-%d %H:%M"] {
            if let Ok(local) = NaiveDateTime::parse_from_str(&plain, form) {
                return Ok(Self::Local(local));
            }
        }
        time_of_day(text).ok_or_else(|| {
            "give seconds of the record (1200 or 20m5s), a time of day (14:05, 14:05:30 or \
             2:05pm), or date and time (\"2026-03-14 14:05\")"
                .into()
        })
    }
}

/// "14.05": how a time of day is written in many places, and a number of seconds too.
fn is_clock_with_a_dot(text: &str) -> bool {
    let Some((hour, minute)) = text.split_once('.') else {
        return false;
    };
    let number = |part: &str, most: u32| part.parse::<u32>().is_ok_and(|n| n <= most);
    (1..=2).contains(&hour.len()) && minute.len() == 2 && number(hour, 23) && number(minute, 59)
}

/// "1h2m3s", "20m", "90s", "20 min": units from large to small, each once.
fn span_s(text: &str) -> Option<f64> {
    let mut rest = text;
    let (mut total, mut last) = (0.0, f64::INFINITY);
    while !rest.trim_start().is_empty() {
        rest = rest.trim_start();
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
        let (figures, behind) = rest.split_at(end);
        let behind = behind.trim_start();
        let end = behind.find(|c: char| !c.is_ascii_alphabetic());
        let (word, next) = behind.split_at(end.unwrap_or(behind.len()));
        let unit_s = match word.to_ascii_lowercase().as_str() {
            "h" | "hr" | "hours" | "hour" => 3600.0,
            "m" | "min" | "minutes" | "minute" => 60.0,
            "s" | "sec" | "seconds" | "second" => 1.0,
            _ => return None,
        };
        if unit_s >= last {
            return None;
        }
        total += figures.parse::<f64>().ok()? * unit_s;
        (last, rest) = (unit_s, next);
    }
    last.is_finite().then_some(total)
}

fn time_of_day(text: &str) -> Option<Moment> {
    let lower = text.to_ascii_lowercase().replace('.', "");
    let (clock, half) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(clock), _) => (clock.trim_end(), Some(0)),
        (_, Some(clock)) => (clock.trim_end(), Some(12)),
        _ => (lower.as_str(), None),
    };
    let number = |part: &str| -> Option<u32> {
        let plain = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| part.parse().ok())?
    };
    let parts: Vec<&str> = clock.split(':').collect();
    let (hour, minute, second) = match (parts.as_slice(), half) {
        ([h], Some(_)) => (number(h)?, 0, 0),
        ([h, m], _) => (number(h)?, number(m)?, 0),
        ([h, m, s], _) => (number(h)?, number(m)?, number(s)?),
        _ => return None,
    };
    let hour = match half {
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(half) => hour % 12 + half,
        None => hour,
    };
    Some(Moment::TimeOfDay {
        time: NaiveTime::from_hms_opt(hour, minute, second)?,
        open_half: half.is_none() && (1..12).contains(&hour) && !clock.starts_with('0'),
    })
}

/// Where `moment` lies in the record that `source` is; `zone` is the zone in which times of
/// a record with a zone are printed. Reads the record up to its first entry.
///
/// # Errors
/// What is missing to place it, one clause.
pub(crate) fn place(moment: &Moment, source: &mut Source, zone: Zone) -> Result<Placed, String> {
    if let Moment::Seconds(at_s) = moment {
        return Ok(Placed {
            at_s: *at_s,
            note: None,
            comes_daily: false,
        });
    }
    let start = start(source, zone).ok_or(
        "the record does not say at what time of day it was made: give seconds of the record",
    )?;
    start.place(moment)
}

fn start(source: &mut Source, zone: Zone) -> Option<Start> {
    // a table shows its clock with its first row
    if !source.is_run() {
        source.next_entry().ok()?;
    }
    if let Some(first) = source.first_stamp() {
        let date = first.date.unwrap_or(NaiveDate::from_ymd_opt(2000, 1, 1)?);
        let wall = date.and_time(NaiveTime::MIN) + milliseconds(first.second_of_day);
        return Some(Start {
            wall,
            utc: source.started_utc(),
            has_date: first.date.is_some(),
            clock: "the clock of the file".into(),
        });
    }
    let utc = source.started_utc()?;
    let (east_min, clock) = match zone {
        Zone::Utc => (0, "UTC, as the times of the record are printed".to_owned()),
        Zone::EastMin(east) => (east, format!("a clock at UTC{}", zone.code())),
    };
    Some(Start {
        wall: utc.naive_utc() + Duration::minutes(east_min.into()),
        utc: Some(utc),
        has_date: true,
        clock,
    })
}

fn milliseconds(seconds: f64) -> Duration {
    Duration::milliseconds((seconds * 1000.0).round() as i64)
}

impl Start {
    fn place(&self, moment: &Moment) -> Result<Placed, String> {
        let (wall, comes_daily, open_half) = match moment {
            Moment::Seconds(_) => return Err("seconds need no clock".into()),
            Moment::Exact(exact) => {
                let utc = self.utc.ok_or(
                    "the record has no time zone: give the time as the file has it, without a zone",
                )?;
                (self.wall + (*exact - utc), false, false)
            }
            Moment::Local(_) if !self.has_date => {
                return Err(
                    "the record has times without a date: give the time of day alone".into(),
                );
            }
            Moment::Local(local) => (*local, false, false),
            Moment::TimeOfDay { time, open_half } => {
                let earliest = self.wall - BEFORE_START;
                let same_day = earliest.date().and_time(*time);
                let next = same_day + Duration::days(1);
                let wall = if same_day >= earliest { same_day } else { next };
                (wall, true, *open_half)
            }
        };
        let at_s = (wall - self.wall).num_milliseconds() as f64 / 1000.0;
        let date = match self.has_date {
            true => format!(" on {}", wall.date()),
            false => String::new(),
        };
        let afternoon = match open_half {
            true => format!(
                " (write {}pm for the afternoon)",
                wall.time().format("%-I:%M")
            ),
            false => String::new(),
        };
        let seconds = if wall.second() == 0 {
            "%H:%M"
        } else {
            "%H:%M:%S"
        };
        Ok(Placed {
            at_s,
            note: Some(format!(
                "isolation at {}{date} by {}{afternoon}: {at_s:.0} s after the record began at {}",
                wall.time().format(seconds),
                self.clock,
                self.wall.time().format("%H:%M:%S")
            )),
            comes_daily,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M:%S").expect(text)
    }

    fn start(wall: &str) -> Start {
        Start {
            wall: day(wall),
            utc: Some(day(wall).and_utc() - Duration::hours(1)),
            has_date: true,
            clock: "a clock at UTC+01:00".into(),
        }
    }

    fn at(wall: &str, text: &str) -> f64 {
        start(wall)
            .place(&Moment::read(text).expect(text))
            .expect(text)
            .at_s
    }

    #[test]
    fn seconds_and_spans_are_seconds() {
        for (text, seconds) in [
            ("0", 0.0),
            ("1200.5", 1200.5),
            ("90s", 90.0),
            ("20m", 1200.0),
            ("1h 2min 3s", 3723.0),
        ] {
            assert_eq!(Moment::read(text), Ok(Moment::Seconds(seconds)), "{text}");
        }
        for text in [
            "-5", "1e12", "5m1h", "m", "20m20m", "", "24:01", "14:60", "13pm", "0:05am", "14.05",
            "soon",
        ] {
            assert!(Moment::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_time_of_day_is_the_first_one_of_the_record() {
        let began = "2026-03-14 13:30:00";
        assert_eq!(at(began, "14:05"), 2_100.0);
        assert_eq!(at(began, "14:05:30"), 2_130.0);
        assert_eq!(at(began, "2:05pm"), 2_100.0);
        assert_eq!(at(began, "2:05 p.m."), 2_100.0);
        // over midnight
        assert_eq!(at("2026-03-14 23:50:00", "0:10"), 1_200.0);
        // its minute may have begun before the record
        assert_eq!(at("2026-03-14 14:05:20", "14:05"), -20.0);
        assert_eq!(at(began, "2026-03-14 14:05"), 2_100.0);
        assert_eq!(at(began, "2026-03-14T13:05:00Z"), 2_100.0);
        assert_eq!(at(began, "2026-03-14 14:05:00+01:00"), 2_100.0);
    }

    #[test]
    fn how_it_was_read_is_said() {
        let placed = start("2026-03-14 13:30:00")
            .place(&Moment::read("2:05").expect("a time"))
            .expect("placed");
        assert_eq!(
            placed.note.as_deref(),
            Some(
                "isolation at 02:05 on 2026-03-15 by a clock at UTC+01:00 (write 2:05pm for the \
                 afternoon): 45300 s after the record began at 13:30:00"
            )
        );
        assert!(placed.comes_daily);
        let no_date = Start {
            utc: None,
            has_date: false,
            ..start("2000-01-01 13:30:00")
        };
        let moment = |text| Moment::read(text).expect("a time");
        assert!(no_date.place(&moment("2026-03-14 14:05")).is_err());
        assert!(no_date.place(&moment("2026-03-14T14:05:00Z")).is_err());
        assert_eq!(no_date.place(&moment("14:05")).map(|p| p.at_s), Ok(2_100.0));
    }
}
