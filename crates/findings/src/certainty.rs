//! How sure an answer is, and what a pass is worth.

use super::rise::{Rise, RiseKind};

/// From this confidence on a cause is stated; below it is a tendency. A promise: of all
/// causes stated, at least 95 in 100 are right.
const STATED: f64 = 0.9;
/// From this confidence on "more than 95 in 100" is said.
const NEARLY_SURE: f64 = 0.95;

/// How a cause is to be said. Confidence is never said with more digits than this, and
/// never as certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Certainty {
    /// As a fact, with its odds.
    Stated(Odds),
    /// As what it looks like, without a figure.
    Tendency,
    /// Not at all: the cause is not clear.
    Unclear,
}

/// How often such a statement is right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Odds {
    /// In more than 90 of 100 cases.
    Over90,
    /// In more than 95 of 100 cases; no more than that is ever claimed.
    Over95,
}

impl Odds {
    /// The odds of a probability of 0.9 or more; `None` below, and for what is not known.
    ///
    /// ```
    /// use findings::Odds;
    ///
    /// assert_eq!(Odds::of(0.97), Some(Odds::Over95));
    /// assert_eq!(Odds::of(0.8), None);
    /// ```
    #[must_use]
    pub fn of(probability: f64) -> Option<Self> {
        match probability {
            p if p >= NEARLY_SURE => Some(Self::Over95),
            p if p >= STATED => Some(Self::Over90),
            _ => None,
        }
    }

    /// Of so many hundred cases more than this many are as said.
    #[must_use]
    pub const fn of_100(self) -> u8 {
        match self {
            Self::Over90 => 90,
            Self::Over95 => 95,
        }
    }
}

impl Rise {
    /// How the cause of this rise is to be said, by every view.
    #[must_use]
    pub fn certainty(&self) -> Certainty {
        if self.kind == RiseKind::Unclear {
            return Certainty::Unclear;
        }
        let odds = self.confidence.and_then(Odds::of);
        odds.map_or(Certainty::Tendency, Certainty::Stated)
    }
}

/// What a pass is worth beyond the rule that it meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PassWorth {
    /// The cause of the rise is stated, and it is no leak.
    Plain,
    /// The cause looks harmless, but that is not certain.
    CauseNotCertain,
    /// Nobody can tell what the rise comes from.
    CauseUnknown,
    /// The rule is met, and a leak is indicated all the same.
    WithLeak(LeakIndicated),
}

/// The size of a leak that is indicated in a hold that passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakIndicated {
    /// Least and most that it adds to the pressure, micron/min (95 % interval, not below
    /// zero); `None` where no size is known.
    pub micron_per_min: Option<(f64, f64)>,
    /// Least and most that the charged system may lose through it, g a year, standing at
    /// 20 °C, over both flow laws; with volume and refrigerant only.
    pub g_per_year: Option<(f64, f64)>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_can_be_promised_is_stated_and_never_as_certain() {
        for (confidence, odds) in [
            (0.0, None),
            (0.899, None),
            (0.9, Some(Odds::Over90)),
            (0.949, Some(Odds::Over90)),
            (0.95, Some(Odds::Over95)),
            (0.9996, Some(Odds::Over95)),
            (1.0, Some(Odds::Over95)),
            (f64::NAN, None),
        ] {
            assert_eq!(Odds::of(confidence), odds, "{confidence}");
        }
    }
}
