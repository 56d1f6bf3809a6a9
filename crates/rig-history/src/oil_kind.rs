//! Which oil is in a system, and whether what is left of it in hoses does harm in the next.

/// Kind of a refrigeration oil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OilKind {
    /// Mineral oil.
    Mineral,
    /// Alkylbenzene.
    Alkylbenzene,
    /// Polyol ester: takes up water from the air, and does not mix with mineral oil well.
    Ester,
    /// Polyvinyl ether.
    Ether,
    /// Polyalkylene glycol.
    Glycol,
}

impl OilKind {
    /// Reads what people type: names and letters of the trade.
    ///
    /// ```
    /// use rig_history::OilKind;
    ///
    /// assert_eq!(OilKind::from_text("POE 22"), Some(OilKind::Ester));
    /// assert_eq!(OilKind::from_text("mineral, ISO VG 32"), Some(OilKind::Mineral));
    /// assert_eq!(OilKind::from_text("the usual"), None);
    /// ```
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        let words: Vec<&str> = text
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .collect();
        let begins = |forms: &[&str]| words.iter().any(|w| forms.iter().any(|f| w.starts_with(f)));
        let is = |forms: &[&str]| words.iter().any(|w| forms.contains(w));
        if begins(&["poe"]) || begins(&["ester", "polyolester"]) {
            Some(Self::Ester)
        } else if begins(&["pve", "polyvinyl"]) {
            Some(Self::Ether)
        } else if begins(&["pag", "polyalkyl", "glycol"]) {
            Some(Self::Glycol)
        } else if begins(&["alkylbenz"]) || is(&["ab"]) {
            Some(Self::Alkylbenzene)
        } else if begins(&["mineral", "miner"]) || is(&["mo"]) {
            Some(Self::Mineral)
        } else {
            None
        }
    }

    /// A word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mineral => "mineral",
            Self::Alkylbenzene => "alkylbenzene",
            Self::Ester => "ester",
            Self::Ether => "ether",
            Self::Glycol => "glycol",
        }
    }
}

/// Whether residue of one oil, carried in hoses and pump, is to be kept out of a system with
/// the other: different kinds, but for mineral oil and alkylbenzene, which mix (common
/// practice, no source).
#[must_use]
pub fn carried_over(last: OilKind, next: OilKind) -> bool {
    let mixes = |kind| matches!(kind, OilKind::Mineral | OilKind::Alkylbenzene);
    last != next && !(mixes(last) && mixes(next))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mineral_and_ester_are_kept_apart_both_ways() {
        use OilKind::{Alkylbenzene, Ester, Mineral};
        assert!(carried_over(Mineral, Ester) && carried_over(Ester, Mineral));
        assert!(!carried_over(Ester, Ester) && !carried_over(Mineral, Alkylbenzene));
    }

    #[test]
    fn words_of_the_trade_are_read() {
        for (text, kind) in [
            ("polyolester", Some(OilKind::Ester)),
            ("Esteröl", Some(OilKind::Ester)),
            ("PAG 46", Some(OilKind::Glycol)),
            ("PVE", Some(OilKind::Ether)),
            ("AB 150", Some(OilKind::Alkylbenzene)),
            ("Mineralöl", Some(OilKind::Mineral)),
            ("", None),
        ] {
            assert_eq!(OilKind::from_text(text), kind, "{text}");
        }
    }
}
