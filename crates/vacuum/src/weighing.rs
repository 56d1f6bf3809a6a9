//! What a scale said at one moment: the mass, and whether it stood still.

use crate::{mass::LARGEST_CHARGE_G, mass_unit::MassUnit};

/// A mass as a scale shows it, from −1000 to 1000 kg. A scale that was set to zero with
/// something on it shows less than nothing once that is taken off, so it may be negative.
///
/// ```
/// # use vacuum::{Mass, MassUnit};
/// let shown = Mass::new(-2.0, MassUnit::Ounce).expect("a mass");
/// assert!((shown.g() + 56.699_046_25).abs() < 1e-9);
/// assert_eq!(Mass::new(f64::NAN, MassUnit::Gram), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Mass {
    g: f64,
}

impl Mass {
    /// A mass; `None` when it is not a number or beyond 1000 kg either way.
    #[must_use]
    pub fn new(value: f64, unit: MassUnit) -> Option<Self> {
        let g = value * unit.in_g();
        (g.abs() <= LARGEST_CHARGE_G).then_some(Self { g })
    }

    /// A mass in g; `None` as for [`Mass::new`].
    #[must_use]
    pub fn from_g(g: f64) -> Option<Self> {
        Self::new(g, MassUnit::Gram)
    }

    /// In g.
    #[must_use]
    pub const fn g(self) -> f64 {
        self.g
    }

    /// In this unit.
    #[must_use]
    pub fn get(self, unit: MassUnit) -> f64 {
        self.g / unit.in_g()
    }
}

/// Whether a scale says that its value stood still.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Steadiness {
    /// It says so.
    Stable,
    /// It says that the value is still moving.
    Moving,
    /// It does not say; the values themselves have to show it.
    Unsaid,
}

/// What a scale said at one moment. Only [`Weighed::Mass`] is a measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Weighed {
    /// A mass.
    Mass {
        /// As shown: what is on the scale, less the tare.
        mass: Mass,
        /// What the scale takes off, where it says so.
        tare: Option<Mass>,
        /// Whether it stood still.
        steadiness: Steadiness,
    },
    /// More than the scale can weigh.
    Over,
    /// Less than the scale can show.
    Under,
    /// The scale reports that it is not well.
    Fault,
    /// Nothing came: the scale was unplugged or silent until this moment.
    Gap,
}

/// What a scale said, with its time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// Seconds since the run started, on a clock that only goes forward.
    pub elapsed_s: f64,
    /// What it said.
    pub weighed: Weighed,
}

impl Weighing {
    /// A gap that ended at `elapsed_s`.
    #[must_use]
    pub const fn gap(elapsed_s: f64) -> Self {
        Self {
            elapsed_s,
            weighed: Weighed::Gap,
        }
    }

    /// What is on the scale, tare included where the scale says how much it takes off, g.
    /// `None` when it is no measurement.
    #[must_use]
    pub fn on_scale_g(&self) -> Option<f64> {
        match self.weighed {
            Weighed::Mass { mass, tare, .. } => Some(mass.g() + tare.map_or(0.0, Mass::g)),
            _ => None,
        }
    }

    /// The one-word state, as written in the record.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self.weighed {
            Weighed::Mass { steadiness, .. } => match steadiness {
                Steadiness::Stable => "stable",
                Steadiness::Moving => "moving",
                Steadiness::Unsaid => "ok",
            },
            Weighed::Over => "over",
            Weighed::Under => "under",
            Weighed::Fault => "fault",
            Weighed::Gap => "gap",
        }
    }

    /// The reverse of [`Weighing::word`]: what was said, with the masses beside the word.
    /// `None` when the word is not known, or a word of a measurement stands without a mass.
    #[must_use]
    pub fn from_word(word: &str, mass: Option<Mass>, tare: Option<Mass>) -> Option<Weighed> {
        let measured = |steadiness| {
            mass.map(|mass| Weighed::Mass {
                mass,
                tare,
                steadiness,
            })
        };
        match word.trim().to_ascii_lowercase().as_str() {
            "stable" => measured(Steadiness::Stable),
            "moving" => measured(Steadiness::Moving),
            "ok" => measured(Steadiness::Unsaid),
            "over" => Some(Weighed::Over),
            "under" => Some(Weighed::Under),
            "fault" => Some(Weighed::Fault),
            "gap" => Some(Weighed::Gap),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_those_of_the_tables() {
        // NIST SP 811 (2008) B.8
        for (unit, g) in [
            (MassUnit::Gram, 1.0),
            (MassUnit::Kilogram, 1000.0),
            (MassUnit::Ounce, 28.349_523_125),
            (MassUnit::Pound, 453.592_37),
        ] {
            assert_eq!(unit.in_g(), g);
            assert_eq!(MassUnit::read(unit.symbol()), Some(unit));
            assert_eq!(MassUnit::read(&unit.to_string().to_uppercase()), Some(unit));
        }
        for word in ["", "t", "gal", "fl oz", "mg", "kgf"] {
            assert_eq!(MassUnit::read(word), None, "{word:?}");
        }
    }

    #[test]
    fn every_word_is_read_back_and_no_mass_is_made_up() {
        let mass = Mass::from_g(812.4);
        let tare = Mass::from_g(-3.0);
        for word in ["stable", "moving", "ok", "over", "under", "fault", "gap"] {
            let weighed = Weighing::from_word(word, mass, tare).expect("a word");
            let weighing = Weighing {
                elapsed_s: 1.0,
                weighed,
            };
            assert_eq!(weighing.word(), word);
            let is_mass = matches!(word, "stable" | "moving" | "ok");
            assert_eq!(weighing.on_scale_g().is_some(), is_mass, "{word}");
            assert_eq!(Weighing::from_word(word, None, None).is_none(), is_mass);
        }
        assert_eq!(Weighing::from_word("quiet", mass, None), None);
    }

    #[test]
    fn what_is_on_the_scale_does_not_change_when_it_is_tared() {
        let before = Weighing {
            elapsed_s: 0.0,
            weighed: Weighed::Mass {
                mass: Mass::from_g(1200.0).expect("a mass"),
                tare: Mass::from_g(0.0),
                steadiness: Steadiness::Stable,
            },
        };
        let after = Weighing {
            elapsed_s: 1.0,
            weighed: Weighed::Mass {
                mass: Mass::from_g(0.0).expect("a mass"),
                tare: Mass::from_g(1200.0),
                steadiness: Steadiness::Stable,
            },
        };
        assert_eq!(before.on_scale_g(), after.on_scale_g());
    }
}
