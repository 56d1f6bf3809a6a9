use std::fmt;

/// A unit of *absolute* pressure.
///
/// Factors: NIST SP 811 (2008) appendix B.8 for the inch of mercury and psi;
/// 1 atm = 101 325 Pa and 1 Torr = 101 325/760 Pa are exact by definition.
/// `mmHg` is read as Torr: the two differ by less than 0.000 015 %.
///
/// "Inches of vacuum" is deliberately not here: it is relative to a barometer
/// that must be stated. See [`Pressure::from_inches_of_vacuum`](crate::Pressure::from_inches_of_vacuum).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PressureUnit {
    /// micron (µm of mercury, equal to 1 mTorr).
    Micron,
    /// Torr (and mmHg).
    Torr,
    /// pascal.
    Pascal,
    /// kilopascal.
    Kilopascal,
    /// millibar (and hectopascal).
    Millibar,
    /// bar.
    Bar,
    /// conventional inch of mercury, absolute.
    InHg,
    /// pound-force per square inch, absolute.
    Psi,
    /// standard atmosphere.
    Atmosphere,
}

impl PressureUnit {
    /// Every unit, in the order they are listed to a person.
    pub const ALL: [Self; 9] = [
        Self::Micron,
        Self::Torr,
        Self::Pascal,
        Self::Kilopascal,
        Self::Millibar,
        Self::Bar,
        Self::InHg,
        Self::Psi,
        Self::Atmosphere,
    ];

    /// Pascals in one of this unit.
    #[must_use]
    pub const fn pa(self) -> f64 {
        match self {
            Self::Micron => 101_325.0 / 760_000.0,
            Self::Torr => 101_325.0 / 760.0,
            Self::Pascal => 1.0,
            Self::Kilopascal => 1e3,
            Self::Millibar => 100.0,
            Self::Bar => 1e5,
            Self::InHg => 3_386.389,
            Self::Psi => 6_894.757_293_168_361,
            Self::Atmosphere => 101_325.0,
        }
    }

    /// The symbol printed behind a number. The inch of mercury and the psi say
    /// "absolute", since on most dials they are not.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Micron => "micron",
            Self::Torr => "Torr",
            Self::Pascal => "Pa",
            Self::Kilopascal => "kPa",
            Self::Millibar => "mbar",
            Self::Bar => "bar",
            Self::InHg => "inHg abs",
            Self::Psi => "psia",
            Self::Atmosphere => "atm",
        }
    }

    /// Reads a unit as gauges, people and CSV headers write it.
    ///
    /// Case, spaces, dots and an `abs` suffix do not matter, except that
    /// nothing is guessed: an unknown word gives `None`, and gauge-relative
    /// words ("inHg vac", "psig") are unknown on purpose.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        let mut key: String = name
            .trim()
            .chars()
            .filter(|c| !matches!(c, ' ' | '.' | '_' | '-' | '(' | ')' | '[' | ']'))
            .flat_map(char::to_lowercase)
            .collect();
        for suffix in ["absolute", "abs"] {
            if let Some(stem) = key.strip_suffix(suffix) {
                key.truncate(stem.len());
            }
        }
        Some(match key.as_str() {
            "micron" | "microns" | "mic" | "micronhg" | "micronshg" | "um" | "µm" | "μm"
            | "umhg" | "µmhg" | "μmhg" | "µ" | "μ" | "mtorr" | "millitorr" => Self::Micron,
            "torr" | "mmhg" | "mmofmercury" => Self::Torr,
            "pa" | "pascal" | "pascals" => Self::Pascal,
            "kpa" | "kpaa" | "kilopascal" | "kilopascals" => Self::Kilopascal,
            "mbar" | "mbara" | "millibar" | "millibars" | "hpa" | "hectopascal" => Self::Millibar,
            "bar" | "bara" | "bars" => Self::Bar,
            "inhg" | "inhga" | "inchofmercury" | "inchesofmercury" => Self::InHg,
            "psi" | "psia" => Self::Psi,
            "atm" | "atmosphere" | "atmospheres" => Self::Atmosphere,
            _ => return None,
        })
    }
}

impl fmt::Display for PressureUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::PressureUnit;

    #[test]
    fn every_symbol_reads_back() {
        for unit in PressureUnit::ALL {
            assert_eq!(PressureUnit::from_name(unit.symbol()), Some(unit));
            let upper = unit.symbol().to_uppercase();
            assert_eq!(PressureUnit::from_name(&upper), Some(unit), "{upper}");
        }
    }

    #[test]
    fn reads_units_as_gauges_and_headers_write_them() {
        use PressureUnit::{Atmosphere, Bar, InHg, Kilopascal, Micron, Millibar, Psi, Torr};
        for (name, unit) in [
            ("microns", Micron),
            (" Microns ", Micron),
            ("µm Hg", Micron), // micro sign
            ("μmHg", Micron),  // Greek mu
            ("um", Micron),
            ("m Torr", Micron),
            ("MTORR", Micron),
            ("mm Hg", Torr),
            ("hPa", Millibar),
            ("mbar(a)", Millibar),
            ("bar abs.", Bar),
            ("kPa_abs", Kilopascal),
            ("inHg", InHg),
            ("in. Hg", InHg),
            ("[inHgA]", InHg),
            ("psia", Psi),
            ("psi absolute", Psi),
            ("Atmospheres", Atmosphere),
        ] {
            assert_eq!(PressureUnit::from_name(name), Some(unit), "{name:?}");
        }
    }

    #[test]
    fn refuses_gauge_relative_and_unknown_words() {
        for name in [
            "inHg vac",
            "inHg vacuum",
            "in vac",
            "inHgV",
            "inHg(g)",
            "inches",
            "in",
            "inches of vacuum",
            "psig",
            "psi g",
            "psid",
            "bar g",
            "barg",
            "mbarg",
            "kPag",
            "kPa(g)",
            "% vacuum",
            // MPa and mPa differ only in case, and case does not count here
            "MPa",
            "mPa",
            "",
            "abs",
            "a",
            "hg",
            "mm",
            "inH2O",
            "torrs of pain",
        ] {
            assert_eq!(PressureUnit::from_name(name), None, "{name:?}");
        }
    }
}
