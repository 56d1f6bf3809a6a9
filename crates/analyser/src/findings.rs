//! What the analyser says: plain data, units in the names.
//!
//! Absent knowledge is `None`, never zero. Intervals are 95 %.

use vacuum::{Criteria, RecordUnit};

mod beside;
mod certainty;
mod hold;
mod said;

pub use beside::{BesideFindings, BesideHold, Pair};
pub use certainty::{Certainty, LeakIndicated, Odds, PassWorth};
pub use hold::{CouldShow, EarlyAnswer, Hold, LeakSight, LeakThroughput, OperatingLoss, TimeRange};
pub use said::{Ambient, FarSide, Finding, Said, ShowsTooLittle};

/// A value with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

impl Estimate {
    /// The same estimate in another unit (multiplied by a positive factor).
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
        }
    }
}

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

/// How the pressure moved in a hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RiseKind {
    /// No rise beyond gauge noise.
    None,
    /// A straight rise: air coming in.
    Leak,
    /// A rise that levels off: water or another volatile boiling out.
    Moisture,
    /// Both.
    LeakAndMoisture,
    /// Too short or too noisy to tell.
    Unclear,
}

impl RiseKind {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Leak => "leak",
            Self::Moisture => "moisture",
            Self::LeakAndMoisture => "leak_and_moisture",
            Self::Unclear => "unclear",
        }
    }
}

/// Why a pull-down made no progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StallKind {
    /// Pump oil foams: rough, hunting plateau that clears when flow is reduced.
    Foaming,
    /// Water boils: smooth plateau near its saturation pressure, above the triple point.
    BoilOff,
    /// Water has frozen and sublimes: smooth plateau below the triple point (4,588
    /// micron) that gives way, or that followed water seen to freeze.
    Ice,
    /// What pump, leak and outgassing allow.
    Floor,
    /// Slow steady exponential: restriction, half-shut valve, thin hose.
    Choked,
}

impl StallKind {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Foaming => "foaming",
            Self::BoilOff => "boil_off",
            Self::Ice => "ice",
            Self::Floor => "floor",
            Self::Choked => "choked",
        }
    }

    /// True for oil that foams, water that boils and ice: when they end is not in the
    /// curve, so that no time to target can be given meanwhile.
    #[must_use]
    pub const fn ends_outside_the_curve(self) -> bool {
        matches!(self, Self::Foaming | Self::BoilOff | Self::Ice)
    }
}

/// What ended a stall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StallEnd {
    /// The flow was reduced.
    Throttled,
    /// The gas ballast was opened.
    BallastOpened,
    /// Heat was applied.
    HeatApplied,
    /// The vacuum was broken with nitrogen.
    NitrogenBreak,
    /// Nothing that was stamped: it cleared by itself.
    Cleared,
    /// The pump was valved off.
    Isolated,
    /// The record ends in it.
    StillOn,
}

impl StallEnd {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Throttled => "throttled",
            Self::BallastOpened => "ballast_opened",
            Self::HeatApplied => "heat_applied",
            Self::NitrogenBreak => "nitrogen_break",
            Self::Cleared => "cleared",
            Self::Isolated => "isolated",
            Self::StillOn => "still_on",
        }
    }
}

/// A stretch of pull-down that makes no progress, with its evidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stall {
    /// Kind.
    pub kind: StallKind,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Typical pressure in it, micron.
    pub level_micron: f64,
    /// Roughness of the pressure over that of the gauge alone (1 = as smooth as
    /// the gauge can show).
    pub roughness: f64,
    /// Temperature at which water boils, or ice sublimes, at that pressure, °C;
    /// `None` outside −60 °C to 60 °C.
    pub boils_at_c: Option<f64>,
    /// d ln p/dt over it, per minute: −0.02 is a fall of 2 % a minute.
    pub slope_per_min: f64,
    /// What ended it.
    pub ended_by: StallEnd,
    /// Where a floor will end, micron; `None` for other kinds.
    pub ends_at_micron: Option<f64>,
}

/// From the pump being connected until isolation.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulldown {
    /// Start, s.
    pub start_s: f64,
    /// End (isolation, or end of record), s.
    pub end_s: f64,
    /// When the target was first reached and kept, s.
    pub reached_target_s: Option<f64>,
    /// Lowest pressure, micron.
    pub lowest_micron: Option<f64>,
    /// Stalls in order.
    pub stalls: Vec<Stall>,
}

/// How the instant of isolation is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum IsolationBasis {
    /// A mark in the record.
    Mark,
    /// Given by the reviewer.
    Given,
    /// Found in the curve.
    Curve,
    /// The record starts already isolated.
    FromStart,
}

impl IsolationBasis {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mark => "mark",
            Self::Given => "given",
            Self::Curve => "curve",
            Self::FromStart => "from_start",
        }
    }
}

/// One saturating term: `amplitude·(1 − exp(−t/τ))`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturating {
    /// Final height, micron.
    pub amplitude_micron: f64,
    /// Time constant, s.
    pub tau_s: f64,
}

/// The likeliest of the fitted sums that agree with what is said, for drawing:
/// p(t) = start + slope·(t−t₀) + root·(√(t−t₀+4 s) − √4 s) + Σ amplitude·(1 − exp(−(t−t₀)/τ)).
/// Formulas and sources: [`method::rise`](crate::method::rise), section 6.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RiseCurve {
    /// Time origin t₀, s of the run.
    pub origin_s: f64,
    /// End of the fitted stretch, s of the run.
    pub end_s: f64,
    /// Pressure at the origin, micron.
    pub start_micron: f64,
    /// Straight part, micron/s, 0 or more.
    pub slope_micron_per_s: f64,
    /// Part that grows with the square root of time, as gas out of a thick layer does:
    /// its factor, micron/√s, 0 or more.
    pub root_micron: f64,
    /// Saturating parts. Positive amplitudes give gas off; of the others one at most takes
    /// it up, and two are what is left of equalisation.
    pub terms: Vec<Saturating>,
}

impl RiseCurve {
    /// Fitted pressure at `elapsed_s` of the run, micron.
    #[must_use]
    pub fn at_micron(&self, elapsed_s: f64) -> f64 {
        let t = elapsed_s - self.origin_s;
        self.terms.iter().fold(
            self.start_micron + self.slope_micron_per_s * t + self.root_micron * root(t),
            |p, term| p - term.amplitude_micron * (-t / term.tau_s).exp_m1(),
        )
    }
}

/// √(t + 4 s) − √4 s: gas that diffuses out of a thick layer. The 4 s keep the slope at 0
/// finite. `t` in s; times before 0 count as 0.
pub(crate) fn root(t: f64) -> f64 {
    (t.max(0.0) + 4.0).sqrt() - 2.0
}

/// How the pressure moved in a hold, with figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Rise {
    /// What the rise is: the name that the probability of a leak and the size of the rise
    /// allow ([`method::rise`](crate::method::rise), section 7).
    pub kind: RiseKind,
    /// The leak: straight part, micron/min, with its 95 % interval, each 0 or more. The
    /// lower end is 0 where there may be no leak. Where the rise left the range of the
    /// gauge, `value` is the smallest mean rise that explains it (section 8).
    pub leak_micron_per_min: Option<Estimate>,
    /// Pressure at which the saturating part levels off, micron.
    pub plateau_micron: Option<Estimate>,
    /// Time constant of the saturating part, s.
    pub tau_s: Option<Estimate>,
    /// Smallest straight rise that this hold on this gauge could have shown,
    /// micron/min.
    pub detection_limit_micron_per_min: Option<f64>,
    /// How long the hold must last in all (s from isolation) to tell leak and
    /// moisture apart, when it cannot yet.
    pub decide_after_s: Option<f64>,
    /// Probability that air comes in, 0 to 1, by a map that was fitted on simulated holds
    /// whose truth is known (section 7); it stays within the shares that were found there.
    /// `None` where nothing could be fitted and the gauge did not run out of its range.
    pub leak_probability: Option<f64>,
    /// Confidence in `kind`, 0 to 1: how many of 100 statements like this one are right,
    /// over 100, in holds like the simulated ones.
    pub confidence: Option<f64>,
    /// The fit, for drawing.
    pub curve: Option<RiseCurve>,
    /// Figures of which `leak_probability` is made: logarithms of ratios and their
    /// functions, without unit, each within limits of its own; order and limits in
    /// [`method::rise`](crate::method::rise), section 7. `None` where nothing was fitted.
    /// For measuring the analyser: their number and order may change.
    pub evidence: Option<[f64; EVIDENCE]>,
}

/// Number of figures in [`Rise::evidence`].
pub const EVIDENCE: usize = 15;

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
