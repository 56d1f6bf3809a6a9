//! Lengths of time, moments of the run, times of day: the one place where they are written.
//!
//! Which form when:
//!
//! | form | for | reads |
//! |---|---|---|
//! | [`Voice::duration`] | what was measured, on a sheet | "45 s", "12.6 min", "3 h 20 min" |
//! | [`Voice::held`] | how long a hold lasted: never more than it did | "9.9 min" |
//! | [`Voice::to_go`] | how much longer is needed: never less | "90 s", "1.7 min" |
//! | [`Voice::about`] | forecasts, what is left, how old something is | "45 s", "12 min", "3.3 h", "2.5 d" |
//! | [`Voice::about_range`] | a forecast with its range | "4 to 7 min" |
//! | [`Voice::at_most`] | bounds, rounded up | "40 s", "2 min" |
//! | [`Voice::two_units`] | how long something was missing | "12 min 5 s", "2 d 4 h" |
//! | [`Voice::age`] | how old the newest reading is, live | "0.4 s", "12 s" |
//! | [`Voice::moment`] | when, in the run | "0:30:05" |
//! | [`Voice::time_of_day`] | when, on the calendar | "2026-03-14 09:15:00 UTC" |
//!
//! Units are s, min, h and d: symbols of the SI and of units accepted beside it (SI
//! Brochure, 9th edition, table 8), the same in every language.

use chrono::{DateTime, FixedOffset, Timelike};
use vacuum::{DayClock, Zone};

use crate::{Voice, say};

const HOUR_S: f64 = 3_600.0;
const DAY_S: f64 = 86_400.0;

impl Voice {
    /// A measured length of time, seconds: "45 s", "12.6 min", "3 h 20 min".
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.duration(754.0), "12.6 min");
    /// assert_eq!(voice.duration(12_000.0), "3 h 20 min");
    /// ```
    #[must_use]
    pub fn duration(&self, seconds: f64) -> String {
        if !seconds.is_finite() {
            say!(self, "unknown")
        } else if seconds < 99.5 {
            format!("{} s", self.plain(seconds.round(), 3))
        } else if seconds < 3.0 * HOUR_S {
            format!("{} min", self.plain((seconds / 6.0).round() / 10.0, 4))
        } else {
            let minutes = (seconds / 60.0).round();
            let hours = (minutes / 60.0).floor();
            let rest = minutes - 60.0 * hours;
            format!("{} h {rest:02.0} min", self.plain(hours, 9))
        }
    }

    /// How long something lasted that has a least length, seconds, rounded down: what was
    /// too short never reads as long enough. Half a second is given, as the judge gives it:
    /// times in whole seconds are no better.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!((voice.held(598.0), voice.held(599.6)), ("9.9 min".into(), "10 min".into()));
    /// ```
    #[must_use]
    pub fn held(&self, seconds: f64) -> String {
        let given = seconds + 0.5;
        if !(given.is_finite() && given > 0.0) {
            return self.duration(seconds);
        }
        self.duration(match given {
            s if s < 99.5 => s.floor(),
            s if s < 3.0 * HOUR_S => (s / 6.0).floor() * 6.0,
            s => (s / 60.0).floor() * 60.0,
        })
    }

    /// How much longer something is needed, seconds, rounded up to what
    /// [`Voice::duration`] shows: whoever waits so long has waited long enough.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!((voice.to_go(89.2), voice.to_go(121.0)), ("90 s".into(), "2.1 min".into()));
    /// ```
    #[must_use]
    pub fn to_go(&self, seconds: f64) -> String {
        // what the last digit of a sum adds is no more of anything
        let up = |step: f64| (seconds / step - 1e-6).ceil() * step;
        self.duration(match seconds {
            s if s <= 99.0 => up(1.0),
            s if s < 3.0 * HOUR_S => up(6.0),
            _ => up(60.0),
        })
    }

    /// A length of time that is not known so well, or changes while it is read, seconds:
    /// "45 s", "12 min", "3.3 h", "2.5 d".
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.about(754.0), "13 min");
    /// assert_eq!(voice.about(12_000.0), "3.3 h");
    /// ```
    #[must_use]
    pub fn about(&self, seconds: f64) -> String {
        match seconds {
            s if !s.is_finite() => say!(self, "unknown"),
            // the formatter takes halves to the even neighbour: 4.5 min were "4 min"
            s if s < 90.0 => format!("{:.0} s", s.round()),
            s if s < 1.5 * HOUR_S => format!("{:.0} min", (s / 60.0).round()),
            s if s < 2.0 * DAY_S => format!("{} h", self.decimals(s / HOUR_S, 1)),
            s => format!("{} d", self.decimals(s / DAY_S, 1)),
        }
    }

    /// A range of such lengths, seconds; the unit once where both ends share it.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.about_range(240.0, 420.0), "4 to 7 min");
    /// assert_eq!(voice.about_range(60.0, 420.0), "60 s to 7 min");
    /// ```
    #[must_use]
    pub fn about_range(&self, early_s: f64, late_s: f64) -> String {
        let (early, late) = (self.about(early_s), self.about(late_s));
        let from = match (early.split_once(' '), late.split_once(' ')) {
            (Some((number, unit)), Some((_, other))) if unit == other => number,
            _ => &early,
        };
        say!(self, "range", low = from, high = late)
    }

    /// How long something was missing, in its two largest units, whole seconds at the
    /// finest: "5 s", "12 min 5 s", "3 h 2 min", "2 d 4 h".
    ///
    /// ```
    /// assert_eq!(wording::Voice::default().two_units(725.0), "12 min 5 s");
    /// ```
    #[must_use]
    pub fn two_units(&self, seconds: f64) -> String {
        if !seconds.is_finite() {
            return say!(self, "unknown");
        }
        let total = seconds.abs().round();
        let (minutes, hours) = ((total / 60.0).floor(), (total / HOUR_S).floor());
        let days = (total / DAY_S).floor();
        if days > 0.0 {
            format!("{days:.0} d {:.0} h", hours - 24.0 * days)
        } else if hours > 0.0 {
            format!("{hours:.0} h {:.0} min", minutes - 60.0 * hours)
        } else if minutes > 0.0 {
            format!("{minutes:.0} min {:.0} s", total - 60.0 * minutes)
        } else {
            format!("{total:.0} s")
        }
    }

    /// How old the newest reading is, seconds: tenths below ten seconds, else as
    /// [`Voice::about`].
    #[must_use]
    pub fn age(&self, seconds: f64) -> String {
        if seconds < 9.95 {
            format!("{} s", self.decimals(seconds, 1))
        } else {
            self.about(seconds)
        }
    }

    /// A length of time that is not exceeded, rounded up to what can be said of one that
    /// is hardly known: "3 s", "40 s", "2 min", "0.5 h".
    #[must_use]
    pub fn at_most(&self, seconds: f64) -> String {
        // what the last digit of a sum adds is no more of anything
        let up = |value: f64, step: f64| (value / step - 1e-6).ceil().max(1.0) * step;
        match seconds {
            s if !s.is_finite() => say!(self, "unknown"),
            s if s <= 10.0 => format!("{:.0} s", up(s, 1.0)),
            s if s <= 60.0 => format!("{:.0} s", up(s, 5.0)),
            s if s <= 100.0 => format!("{:.0} s", up(s, 10.0)),
            s if s <= 3_600.0 => format!("{:.0} min", up(s / 60.0, 1.0)),
            s => format!("{} h", self.decimals(up(s / 3_600.0, 0.5), 1)),
        }
    }

    /// A moment of the run: "0:30:05".
    #[must_use]
    pub fn moment(&self, seconds: f64) -> String {
        if !seconds.is_finite() {
            return say!(self, "unknown");
        }
        let sign = if seconds < -0.5 { "−" } else { "" };
        let total = seconds.abs().round();
        let hours = (total / 3600.0).floor();
        let minutes = ((total - hours * 3600.0) / 60.0).floor();
        let rest = total - hours * 3600.0 - minutes * 60.0;
        format!("{sign}{hours:.0}:{minutes:02.0}:{rest:02.0}")
    }

    /// How long something has lasted so far, in a sentence: seconds below a minute, then
    /// minutes and seconds. Never ahead of the clock.
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.running(13.9), "13 s");
    /// assert_eq!(voice.running(133.0), "2 min 13 s");
    /// ```
    #[must_use]
    pub fn running(&self, seconds: f64) -> String {
        self.two_units(seconds.max(0.0).floor())
    }

    /// How long something has lasted, to the second: "3:20", "1:03:20".
    ///
    /// ```
    /// let voice = wording::Voice::default();
    /// assert_eq!(voice.clock(13.0), "0:13");
    /// assert_eq!(voice.clock(3_800.0), "1:03:20");
    /// ```
    #[must_use]
    pub fn clock(&self, seconds: f64) -> String {
        let long = self.moment(seconds);
        match long.strip_prefix("0:") {
            Some(short) => short.strip_prefix('0').unwrap_or(short).to_owned(),
            None => long,
        }
    }

    /// A time of day, given in RFC 3339: "2026-03-14 09:15:00 UTC", "2026-03-14
    /// 10:15:00 UTC+01:00". The date is that of ISO 8601 in every language, for the
    /// order of day and month is read in more than one way. Anything else stays as it
    /// is.
    #[must_use]
    pub fn time_of_day(&self, rfc3339: &str) -> String {
        let minutes_east = match self.zone {
            Zone::Utc => 0,
            Zone::EastMin(minutes) => i32::from(minutes),
        };
        let zone = FixedOffset::east_opt(minutes_east * 60);
        let (Ok(time), Some(zone)) = (DateTime::parse_from_rfc3339(rfc3339), zone) else {
            return rfc3339.to_owned();
        };
        let time = time.with_timezone(&zone);
        let day = time.format("%Y-%m-%d");
        let clock = match self.clock {
            DayClock::Hours24 => time.format("%H:%M:%S").to_string(),
            DayClock::Hours12 => {
                let half = if time.hour() < 12 {
                    say!(self, "before-noon")
                } else {
                    say!(self, "after-noon")
                };
                format!("{} {half}", time.format("%-I:%M:%S"))
            }
        };
        let zone = match self.zone {
            Zone::Utc => String::new(),
            Zone::EastMin(_) => zone.to_string(),
        };
        format!("{day} {clock} UTC{zone}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::Language;

    #[test]
    fn lengths_and_moments() {
        let voice = Voice::default();
        assert_eq!(voice.duration(45.2), "45 s");
        assert_eq!(voice.duration(600.0), "10 min");
        assert_eq!(voice.duration(754.0), "12.6 min");
        assert_eq!(voice.duration(12_000.0), "3 h 20 min");
        assert_eq!(voice.about(12_000.0), "3.3 h");
        assert_eq!(voice.moment(1805.4), "0:30:05");
        assert_eq!(voice.moment(36_000.0), "10:00:00");
        let german = Voice {
            language: Language::German,
            ..voice
        };
        assert_eq!(german.duration(754.0), "12,6 min");
        assert_eq!(german.about(12_000.0), "3,3 h");
    }

    #[test]
    fn what_is_not_known_so_well_has_fewer_digits() {
        let voice = Voice::default();
        let about: Vec<String> = [89.4, 90.0, 5_399.0, 5_400.0, 172_799.0, 216_000.0]
            .map(|s| voice.about(s))
            .to_vec();
        assert_eq!(
            about,
            ["89 s", "2 min", "90 min", "1.5 h", "48.0 h", "2.5 d"]
        );
        assert_eq!(voice.about(f64::NAN), "unknown");
        assert_eq!(voice.about_range(12_000.0, 16_000.0), "3.3 to 4.4 h");
        assert_eq!(voice.about_range(80.0, 600.0), "80 s to 10 min");
        let german = Voice {
            language: Language::German,
            ..voice
        };
        assert_eq!(german.about_range(240.0, 420.0), "4 bis 7 min");
        assert_eq!(
            (voice.age(0.44), voice.age(12.3)),
            ("0.4 s".into(), "12 s".into())
        );
    }

    #[test]
    fn what_is_asked_for_is_never_rounded_up_nor_what_is_left_down() {
        let voice = Voice::default();
        for (seconds, held, to_go) in [
            (45.2, "45 s", "46 s"),
            (90.0, "90 s", "90 s"),
            (270.0, "4.5 min", "4.5 min"),
            (596.9, "9.9 min", "10 min"),
            (599.0, "9.9 min", "10 min"),
            // times in whole seconds are half a second off at most
            (599.5, "10 min", "10 min"),
            (600.0, "10 min", "10 min"),
            (600.1, "10 min", "10.1 min"),
            // UFGS 15182 §3.3.3: one hour, and 59 minutes are too short
            (3_540.0, "59 min", "59 min"),
            (3_599.0, "59.9 min", "60 min"),
            (11_999.0, "3 h 19 min", "3 h 20 min"),
        ] {
            assert_eq!(voice.held(seconds), held, "{seconds}");
            assert_eq!(voice.to_go(seconds), to_go, "{seconds}");
        }
        assert_eq!(
            (voice.about(270.0), voice.about(150.0)),
            ("5 min".into(), "3 min".into())
        );
        assert_eq!(voice.held(f64::NAN), "unknown");
        assert_eq!(voice.to_go(f64::INFINITY), "unknown");
    }

    #[test]
    fn what_was_missing_has_its_two_largest_units() {
        let voice = Voice::default();
        for (seconds, wanted) in [
            (4.6, "5 s"),
            (59.6, "1 min 0 s"),
            (725.0, "12 min 5 s"),
            (3.0 * 3_600.0 + 150.0, "3 h 2 min"),
            (2.0 * 86_400.0 + 4.0 * 3_600.0, "2 d 4 h"),
            (-725.0, "12 min 5 s"),
        ] {
            assert_eq!(voice.two_units(seconds), wanted);
        }
    }

    #[test]
    fn times_of_day_in_every_zone() {
        let voice = Voice::default();
        let at = |zone, clock, text| {
            Voice {
                zone,
                clock,
                ..voice
            }
            .time_of_day(text)
        };
        let morning = "2026-03-14T09:15:00Z";
        for (zone, clock, wanted) in [
            (Zone::Utc, DayClock::Hours24, "2026-03-14 09:15:00 UTC"),
            (Zone::Utc, DayClock::Hours12, "2026-03-14 9:15:00 am UTC"),
            (
                Zone::EastMin(60),
                DayClock::Hours24,
                "2026-03-14 10:15:00 UTC+01:00",
            ),
            (
                Zone::EastMin(-570),
                DayClock::Hours12,
                "2026-03-13 11:45:00 pm UTC-09:30",
            ),
            (
                Zone::EastMin(165),
                DayClock::Hours12,
                "2026-03-14 12:00:00 pm UTC+02:45",
            ),
            (
                Zone::EastMin(0),
                DayClock::Hours24,
                "2026-03-14 09:15:00 UTC+00:00",
            ),
        ] {
            assert_eq!(at(zone, clock, morning), wanted);
        }
        // whole seconds, whatever zone it was written in
        let utc = |text| voice.time_of_day(text);
        assert_eq!(
            utc("2026-11-25T10:25:40.534+00:00"),
            "2026-11-25 10:25:40 UTC"
        );
        assert_eq!(utc("2026-03-14T09:15:00+02:00"), "2026-03-14 07:15:00 UTC");
        for odd in ["yesterday", "", "Ж2026-03-14", "2026-03-14"] {
            assert_eq!(utc(odd), odd);
        }
    }
}
