//! Words that gauges, loggers and spreadsheets write where a number would be.
//!
//! No standard lists them: what is here is common practice, no source, in the
//! spellings of several trades and languages. Two more are published: NaN and
//! infinity as C libraries print them (ISO C `printf`), and the errors of
//! spreadsheet cells (OASIS OpenFormula 1.3, section 5.12).

use super::names::is_among;

/// What a word says about the reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Word {
    /// Above range.
    Over,
    /// Below range.
    Under,
    /// The gauge is not well, or gives no number it would stand by.
    Fault,
    /// Switched off, unplugged or not yet warm.
    Off,
    /// A measurement like any other; only a state column says so.
    Good,
    /// No value.
    Missing,
}

/// Longest text that can be one of the words.
const LONGEST: usize = 40;

const OVER: &str = "\
    ol +ol or ovr ovrng over overrange overrng overload ovld overflow ovfl ofl ovf overscale \
    offscalehigh aboverange abovescale aboveupperlimit toohigh outofrangehigh rangehigh \
    uprange hi hihi high hhh hhhh inf +inf infinity +infinity 1#inf atm atmosphere überlauf \
    überbereich messbereichüberschritten bereichüberschritten zuhoch fueraderangoalto \
    sobrerango desbordamiento horsgammehaut dépassement fuoriscala fueradeescala";

const UNDER: &str = "\
    -ol lo lolo low ur under underrange underrng underflow unfl ufl udf underscale offscalelow \
    belowrange belowscale belowlowerlimit toolow outofrangelow rangelow lll llll unterlauf \
    unterbereich messbereichunterschritten bereichunterschritten zuniedrig bajorango";

const FAULT: &str = "\
    err error fault fail failed failure sensorfault sensorfail sensorfailure sensorerror \
    sensorerr gaugefault gaugeerror bad badsensor badreading badvalue invalid opencircuit \
    shortcircuit outofrange oor range checksensor broken fehler störung defekt sensorfehler \
    fallo falla erreur défaut errore guasto erro";

const OFF: &str = "\
    off offline standby stby idle disabled inactive nosensor nogauge noprobe nosignal nocomm \
    nocomms noconnection notconnected disconnected unplugged timeout noreply noresponse \
    sensoroff gaugeoff filamentoff warmup warmingup warming starting startup init initialising \
    initializing wait gap aus ausgeschaltet apagado éteint arrêt spento desligado";

const GOOD: &str = "\
    ok good normal valid on run running measuring";

const MISSING: &str = "\
    nan -nan +nan 1#qnan 1#snan 1#ind -1#ind -inf -infinity -1#inf na #na null none nil nodata \
    noreading novalue missing blank empty #value #div0 #num #ref #name? #null #nv #wert \
    #valeur";

/// Reads such a word or sign; `None` for anything else.
pub(crate) fn word_of(cell: &[u8]) -> Option<Word> {
    let cell = cell.trim_ascii();
    if cell.is_empty() || cell.len() > LONGEST {
        return None;
    }
    if let Some(sign) = sign(cell) {
        return Some(sign);
    }
    let key = key_of(cell);
    let among = |list: &str| is_among(&key, list);
    Some(match () {
        () if among(OVER) => Word::Over,
        () if among(UNDER) => Word::Under,
        () if among(FAULT) || is_error_code(&key) => Word::Fault,
        () if among(OFF) => Word::Off,
        () if among(GOOD) => Word::Good,
        () if among(MISSING) => Word::Missing,
        () => return None,
    })
}

/// Reads a word of a state column, where "high" and the like may speak of an
/// alarm, a valve or the weather instead of the gauge's range.
pub(crate) fn state_of(cell: &[u8]) -> Option<Word> {
    const OPEN: &str = "hi hihi high lo lolo low or ur atm atmosphere range wait";
    let word = word_of(cell)?;
    let clear = sign(cell.trim_ascii()).is_none() && !is_among(&key_of(cell), OPEN);
    (clear && word != Word::Missing).then_some(word)
}

/// Cells made of one sign: `>>>>`, `----`, `####`.
fn sign(cell: &[u8]) -> Option<Word> {
    let first = *cell.first()?;
    if cell.iter().any(|b| *b != first) {
        return None;
    }
    match first {
        b'>' | b'^' | b'+' => Some(Word::Over),
        b'<' => Some(Word::Under),
        b'-' | b'.' | b'?' | b'#' | b'*' | b'_' => Some(Word::Missing),
        _ => None,
    }
}

/// The cell in small letters, without blanks and joining signs; a sign in
/// front of a word stays, because `-OL` is not `OL`.
fn key_of(cell: &[u8]) -> String {
    let text = match std::str::from_utf8(cell) {
        Ok(text) => text.to_owned(),
        Err(_) => cell.iter().map(|b| char::from(*b)).collect(),
    };
    let mut key = String::with_capacity(text.len());
    for c in text
        .trim_matches(['*', '!', '(', ')', '[', ']', '"'])
        .chars()
    {
        let joins =
            matches!(c, ' ' | '_' | '.' | '/' | ':' | '\u{a0}') || c == '-' && !key.is_empty();
        if !joins {
            key.extend(c.to_lowercase());
        }
    }
    key
}

/// `E02`, `Er 4`, `Err-12`, `Error 7`.
fn is_error_code(key: &str) -> bool {
    let digits = key.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let word = &key[..key.len() - digits.len()];
    matches!(word, "e" | "er" | "err" | "error" | "fault" | "fehler")
        && (1..=4).contains(&digits.len())
        && digits.bytes().all(|b| b.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_known_in_many_spellings() {
        for (word, spellings) in [
            (
                Word::Over,
                "OL|O.L|o l|over|Over-range|OVER RANGE|over_range|hi|HHHH|>>>>|inf|+Inf|++++|ATM|1.#INF|Überlauf",
            ),
            (
                Word::Under,
                "-OL|LO|Under range|under-range|<<<|LLLL|underflow",
            ),
            (
                Word::Fault,
                "Err|ERROR!|E02|Er 4|Err-12|error: 7|Sensor fault|open circuit|out of range|Fehler",
            ),
            (
                Word::Off,
                "OFF|Gauge off|stand-by|no sensor|not connected|Warm up|aus|(disconnected)",
            ),
            (
                Word::Missing,
                "--|----|NaN|-nan|-inf|n/a|null|#N/A|#DIV/0!|#VALUE!|####|-1.#IND|1.#QNAN|no data",
            ),
        ] {
            for spelling in spellings.split('|') {
                assert_eq!(word_of(spelling.as_bytes()), Some(word), "{spelling}");
            }
        }
    }

    #[test]
    fn numbers_and_other_texts_are_no_words() {
        for text in [
            "",
            "500",
            "-5",
            "E",
            "5e3",
            "abc",
            "1e5",
            "Erwin 5",
            "over the hill",
            "e12345",
        ] {
            assert_eq!(word_of(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn a_state_must_be_clear() {
        assert_eq!(state_of(b"Over range"), Some(Word::Over));
        assert_eq!(state_of(b"Good"), Some(Word::Good));
        for text in ["high", "LO", "---", "n/a", "pumping"] {
            assert_eq!(state_of(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn no_word_means_two_things() {
        let lists = [OVER, UNDER, FAULT, OFF, GOOD, MISSING];
        let mut all: Vec<&str> = lists
            .iter()
            .flat_map(|l| l.split_ascii_whitespace())
            .collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
        // every entry is written the way a cell's key comes out
        for word in all {
            assert_eq!(key_of(word.as_bytes()), word, "{word}");
        }
    }
}
