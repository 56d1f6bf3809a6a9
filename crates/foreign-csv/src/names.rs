//! A header name as words, and the units it states. Nothing is guessed: a unit
//! is stated, or it is missing.

use vacuum::UnitWord;

use super::options::TimeUnit;

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

pub(super) const PRESSURE_WORDS: &str = "\
    pressure press p vacuum vac druck presion presión pression pressione pressão";

pub(super) const TIME_WORDS: &str = "\
    t stamp elapsed utc gmt clock epoch unix zeit uhrzeit zeitstempel hora tiempo heure \
    temps tempo";

/// A header name cut into lower-case words, what stands in brackets apart.
pub(super) struct Name {
    pub(super) words: Vec<String>,
    pub(super) bracket: Option<String>,
}

impl Name {
    pub(super) fn new(text: &str) -> Self {
        // small letters would make a thousandth of it
        let text = text.replace("MPa", "megapascal");
        let text = text.as_str();
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

    /// True when one of its words is in the list, in which blanks stand between words.
    pub(super) fn has(&self, list: &str) -> bool {
        self.words.iter().any(|word| is_among(word, list))
    }

    /// The texts that may be a unit: what is in brackets, else the last words,
    /// longest first ("m Torr" must not be read as Torr).
    fn unit_texts(&self) -> Vec<String> {
        if let Some(bracket) = &self.bracket {
            return vec![bracket.clone()];
        }
        let n = self.words.len();
        (1..=n.min(4))
            .rev()
            .map(|k| &self.words[n - k..])
            // "vacuum" and "gauge pressure" are names, no units
            .filter(|words| words.iter().any(|w| !is_name_word(w)))
            .map(<[String]>::concat)
            .collect()
    }
}

/// True for a word of a list, in which blanks stand between the words.
pub(super) fn is_among(word: &str, list: &str) -> bool {
    list.split_ascii_whitespace().any(|known| known == word)
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
    if UnitWord::read(&lower) == UnitWord::Unknown {
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
    is_among(word, PRESSURE_WORDS)
        || is_among(word, TIME_WORDS)
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

/// A word that names a pressure or the instrument, and is no unit.
fn is_name_word(word: &str) -> bool {
    is_among(word, PRESSURE_WORDS)
        || matches!(
            word,
            "gauge" | "gage" | "abs" | "absolute" | "rel" | "relative" | "of"
        )
        || word.bytes().all(|b| b.is_ascii_digit())
}

/// What a text says about a unit of pressure.
pub(crate) fn unit_of(text: &str) -> UnitWord {
    match UnitWord::read(text) {
        UnitWord::Unknown => pressure_unit(&Name::new(text)),
        known => known,
    }
}

/// What a name says about a unit of pressure. Which words state a unit is decided
/// by [`UnitWord`]; here it is only found where it stands.
pub(super) fn pressure_unit(name: &Name) -> UnitWord {
    let unit = name
        .unit_texts()
        .iter()
        .map(|text| UnitWord::read(text))
        .find(|word| *word != UnitWord::Unknown);
    let inside = name
        .bracket
        .iter()
        .flat_map(|b| b.split(|c: char| !is_word_char(c)));
    unit.unwrap_or(UnitWord::Unknown)
        .beside(name.words.iter().map(String::as_str).chain(inside))
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
    let bare = name.words.len() <= 2 && name.has("t ambient room");
    match unit {
        Some(unit) if named || bare => Some(unit),
        _ => named.then_some(TemperatureUnit::Unstated),
    }
}
