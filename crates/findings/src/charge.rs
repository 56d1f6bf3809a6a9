//! What is said of a charge that was weighed in.

use vacuum::ChargingAct;

use crate::Estimate;

/// Where a charged mass comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargeBasis {
    /// From what a scale said.
    Weighed,
    /// A person typed it in; nothing here shows it.
    Typed,
}

impl ChargeBasis {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Typed => "typed",
        }
    }
}

/// How a weigh-in stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargePhase {
    /// It was said to begin, and the scale has not stood still yet.
    Settling,
    /// The cylinder was weighed; refrigerant may flow.
    Filling,
    /// It was said to end.
    Ended,
}

/// What was noticed in a weigh-in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ChargeNotice {
    /// The scale moved as no flow of refrigerant moves it: the cylinder was touched, or
    /// something was laid on it. Where it was not seen to come back, what left the cylinder
    /// is not known.
    Touched {
        /// When.
        at_s: f64,
        /// How far, g; above 0 upwards.
        by_g: f64,
        /// It was seen to come back, and nothing of it stayed.
        came_back: bool,
    },
    /// The scale was taken off or set to zero: what left the cylinder is not known.
    ZeroLost {
        /// When.
        at_s: f64,
        /// How far the scale fell, g.
        by_g: f64,
    },
    /// The scale was not heard, or reported a fault.
    NotHeard {
        /// From when.
        from_s: f64,
        /// Until when.
        to_s: f64,
    },
    /// The scale drifts while nothing is taken out.
    Drifts {
        /// g in a minute; above 0 upwards.
        g_per_min: f64,
    },
    /// More went in than the nameplate says, beyond the tolerance.
    TooMuch {
        /// By how much, g.
        by_g: f64,
    },
    /// Less went in than the nameplate says, beyond the tolerance.
    TooLittle {
        /// By how much, g.
        by_g: f64,
    },
    /// The scale did not stand still before the cylinder was opened.
    NotSettledBefore,
    /// The scale did not stand still at the end.
    NotSettledAfter,
    /// The weigh-in was begun without a hold that passed.
    NoHoldPassed,
}

impl ChargeNotice {
    /// The code in JSON.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Touched { .. } => "cylinder_touched",
            Self::ZeroLost { .. } => "scale_zero_lost",
            Self::NotHeard { .. } => "scale_not_heard",
            Self::Drifts { .. } => "scale_drifts",
            Self::TooMuch { .. } => "overshoot",
            Self::TooLittle { .. } => "short",
            Self::NotSettledBefore => "not_settled_before",
            Self::NotSettledAfter => "not_settled_after",
            Self::NoHoldPassed => "no_hold_passed",
        }
    }
}

/// What is said of a charge.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// Where the charged mass comes from.
    pub basis: ChargeBasis,
    /// How the weigh-in stands.
    pub phase: ChargePhase,
    /// When it began, s; `None` for a typed mass.
    pub begun_at_s: Option<f64>,
    /// When it ended, s.
    pub ended_at_s: Option<f64>,
    /// What the nameplate says, g.
    pub nameplate_g: Option<f64>,
    /// How far from it a charge may lie, g.
    pub tolerance_g: f64,
    /// What the hoses were reckoned to keep, g.
    pub left_in_hoses_g: Option<f64>,
    /// What left the cylinder, g; `None` when that is not known.
    pub left_cylinder_g: Option<Estimate>,
    /// What is in the system, g: what left the cylinder less what the hoses keep (nothing,
    /// where nobody said how much). A typed mass has no interval: all three are the same.
    pub charged_g: Option<Estimate>,
    /// What is still to leave the cylinder, g: below 0 when too much has. `None` without a
    /// nameplate charge, or before the cylinder was weighed.
    pub to_go_g: Option<f64>,
    /// The scale's smallest step, g, as far as it was seen.
    pub step_g: Option<f64>,
    /// What was done, in the order of time, s.
    pub acts: Vec<(f64, ChargingAct)>,
    /// What was noticed.
    pub notices: Vec<ChargeNotice>,
}
