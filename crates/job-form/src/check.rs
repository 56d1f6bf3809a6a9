//! Whether an answer is one, and what is said back.

use chrono::NaiveDate;
use toml::Value;
use vacuum::{
    Criteria, DayClock, Language, Paper, PressureUnit, Refrigerant, SheetField, Zone, mass,
};

use crate::{
    cautions,
    fields::{Field, Kind},
};

/// An answer that is kept, and what is said about it.
#[derive(Debug, PartialEq)]
pub(crate) struct Kept {
    pub(crate) value: Value,
    pub(crate) said: Vec<String>,
}

impl Kept {
    fn quietly(value: impl Into<Value>) -> Self {
        Self::saying(value, Vec::new())
    }

    fn saying(value: impl Into<Value>, said: Vec<String>) -> Self {
        let value = value.into();
        Self { value, said }
    }
}

/// What an answer is held against.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around {
    /// The day it is.
    pub(crate) today: NaiveDate,
    /// The same was typed just before and asked back about.
    pub(crate) insisted: bool,
}

/// Checks an answer that is not empty.
pub(crate) fn check(field: &Field, text: &str, around: Around) -> Result<Kept, String> {
    match field.kind {
        Kind::Text => Ok(Kept::quietly(text)),
        Kind::JobId => Ok(job_id(text)),
        Kind::Serial => Ok(Kept::saying(text, look_alikes(text))),
        Kind::Refrigerant => refrigerant(text, around.insisted),
        Kind::Charge => charge(text),
        Kind::Volume => volume(text),
        Kind::Ambient => temperature(text, "the room temperature", "70 F"),
        Kind::ColdestPart => {
            let mut kept = temperature(text, "the temperature of the coldest part", "-13 F")?;
            let celsius = kept
                .value
                .as_float()
                .or(kept.value.as_integer().map(|i| i as f64));
            if celsius.is_some_and(|c| c < vacuum::water::TRIPLE_POINT_C) {
                kept.said.push(cautions::ICE.into());
            }
            Ok(kept)
        }
        Kind::Sides => sides(text),
        Kind::CalibratedOn => calibrated_on(text, around.today),
        Kind::CalibrationDue => calibration_due(text, around.today),
        Kind::Profile => profile(text),
        Kind::Micron | Kind::Minutes => {
            let number = number(text).filter(|x| *x > 0.0);
            let number = number.ok_or("a number above 0 is needed, for instance 500")?;
            Ok(Kept::quietly(plain(number)))
        }
        Kind::Logo => logo(text),
        Kind::Paper => word(
            text,
            Paper::from_code(text).map(Paper::code),
            "a4 or letter",
        ),
        Kind::Language => {
            let found = Language::from_code(text).map(Language::code);
            word(text, found, "en, de, es or fr")
        }
        Kind::Unit => {
            let found = PressureUnit::for_printing(text).map(PressureUnit::symbol);
            word(
                text,
                found,
                "micron, Torr, Pa, kPa, mbar, bar abs, inHg abs, psia or atm",
            )
        }
        Kind::Zone => zone(text),
        Kind::Clock => word(
            text,
            DayClock::from_code(text).map(DayClock::code),
            "24 or 12",
        ),
        Kind::LeaveOut => leave_out(text),
        Kind::YesNo => match text.to_lowercase().as_str() {
            "y" | "yes" | "true" => Ok(Kept::quietly(true)),
            "n" | "no" | "false" => Ok(Kept::quietly(false)),
            _ => Err("answer yes or no".into()),
        },
    }
}

fn word(text: &str, found: Option<&str>, wanted: &str) -> Result<Kept, String> {
    match found {
        Some(code) => Ok(Kept::quietly(code)),
        None => Err(format!("\"{text}\" means nothing here: type {wanted}")),
    }
}

/// A number with a point or a comma; `1,234` could be either and is none.
fn number(text: &str) -> Option<f64> {
    let text = match text.split_once(',') {
        Some((_, decimals)) if decimals.len() == 3 => return None,
        _ => text.replacen(',', ".", 1),
    };
    text.parse::<f64>().ok().filter(|x| x.is_finite())
}

/// A number as a person writes it: 300, not 300.0.
fn plain(number: f64) -> Value {
    let whole = number as i64;
    if whole as f64 == number {
        Value::Integer(whole)
    } else {
        Value::Float(number)
    }
}

/// A number and the unit behind it, if there is one.
fn with_unit(text: &str) -> Option<(f64, String)> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || "+-.,\u{2212}".contains(c)))
        .unwrap_or(text.len());
    let (figures, unit) = text.split_at(end);
    let number = number(&figures.replace('\u{2212}', "-"))?;
    Some((number, unit.trim().to_lowercase()))
}

fn job_id(text: &str) -> Kept {
    let folder = run_record::safe_name(text);
    let said = if folder == text {
        Vec::new()
    } else {
        vec![format!(
            "Kept as typed; the folder of the record will end in -{folder}."
        )]
    };
    Kept::saying(text, said)
}

/// Signs that are taken for one another on a rating plate.
fn look_alikes(text: &str) -> Vec<String> {
    let name = |c| match c {
        'O' => Some("capital letter O"),
        'o' => Some("small letter o"),
        '0' => Some("figure 0"),
        'I' => Some("capital letter I"),
        'l' => Some("small letter l"),
        '1' => Some("figure 1"),
        _ => None,
    };
    let named: Vec<String> = (1..)
        .zip(text.chars())
        .filter_map(|(place, c)| Some(format!("{} at {place}", name(c)?)))
        .collect();
    if named.is_empty() || !text.chars().any(|c| "OoIl".contains(c)) {
        return Vec::new();
    }
    vec![format!(
        "Kept as typed. Compare with the plate: {}.",
        named.join(", ")
    )]
}

fn refrigerant(text: &str, insisted: bool) -> Result<Kept, String> {
    if let Some(found) = Refrigerant::named(text) {
        return Ok(Kept::saying(found.designation, cautions::of(found)));
    }
    if insisted {
        return Ok(Kept::saying(text, vec![cautions::unknown()]));
    }
    let again = "or the same once more to keep it as typed";
    let near: Vec<&str> = Refrigerant::near(text)
        .iter()
        .map(|r| r.designation)
        .collect();
    Err(match near.split_last() {
        None => format!(
            "\"{text}\" is not in the table: type its designation, for instance R-600a, {again}"
        ),
        Some((only, [])) => format!(
            "\"{text}\" is not in the table. Did you mean {only}? Type the designation, {again}"
        ),
        Some((last, others)) => format!(
            "\"{text}\" is not in the table. Did you mean {} or {last}? Type the designation, \
             {again}",
            others.join(", ")
        ),
    })
}

fn charge(text: &str) -> Result<Kept, String> {
    let grams = mass::charge_g(text).map_err(|e| format!("\"{text}\": {e}"))?;
    let said = format!("{grams:.1} g");
    let already_g = text.trim_end().ends_with(['g', 'G']) && !text.to_lowercase().contains("kg");
    let said = if already_g { Vec::new() } else { vec![said] };
    Ok(Kept::saying(text, said))
}

fn volume(text: &str) -> Result<Kept, String> {
    let wanted = || format!("\"{text}\": give the internal volume in L, for instance 4.2");
    let (number, unit) = with_unit(text).ok_or_else(wanted)?;
    let litres = match unit.as_str() {
        "" | "l" | "liter" | "litre" | "liters" | "litres" => number,
        "ml" | "cc" | "cm3" | "cm³" => number / 1e3,
        _ => return Err(wanted()),
    };
    if !(litres > 0.0 && litres <= 1e5) {
        return Err(wanted());
    }
    let mut said = Vec::new();
    if litres != number {
        said.push(format!("{litres} L"));
    }
    Ok(Kept::saying(plain(litres), said))
}

/// A temperature in °C or °F; `what` and `example` stand in the message.
fn temperature(text: &str, what: &str, example: &str) -> Result<Kept, String> {
    let wanted = || format!("\"{text}\": give {what} in °C, -60 to 60, or \"{example}\"");
    let (number, unit) = with_unit(text).ok_or_else(wanted)?;
    let (celsius, said) = match unit.as_str() {
        "" | "c" | "°c" | "°" => (number, Vec::new()),
        "f" | "°f" => {
            // to a tenth, as thermometers show it
            let celsius = ((number - 32.0) / 1.8 * 10.0).round() / 10.0;
            (celsius, vec![format!("{celsius} °C")])
        }
        _ => return Err(wanted()),
    };
    if !(-60.0..=60.0).contains(&celsius) {
        return Err(wanted());
    }
    Ok(Kept::saying(plain(celsius), said))
}

fn sides(text: &str) -> Result<Kept, String> {
    match text.to_lowercase().as_str() {
        "one" | "1" => Ok(Kept::saying("one", vec![cautions::ONE_SIDE.into()])),
        "both" | "two" | "2" => Ok(Kept::quietly("both")),
        _ => Err("answer one or both".into()),
    }
}

fn date(text: &str) -> Result<(Value, NaiveDate), String> {
    let wanted = || format!("\"{text}\": give year-month-day (ISO 8601), for instance 2026-01-15");
    let shape = text.len() == 10 && text.is_ascii();
    let day = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    let day = day.filter(|_| shape).ok_or_else(wanted)?;
    let value = text
        .parse::<toml::value::Datetime>()
        .map_err(|_| wanted())?;
    Ok((Value::Datetime(value), day))
}

fn calibrated_on(text: &str, today: NaiveDate) -> Result<Kept, String> {
    let (value, day) = date(text)?;
    if day > today {
        return Err(format!("{text} lies in the future: today is {today}"));
    }
    Ok(Kept::quietly(value))
}

fn calibration_due(text: &str, today: NaiveDate) -> Result<Kept, String> {
    let (value, _) = date(text)?;
    let said = overdue(text, today).into_iter().collect();
    Ok(Kept::saying(value, said))
}

/// Says so when a calibration is past due.
pub(crate) fn overdue(due: &str, today: NaiveDate) -> Option<String> {
    let (_, day) = date(due).ok()?;
    let days = (today - day).num_days();
    (days > 0).then(|| {
        let days = if days == 1 {
            "1 day".into()
        } else {
            format!("{days} days")
        };
        format!("Caution: the calibration is overdue by {days}; the sheet may be refused.")
    })
}

fn profile(text: &str) -> Result<Kept, String> {
    if text.eq_ignore_ascii_case("own") {
        return Ok(Kept::quietly("own"));
    }
    let profiles = Criteria::profiles();
    let by_number = text
        .parse::<usize>()
        .ok()
        .and_then(|n| profiles.get(n.checked_sub(1)?));
    let by_name = || profiles.iter().find(|p| p.name.eq_ignore_ascii_case(text));
    let Some(found) = by_number.or_else(by_name) else {
        let names: Vec<String> = (1..)
            .zip(&profiles)
            .map(|(n, p)| format!("{n} ({})", p.name))
            .collect();
        return Err(format!("type {} or own", names.join(", ")));
    };
    Ok(Kept::saying(found.name.as_str(), vec![numbers(found)]))
}

fn numbers(profile: &Criteria) -> String {
    format!(
        "{}: down to {} micron, hold {} min, never above {} micron ({}).",
        profile.name,
        profile.target_micron,
        profile.hold_min,
        profile.ceiling_micron,
        profile.source
    )
}

/// The profiles that ship, numbered, a line each.
pub(crate) fn profiles() -> Vec<String> {
    let all = Criteria::profiles();
    (1..)
        .zip(&all)
        .map(|(n, p)| format!("{n}  {}", numbers(p)))
        .collect()
}

fn logo(text: &str) -> Result<Kept, String> {
    let path = std::path::absolute(text).map_err(|e| format!("\"{text}\": {e}"))?;
    let extension = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    if !matches!(extension.as_deref(), Some("png" | "svg")) {
        return Err(format!(
            "\"{text}\": a file that ends in .png or .svg is needed"
        ));
    }
    if !path.is_file() {
        return Err(format!("there is no file {}", path.display()));
    }
    Ok(Kept::quietly(path.display().to_string()))
}

fn zone(text: &str) -> Result<Kept, String> {
    if text.eq_ignore_ascii_case("local") {
        return Ok(Kept::quietly("local"));
    }
    let found = Zone::from_code(text).map(Zone::code);
    word(
        text,
        found.as_deref(),
        "local, utc or hours and minutes east of it like +01:00",
    )
}

fn leave_out(text: &str) -> Result<Kept, String> {
    let words = text.split([' ', ',']).filter(|w| !w.is_empty());
    let mut fields = Vec::new();
    for word in words {
        let field = SheetField::from_code(&word.to_lowercase()).ok_or_else(|| {
            let all: Vec<&str> = SheetField::ALL.into_iter().map(SheetField::code).collect();
            format!(
                "\"{word}\" is no entry of the sheet: type words of {}",
                all.join(" ")
            )
        })?;
        fields.push(Value::from(field.code()));
    }
    Ok(Kept::quietly(fields))
}

#[cfg(test)]
#[path = "check_tests.rs"]
mod tests;
