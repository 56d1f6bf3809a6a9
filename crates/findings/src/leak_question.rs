//! Was it a leak or a short charge: what a hold says of what was found before.

/// What a hold says of refrigerant that was found missing before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakOrShortCharge {
    /// Missing, g.
    pub missing_g: f64,
    /// Since it was charged, months.
    pub months: f64,
    /// Rise of the hold that such a leak makes, least and most over both laws of flow,
    /// micron/min.
    pub needs_micron_per_min: (f64, f64),
    /// The answer.
    pub answer: LeakAnswer,
}

/// The answer of a hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LeakAnswer {
    /// Such a leak would have been seen.
    RuledOut {
        /// The largest that may still be there, micron/min.
        at_most_micron_per_min: f64,
    },
    /// There is a leak, and it explains what is missing.
    Explains {
        /// Its 95 % interval, micron/min.
        low_micron_per_min: f64,
        /// Its upper end.
        high_micron_per_min: f64,
    },
    /// There is a leak, and it is too small to explain it.
    TooSmall {
        /// Upper end of its 95 % interval, micron/min.
        high_micron_per_min: f64,
    },
    /// The hold cannot say.
    NotSettled {
        /// The smallest leak that it could have shown, micron/min.
        limit_micron_per_min: Option<f64>,
        /// About how long a hold could, min.
        hold_min: Option<f64>,
    },
}
