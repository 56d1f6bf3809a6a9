//! Units of mass.

use std::fmt;

/// Grams in one avoirdupois pound, exact (the pound of 1959: 0.453 592 37 kg;
/// NIST SP 811 (2008) appendix B.8).
pub const G_PER_LB: f64 = 453.592_37;

/// Grams in one avoirdupois ounce, exact: a sixteenth of the pound.
pub const G_PER_OZ: f64 = G_PER_LB / 16.0;

/// A unit in which scales and people write a mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MassUnit {
    /// g.
    Gram,
    /// kg.
    Kilogram,
    /// Avoirdupois ounce.
    Ounce,
    /// Avoirdupois pound.
    Pound,
}

impl MassUnit {
    /// Every unit.
    pub const ALL: [Self; 4] = [Self::Gram, Self::Kilogram, Self::Ounce, Self::Pound];

    /// Grams in one. Ounce and pound: NIST SP 811 (2008) appendix B.8.
    #[must_use]
    pub const fn in_g(self) -> f64 {
        match self {
            Self::Gram => 1.0,
            Self::Kilogram => 1e3,
            Self::Ounce => G_PER_OZ,
            Self::Pound => G_PER_LB,
        }
    }

    /// How it is written: `g`, `kg`, `oz`, `lb`.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
        }
    }

    /// Reads a unit as scales and people write it; `None` when it is no unit of mass known
    /// here. Case and a full stop behind it do not count.
    ///
    /// ```
    /// # use vacuum::MassUnit;
    /// assert_eq!(MassUnit::read(" KG "), Some(MassUnit::Kilogram));
    /// assert_eq!(MassUnit::read("lbs"), Some(MassUnit::Pound));
    /// assert_eq!(MassUnit::read("fl oz"), None);
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        match text.trim().trim_end_matches('.').to_lowercase().as_str() {
            "g" | "gr" | "gram" | "grams" => Some(Self::Gram),
            "kg" | "kilogram" | "kilograms" => Some(Self::Kilogram),
            "oz" | "ounce" | "ounces" => Some(Self::Ounce),
            "lb" | "lbs" | "pound" | "pounds" => Some(Self::Pound),
            _ => None,
        }
    }
}

impl fmt::Display for MassUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}
