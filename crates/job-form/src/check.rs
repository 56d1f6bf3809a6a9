//! Whether an answer is one, and what is said back.

use std::io;

use chrono::NaiveDate;
use toml::Value;
use vacuum::{
    Criteria, DayClock, GaugePrinciple, Language, Paper, PressureUnit, Refrigerant, SheetField,
    Zone, mass,
};

use crate::{
    cautions,
    document::plain_number,
    fields::{Field, Kind},
    system::{LARGE_CHARGE_G, LARGE_VOLUME_L, System},
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
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Around {
    /// The day it is.
    pub(crate) today: NaiveDate,
    /// The same was typed just before and asked back about.
    pub(crate) insisted: bool,
    /// What was answered before of the same system.
    pub(crate) system: System,
}

/// Checks an answer that is not empty.
pub(crate) fn check(field: &Field, text: &str, around: Around) -> Result<Kept, String> {
    match field.kind {
        Kind::Text => Ok(Kept::quietly(text)),
        Kind::JobId => Ok(job_id(text)),
        Kind::Serial => Ok(Kept::saying(text, look_alikes(text))),
        Kind::Refrigerant => refrigerant(text, around.insisted),
        Kind::Charge => charge(text, around),
        Kind::Mass => weighed(text, around),
        Kind::Volume => volume(text, around),
        Kind::Ambient => ambient(text, around.insisted),
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
        Kind::Principle => principle(text),
        Kind::CalibrationDue => calibration_due(text, around.today),
        Kind::Profile => profile(text),
        Kind::Micron | Kind::Minutes => {
            let number = number(text).filter(|x| *x > 0.0);
            let number = number.ok_or("a number above 0 is needed, for instance 500")?;
            Ok(Kept::quietly(plain_number(number)))
        }
        Kind::Logo => logo(text),
        Kind::Photo => photo(text),
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
        // in the trade both are called so
        let loosely = found.designation == "R-600" && !insisted;
        if loosely {
            return Err(format!(
                "\"{text}\" is butane, which hardly any appliance has; isobutane is R-600a. Type \
                 R-600a, or the same once more to keep butane"
            ));
        }
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

fn charge(text: &str, around: Around) -> Result<Kept, String> {
    let kept = mass(text)?;
    let system = System {
        charge_g: Some(kept.1),
        ..around.system
    };
    match system.absurd_charge(text).filter(|_| !around.insisted) {
        Some(why) => Err(format!("{why}. The same once more keeps it")),
        None => Ok(kept.0),
    }
}

/// A mass with its unit, as it is kept and in g.
fn mass(text: &str) -> Result<(Kept, f64), String> {
    let grams = mass::charge_g(text).map_err(|e| format!("\"{text}\": {e}"))?;
    let said = format!("{grams:.1} g");
    let already_g = text.trim_end().ends_with(['g', 'G']) && !text.to_lowercase().contains("kg");
    let said = if already_g { Vec::new() } else { vec![said] };
    Ok((Kept::saying(text, said), grams))
}

/// What the scale said, held against the nameplate.
fn weighed(text: &str, around: Around) -> Result<Kept, String> {
    let (mut kept, grams) = mass(text)?;
    match around.system.charge_g {
        Some(nameplate) if (grams - nameplate).abs() > 0.1 * nameplate => {
            let share = 100.0 * grams / nameplate;
            kept.said.push(format!(
                "{share:.0} % of the nameplate charge of {nameplate:.0} g."
            ));
        }
        None if grams > LARGE_CHARGE_G && !around.insisted => {
            return Err(format!(
                "\"{text}\" is {grams:.0} g, a great deal. The same once more keeps it"
            ));
        }
        _ => {}
    }
    Ok(kept)
}

fn volume(text: &str, around: Around) -> Result<Kept, String> {
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
    if !around.insisted && litres > LARGE_VOLUME_L {
        return Err(format!(
            "\"{text}\": is this the cabinet? The volume inside tubes, compressor and heat \
             exchangers is meant, 2 to 6 L in a household system. The same once more keeps it"
        ));
    }
    let system = System {
        volume_l: Some(litres),
        ..around.system
    };
    if let Some(why) = system.too_dense(text).filter(|_| !around.insisted) {
        return Err(format!("{why}. The same once more keeps it"));
    }
    let mut said = Vec::new();
    if litres != number {
        said.push(format!("{litres} L"));
    }
    Ok(Kept::saying(plain_number(litres), said))
}

/// A number alone above this may be °F: asked back.
const WARM_ROOM_C: f64 = 45.0;

fn ambient(text: &str, insisted: bool) -> Result<Kept, String> {
    let bare = vacuum::temperature::read(text).filter(|t| !t.unit_said);
    if bare.is_some_and(|t| (WARM_ROOM_C..=60.0).contains(&t.celsius)) && !insisted {
        return Err(format!("{text} °C or °F? Write {text}C or {text}F"));
    }
    temperature(text, "the room temperature", "70 F")
}

/// A temperature in °C or °F; `what` and `example` stand in the message.
fn temperature(text: &str, what: &str, example: &str) -> Result<Kept, String> {
    let wanted = || format!("\"{text}\": give {what} in °C, -60 to 60, or \"{example}\"");
    let typed = vacuum::temperature::read(text).ok_or_else(wanted)?;
    let celsius = typed.celsius;
    if !(-60.0..=60.0).contains(&celsius) {
        return Err(wanted());
    }
    let bare = text.trim_end_matches(['c', 'C', '°', ' ']);
    let said = match bare.parse::<f64>() == Ok(celsius) {
        true => Vec::new(),
        false => vec![format!("{celsius} °C")],
    };
    Ok(Kept::saying(plain_number(celsius), said))
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

fn principle(text: &str) -> Result<Kept, String> {
    let known = GaugePrinciple::named(text);
    known
        .map(|principle| Kept::quietly(principle.word()))
        .ok_or_else(|| {
            "type thermal (Pirani, thermocouple), diaphragm (capacitance, piezo) or other".into()
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
    let Some(found) = by_number.cloned().or_else(|| Criteria::named(text)) else {
        let names: Vec<String> = (1..)
            .zip(&profiles)
            .map(|(n, p)| format!("{n} ({})", p.name))
            .collect();
        return Err(format!("type {} or own", names.join(", ")));
    };
    Ok(Kept::saying(found.name.as_str(), vec![numbers(&found)]))
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

/// Largest file of a photo, bytes.
const LARGEST_PHOTO: u64 = 20 << 20;

fn photo(text: &str) -> Result<Kept, String> {
    let path = std::path::absolute(text).map_err(|e| format!("\"{text}\": {e}"))?;
    let mut head = [0; 8];
    let read = plain_file::open(&path, plain_file::Links::Follow).and_then(|mut file| {
        io::Read::read(&mut file, &mut head)?;
        file.metadata()
    });
    let known = head.starts_with(b"\xFF\xD8\xFF") || head == *b"\x89PNG\r\n\x1a\n";
    match read {
        Err(e) => Err(format!("{}: {}", path.display(), plain_file::io_words(&e))),
        Ok(_) if !known => Err(format!(
            "{} is neither JPEG nor PNG: save it as one of them",
            path.display()
        )),
        Ok(file) if file.len() > LARGEST_PHOTO => Err(format!(
            "{} is larger than {} MB: save it smaller",
            path.display(),
            LARGEST_PHOTO >> 20
        )),
        Ok(_) => Ok(Kept::quietly(path.display().to_string())),
    }
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
