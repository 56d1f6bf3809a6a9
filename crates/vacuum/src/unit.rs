use std::fmt;

/// A unit of *absolute* pressure.
///
/// Factors: NIST SP 811 (2008) appendix B.8 gives 3.386 389 E+03 Pa for the
/// conventional inch of mercury and 6.894 757 E+03 Pa for the psi; the psi is used
/// with all digits of its definition, 0.453 592 37 kg · 9.806 65 m/s² per (25.4 mm)².
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
    /// megapascal.
    Megapascal,
    /// conventional inch of mercury, absolute.
    InHg,
    /// pound-force per square inch, absolute.
    Psi,
    /// standard atmosphere.
    Atmosphere,
}

impl PressureUnit {
    /// Every unit, in the order they are listed to a person.
    pub const ALL: [Self; 10] = [
        Self::Micron,
        Self::Torr,
        Self::Pascal,
        Self::Kilopascal,
        Self::Millibar,
        Self::Bar,
        Self::Megapascal,
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
            Self::Megapascal => 1e6,
            Self::InHg => 3_386.389,
            Self::Psi => 6_894.757_293_168_361,
            Self::Atmosphere => 101_325.0,
        }
    }

    /// Every unit as it may be written where a unit is asked for.
    pub const LISTED: &str =
        "micron, Torr, Pa, kPa, MPa, mbar, \"bar abs\", \"inHg abs\", psia or atm";

    /// The symbol printed behind a number. The inch of mercury, the psi and the bar
    /// say "absolute", since on most dials they are not.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Micron => "micron",
            Self::Torr => "Torr",
            Self::Pascal => "Pa",
            Self::Kilopascal => "kPa",
            Self::Millibar => "mbar",
            Self::Bar => "bar abs",
            Self::Megapascal => "MPa",
            Self::InHg => "inHg abs",
            Self::Psi => "psia",
            Self::Atmosphere => "atm",
        }
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
            // a thousandth and a million differ only in case
            if unit != PressureUnit::Megapascal {
                let upper = unit.symbol().to_uppercase();
                assert_eq!(PressureUnit::from_name(&upper), Some(unit), "{upper}");
            }
        }
    }

    #[test]
    fn a_unit_to_print_in_may_be_short() {
        for (name, unit) in [
            ("inhg", Some(PressureUnit::InHg)),
            ("bar", Some(PressureUnit::Bar)),
            ("psia", Some(PressureUnit::Psi)),
            ("inHg vac", None),
            ("psig", None),
            ("in", None),
            ("furlong", None),
        ] {
            assert_eq!(PressureUnit::for_printing(name), unit, "{name}");
        }
    }
}
