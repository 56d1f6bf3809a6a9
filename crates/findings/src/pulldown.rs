//! A pull-down and its stalls.

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
