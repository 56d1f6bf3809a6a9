/// An act the technician did, as a code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MarkKind {
    /// A valve was opened to the pump: pull-down begins or resumes.
    ValveOpened,
    /// The valve on the pump side was shut: the system is isolated.
    PumpSideShut,
    /// The pump was stopped.
    PumpStopped,
    /// Dry nitrogen was let in, through a regulator.
    NitrogenBreak,
    /// The flow at the pump was reduced (to let foaming oil settle).
    Throttled,
    /// The pump's gas ballast was opened.
    BallastOpened,
    /// Heat was applied to the system.
    HeatApplied,
    /// A remark.
    Note,
}

impl MarkKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::ValveOpened,
        Self::PumpSideShut,
        Self::PumpStopped,
        Self::NitrogenBreak,
        Self::Throttled,
        Self::BallastOpened,
        Self::HeatApplied,
        Self::Note,
    ];

    /// The code in the `mark` column.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::ValveOpened => "valve_opened",
            Self::PumpSideShut => "pump_side_shut",
            Self::PumpStopped => "pump_stopped",
            Self::NitrogenBreak => "nitrogen_break",
            Self::Throttled => "throttled",
            Self::BallastOpened => "ballast_opened",
            Self::HeatApplied => "heat_applied",
            Self::Note => "note",
        }
    }

    /// What to print on the curve and the sheet.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::ValveOpened => "valve opened",
            Self::PumpSideShut => "pump-side valve shut",
            Self::PumpStopped => "pump stopped",
            Self::NitrogenBreak => "nitrogen break",
            Self::Throttled => "flow throttled",
            Self::BallastOpened => "gas ballast opened",
            Self::HeatApplied => "heat applied",
            Self::Note => "note",
        }
    }

    /// Reads a code back, whatever its case.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|k| k.code().eq_ignore_ascii_case(code.trim()))
    }
}

/// A stamped act.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Seconds since the run started.
    pub elapsed_s: f64,
    /// What was done.
    pub kind: MarkKind,
    /// The technician's own words, possibly empty.
    pub note: String,
}
