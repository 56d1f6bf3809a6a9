//! A header name as words, and the units it states. Nothing is guessed: a unit
//! is stated, or it is missing.

use vacuum::PressureUnit;

use crate::source::TimeUnit;

/// What a header says about a unit of pressure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum UnitWord {
    Known(PressureUnit),
    /// Measured from the outside air; the words as written.
    Relative(String),
    Missing,
}

/// A unit of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TemperatureUnit {
    Celsius,
    Fahrenheit,
    Kelvin,
    /// Not stated.
    Unstated,
}

impl TemperatureUnit {
    pub(crate) fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius | Self::Unstated => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - vacuum::ZERO_CELSIUS_K,
        }
    }

    fn from_name(name: &str) -> Option<Self> {
        Some(match name {
            "c" | "°c" | "ºc" | "degc" | "deg c" | "celsius" => Self::Celsius,
            "f" | "°f" | "ºf" | "degf" | "deg f" | "fahrenheit" => Self::Fahrenheit,
            "k" | "kelvin" => Self::Kelvin,
            _ => return None,
        })
    }
}

pub(super) const PRESSURE_WORDS: [&str; 11] = [
    "pressure",
    "press",
    "p",
    "vacuum",
    "vac",
    "druck",
    "presion",
    "presión",
    "pression",
    "pressione",
    "pressão",
];

pub(super) const TIME_WORDS: [&str; 16] = [
    "t",
    "stamp",
    "elapsed",
    "utc",
    "gmt",
    "clock",
    "epoch",
    "unix",
    "zeit",
    "uhrzeit",
    "zeitstempel",
    "hora",
    "tiempo",
    "heure",
    "temps",
    "tempo",
];

/// A header name cut into lower-case words, what stands in brackets apart.
pub(super) struct Name {
    pub(super) words: Vec<String>,
    pub(super) bracket: Option<String>,
}

impl Name {
    pub(super) fn new(text: &str) -> Self {
        let (outside, bracket) = match text.find(['(', '[', '{']) {
            Some(open) => {
                let inside = &text[open + 1..];
                let close = inside.find([')', ']', '}']).unwrap_or(inside.len());
                (&text[..open], Some(inside[..close].trim().to_lowercase()))
            }
            None => (text, None),
        };
        let mut words = Vec::new();
        for token in outside.split(|c: char| !is_word_char(c)) {
            push_words(token, &mut words);
        }
        Self { words, bracket }
    }

    pub(super) fn has(&self, any: &[&str]) -> bool {
        self.words.iter().any(|w| any.contains(&w.as_str()))
    }

    /// The texts that may be a unit: what is in brackets, else the last words,
    /// longest first ("m Torr" must not be read as Torr).
    fn unit_texts(&self) -> Vec<String> {
        if let Some(bracket) = &self.bracket {
            return vec![bracket.clone()];
        }
        let n = self.words.len();
        (1..=n.min(3))
            .rev()
            .map(|k| self.words[n - k..].concat())
            .collect()
    }

    fn all(&self) -> String {
        let mut all = self.words.join(" ");
        if let Some(bracket) = &self.bracket {
            all.push(' ');
            all.push_str(bracket);
        }
        all
    }
}

fn is_word_char(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, 'µ' | 'μ' | '°' | 'º' | '%')
}

/// Adds a token's words. "PressureTorr" is two words; "mTorr" is one, and
/// "PressuremTorr" stays whole rather than being taken for Torr.
fn push_words(token: &str, words: &mut Vec<String>) {
    if token.is_empty() {
        return;
    }
    let lower = token.to_lowercase();
    if PressureUnit::from_name(&lower).is_none() {
        let boundary = token
            .char_indices()
            .zip(token.chars().skip(1))
            .find(|((_, a), b)| a.is_lowercase() && b.is_uppercase())
            .map(|((i, a), _)| i + a.len_utf8());
        if let Some(cut) = boundary {
            let left = token[..cut].to_lowercase();
            if is_known_word(&left) {
                words.push(left);
                push_words(&token[cut..], words);
                return;
            }
        }
    }
    words.push(lower);
}

fn is_known_word(word: &str) -> bool {
    PRESSURE_WORDS.contains(&word)
        || TIME_WORDS.contains(&word)
        || is_time_word(word)
        || is_temperature_word(word)
        || matches!(word, "gauge" | "system" | "in")
}

/// "time", "timestamp", "datetime", "runtime" …
pub(super) fn is_time_word(word: &str) -> bool {
    word.contains("time") && !matches!(word, "timezone" | "timeout")
}

fn is_temperature_word(word: &str) -> bool {
    matches!(
        word,
        "temperature" | "temp" | "temperatur" | "temperatura" | "température"
    )
}

/// What a text says about a unit of pressure.
pub(crate) fn unit_of(text: &str) -> UnitWord {
    if let Some(unit) = PressureUnit::from_name(text) {
        return UnitWord::Known(unit);
    }
    pressure_unit(&Name::new(text))
}

pub(super) fn pressure_unit(name: &Name) -> UnitWord {
    let all = name.all();
    let mut words = all.split(|c: char| !is_word_char(c));
    let absolute = words.clone().any(|w| matches!(w, "abs" | "absolute"));
    let unit = name
        .unit_texts()
        .iter()
        .find_map(|t| PressureUnit::from_name(t));
    let inches = matches!(unit, Some(PressureUnit::InHg))
        || words
            .clone()
            .any(|w| matches!(w, "inhg" | "inch" | "inches"));
    let relative = words.any(|w| match w {
        "psig" | "barg" | "mbarg" | "kpag" | "pag" | "inhgv" | "inhgvac" | "inhgg" | "relative"
        | "rel" => true,
        "vac" | "vacuum" | "gauge" | "gage" => inches,
        _ => false,
    });
    match unit {
        _ if relative && !absolute => UnitWord::Relative(all),
        Some(unit) => UnitWord::Known(unit),
        None => UnitWord::Missing,
    }
}

pub(super) fn time_unit(name: &Name) -> Option<TimeUnit> {
    match &name.bracket {
        Some(bracket) => TimeUnit::from_name(bracket),
        None => name.words.last().and_then(|w| TimeUnit::from_name(w)),
    }
}

/// The unit of temperature a name states, `Unstated` when it only names one.
pub(super) fn temperature(name: &Name) -> Option<TemperatureUnit> {
    let text = name.bracket.as_ref().or(name.words.last());
    let unit = text.and_then(|t| TemperatureUnit::from_name(t));
    let named = name.words.iter().any(|w| is_temperature_word(w));
    let bare = name.words.len() <= 2 && name.has(&["t", "ambient", "room"]);
    match unit {
        Some(unit) if named || bare => Some(unit),
        _ => named.then_some(TemperatureUnit::Unstated),
    }
}
