//! Answers, until they make a case.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use fault::{
    Cabinet, Draw, Frost, GaugeNoise, Meet, Onset, Rest, Signs, Sound, SuctionLine, Trace,
};
use refrigerant_tables::Substance;

use crate::{
    case::Case,
    error::FormError,
    fields::{FIELDS, Field, field, near},
    text::{self, TypedPressure},
};

/// Air outside where nobody gave the barometer, Pa (the standard atmosphere).
const BAROMETER_PA: f64 = 101_325.0;
/// Days of a mean month.
const DAYS_A_MONTH: f64 = 365.25 / 12.0;
/// Hold that is planned where nobody says, min: common practice, no source.
const HOLD_MIN: f64 = 10.0;

/// Answers by their keys. Each was checked by itself when it was taken.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    answers: BTreeMap<&'static str, String>,
}

impl Draft {
    /// Takes an answer; a later one replaces an earlier one.
    ///
    /// # Errors
    /// [`FormError::UnknownKey`], [`FormError::Answer`].
    pub fn take(&mut self, key: &str, answer: &str) -> Result<(), FormError> {
        let found = field(key).ok_or_else(|| FormError::UnknownKey {
            given: text::short(key),
            near: near(key).map_or_else(String::new, |near| format!(": did you mean {near}?")),
        })?;
        self.take_field(found, answer)
            .map_err(|why| FormError::Answer {
                key: found.key,
                why,
            })
    }

    pub(crate) fn take_field(&mut self, field: &'static Field, answer: &str) -> Result<(), String> {
        text::check(field.kind, answer)?;
        self.answers.insert(field.key, answer.trim().to_owned());
        Ok(())
    }

    /// True when nothing was said.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.answers.is_empty()
    }

    /// What was answered, in the order of [`FIELDS`].
    pub fn answers(&self) -> impl Iterator<Item = (&'static Field, &str)> {
        FIELDS
            .iter()
            .filter_map(|field| Some((field, self.get(field.key)?)))
    }

    pub(crate) fn get(&self, key: &str) -> Option<&str> {
        self.answers.get(key).map(String::as_str)
    }

    fn needed(&self, key: &'static str) -> Result<&str, FormError> {
        self.get(key).ok_or_else(|| FormError::Missing {
            key,
            question: field(key).map_or("", |f| f.question),
        })
    }

    fn celsius(&self, key: &str) -> Option<f64> {
        text::celsius(self.get(key)?).ok()
    }

    fn yes(&self, key: &str) -> Option<bool> {
        text::yes_or_no(self.get(key)?).ok()
    }

    fn number(&self, key: &str) -> Option<f64> {
        text::number(self.get(key)?, f64::MAX).ok()
    }

    fn date(&self, key: &str) -> Option<NaiveDate> {
        text::date(self.get(key)?).ok()
    }

    fn word<T: Copy>(&self, key: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Option<T> {
        let words: Vec<_> = all.iter().map(|x| word(*x)).collect();
        let typed = text::choice(self.get(key)?, &words).ok()?;
        all.iter().copied().find(|x| word(*x) == typed)
    }

    fn absolute_pa(&self, key: &'static str) -> Result<Option<f64>, FormError> {
        let Some(TypedPressure { pa, from_air }) =
            self.get(key).and_then(|typed| text::pressure(typed).ok())
        else {
            return Ok(None);
        };
        let air = self
            .number("barometer-hpa")
            .map_or(BAROMETER_PA, |hpa| hpa * 100.0);
        let pa = if from_air { pa + air } else { pa };
        match pa >= 0.0 {
            true => Ok(Some(pa.max(1.0))),
            false => Err(answer(
                key,
                "that is below full vacuum: check number and unit, and give barometer-hpa high in \
                 the mountains",
            )),
        }
    }

    fn draw(&self) -> Result<Option<Draw>, FormError> {
        let typed = |key| self.get(key).and_then(|typed| text::draw(typed).ok());
        let Some((measured, watts)) = typed("draw") else {
            return Ok(None);
        };
        let good = typed("known-good-draw").map(|d| (d, "known-good-draw", true));
        let Some(((of, of_watts), key, known_good)) =
            good.or(typed("nameplate-draw").map(|d| (d, "nameplate-draw", false)))
        else {
            return Ok(None);
        };
        match watts == of_watts {
            true => Ok(Some(Draw {
                measured,
                of,
                known_good,
            })),
            false => Err(answer(
                key,
                "one draw is in W, the other in A: give both in the same unit",
            )),
        }
    }

    fn rest(&self) -> Result<Option<Rest>, FormError> {
        match (self.absolute_pa("rest-pressure")?, self.celsius("rest-c")) {
            (Some(pa), Some(c)) => Ok(Some(Rest { pa, c })),
            (Some(_), None) => Err(answer(
                "rest-c",
                "the pressure at rest says nothing without the temperature of the appliance then",
            )),
            _ => Ok(None),
        }
    }

    /// Everything that was said, as numbers; `today` where nobody gave the day.
    ///
    /// # Errors
    /// [`FormError::Missing`] for what has to be known, [`FormError::Answer`] where
    /// answers do not go together.
    pub fn finish(&self, today: NaiveDate) -> Result<Case, FormError> {
        let refrigerant = Substance::named(self.needed("refrigerant")?)
            .map_err(|e| answer("refrigerant", &e.to_string()))?;
        self.needed("cabinet")?;
        let cabinet = self
            .word("cabinet", &Cabinet::ALL, Cabinet::word)
            .unwrap_or(Cabinet::Refrigerator);
        let ambient_c =
            text::celsius(self.needed("ambient-c")?).map_err(|why| answer("ambient-c", &why))?;
        let signs = Signs {
            cabinet_set_c: self.celsius("cabinet-set-c"),
            cabinet_c: self.celsius("cabinet-c"),
            suction_pa: self.absolute_pa("suction")?,
            discharge_pa: self.absolute_pa("discharge")?,
            draw: self.draw()?,
            condenser_in_c: self.celsius("condenser-in-c"),
            condenser_out_c: self.celsius("condenser-out-c"),
            frost: self.word("frost", Frost::ALL, Frost::word),
            suction_line: self.word("suction-line", SuctionLine::ALL, SuctionLine::word),
            sound: self.word("sound", Sound::ALL, Sound::word),
            meet: self.word("pressures-meet", Meet::ALL, Meet::word),
            better_after_standing: self.yes("better-after-standing"),
            runs_all_the_time: self.yes("runs-all-the-time"),
            compressor_runs: self.yes("compressor-runs"),
            rest: self.rest()?,
            onset: self.word("onset", Onset::ALL, Onset::word),
            opened_before: self.yes("opened-before"),
            trace: self.word("leak-trace", Trace::ALL, Trace::word),
            supply_good: self.yes("supply-good"),
            condenser_clean: self.yes("condenser-clean"),
            fans_turn: self.yes("fans-turn"),
            evaporator_free: self.yes("evaporator-free"),
            door_closes: self.yes("door-closes"),
            charge_found_g: self.number("charge-found-g"),
            nameplate_g: self.number("nameplate-g"),
            ..Signs::new(refrigerant, cabinet, ambient_c)
        };
        check_together(&signs)?;
        let missing_g = self.number("missing-g").or_else(|| {
            let missing = signs.nameplate_g? - signs.charge_found_g?;
            (missing > 0.0).then_some(missing)
        });
        Ok(Case {
            missing_g,
            months: self.months(today)?,
            volume_l: self.number("volume-l"),
            hold_min: self.number("hold-min").unwrap_or(HOLD_MIN),
            gauge: GaugeNoise::USUAL,
            about: self.get("about").map(str::to_owned),
            truth: self.get("truth").map(str::to_owned),
            signs,
        })
    }

    /// Months since the last service.
    fn months(&self, today: NaiveDate) -> Result<Option<f64>, FormError> {
        if let Some(months) = self.number("months") {
            return Ok(Some(months));
        }
        let Some(service) = self.date("last-service") else {
            return Ok(None);
        };
        let days = (self.date("seen-on").unwrap_or(today) - service).num_days();
        match days {
            ..0 => Err(answer("last-service", "that day is after these readings")),
            0 => Ok(None),
            _ => Ok(Some(days as f64 / DAYS_A_MONTH)),
        }
    }
}

fn answer(key: &'static str, why: &str) -> FormError {
    FormError::Answer {
        key,
        why: why.to_owned(),
    }
}

/// Answers that cannot both be right.
fn check_together(signs: &Signs) -> Result<(), FormError> {
    let runs = signs.compressor_runs != Some(false);
    if let (Some(low), Some(high), true) = (signs.suction_pa, signs.discharge_pa, runs)
        && low > high
    {
        return Err(answer(
            "suction",
            "the suction pressure is above the discharge pressure: are the two mixed up?",
        ));
    }
    if let (Some(from), Some(to)) = (signs.condenser_in_c, signs.condenser_out_c)
        && from + 1.0 < to
    {
        return Err(answer(
            "condenser-out-c",
            "the condenser's end is warmer than its beginning: are the two mixed up?",
        ));
    }
    if let (Some(found), Some(nameplate)) = (signs.charge_found_g, signs.nameplate_g)
        && found > 5.0 * nameplate
    {
        return Err(answer(
            "charge-found-g",
            "that is more than five times the nameplate's charge: check the numbers",
        ));
    }
    Ok(())
}
