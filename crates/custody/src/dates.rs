//! Dates and lengths of time as the lines about seals print them.

use chrono::{DateTime, TimeDelta, Utc};

/// A length of time in the unit that suits it.
pub fn span(length: TimeDelta) -> String {
    match length.num_seconds() {
        s @ ..120 => format!("{s} s"),
        s @ ..7_200 => format!("{} min", s / 60),
        s @ ..172_800 => format!("{} h", s / 3_600),
        s => format!("{} days", s / 86_400),
    }
}

/// Date and time as they are printed.
pub fn stamp(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%d %H:%M:%S UTC").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_has_the_unit_that_suits_it() {
        let of = |s| span(TimeDelta::seconds(s));
        assert_eq!(of(0), "0 s");
        assert_eq!(of(119), "119 s");
        assert_eq!(of(120), "2 min");
        assert_eq!(of(7_200), "2 h");
        assert_eq!(of(200_000), "2 days");
    }
}
