//! The answer a run gets, and why it is not a pass.

/// The answer a run gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Verdict {
    /// Target reached, hold long enough, ceiling kept, data sound.
    Pass,
    /// Data sound and a criterion broken.
    Fail,
    /// The record cannot decide.
    NotProven,
}

impl Verdict {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotProven => "not_proven",
        }
    }
}

/// Why the verdict is not a pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Reason {
    /// The pull-down never reached the target.
    TargetNotReached,
    /// The hold is shorter than the criteria ask.
    HoldTooShort,
    /// The pressure went above the ceiling during the hold.
    CeilingExceeded,
    /// The record does not show when the pump was valved off.
    NoIsolation,
    /// Readings are missing in the hold.
    GapInHold,
    /// The gauge reported a fault, or left its range, in the hold.
    GaugeFault,
    /// The pump was stopped while its valve was open.
    PumpOpenAtStop,
    /// There is no measurement at all to judge.
    NoReadings,
    /// The gauge shows too little: it stands still, its steps are large against the
    /// ceiling, or it shows nothing below a floor.
    GaugeTooCoarse,
    /// The level of the hold is that of ice at the coldest part of the system.
    IcePossible,
    /// The gauge may have been cut off from the system when the manifold was shut.
    GaugeShutOff,
    /// The readings look as if they came in another unit.
    UnitDoubtful,
    /// The pump was valved off too soon after the target.
    PumpOnTooShort,
    /// The pressure rose by more than the criteria allow.
    RoseTooMuch,
    /// The end of the hold was not steady.
    NotSteady,
    /// The hold ended in the band in which it is to be repeated.
    RepeatAsked,
    /// Rounds that the criteria ask for before this one are missing.
    RoundsMissing,
    /// The criteria ask for both sides, and the job does not say that both were evacuated.
    SidesNotShown,
    /// The criteria ask for a warmer room, or the job does not give its temperature.
    AmbientNotShown,
}

impl Reason {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::TargetNotReached => "target_not_reached",
            Self::HoldTooShort => "hold_too_short",
            Self::CeilingExceeded => "ceiling_exceeded",
            Self::NoIsolation => "no_isolation",
            Self::GapInHold => "gap_in_hold",
            Self::GaugeFault => "gauge_fault",
            Self::PumpOpenAtStop => "pump_open_at_stop",
            Self::NoReadings => "no_readings",
            Self::GaugeTooCoarse => "gauge_too_coarse",
            Self::IcePossible => "ice_possible",
            Self::GaugeShutOff => "gauge_shut_off",
            Self::UnitDoubtful => "unit_doubtful",
            Self::PumpOnTooShort => "pump_on_too_short",
            Self::RoseTooMuch => "rose_too_much",
            Self::NotSteady => "not_steady",
            Self::RepeatAsked => "repeat_asked",
            Self::RoundsMissing => "rounds_missing",
            Self::SidesNotShown => "sides_not_shown",
            Self::AmbientNotShown => "ambient_not_shown",
        }
    }
}
