//! What a word for a unit of pressure says. Gauges, CSV headers and cells,
//! command-line options and job files are all read here and nowhere else.

use std::fmt;

use crate::PressureUnit;

/// What a word for a unit of pressure says.
///
/// A gauge that counts from the air around it shows 0 when it stands open. Read
/// as an absolute pressure that 0 would be a perfect vacuum, and an open system
/// would pass. So a word that is used for both kinds of pressure is never taken
/// as absolute: whoever gave it is asked back.
///
/// ```
/// use vacuum::{PressureUnit, UnitWord};
/// assert_eq!(UnitWord::read("mTorr"), UnitWord::Absolute(PressureUnit::Micron));
/// assert_eq!(UnitWord::read("psi abs"), UnitWord::Absolute(PressureUnit::Psi));
/// assert_eq!(UnitWord::read("psi"), UnitWord::Ambiguous(Some(PressureUnit::Psi)));
/// assert_eq!(UnitWord::read("psi gauge"), UnitWord::Relative(Some(PressureUnit::Psi)));
/// assert_eq!(UnitWord::read("furlong"), UnitWord::Unknown);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitWord {
    /// A unit of absolute pressure.
    Absolute(PressureUnit),
    /// Counts from the air around the gauge; with the unit it counts in, where
    /// that is one known here. Refused for judging.
    Relative(Option<PressureUnit>),
    /// Used both for absolute pressure and for pressure that counts from the air
    /// around the gauge; with the unit it would be if it were absolute, where that
    /// is one known here. Asked back.
    Ambiguous(Option<PressureUnit>),
    /// No unit of pressure known here.
    Unknown,
}

/// What stands behind a unit and says which kind of pressure it is. Longest first,
/// because one is cut off at a time.
const ABSOLUTE: [&str; 6] = [
    "absolute", "absoluto", "absoluta", "absolut", "absolu", "abs",
];
const RELATIVE: [&str; 11] = [
    "relative", "relativo", "relativa", "relatif", "relativ", "ofvacuum", "vacuum", "gauge",
    "gage", "rel", "vac",
];

impl UnitWord {
    /// Reads a unit as gauges, people and CSV headers write it. Case (but for "MPa"),
    /// blanks, dots, joining signs and brackets do not count.
    #[must_use]
    pub fn read(text: &str) -> Self {
        // "mPa" is a thousandth of a pascal: only the capital M says that it is a million
        if let Some(rest) = text.trim().strip_prefix("MPa") {
            let longer = format!("megapascal{rest}");
            return Self::read(&longer);
        }
        let key: String = text
            .trim()
            .chars()
            .filter(|c| !matches!(c, ' ' | '\u{a0}' | '.' | '_' | '-' | '(' | ')' | '[' | ']'))
            .flat_map(char::to_lowercase)
            .collect();
        let (mut stem, mut absolute, mut relative) = (key.as_str(), false, false);
        loop {
            let cut = |words: &[&str]| words.iter().find_map(|w| stem.strip_suffix(w));
            if let Some(rest) = cut(&ABSOLUTE) {
                (stem, absolute) = (rest, true);
            } else if let Some(rest) = cut(&RELATIVE) {
                (stem, relative) = (rest, true);
            } else {
                break;
            }
        }
        let bare = Self::bare(stem);
        match (bare, absolute, relative) {
            // "vac" alone, "% vacuum"
            (_, _, true) if matches!(stem, "" | "%") => Self::Relative(None),
            (Self::Unknown, ..) => Self::Unknown,
            // both are said: nothing can be made of it
            (found, true, true) => Self::Ambiguous(found.unit()),
            (Self::Ambiguous(Some(unit)), true, false) => Self::Absolute(unit),
            (found, false, true) => Self::Relative(found.unit()),
            (found, ..) => found,
        }
    }

    /// A unit without "abs" or "gauge" behind it, in small letters.
    fn bare(key: &str) -> Self {
        use PressureUnit::{
            Atmosphere, Bar, InHg, Kilopascal, Megapascal, Micron, Millibar, Pascal, Psi, Torr,
        };
        match key {
            "micron" | "microns" | "mic" | "micronhg" | "micronshg" | "um" | "µm" | "μm"
            | "umhg" | "µmhg" | "μmhg" | "µ" | "μ" | "mtorr" | "millitorr" => {
                Self::Absolute(Micron)
            }
            "torr" | "mmhg" | "mmofmercury" => Self::Absolute(Torr),
            "pa" | "pascal" | "pascals" => Self::Absolute(Pascal),
            "kpa" | "kpaa" | "kilopascal" | "kilopascals" => Self::Absolute(Kilopascal),
            "mbar" | "mbara" | "millibar" | "millibars" | "hpa" | "hpaa" | "hectopascal" => {
                Self::Absolute(Millibar)
            }
            "megapascal" | "megapascals" | "megapascala" => Self::Absolute(Megapascal),
            "bara" => Self::Absolute(Bar),
            "inhga" => Self::Absolute(InHg),
            "psia" => Self::Absolute(Psi),
            "atm" | "atmosphere" | "atmospheres" => Self::Absolute(Atmosphere),
            "bar" | "bars" => Self::Ambiguous(Some(Bar)),
            "psi" | "lb/in2" | "lb/in²" | "lbf/in2" | "lbf/in²" | "lbs/in2" => {
                Self::Ambiguous(Some(Psi))
            }
            "inhg" | "\"hg" | "inchhg" | "incheshg" | "inchofmercury" | "inchesofmercury"
            | "zollhg" => Self::Ambiguous(Some(InHg)),
            "in" | "\"" | "inch" | "inches" => Self::Ambiguous(None),
            "kg/cm2" | "kg/cm²" | "kgf/cm2" | "kgf/cm²" | "kgcm2" | "kgfcm2" | "kp/cm2"
            | "kp/cm²" | "ksc" | "at" | "ata" | "cmhg" | "inh2o" | "inwc" | "inwg" | "mmh2o"
            | "cmh2o" | "mmwc" | "mmws" => Self::Ambiguous(None),
            "psig" => Self::Relative(Some(Psi)),
            "barg" | "barü" => Self::Relative(Some(Bar)),
            "mbarg" | "hpag" => Self::Relative(Some(Millibar)),
            "kpag" => Self::Relative(Some(Kilopascal)),
            "megapascalg" => Self::Relative(Some(Megapascal)),
            "pag" => Self::Relative(Some(Pascal)),
            "inhgg" | "inhgv" => Self::Relative(Some(InHg)),
            "inv" | "kg/cm2g" | "kgf/cm2g" | "kg/cm²g" | "kgf/cm²g" | "atü" | "cmhgv" | "psid" => {
                Self::Relative(None)
            }
            _ => Self::Unknown,
        }
    }

    /// Takes into account what stands beside the unit, as in a column called
    /// "Vacuum (inHg)" or "pressure absolute (psi)": `words` in small letters.
    ///
    /// "abs" makes an open word absolute, "relative" makes any unit relative.
    /// "vacuum" and "gauge" name the instrument as often as the kind of pressure
    /// ("vacuum (Torr)", "gauge 1 (mbar)"), so they decide for inches only.
    #[must_use]
    pub fn beside<'a>(self, words: impl IntoIterator<Item = &'a str>) -> Self {
        let (mut absolute, mut relative, mut vacuum) = (false, false, false);
        for word in words {
            absolute |= ABSOLUTE.contains(&word);
            relative |=
                RELATIVE.contains(&word) && !matches!(word, "vac" | "vacuum" | "gauge" | "gage");
            vacuum |= matches!(word, "vac" | "vacuum" | "gauge" | "gage");
        }
        match self {
            Self::Absolute(_) | Self::Ambiguous(_) if absolute && relative => {
                Self::Ambiguous(self.unit())
            }
            Self::Absolute(_) | Self::Ambiguous(_) if relative => Self::Relative(self.unit()),
            Self::Ambiguous(Some(unit)) if absolute => Self::Absolute(unit),
            Self::Ambiguous(Some(PressureUnit::InHg) | None) if vacuum && !absolute => {
                Self::Relative(self.unit())
            }
            other => other,
        }
    }

    /// The unit of absolute pressure it states, and `None` for anything else.
    #[must_use]
    pub const fn absolute(self) -> Option<PressureUnit> {
        match self {
            Self::Absolute(unit) => Some(unit),
            Self::Relative(_) | Self::Ambiguous(_) | Self::Unknown => None,
        }
    }

    /// The unit it counts in, whatever it counts from.
    #[must_use]
    pub const fn unit(self) -> Option<PressureUnit> {
        match self {
            Self::Absolute(unit) => Some(unit),
            Self::Relative(unit) | Self::Ambiguous(unit) => unit,
            Self::Unknown => None,
        }
    }

    /// Why `text`, which was read as this, cannot be taken as a unit of absolute
    /// pressure: one clause. `None` where it can.
    #[must_use]
    pub fn problem(self, text: &str) -> Option<String> {
        let text = text.trim();
        match self {
            Self::Absolute(_) => None,
            Self::Relative(_) => Some(format!(
                "\"{text}\" counts from the air around the gauge, not from full vacuum; the \
                 barometer is not known and 0.01 inHg is already 254 micron, so 500 micron \
                 cannot be judged from it"
            )),
            Self::Ambiguous(_) => Some(format!(
                "\"{text}\" may count from full vacuum or from the air around the gauge"
            )),
            Self::Unknown if text.is_empty() => Some("the unit is missing".into()),
            Self::Unknown => Some(format!("\"{text}\" is not a pressure unit known here")),
        }
    }

    /// What to write instead, one clause. `None` where there is no problem.
    #[must_use]
    pub fn remedy(self) -> Option<Remedy> {
        match self {
            Self::Absolute(_) => None,
            other => Some(Remedy(other)),
        }
    }
}

impl PressureUnit {
    /// Reads a unit of absolute pressure as gauges, people and CSV headers write
    /// it. Nothing is guessed: [`UnitWord::read`] says why a word gives `None`.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        UnitWord::read(name).absolute()
    }

    /// The unit in which absolute pressures are to be printed. Nothing is measured
    /// in it, so "inHg", "psi" and "bar" are clear enough; "inHg vac" is none.
    #[must_use]
    pub fn for_printing(name: &str) -> Option<Self> {
        match UnitWord::read(name) {
            UnitWord::Absolute(unit) | UnitWord::Ambiguous(Some(unit)) => Some(unit),
            UnitWord::Ambiguous(None) | UnitWord::Relative(_) | UnitWord::Unknown => None,
        }
    }
}

/// What to write instead of a word that states no absolute unit; made by
/// [`UnitWord::remedy`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Remedy(UnitWord);

impl fmt::Display for Remedy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            UnitWord::Ambiguous(Some(unit)) => write!(
                f,
                "write \"{}\" if the gauge reads 0 at full vacuum; a gauge that reads 0 in open \
                 air cannot judge a vacuum",
                unit.symbol()
            ),
            UnitWord::Ambiguous(None) | UnitWord::Relative(_) => f.write_str(
                "set the gauge to micron, Torr, Pa or mbar, counted from full vacuum, and record \
                 again",
            ),
            UnitWord::Unknown | UnitWord::Absolute(_) => {
                write!(f, "write {}", PressureUnit::LISTED)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use PressureUnit::{Atmosphere, Bar, InHg, Kilopascal, Micron, Millibar, Pascal, Psi, Torr};

    fn check(wanted: UnitWord, words: &[&str]) {
        for word in words {
            assert_eq!(UnitWord::read(word), wanted, "{word:?}");
            assert_eq!(UnitWord::read(&word.to_uppercase()), wanted, "{word:?}");
        }
    }

    #[test]
    fn absolute_units_as_gauges_and_headers_write_them() {
        for (unit, words) in [
            (
                Micron,
                &[
                    "microns",
                    " Microns ",
                    "µm Hg",
                    "μmHg",
                    "um",
                    "m Torr",
                    "MTORR",
                    "µ",
                ][..],
            ),
            (Torr, &["Torr", "mm Hg", "mmHg abs"]),
            (Pascal, &["Pa", "pascals"]),
            (Kilopascal, &["kPa", "kPa_abs", "kPa abs gauge abs"][..2]),
            (Millibar, &["hPa", "mbar", "mbar(a)"]),
            (Bar, &["bar abs.", "bar(a)", "bara", "bar absolute"]),
            (
                InHg,
                &["inHg abs", "in. Hg abs", "[inHgA]", "\"Hg absolute"],
            ),
            (Psi, &["psia", "psi absolute", "psi abs", "PSI (abs)"]),
            (Atmosphere, &["Atmospheres", "atm"]),
        ] {
            check(UnitWord::Absolute(unit), words);
        }
    }

    #[test]
    fn words_used_for_both_kinds_of_pressure_are_open() {
        check(UnitWord::Ambiguous(Some(Psi)), &["psi", "PSI", "lbf/in²"]);
        check(UnitWord::Ambiguous(Some(Bar)), &["bar", "bars"]);
        check(
            UnitWord::Ambiguous(Some(InHg)),
            &["inHg", "in Hg", "in. Hg", "\"Hg", "inches of mercury"],
        );
        check(
            UnitWord::Ambiguous(None),
            &[
                "in",
                "inches",
                "\"",
                "in abs",
                "kg/cm2",
                "kgf/cm²",
                "kg/cm2 abs",
                "at",
                "cmHg",
                "inH2O",
            ],
        );
        // both are said
        check(UnitWord::Ambiguous(Some(Psi)), &["psi gauge abs"]);
        check(UnitWord::Ambiguous(Some(Micron)), &["micron abs vac"]);
    }

    #[test]
    fn units_that_count_from_the_air_around_are_known_as_such() {
        check(
            UnitWord::Relative(Some(InHg)),
            &[
                "inHg vac",
                "inHg vacuum",
                "inHgV",
                "inHg(g)",
                "inHg of vacuum",
            ],
        );
        check(
            UnitWord::Relative(Some(Psi)),
            &["psig", "psi g", "psi gauge", "psi gage"],
        );
        check(
            UnitWord::Relative(Some(Bar)),
            &["bar g", "barg", "bar(g)", "bar relative"],
        );
        check(
            UnitWord::Relative(Some(Kilopascal)),
            &["kPag", "kPa(g)", "kPa gauge"],
        );
        check(UnitWord::Relative(Some(Millibar)), &["mbarg", "mbar rel"]);
        check(UnitWord::Relative(Some(Micron)), &["micron gauge"]);
        check(
            UnitWord::Relative(None),
            &[
                "in vac",
                "in. vac",
                "inches of vacuum",
                "vac",
                "% vacuum",
                "kg/cm2 gauge",
                "psid",
            ],
        );
    }

    #[test]
    fn other_words_are_not_known() {
        check(
            UnitWord::Unknown,
            &[
                // MPa and mPa differ only in case
                "mPa",
                "",
                "abs",
                "absolute",
                "a",
                "hg",
                "mm",
                "torrs of pain",
                "furlong",
                "pressure psi",
                "vacuum torr",
                "%",
            ],
        );
    }

    #[test]
    fn what_stands_beside_a_unit_counts() {
        let beside = |unit: &str, words: &str| UnitWord::read(unit).beside(words.split(' '));
        for (unit, words, wanted) in [
            ("psi", "pressure absolute", UnitWord::Absolute(Psi)),
            ("psi", "pressure", UnitWord::Ambiguous(Some(Psi))),
            ("psi", "vacuum", UnitWord::Ambiguous(Some(Psi))),
            (
                "mbar",
                "pressure relative",
                UnitWord::Relative(Some(Millibar)),
            ),
            ("mbar", "relative abs", UnitWord::Ambiguous(Some(Millibar))),
            ("psig", "abs", UnitWord::Relative(Some(Psi))),
            ("inHg", "vacuum", UnitWord::Relative(Some(InHg))),
            ("inHg", "vacuum abs", UnitWord::Absolute(InHg)),
            ("in", "vacuum", UnitWord::Relative(None)),
            ("in", "vacuum abs", UnitWord::Ambiguous(None)),
            ("Torr", "vacuum", UnitWord::Absolute(Torr)),
            ("mbar", "gauge", UnitWord::Absolute(Millibar)),
            ("furlong", "abs", UnitWord::Unknown),
        ] {
            assert_eq!(beside(unit, words), wanted, "{unit} beside {words}");
        }
    }

    #[test]
    fn a_refusal_says_what_is_wrong_and_what_to_write() {
        for (text, problem, remedy) in [
            (
                "psi",
                "\"psi\" may count from full vacuum or from the air",
                "\"psia\"",
            ),
            ("bar", "\"bar\" may count", "\"bar abs\""),
            ("inHg", "\"inHg\" may count", "\"inHg abs\""),
            ("in", "\"in\" may count", "micron, Torr, Pa or mbar"),
            ("psig", "\"psig\" counts from the air", "set the gauge"),
            (
                "furlong",
                "\"furlong\" is not a pressure unit",
                "\"inHg abs\"",
            ),
            ("", "the unit is missing", "micron"),
        ] {
            let word = UnitWord::read(text);
            let found = word.problem(text).expect("a problem");
            assert!(found.contains(problem), "{text}: {found}");
            let found = word.remedy().expect("a remedy").to_string();
            assert!(found.contains(remedy), "{text}: {found}");
        }
        assert_eq!(UnitWord::read("Pa").problem("Pa"), None);
        assert_eq!(UnitWord::read("Pa").remedy(), None);
    }
}
