//! Units as gauges write them, with the dangerous ones kept out.

use vacuum::PressureUnit;

/// What a unit word turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum UnitWord {
    /// A unit of absolute pressure.
    Absolute(PressureUnit),
    /// Counts from the barometer of the day.
    GaugeRelative,
    /// Used both for absolute and for gauge-relative pressure.
    Ambiguous,
    /// Not a pressure unit known here.
    Unknown,
}

/// Reads a unit word that comes from a gauge's line or a dialect's fixed unit.
///
/// Bare "inHg", "psi" and "bar" are not taken as absolute: a vacuum gauge that
/// counts from the barometer sends 0 at atmosphere, and reading that as an
/// absolute zero would pass an open system.
pub(crate) fn unit_word(text: &str) -> UnitWord {
    let key: String = text
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == '"')
        .flat_map(char::to_lowercase)
        .collect();
    let relative = [
        "psig", "barg", "mbarg", "kpag", "hpag", "pag", "inhgg", "inhgv", "inhgvac", "vac",
        "vacuum",
    ];
    if relative.contains(&key.as_str())
        || key.contains("vac")
        || key.contains("gauge")
        || key.contains("gage")
        || key.contains("rel")
    {
        return UnitWord::GaugeRelative;
    }
    if matches!(key.as_str(), "inhg" | "\"hg" | "psi" | "bar" | "bars") {
        return UnitWord::Ambiguous;
    }
    match PressureUnit::from_name(text) {
        Some(unit) => UnitWord::Absolute(unit),
        None => UnitWord::Unknown,
    }
}

/// Text of a byte field: UTF-8 where it is valid, else Latin-1, so that the
/// micro sign of either kind of gauge is understood.
pub(crate) fn field_text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.trim().to_owned(),
        Err(_) => {
            let latin: String = bytes.iter().copied().map(char::from).collect();
            latin.trim().to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn absolute_units_pass() {
        for (text, unit) in [
            ("micron", PressureUnit::Micron),
            ("µm", PressureUnit::Micron),
            ("mTorr", PressureUnit::Micron),
            ("mbar", PressureUnit::Millibar),
            ("hPa", PressureUnit::Millibar),
            ("inHg abs", PressureUnit::InHg),
            ("psia", PressureUnit::Psi),
            ("bar(a)", PressureUnit::Bar),
        ] {
            assert_eq!(unit_word(text), UnitWord::Absolute(unit), "{text}");
        }
        assert_eq!(
            unit_word(&field_text(b"\xB5m")),
            UnitWord::Absolute(PressureUnit::Micron)
        );
    }

    #[test]
    fn gauge_relative_and_ambiguous_units_do_not() {
        for text in [
            "inHg vac",
            "inHgV",
            "psig",
            "bar(g)",
            "kPa gauge",
            "in. vac",
        ] {
            assert_eq!(unit_word(text), UnitWord::GaugeRelative, "{text}");
        }
        for text in ["inHg", "in Hg", "psi", "bar", "\"Hg"] {
            assert_eq!(unit_word(text), UnitWord::Ambiguous, "{text}");
        }
        assert_eq!(unit_word("furlong"), UnitWord::Unknown);
    }
}
