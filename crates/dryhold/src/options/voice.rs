//! Options for the words, units and times of what is printed.

use chrono::{DateTime, Local, Offset, TimeZone};
use clap::Args;
use vacuum::{DayClock, Language, PressureUnit, SheetChoices, Zone};

/// In which language, unit, zone and clock; options win over the job file.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct VoiceArguments {
    /// Language of sentences and numbers: en, de, es, fr
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    language: Option<Language>,
    /// Unit of pressures: micron, Pa, mbar, inHg; micron is given too
    #[arg(long, value_name = "UNIT", value_parser = unit)]
    unit: Option<PressureUnit>,
    /// Zone of times of day: utc, local (of this computer), or +01:00
    #[arg(long, value_name = "ZONE", value_parser = zone, allow_hyphen_values = true)]
    zone: Option<ZoneChoice>,
    /// Hours of the clock: 24 or 12
    #[arg(long, value_name = "HOURS", value_parser = clock)]
    clock: Option<DayClock>,
}

/// A zone as it is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ZoneChoice {
    Fixed(Zone),
    /// That of this computer, as it was when the run started.
    Local,
}

impl VoiceArguments {
    /// The zone that was chosen for times of day; of this computer: as it is now.
    pub(crate) fn zone(&self) -> Option<Zone> {
        let now = Local::now().to_rfc3339();
        self.zone.map(|choice| match choice {
            ZoneChoice::Fixed(zone) => zone,
            ZoneChoice::Local => local(Some(&now), &Local),
        })
    }

    /// What was chosen, for a run that started then (RFC 3339).
    pub(crate) fn choices(&self, started_utc: Option<&str>) -> SheetChoices {
        SheetChoices {
            language: self.language,
            unit: self.unit,
            zone: self.zone.map(|choice| match choice {
                ZoneChoice::Fixed(zone) => zone,
                ZoneChoice::Local => local(started_utc, &Local),
            }),
            clock: self.clock,
            ..SheetChoices::default()
        }
    }
}

/// The offset of `zone` at that time. Without a time no time of day is printed
/// either.
fn local(started_utc: Option<&str>, zone: &impl TimeZone) -> Zone {
    let started = started_utc.and_then(|text| DateTime::parse_from_rfc3339(text).ok());
    started.map_or(Zone::Utc, |started| {
        let offset = zone.offset_from_utc_datetime(&started.naive_utc()).fix();
        let minutes = offset.local_minus_utc() / 60;
        i16::try_from(minutes).map_or(Zone::Utc, Zone::EastMin)
    })
}

fn language(text: &str) -> Result<Language, String> {
    Language::from_code(text).ok_or_else(|| {
        let known = Language::ALL.map(|l| format!("{} ({})", l.code(), l.own_name()));
        format!("give one of {}", known.join(", "))
    })
}

fn unit(text: &str) -> Result<PressureUnit, String> {
    PressureUnit::for_printing(text).ok_or_else(|| "give micron, Pa, mbar or inHg".into())
}

fn clock(text: &str) -> Result<DayClock, String> {
    DayClock::from_code(text).ok_or_else(|| "give 24 or 12".into())
}

fn zone(text: &str) -> Result<ZoneChoice, String> {
    match text.to_ascii_lowercase().as_str() {
        "utc" | "z" => return Ok(ZoneChoice::Fixed(Zone::Utc)),
        "local" => return Ok(ZoneChoice::Local),
        _ => {}
    }
    let east = minutes_east(text)
        .ok_or("give utc, local, or hours and minutes from UTC, for instance +01:00")?;
    Ok(ZoneChoice::Fixed(Zone::EastMin(east)))
}

/// Minutes of "+01:00", "-0930", "+1"; less than a day.
fn minutes_east(text: &str) -> Option<i16> {
    let (sign, rest) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = match rest.split_once(':') {
        Some((hours, minutes)) if minutes.len() == 2 => (hours, minutes),
        Some(_) => return None,
        None if rest.len() == 4 => rest.split_at_checked(2)?,
        None => (rest, "0"),
    };
    let digits = |text: &str, most: usize| {
        let plain = (1..=most).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| text.parse::<i16>().ok()).flatten()
    };
    let (hours, minutes) = (digits(hours, 2)?, digits(minutes, 2)?);
    (hours < 24 && minutes < 60).then_some(sign * (60 * hours + minutes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::FixedOffset;

    #[test]
    fn zones_are_read_as_people_write_them() {
        let east = |minutes| Ok(ZoneChoice::Fixed(Zone::EastMin(minutes)));
        for (text, wanted) in [
            ("UTC", Ok(ZoneChoice::Fixed(Zone::Utc))),
            ("local", Ok(ZoneChoice::Local)),
            ("+01:00", east(60)),
            ("-09:30", east(-570)),
            ("+0545", east(345)),
            ("-3", east(-180)),
            ("+00:00", east(0)),
        ] {
            assert_eq!(zone(text), wanted, "{text}");
        }
        for odd in [
            "", "+", "CET", "+24:00", "+1:60", "+01:0", "01:00", "+١", "+-1",
        ] {
            assert!(zone(odd).is_err(), "{odd}");
        }
    }

    #[test]
    fn the_offset_is_that_of_the_start_of_the_run() {
        let zone = FixedOffset::east_opt(-34_200).expect("an offset");
        let started = Some("2026-03-14T09:15:00+00:00");
        assert_eq!(local(started, &zone), Zone::EastMin(-570));
        assert_eq!(local(None, &zone), Zone::Utc);
        assert_eq!(local(Some("yesterday"), &zone), Zone::Utc);
    }

    #[test]
    fn what_cannot_be_chosen_says_what_can() {
        assert!(language("tlh").is_err_and(|e| e.contains("de (Deutsch)")));
        assert!(unit("psig").is_err_and(|e| e.contains("mbar")));
        assert_eq!(unit("inhg"), Ok(PressureUnit::InHg));
        assert!(clock("13").is_err());
    }
}
