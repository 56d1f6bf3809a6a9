mod error;
mod further;
mod profiles;

pub use error::CriteriaError;
pub use further::{FurtherCriteria, RoundCriteria, Steady};

use error::above_zero;

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
    /// What is asked for besides; nothing in most profiles.
    pub further: FurtherCriteria,
}

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

    /// Checks the numbers.
    ///
    /// # Errors
    /// When a number is not finite and positive, when the ceiling lies below the target (a
    /// system that just reached the target would fail at once), or when what is asked for
    /// besides cannot be judged ([`FurtherCriteria`] has the ranges).
    pub fn checked(self) -> Result<Self, CriteriaError> {
        let positive = [
            ("a target (micron)", self.target_micron),
            ("a hold time (minutes)", self.hold_min),
            ("a ceiling (micron)", self.ceiling_micron),
        ];
        for (what, value) in positive {
            above_zero(what, value)?;
        }
        if self.ceiling_micron < self.target_micron {
            return Err(CriteriaError {
                what: "a ceiling (micron)",
                value: self.ceiling_micron,
                wanted: "it must not lie below the target",
            });
        }
        self.further.check(self.hold_min, self.ceiling_micron)?;
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
