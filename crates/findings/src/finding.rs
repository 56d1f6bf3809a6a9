//! What is said of a run, as evidence: figures and circumstances. The words are made
//! where it is printed.

use std::cmp::Ordering;

use vacuum::{PressureUnit, RecordUnit};

use super::{
    certainty::LeakIndicated,
    estimate::Estimate,
    leak_question::LeakOrShortCharge,
    pulldown::{Stall, StallKind},
};

/// The room whose water may boil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ambient {
    /// Its temperature, °C.
    pub c: f64,
    /// True where nobody gave it.
    pub assumed: bool,
    /// Pressure at which free water stands at that temperature, micron.
    pub saturation_micron: f64,
}

/// When the far side came to the target, seen from the pump side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FarSide {
    /// So much later than the pump side, s.
    Later(f64),
    /// No later, or the pump side was never there.
    NotLater,
    /// Never, though the pump side was there.
    Never,
}

/// Why a gauge shows too little to prove a hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ShowsTooLittle {
    /// It stood still, and nothing in the record shows that it would have moved.
    StandsStill {
        /// Where, micron.
        level_micron: f64,
        /// For how long, s.
        lasted_s: f64,
    },
    /// It stood at the lowest value that it shows in this record.
    AtFloor {
        /// That value, micron; `None` where it said that it is below its range.
        level_micron: Option<f64>,
    },
    /// Its steps are too large.
    Steps {
        /// A step, micron.
        step_micron: f64,
        /// The largest that would do, micron.
        most_micron: f64,
    },
}

/// Evidence for one finding.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Statement {
    /// Isolation was found in the curve; with 95 % probability it lay in this window
    /// ([`Hold::isolated_window_s`](crate::Hold::isolated_window_s)).
    IsolationFromCurve {
        /// How much earlier than said it may have been, s.
        earlier_s: f64,
        /// How much later, s.
        later_s: f64,
    },
    /// The record starts with a rise.
    StartsIsolated,
    /// The pressure fell in the hold, micron.
    PressureFalls {
        /// After equalisation.
        from_micron: f64,
        /// At the end.
        to_micron: f64,
    },
    /// The hold will pass its ceiling before it is long enough.
    WillNotPass {
        /// The ceiling, micron.
        ceiling_micron: f64,
        /// When it is passed, s from isolation.
        after_s: f64,
        /// Probability, 0 to 1.
        confidence: f64,
        /// True when a leak is the cause beyond reasonable doubt.
        leak: bool,
    },
    /// The rise left the range of the gauge, which said so or stood still at its top:
    /// what is known of it is a lower bound
    /// (`analyser::method::rise`, section 4).
    LeftRange {
        /// How long after isolation, s, more than 0.
        after_s: f64,
        /// Mean rise until then, micron/min, more than 0: the smallest that explains it.
        at_least_micron_per_min: f64,
    },
    /// The rise is judged only while gauge and inflow behave.
    FitStopsEarly,
    /// The pressure stayed level for so long before it rose, s.
    RiseBeganLate(f64),
    /// The rise bends over, and may end where free water stands.
    FreeWaterAhead(Ambient),
    /// The rise levels off where free water stands.
    FreeWater {
        /// Where it levels off, micron.
        level: Estimate,
        /// The room.
        ambient: Ambient,
    },
    /// The rise levels off far below free water.
    BoundMoisture {
        /// Where it levels off, micron.
        level: Estimate,
        /// The room.
        ambient: Ambient,
    },
    /// The hold stands, or levels off, where ice at the coldest part stands.
    IceInHold {
        /// Where it stands or levels off, micron.
        level_micron: f64,
        /// Temperature of the coldest part, °C.
        coldest_part_c: f64,
        /// Pressure over ice at that temperature, micron.
        saturation_micron: f64,
        /// Lowest level that thermometer and gauge allow for it, micron.
        low_micron: f64,
        /// Highest such level, micron.
        high_micron: f64,
    },
    /// The hold stands, or levels off, where ice might, and nobody gave the temperature
    /// of the coldest part.
    IceNotRuledOut {
        /// Where it stands or levels off, micron.
        level_micron: f64,
        /// Temperature at which ice stands at that pressure, °C.
        ice_at_c: f64,
    },
    /// The room is colder than an evacuation test asks for.
    TooColdToDry {
        /// Its temperature, °C.
        ambient_c: f64,
    },
    /// The rule is met, and a leak is indicated all the same.
    PassWithLeak(LeakIndicated),
    /// Something held a pull-down up.
    Stalled(Stall),
    /// The record does not show when the pump was valved off.
    IsolationMarkMissing,
    /// So much more hold was needed, min.
    HoldLonger(f64),
    /// A later hold was broken off after so long, s, before it could show anything: the
    /// hold before it counts.
    LaterHoldBrokenOff(f64),
    /// Gas behind the capillary tube bleeds into the hold.
    OneSideEvacuated,
    /// The pump was stopped while its valve was open.
    PumpOpenAtStop,
    /// The gauge shows too little to prove the hold.
    GaugeTooCoarse(ShowsTooLittle),
    /// The manifold valves were shut, and the gauge may have been cut off by it.
    GaugeShutOff {
        /// True where the job says so; false where it does not say.
        known: bool,
    },
    /// The readings look as if they came in another unit.
    UnitDoubtful {
        /// The first reading, or the level of the hold, as the number that was read.
        number: f64,
        /// The unit it was read in.
        read_as: PressureUnit,
        /// The unit in which the number is the pressure of the air outside; `None`
        /// where the hold stands lower than pumps of this trade reach.
        likely: Option<PressureUnit>,
    },
    /// The record does not state its unit: somebody else did.
    UnitAssumed(RecordUnit),
    /// The criteria are softer than common practice.
    CriteriaSofter,
    /// The calibration of a gauge had run out when the record began.
    CalibrationOverdue {
        /// Where the gauge sits, in the words of the record; `None` for the judged one.
        place: Option<String>,
        /// When it was due, as typed, a day of ISO 8601.
        due: String,
        /// How many days before the record began, at least 1.
        days: u32,
    },
    /// The far gauge stood far above the one at the pump for long.
    FarSideLags {
        /// How many times above.
        ratio: f64,
        /// For how long, s.
        lasted_s: f64,
        /// The far gauge in the middle of it, micron.
        far_micron: f64,
        /// The pump side at that instant, micron.
        auxiliary_micron: f64,
        /// When the far side came to the target.
        far_side: FarSide,
    },
    /// Refrigerant was found missing before: what this hold says of a leak.
    LeakOrShortCharge(LeakOrShortCharge),
    /// Two gauges in one volume show too different pressures.
    GaugesDisagree {
        /// The judged one, micron.
        far_micron: f64,
        /// The other one, micron.
        auxiliary_micron: f64,
        /// Where the other one sits, in the words of the record.
        place: String,
        /// What each may be off, as a share of its reading.
        accuracy: f64,
    },
    /// The gauge at the pump rises in the hold and the judged one does not.
    PumpSideRisesAlone {
        /// Where it began, micron.
        from_micron: f64,
        /// Where it went, micron; `None` beyond its range.
        to_micron: Option<f64>,
        /// Within so long, s.
        within_s: f64,
        /// The judged gauge meanwhile, micron.
        far_micron: f64,
        /// True when the pump was stopped just before.
        pump_stopped: bool,
    },
}

impl Statement {
    /// The stable code in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::IsolationFromCurve { .. } => "isolation_from_curve",
            Self::StartsIsolated => "starts_isolated",
            Self::PressureFalls { .. } => "pressure_falls",
            Self::WillNotPass { .. } => "will_not_pass",
            Self::LeftRange { .. } => "left_range",
            Self::FitStopsEarly => "fit_stops_early",
            Self::RiseBeganLate(_) => "rise_began_late",
            Self::FreeWaterAhead(_) | Self::FreeWater { .. } => "free_water",
            Self::BoundMoisture { .. } => "bound_moisture",
            Self::IceInHold { .. } => "ice_in_hold",
            Self::IceNotRuledOut { .. } => "ice_not_ruled_out",
            Self::TooColdToDry { .. } => "too_cold_to_dry",
            Self::PassWithLeak(_) => "pass_with_leak",
            Self::Stalled(stall) => match stall.kind {
                StallKind::Foaming => "stall_foaming",
                StallKind::BoilOff => "stall_boil_off",
                StallKind::Ice => "stall_ice",
                StallKind::Floor => "stall_floor",
                StallKind::Choked => "stall_choked",
            },
            Self::IsolationMarkMissing => "isolation_mark_missing",
            Self::HoldLonger(_) => "hold_longer",
            Self::LaterHoldBrokenOff(_) => "later_hold_broken_off",
            Self::OneSideEvacuated => "one_side_evacuated",
            Self::PumpOpenAtStop => "pump_open_at_stop",
            Self::GaugeTooCoarse(_) => "gauge_too_coarse",
            Self::GaugeShutOff { .. } => "gauge_shut_off",
            Self::UnitDoubtful { .. } => "unit_doubtful",
            Self::UnitAssumed(_) => "unit_assumed",
            Self::CriteriaSofter => "criteria_softer",
            Self::CalibrationOverdue { .. } => "calibration_overdue",
            Self::LeakOrShortCharge(_) => "leak_or_short_charge",
            Self::FarSideLags { .. } => "far_side_lags",
            Self::GaugesDisagree { .. } => "gauges_disagree",
            Self::PumpSideRisesAlone { .. } => "pump_side_rises_alone",
        }
    }
}

/// Anything the analyser says of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// When, s.
    pub at_s: Option<f64>,
    /// What, with its evidence.
    pub statement: Statement,
}

impl Finding {
    /// At an instant of the run, s.
    #[must_use]
    pub const fn at(at_s: f64, statement: Statement) -> Self {
        Self {
            at_s: Some(at_s),
            statement,
        }
    }

    /// The stable code in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        self.statement.code()
    }

    /// The order in which findings are told: by time, those without one last.
    #[must_use]
    pub fn order(&self, other: &Self) -> Ordering {
        let at = |finding: &Self| finding.at_s.unwrap_or(f64::INFINITY);
        at(self).total_cmp(&at(other))
    }
}
