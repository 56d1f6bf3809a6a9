//! Pressure tests as guides ask for them: how long, and where that stands.

/// How a guide asks for a pressure test. None of them says a loss in numbers that depends on
/// the system: what is allowed comes from the job, or is that of a sealed system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestProfile {
    /// Its name in options and files.
    pub name: &'static str,
    /// Shortest time from shutting the supply to the end, min.
    pub hold_min: f64,
    /// Where it stands, and what else it asks for.
    pub source: &'static str,
}

/// Every profile.
const ALL: [TestProfile; 5] = [
    TestProfile {
        name: "manual 15 min",
        hold_min: 15.0,
        source: "technicians' manual of the United Nations Environment Programme: at least 15 min \
                 of nitrogen before the vacuum; quoted second-hand",
    },
    TestProfile {
        name: "checklist 10 min",
        hold_min: 10.0,
        source: "checklist of a building code: 10 min; quoted second-hand",
    },
    TestProfile {
        name: "journal one hour",
        hold_min: 60.0,
        source: "ASHRAE Journal, January 2021: about an hour, with bubbles",
    },
    TestProfile {
        name: "facilities 24 hours",
        hold_min: 24.0 * 60.0,
        source: "Unified Facilities Guide Specifications: bubbles at 10 psi gauge, then full \
                 pressure for 24 h, and no loss once the temperature is corrected for; none is \
                 read here as none beyond what is allowed",
    },
    TestProfile {
        name: "facilities flat correction",
        hold_min: 24.0 * 60.0,
        source: "Unified Facilities Guide Specifications, whose flat 0.3 psi per °F is right only \
                 near 158 psia: corrected here by the real gas instead",
    },
];

impl TestProfile {
    /// Every profile, the shortest names of what the trade asks for.
    #[must_use]
    pub fn all() -> &'static [Self] {
        &ALL
    }

    /// Finds a profile; case does not count.
    ///
    /// ```
    /// use vacuum::TestProfile;
    /// assert_eq!(TestProfile::named("Journal one hour").map(|p| p.hold_min), Some(60.0));
    /// assert_eq!(TestProfile::named("flat"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        ALL.iter()
            .find(|p| p.name.eq_ignore_ascii_case(name.trim()))
    }

    /// The names, as a list in a sentence.
    #[must_use]
    pub fn names() -> String {
        ALL.map(|p| p.name).join(", ")
    }
}
