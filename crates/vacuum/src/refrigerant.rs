//! Refrigerants by their ISO 817 / ASHRAE 34 designation.

mod cold;
mod row;
mod table;

pub use cold::COLD_LOW_SIDE_C;
pub use row::{GroupSource, Refrigerant, VapourAt20C};
pub use table::REFRIGERANTS;

use crate::gas::Gas;

/// Single substances by the names that people use, in English, German, French and Spanish
/// (ISO 817:2014 table 5 has the English ones; the others from memory). No blanks and no
/// joining signs, small letters.
const NAMES: [(&str, &str); 9] = [
    ("R-600a", "isobutane isobutan isobutano methylpropane"),
    ("R-600", "butane nbutane butan nbutan butano"),
    ("R-290", "propane propan propano"),
    (
        "R-1270",
        "propene propylene propen propylen propène propylène propeno propileno",
    ),
    ("R-717", "ammonia ammoniak ammoniac amoniaco amoníaco nh3"),
    (
        "R-744",
        "carbondioxide kohlendioxid kohlenstoffdioxid dioxydedecarbone gazcarbonique \
         dióxidodecarbono dioxidodecarbono co2 co₂",
    ),
    ("R-170", "ethane ethan éthane etano"),
    (
        "R-1150",
        "ethylene ethene ethylen ethen éthylène etileno eteno",
    ),
    ("R-E170", "dimethylether"),
];

/// A designation down to what tells it from another: "R-600a" is "600a".
fn plain(text: &str) -> String {
    let text: String = text
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|c| c.to_ascii_lowercase())
        .collect();
    text.strip_prefix('r').map(str::to_owned).unwrap_or(text)
}

impl Refrigerant {
    /// Finds a refrigerant however it is typed: "R600a", "r-600A", "600a", and by the names
    /// of single substances in four languages: "isobutane", "Propan".
    #[must_use]
    pub fn named(text: &str) -> Option<&'static Self> {
        let by_name = NAMES.iter().find(|(_, names)| {
            let text = text.trim().to_lowercase();
            names
                .split(' ')
                .any(|name| name == text.replace([' ', '-'], ""))
        });
        let wanted = plain(by_name.map_or(text, |(designation, _)| designation));
        REFRIGERANTS.iter().find(|r| plain(r.designation) == wanted)
    }

    /// Designations that `text` may have been meant for, the likeliest first, at
    /// most four; for a question, never for an answer. Empty when nothing is near.
    ///
    /// Near is: the beginning of a designation ("R-404" of R-404A), or one typing
    /// error away from it (optimal string alignment distance 1).
    #[must_use]
    pub fn near(text: &str) -> Vec<&'static Self> {
        let wanted = plain(text);
        if wanted.len() < 2 {
            return Vec::new();
        }
        let mut near: Vec<(u8, &'static Self)> = REFRIGERANTS
            .iter()
            .filter_map(|row| {
                let name = plain(row.designation);
                if wanted.len() > 2 && name.starts_with(&wanted) {
                    return Some((0, row));
                }
                // an error at the end is rarer than one in the middle
                let end = name.chars().last() == wanted.chars().last();
                let errors = strsim::osa_distance(&name, &wanted);
                (errors <= 1).then_some((if end { 1 } else { 2 }, row))
            })
            .collect();
        near.sort_by_key(|(rank, _)| *rank);
        near.into_iter().map(|(_, row)| row).take(4).collect()
    }

    /// True when the safety group says that it is of higher toxicity (B groups).
    #[must_use]
    pub fn is_toxic(&self) -> bool {
        self.safety_group.starts_with('B')
    }

    /// True when the safety group says it burns (any group but A1 and B1).
    #[must_use]
    pub fn is_flammable(&self) -> bool {
        !self.safety_group.ends_with('1')
    }

    /// The vapour as a flowing gas at 20 °C, where its viscosity is known.
    #[must_use]
    pub fn gas(&self) -> Option<Gas> {
        self.at_20_c.map(|vapour| Gas {
            molar_mass_g_per_mol: self.molar_mass_g_per_mol,
            viscosity_pa_s: vapour.viscosity_pa_s,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{REFRIGERANTS, Refrigerant};

    #[test]
    fn is_found_however_it_is_typed() {
        for typed in ["R-600a", "R600a", "r600A", " R 600a ", "600a", "R_600a"] {
            let found = Refrigerant::named(typed).map(|r| r.designation);
            assert_eq!(found, Some("R-600a"), "{typed:?}");
        }
    }

    #[test]
    fn single_substances_are_found_by_name() {
        for (typed, designation) in [
            ("isobutane", "R-600a"),
            ("Iso-Butan", "R-600a"),
            ("isobutano", "R-600a"),
            ("butane", "R-600"),
            ("Propane", "R-290"),
            ("propylene", "R-1270"),
            ("Ammoniak", "R-717"),
            ("CO2", "R-744"),
            ("carbon dioxide", "R-744"),
            ("gaz carbonique", "R-744"),
        ] {
            let found = Refrigerant::named(typed).map(|r| r.designation);
            assert_eq!(found, Some(designation), "{typed}");
        }
        for (designation, names) in super::NAMES {
            for name in names.split(' ') {
                let found = Refrigerant::named(name).map(|r| r.designation);
                let known = REFRIGERANTS.iter().any(|r| r.designation == designation);
                assert_eq!(found, known.then_some(designation), "{name}");
            }
        }
    }

    #[test]
    fn every_designation_finds_its_own_row() {
        for row in &REFRIGERANTS {
            assert_eq!(Refrigerant::named(row.designation), Some(row));
        }
    }

    #[test]
    fn nothing_is_guessed() {
        for typed in [
            "", "R", "R-", "R-60a", "134", "R-600aa", "water", "R-134a/b", "R-1234ze",
        ] {
            assert_eq!(Refrigerant::named(typed), None, "{typed:?}");
        }
        // butane and isobutane are different gases
        assert_ne!(Refrigerant::named("R-600"), Refrigerant::named("R-600a"));
    }

    #[test]
    fn a_typing_error_has_its_question() {
        let near = |typed| -> Vec<&str> {
            let rows = Refrigerant::near(typed).into_iter();
            rows.map(|r| r.designation).collect()
        };
        for (typed, expected) in [
            ("R-60a", &["R-600a", "R-601a", "R-600", "R-601"][..]),
            ("R-600aa", &["R-600a"]),
            ("R-6O0a", &["R-600a"]),
            ("R-134", &["R-134a", "R-14", "R-114", "R-124"]),
            ("R-404", &["R-404A", "R-40"]),
            ("R-1234", &["R-1234yf", "R-1234ze(E)", "R-124", "R-123"]),
            ("R-407", &["R-407A", "R-407C", "R-407F", "R-407H"]),
            ("R-209", &["R-290"]),
            ("water", &[]),
            ("R", &[]),
            ("", &[]),
        ] {
            assert_eq!(near(typed), expected, "{typed:?}");
        }
        let long = "9".repeat(100_000);
        assert!(Refrigerant::near(&long).is_empty());
    }

    #[test]
    fn says_which_burn() {
        let burns = |name| Refrigerant::named(name).map(Refrigerant::is_flammable);
        assert_eq!(burns("R-600a"), Some(true));
        assert_eq!(burns("R-290"), Some(true));
        assert_eq!(burns("R-1234yf"), Some(true));
        assert_eq!(burns("R-134a"), Some(false));
        assert_eq!(burns("R-744"), Some(false));
        assert_eq!(burns("R-717"), Some(true));
    }

    #[test]
    fn says_which_are_toxic() {
        let toxic = |name| Refrigerant::named(name).map(Refrigerant::is_toxic);
        assert_eq!(toxic("R-717"), Some(true));
        assert_eq!(toxic("R-123"), Some(true));
        assert_eq!(toxic("R-290"), Some(false));
    }
}
