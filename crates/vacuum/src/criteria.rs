use std::fmt;

/// What a run is judged against.
///
/// A profile, never "the" rule: the common 500 micron / 10 minute practice is
/// nobody's standard, and published texts ask for other numbers. The maker's
/// instructions and local codes decide.
#[derive(Debug, Clone, PartialEq)]
pub struct Criteria {
    /// Short name of the profile.
    pub name: String,
    /// Where the numbers come from.
    pub source: String,
    /// Pull-down target, micron, above 0.
    pub target_micron: f64,
    /// Shortest hold that counts, minutes, above 0.
    pub hold_min: f64,
    /// Pressure that the hold must not exceed, micron; at least the target.
    pub ceiling_micron: f64,
}

/// Why three numbers are not criteria.
#[derive(Debug, Clone, PartialEq)]
pub struct CriteriaError {
    what: &'static str,
    value: f64,
    wanted: &'static str,
}

impl fmt::Display for CriteriaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} of {} cannot be judged against: {}",
            self.what, self.value, self.wanted
        )
    }
}

impl std::error::Error for CriteriaError {}

impl Criteria {
    /// True where a system may pass that common practice (500 micron, 10 minutes)
    /// would not pass: a higher target or ceiling, or a shorter hold.
    #[must_use]
    pub fn is_softer_than_common_practice(&self) -> bool {
        let common = Self::common_practice();
        self.target_micron > common.target_micron
            || self.ceiling_micron > common.ceiling_micron
            || self.hold_min < common.hold_min
    }

    /// 500 micron, 10 minutes, 500 micron. Common practice, no source.
    #[must_use]
    pub fn common_practice() -> Self {
        Self {
            name: "common practice".into(),
            source: "common practice, no published source".into(),
            target_micron: 500.0,
            hold_min: 10.0,
            ceiling_micron: 500.0,
        }
    }

    /// Pull to 300 micron, stand one hour, not above 500 micron.
    ///
    /// Source: Unified Facilities Guide Specification section 15182, §3.3.3
    /// "Evacuation Test" (USACE/NAVFAC/AFCEC/NASA).
    #[must_use]
    pub fn facilities_one_hour() -> Self {
        Self {
            name: "facilities one hour".into(),
            source: "UFGS 15182 §3.3.3".into(),
            target_micron: 300.0,
            hold_min: 60.0,
            ceiling_micron: 500.0,
        }
    }

    /// 500 micron held for 30 minutes.
    ///
    /// Source: US Army TM 10-8145-222-23, WP 0014 (written for the hose set-up).
    #[must_use]
    pub fn half_hour() -> Self {
        Self {
            name: "half hour".into(),
            source: "TM 10-8145-222-23 WP 0014".into(),
            target_micron: 500.0,
            hold_min: 30.0,
            ceiling_micron: 500.0,
        }
    }

    /// The profiles that ship, common practice first.
    #[must_use]
    pub fn profiles() -> Vec<Self> {
        vec![
            Self::common_practice(),
            Self::facilities_one_hour(),
            Self::half_hour(),
        ]
    }

    /// Checks the numbers.
    ///
    /// # Errors
    /// When a number is not finite and positive, or the ceiling lies below the
    /// target (a system that just reached the target would fail at once).
    pub fn checked(self) -> Result<Self, CriteriaError> {
        let positive = [
            ("a target (micron)", self.target_micron),
            ("a hold time (minutes)", self.hold_min),
            ("a ceiling (micron)", self.ceiling_micron),
        ];
        for (what, value) in positive {
            if !(value.is_finite() && value > 0.0) {
                return Err(CriteriaError {
                    what,
                    value,
                    wanted: "it must be above zero",
                });
            }
        }
        if self.ceiling_micron < self.target_micron {
            return Err(CriteriaError {
                what: "a ceiling (micron)",
                value: self.ceiling_micron,
                wanted: "it must not lie below the target",
            });
        }
        Ok(self)
    }
}

impl Default for Criteria {
    fn default() -> Self {
        Self::common_practice()
    }
}

#[cfg(test)]
mod tests {
    use super::Criteria;

    fn with(target_micron: f64, hold_min: f64, ceiling_micron: f64) -> Criteria {
        Criteria {
            target_micron,
            hold_min,
            ceiling_micron,
            ..Criteria::common_practice()
        }
    }

    #[test]
    fn every_profile_that_ships_is_sound_and_says_where_it_comes_from() {
        for profile in Criteria::profiles() {
            assert!(!profile.source.is_empty(), "{}", profile.name);
            assert!(profile.clone().checked().is_ok(), "{}", profile.name);
        }
    }

    #[test]
    fn a_ceiling_may_equal_the_target() {
        assert!(with(500.0, 10.0, 500.0).checked().is_ok());
        assert!(with(300.0, 60.0, 500.0).checked().is_ok());
    }

    #[test]
    fn refuses_numbers_that_cannot_judge() {
        for (criteria, part) in [
            (with(0.0, 10.0, 500.0), "a target (micron) of 0"),
            (with(-1.0, 10.0, 500.0), "a target (micron) of -1"),
            (with(f64::NAN, 10.0, 500.0), "a target (micron) of NaN"),
            (with(500.0, 0.0, 500.0), "a hold time (minutes) of 0"),
            (
                with(500.0, f64::INFINITY, 500.0),
                "a hold time (minutes) of inf",
            ),
            (with(500.0, 10.0, f64::NAN), "a ceiling (micron) of NaN"),
            (with(500.0, 10.0, 499.9), "a ceiling (micron) of 499.9"),
        ] {
            let message = criteria.checked().expect_err(part).to_string();
            assert!(message.starts_with(part), "{message}");
        }
    }
}
