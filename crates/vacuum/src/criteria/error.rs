//! Why numbers cannot be judged against.

use std::fmt;

/// Why numbers are not criteria.
#[derive(Debug, Clone, PartialEq)]
pub struct CriteriaError {
    pub(super) what: &'static str,
    pub(super) value: f64,
    pub(super) wanted: &'static str,
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

/// Refuses a number that is not above zero.
pub(super) fn above_zero(what: &'static str, value: f64) -> Result<(), CriteriaError> {
    let wanted = "it must be above zero";
    match value.is_finite() && value > 0.0 {
        true => Ok(()),
        false => Err(CriteriaError {
            what,
            value,
            wanted,
        }),
    }
}
