//! What the analyser says: plain data, units in the names.
//!
//! Absent knowledge is `None`, never zero. Intervals are 95 %.

use vacuum::{Criteria, RecordUnit};

mod beside;
mod certainty;
mod estimate;
mod hold;
mod pulldown;
mod rise;
mod said;

pub use beside::{BesideFindings, BesideHold, Pair};
pub use certainty::{Certainty, LeakIndicated, Odds, PassWorth};
pub use estimate::Estimate;
pub use hold::{
    CouldShow, EarlyAnswer, Hold, IsolationBasis, LeakSight, LeakThroughput, OperatingLoss,
    TimeRange,
};
pub use pulldown::{Pulldown, Stall, StallEnd, StallKind};
pub(crate) use rise::root;
pub use rise::{EVIDENCE, Rise, RiseCurve, RiseKind, Saturating};
pub use said::{Ambient, FarSide, Finding, Said, ShowsTooLittle};

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
        }
    }
}

/// One pull-down plus its hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// The pull-down; absent when the record starts isolated.
    pub pulldown: Option<Pulldown>,
    /// The hold; absent when none was found.
    pub hold: Option<Hold>,
}

/// A stretch without usable readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Last reading before, s.
    pub start_s: f64,
    /// First reading after, s.
    pub end_s: f64,
}

/// Rows of a file that could not be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// How many.
    pub rows: u64,
    /// The first of them: row, counted from 1 as an editor counts lines, and why.
    pub listed: Vec<(u64, String)>,
}

/// What went in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DataSummary {
    /// Readings seen.
    pub rows: u64,
    /// Measurements used.
    pub used: u64,
    /// Rows not used as a measurement.
    pub rejected: u64,
    /// Rows of the file that gave no entry at all, counted in `rejected` too. The
    /// analyser never sees them; whoever read the file fills this in.
    pub left_out: LeftOut,
    /// How the file was understood, in words, likewise.
    pub notes: Vec<String>,
    /// In which unit the readings came and who says so, where that is known.
    pub unit: Option<RecordUnit>,
    /// Gaps.
    pub gaps: Vec<Gap>,
    /// Median time between readings, s.
    pub interval_s: Option<f64>,
    /// Smallest step the gauge shows near the hold pressure, micron.
    pub resolution_micron: Option<f64>,
    /// Gauge noise near the hold pressure, standard deviation, micron.
    pub noise_micron: Option<f64>,
}

/// Everything said about one run.
#[derive(Debug, Clone, PartialEq)]
pub struct Findings {
    /// Verdict of the last round that has a hold.
    pub verdict: Verdict,
    /// Why it is not a pass.
    pub reasons: Vec<Reason>,
    /// What it was judged against.
    pub criteria: Criteria,
    /// Rounds in order.
    pub rounds: Vec<Round>,
    /// Findings in order of time.
    pub findings: Vec<Finding>,
    /// What went in.
    pub data: DataSummary,
    /// Gauges and channels recorded beside the judged one; empty where there are
    /// none, or where they were not read.
    pub beside: Vec<BesideFindings>,
}

impl Findings {
    /// The last round with a hold, which the verdict speaks of.
    #[must_use]
    pub fn judged_hold(&self) -> Option<&Hold> {
        self.rounds.iter().rev().find_map(|r| r.hold.as_ref())
    }
}
