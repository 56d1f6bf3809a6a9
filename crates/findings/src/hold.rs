//! What a hold shows.

use super::{estimate::Estimate, rise::Rise};

/// Leak as throughput; only with a known volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakThroughput {
    /// Pa·m³/s.
    pub pa_m3_per_s: Estimate,
    /// Grams a year of the named refrigerant at 20 °C, when one is named.
    pub g_per_year: Option<Estimate>,
}

/// Said before a hold is long enough: it will not pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarlyAnswer {
    /// When the ceiling will be passed, s from isolation.
    pub passes_ceiling_after_s: f64,
    /// True when a leak is the cause beyond reasonable doubt.
    pub leak: bool,
    /// Probability that the ceiling will be passed before the hold is long enough.
    pub confidence: f64,
}

/// What the charged system may lose through the leak that the hold found.
///
/// A range, never one number: nobody knows whether the leak flows like a pipe or like
/// a pinhole, and a small leak often does something between
/// ([`vacuum::flow::out_leak`] cites the two laws).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingLoss {
    /// Least and most, g a year, for a system standing at 20 °C with liquid in it.
    pub g_per_year: (f64, f64),
    /// Least and most years until a tenth of the charge is gone; with a charge only.
    pub years_to_lose_a_tenth: Option<(f64, f64)>,
    /// Where the low side stands in a system that runs at −25 °C, Pa, if that is below the
    /// air outside: a leak there draws air in while it runs
    /// ([`vacuum::Refrigerant::low_side_in_vacuum_pa`]).
    pub low_side_pa: Option<f64>,
}

/// What the smallest leak that a hold could have shown means for the charged system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SmallestLeak {
    /// Least and most that the charged system, standing at 20 °C, may lose through a leak
    /// just below the detection limit, g a year, over both flow laws.
    pub g_per_year: (f64, f64),
    /// Whether the hold could have shown the leak that separates a sealed system from
    /// another ([`vacuum::leak::SEALED_SYSTEM_G_PER_YEAR`]).
    pub sealed_system: CouldShow,
}

/// Whether a hold could have shown a leak that loses so much a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CouldShow {
    /// By either flow law.
    Yes,
    /// By neither.
    No,
    /// By one of them.
    DependsOnFlowLaw,
}

impl CouldShow {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::DependsOnFlowLaw => "depends_on_flow_law",
        }
    }
}

/// A stretch of time in a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeRange {
    /// Earliest, s of the run.
    pub low_s: f64,
    /// Latest, s of the run; not before `low_s`.
    pub high_s: f64,
}

impl TimeRange {
    /// The one instant, known to the stamp.
    #[must_use]
    pub const fn at(at_s: f64) -> Self {
        Self {
            low_s: at_s,
            high_s: at_s,
        }
    }

    /// Length, s.
    #[must_use]
    pub fn length_s(self) -> f64 {
        self.high_s - self.low_s
    }

    /// True when the instant lies in it, ends included.
    ///
    /// ```
    /// use findings::TimeRange;
    ///
    /// let window = TimeRange { low_s: 498.0, high_s: 503.0 };
    /// assert!(window.holds(500.0) && !window.holds(503.5));
    /// ```
    #[must_use]
    pub fn holds(self, at_s: f64) -> bool {
        (self.low_s..=self.high_s).contains(&at_s)
    }
}

/// From isolation on.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// Isolation, s.
    pub isolated_at_s: f64,
    /// Where isolation lies with 95 % probability. Found in the curve, it reaches one
    /// reading to each side at least; a mark is good to its stamp, what was given is
    /// taken as it is, and a record that starts isolated has its first reading.
    pub isolated_window_s: TimeRange,
    /// How isolation is known.
    pub basis: IsolationBasis,
    /// End of equalisation, s; the rise is judged from here.
    pub settled_at_s: f64,
    /// End of the hold, s.
    pub end_s: f64,
    /// Length, s.
    pub duration_s: f64,
    /// Pressure after equalisation, micron.
    pub start_micron: Option<f64>,
    /// Pressure at the end, micron.
    pub end_micron: Option<f64>,
    /// Highest pressure, micron.
    pub highest_micron: Option<f64>,
    /// The rise.
    pub rise: Rise,
    /// What can be told of the end while the hold is too short.
    pub early_answer: Option<EarlyAnswer>,
    /// The leak as throughput.
    pub leak: Option<LeakThroughput>,
    /// What the charged system may lose; where a leak is said, volume, refrigerant and
    /// its vapour are known.
    pub operating_loss: Option<OperatingLoss>,
    /// What the detection limit means for the charged system; where volume, refrigerant
    /// and its vapour are known.
    pub smallest_leak: Option<SmallestLeak>,
    /// Water vapour at the end if all of the gas is water, mg; with a volume only. Half of
    /// what a thermal gauge shows ([`vacuum::GaugePrinciple::water_vapour_factor`]).
    pub water_vapour_mg: Option<f64>,
    /// The same in parts per million of the charge, by mass; with a charge only.
    pub water_ppm_of_charge: Option<f64>,
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
