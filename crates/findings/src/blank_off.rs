//! What is said of a blank-off test: pump, hoses and gauge against a plug or a shut valve.

use vacuum::Criteria;

use crate::{DataSummary, Estimate, Hold, Verdict};

/// Everything that is said of a blank-off test.
#[derive(Debug, Clone, PartialEq)]
pub struct BlankOffFindings {
    /// The answer.
    pub verdict: Verdict,
    /// Why it is not a pass, the gravest first; empty for a pass.
    pub reasons: Vec<BlankOffReason>,
    /// What was asked: the target is the highest floor that is allowed, hold and ceiling are
    /// those of the isolated rig.
    pub criteria: Criteria,
    /// Highest mean rise that is allowed after isolation, micron/min, above 0; `None` where
    /// nobody asks for one.
    pub allowed_rise_micron_per_min: Option<f64>,
    /// What the pump reached; `None` where no pull-down is in the record.
    pub floor: Option<RigFloor>,
    /// What the rig did when the pump was valved off; `None` where it was not.
    pub rise: Option<RigRise>,
    /// What was tested.
    pub rig: RigNames,
    /// What the tests before this one were like; `None` where none is known.
    pub history: Option<RigHistory>,
    /// What was noticed beside the verdict, in the order of time.
    pub notices: Vec<BlankOffNotice>,
    /// What went in.
    pub data: DataSummary,
}

/// Names of what was tested, as the job has them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RigNames {
    /// The hose set.
    pub rig: Option<String>,
    /// The pump.
    pub pump: Option<String>,
    /// Hours that the pump has run on this oil, by its records, 0 or more.
    pub oil_hours: Option<f64>,
}

/// The pressure that pump and hoses reach by themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigFloor {
    /// What the gauge would show after another 20 minutes of pumping, micron, with its 95 %
    /// interval; each 0 or more. How far the gauge is off is not in it.
    pub micron: Estimate,
    /// True where the gauge shows nothing below a bound: the floor lies somewhere between 0
    /// and it, and `micron.value` is the bound.
    pub is_bound: bool,
    /// Mean pressure at the end of the pull-down, micron.
    pub end_micron: f64,
    /// When the pressure came within 5 %, or half a step of the gauge, of the floor, s of the
    /// record; `None` where it did not.
    pub reached_s: Option<f64>,
    /// How much longer to pump to get there, min; `None` where it was reached, or where eight
    /// hours would not do.
    pub pump_longer_min: Option<f64>,
    /// When pumping began and ended, s of the record.
    pub pumped_s: (f64, f64),
}

/// What the isolated rig did.
#[derive(Debug, Clone, PartialEq)]
pub struct RigRise {
    /// Mean rise from the end of equalisation on, micron/min, with its 95 % interval.
    pub micron_per_min: Option<Estimate>,
    /// The hold, with the cause of the rise.
    pub hold: Hold,
}

/// What earlier blank-off tests of the same rig were like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigHistory {
    /// Earlier tests whose floor is known.
    pub runs: usize,
    /// Median of their floors, micron; `None` for no test.
    pub median_floor_micron: Option<f64>,
    /// A floor above this is out of line with them, micron; `None` for fewer than three.
    pub highest_usual_floor_micron: Option<f64>,
    /// Median of their rises, micron/min; `None` where none is known.
    pub median_rise_micron_per_min: Option<f64>,
    /// A rise above this is out of line with them, micron/min; `None` for fewer than three.
    pub highest_usual_rise_micron_per_min: Option<f64>,
    /// How the floor moved over ten hours of pumping, this test included, micron, with its
    /// 95 % interval; `None` where too few tests tell.
    pub floor_trend_micron_per_10h: Option<Estimate>,
    /// By which factor the floor grew over how many hours of pumping, by that trend; only
    /// where it surely grew.
    pub floor_grew: Option<FloorGrew>,
}

/// A floor that grows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorGrew {
    /// Floor at the end over floor at the beginning, above 1.
    pub factor: f64,
    /// Hours of pumping between them, above 0.
    pub hours: f64,
}

/// Why a blank-off test is not a pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum BlankOffReason {
    /// No reading to judge.
    NoReadings,
    /// The floor is above what is allowed.
    FloorTooHigh,
    /// The isolated rig does not keep its pressure, and vapour is not shown to be the cause.
    RigLeaks,
    /// The isolated rig does not keep its pressure because vapour boils out of it.
    RigWet,
    /// The floor, or the rise, is worse than the rig's own earlier tests.
    WorseThanBefore,
    /// The record does not show when the pump was valved off.
    NoIsolation,
    /// The pump was stopped while its valve was open.
    PumpOpenAtStop,
    /// There is no pull-down in the record.
    NoPulldown,
    /// The pump was valved off, or the record ends, before the floor was reached.
    FloorNotReached,
    /// The floor is too near to the limit to tell on which side it lies.
    FloorNearLimit,
    /// The hold is shorter than asked, or too short to tell the rise from the limit.
    HoldTooShort,
    /// Readings are missing in the hold.
    GapInHold,
    /// The gauge reported a fault, or left its range, in the hold.
    GaugeFault,
    /// The gauge shows too few steps.
    GaugeTooCoarse,
    /// The readings look as if they came in another unit.
    UnitDoubtful,
}

impl BlankOffReason {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NoReadings => "no_readings",
            Self::FloorTooHigh => "floor_too_high",
            Self::RigLeaks => "rig_leaks",
            Self::RigWet => "rig_wet",
            Self::WorseThanBefore => "worse_than_before",
            Self::NoIsolation => "no_isolation",
            Self::PumpOpenAtStop => "pump_open_at_stop",
            Self::NoPulldown => "no_pulldown",
            Self::FloorNotReached => "floor_not_reached",
            Self::FloorNearLimit => "floor_near_limit",
            Self::HoldTooShort => "hold_too_short",
            Self::GapInHold => "gap_in_hold",
            Self::GaugeFault => "gauge_fault",
            Self::GaugeTooCoarse => "gauge_too_coarse",
            Self::UnitDoubtful => "unit_doubtful",
        }
    }

    /// True where the rig itself is not in order; the others say that the record does not
    /// show it.
    #[must_use]
    pub const fn is_of_the_rig(self) -> bool {
        matches!(
            self,
            Self::FloorTooHigh | Self::RigLeaks | Self::RigWet | Self::WorseThanBefore
        )
    }
}

/// Something noticed in a blank-off test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum BlankOffNotice {
    /// Nobody stamped when the pump was valved off: read from the curve, s.
    IsolationNotStamped {
        /// The time, s.
        at_s: f64,
    },
    /// No earlier test is known: judged against the limits only.
    NoHistory,
    /// Fewer than three earlier tests are known: too few to compare with.
    ShortHistory {
        /// How many.
        runs: usize,
    },
    /// The floor grew while the pump ran: tired oil.
    FloorGrew(FloorGrew),
    /// The gauge shows nothing below this pressure, micron: the floor is known from above
    /// only.
    GaugeEndsAt {
        /// The lowest pressure that it shows, micron.
        micron: f64,
    },
}

impl BlankOffNotice {
    /// The word in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::IsolationNotStamped { .. } => "isolation_not_stamped",
            Self::NoHistory => "no_history",
            Self::ShortHistory { .. } => "short_history",
            Self::FloorGrew(_) => "floor_grew",
            Self::GaugeEndsAt { .. } => "gauge_ends_at",
        }
    }

    /// When, s.
    #[must_use]
    pub const fn at_s(&self) -> Option<f64> {
        match self {
            Self::IsolationNotStamped { at_s } => Some(*at_s),
            _ => None,
        }
    }
}
