//! The table `[sheet]` of `job.toml`: what was chosen about the sheet.

use serde::{Deserialize, Serialize};
use vacuum::{DayClock, Language, Paper, PressureUnit, SheetChoices, SheetField, Zone};

use super::text::{Text, Unknown, text, wire_text};
use crate::error::Problem;

/// The word for "the zone of the computer that records".
const LOCAL: &str = "local";

#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct WireSheet {
    #[serde(skip_serializing_if = "Option::is_none")]
    paper: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    language: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    zone: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    clock: Option<Text>,
    #[serde(skip_serializing_if = "Words::is_empty")]
    leave_out: Words,
    #[serde(skip_serializing_if = "Option::is_none")]
    without_personal_data: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    logo: Option<Text>,
    #[serde(flatten, skip_serializing)]
    pub(super) unknown: Unknown,
}

/// A list of words; one word may stand without its brackets.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(transparent)]
struct Words(Vec<String>);

impl Words {
    fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let wrong = || serde::de::Error::custom("a list of words is expected here: [\"oil\"]");
        let word = |value| match value {
            toml::Value::String(word) => Ok(word),
            _ => Err(wrong()),
        };
        Ok(Self(match toml::Value::deserialize(deserializer)? {
            toml::Value::Array(all) => all.into_iter().map(word).collect::<Result<_, _>>()?,
            one => vec![word(one)?],
        }))
    }
}

impl WireSheet {
    /// `None` when nothing was chosen.
    pub(super) fn of(choices: &SheetChoices) -> Option<Self> {
        let word = |code: Option<&str>| code.map(|c| Text(c.to_owned()));
        (*choices != SheetChoices::default()).then(|| Self {
            paper: word(choices.paper.map(Paper::code)),
            language: word(choices.language.map(Language::code)),
            unit: word(choices.unit.map(PressureUnit::symbol)),
            zone: choices.zone.map(|z| Text(z.code())),
            clock: word(choices.clock.map(DayClock::code)),
            leave_out: Words(choices.leave_out.iter().map(|f| f.code().into()).collect()),
            without_personal_data: choices.without_personal_data,
            logo: wire_text(choices.logo.as_ref()),
            unknown: Unknown::new(),
        })
    }

    /// True when the zone is that of the computer that records.
    pub(super) fn zone_is_local(&self) -> bool {
        let zone = text(self.zone.clone()).unwrap_or_default();
        zone.trim().eq_ignore_ascii_case(LOCAL)
    }

    /// The choices. What is none is handed to `wrong` and left out: a job file is
    /// refused then, while a record of a later version stays readable.
    pub(super) fn choices(self, mut wrong: impl FnMut(Problem)) -> SheetChoices {
        let zone = if self.zone_is_local() {
            None
        } else {
            self.zone
        };
        let mut leave_out = Vec::new();
        for word in self.leave_out.0 {
            match SheetField::from_code(&word) {
                Some(field) => leave_out.push(field),
                None => wrong(refused("sheet.leave_out", &word, FIELDS)),
            }
        }
        let wrong = &mut wrong;
        SheetChoices {
            paper: read(("sheet.paper", PAPERS), self.paper, Paper::from_code, wrong),
            language: read(
                ("sheet.language", LANGUAGES),
                self.language,
                Language::from_code,
                wrong,
            ),
            unit: read(
                ("sheet.unit", UNITS),
                self.unit,
                PressureUnit::for_printing,
                wrong,
            ),
            zone: read(("sheet.zone", ZONES), zone, Zone::from_code, wrong),
            clock: read(
                ("sheet.clock", CLOCKS),
                self.clock,
                DayClock::from_code,
                wrong,
            ),
            leave_out,
            without_personal_data: self.without_personal_data,
            logo: text(self.logo),
        }
    }
}

const PAPERS: &str = "write \"a4\" or \"letter\"";
const LANGUAGES: &str = "write \"en\", \"de\", \"es\" or \"fr\"";
const UNITS: &str = "write micron, Torr, Pa, kPa, MPa, mbar, bar abs, inHg abs, psia or atm";
const ZONES: &str = "write \"utc\", \"local\" or hours and minutes east of UTC like \"+01:00\"";
const CLOCKS: &str = "write \"24\" or \"12\"";
const FIELDS: &str = "write words of this list: appliance, model, serial, charge, oil, volume, \
                      repair, technician, licence, shop, logo, pump, hose, gauge-serial, remarks, customer, site, claim, \
                      work-order, parts, compressor, recovered, charged, leak, photo";

fn refused(key: &'static str, word: &str, wanted: &'static str) -> Problem {
    let value = format!("\"{word}\"");
    Problem::JobValue { key, value, wanted }
}

fn read<T>(
    (key, wanted): (&'static str, &'static str),
    word: Option<Text>,
    from: impl Fn(&str) -> Option<T>,
    wrong: &mut impl FnMut(Problem),
) -> Option<T> {
    let word = text(word)?;
    let found = from(&word);
    if found.is_none() {
        wrong(refused(key, &word, wanted));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lists in messages are written by hand: nothing is missing in them.
    #[test]
    fn messages_name_every_word() {
        let quoted = |list: &str, word: &str| list.contains(&format!("\"{word}\""));
        assert!(Paper::ALL.iter().all(|p| quoted(PAPERS, p.code())));
        assert!(Language::ALL.iter().all(|l| quoted(LANGUAGES, l.code())));
        let listed = |list: &str, word: &str| list.contains(&format!(" {word}"));
        assert!(PressureUnit::ALL.iter().all(|u| listed(UNITS, u.symbol())));
        assert!(SheetField::ALL.iter().all(|f| listed(FIELDS, f.code())));
    }
}
