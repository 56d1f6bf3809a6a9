//! What is said of a pressure test with dry gas.

use crate::{Estimate, Verdict};

/// Everything that is said of a pressure test.
#[derive(Debug, Clone, PartialEq)]
pub struct DecayFindings {
    /// The answer.
    pub verdict: Verdict,
    /// Why it is not a pass, the gravest first; empty for a pass.
    pub reasons: Vec<DecayReason>,
    /// What was asked.
    pub criteria: DecayCriteria,
    /// What was measured; `None` when there is no stretch to judge.
    pub decay: Option<Decay>,
    /// Readings that were judged or passed over.
    pub readings: u64,
    /// What was noticed beside the verdict, in the order of time.
    pub notices: Vec<DecayNotice>,
}

/// What a pressure test has to show.
#[derive(Debug, Clone, PartialEq)]
pub struct DecayCriteria {
    /// Name of the rule.
    pub name: String,
    /// Where it comes from.
    pub source: String,
    /// Loss that is allowed, throughput of the test gas p·V/t at the pressure of the test,
    /// Pa·m³/s. `None` when nobody said, or it cannot be worked out.
    pub allowed_pa_m3_per_s: Option<f64>,
    /// The same for a fail, Pa·m³/s: larger than what is allowed where grams a year were
    /// given, because the leak may follow either of two laws.
    pub refused_pa_m3_per_s: Option<f64>,
    /// Shortest time from shutting the supply to the end, min.
    pub hold_min: f64,
    /// Least pressure at the beginning, bar absolute.
    pub test_pressure_bar_abs: Option<f64>,
    /// Highest pressure that the system may see, bar absolute, as on its nameplate.
    pub highest_bar_abs: Option<f64>,
}

/// Why a pressure test is not a pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum DecayReason {
    /// No reading to judge.
    NoReadings,
    /// More gas is lost than is allowed.
    LeakTooLarge,
    /// The supply was not shut, or nothing shows that it was.
    SupplyOpen,
    /// There is more gas at the end than at the beginning.
    PressureRose,
    /// The pressure was above what the system may see.
    PressureTooHigh,
    /// The test was made at too low a pressure.
    PressureTooLow,
    /// The gauge counts from the air around it, and nobody said how high the barometer stood.
    BarometerMissing,
    /// The inner volume is not known.
    VolumeMissing,
    /// Nobody said what loss is allowed.
    LimitMissing,
    /// No temperature, or one that is not that of the gas.
    TemperatureMissing,
    /// The gauge shows too few steps.
    GaugeTooCoarse,
    /// The heat of filling has not gone yet.
    NotSettled,
    /// The hold is too short.
    HoldTooShort,
}

impl DecayReason {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NoReadings => "no_readings",
            Self::LeakTooLarge => "leak_too_large",
            Self::SupplyOpen => "supply_open",
            Self::PressureRose => "pressure_rose",
            Self::PressureTooHigh => "pressure_too_high",
            Self::PressureTooLow => "pressure_too_low",
            Self::BarometerMissing => "barometer_missing",
            Self::VolumeMissing => "volume_missing",
            Self::LimitMissing => "limit_missing",
            Self::TemperatureMissing => "temperature_missing",
            Self::GaugeTooCoarse => "gauge_too_coarse",
            Self::NotSettled => "not_settled",
            Self::HoldTooShort => "hold_too_short",
        }
    }
}

/// Something noticed in a pressure test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum DecayNotice {
    /// The pressure followed the supply until this time, s, though it was said to be shut.
    ShutLate {
        /// When it was said to be shut, s.
        said_s: f64,
        /// Until when the pressure followed the supply, s.
        until_s: f64,
    },
    /// Nobody said when the supply was shut: the time is read from the pressure.
    ShutNotStamped {
        /// The time, s.
        at_s: f64,
    },
    /// The thermometer does not follow the gas: in the sun, or on another body.
    ThermometerApart,
    /// The pressure does not follow the temperature of the gas, as it does in a closed system.
    PressureHeldUp,
    /// The gas was let out at this time, s; the test ends there.
    Vented {
        /// The time, s.
        at_s: f64,
    },
}

impl DecayNotice {
    /// The word in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::ShutLate { .. } => "shut_late",
            Self::ShutNotStamped { .. } => "shut_not_stamped",
            Self::ThermometerApart => "thermometer_apart",
            Self::PressureHeldUp => "pressure_held_up",
            Self::Vented { .. } => "vented",
        }
    }

    /// When, s.
    #[must_use]
    pub const fn at_s(&self) -> Option<f64> {
        match self {
            Self::ShutLate { until_s, .. } => Some(*until_s),
            Self::ShutNotStamped { at_s } | Self::Vented { at_s } => Some(*at_s),
            Self::ThermometerApart | Self::PressureHeldUp => None,
        }
    }
}

/// What a pressure test measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decay {
    /// When the supply was shut, s.
    pub shut_at_s: f64,
    /// From when on what is left of the heat of filling is less than the noise of the gauge,
    /// or than a tenth of what the loss is uncertain by until the end, s; `None` when it is
    /// not gone by the end.
    pub settled_at_s: Option<f64>,
    /// The last reading that counts, s.
    pub end_s: f64,
    /// Pressure at the beginning, bar absolute.
    pub start_bar_abs: f64,
    /// Pressure at the end, bar absolute.
    pub end_bar_abs: f64,
    /// Temperature at the beginning, °C.
    pub start_c: Option<f64>,
    /// Temperature at the end, °C.
    pub end_c: Option<f64>,
    /// Pressure at the end if the temperature had stayed, bar absolute; `None` without a
    /// temperature.
    pub corrected_end_bar_abs: Option<f64>,
    /// Share of the gas that is lost in an hour, at the pressure of the beginning; positive
    /// when gas is lost.
    pub lost_per_hour: Estimate,
    /// The same as throughput, Pa·m³/s; `None` without the volume.
    pub loss_pa_m3_per_s: Option<Estimate>,
    /// Upper end of the one-sided 95 % interval of the loss, Pa·m³/s.
    pub upper_95_pa_m3_per_s: Option<f64>,
    /// Smallest leak that this test shows, Pa·m³/s: in 95 of 100 such tests its lower
    /// one-sided 95 % limit is above zero.
    pub detection_limit_pa_m3_per_s: Option<f64>,
    /// What the charged system would lose through the same leak, g a year, over both laws
    /// of flow and the interval of the loss: from, to. `None` without the refrigerant.
    pub g_per_year: Option<(f64, f64)>,
    /// What rise the same leak makes in a hold under vacuum, micron/min: from, to.
    pub hold_rise_micron_per_min: Option<(f64, f64)>,
    /// How much longer the hold has to be to decide, min; `None` when it is decided, or no
    /// hold of a day would.
    pub decides_in_min: Option<f64>,
    /// How long the hold has to be to decide with a thermometer, min, counted from shutting
    /// the supply; only without one.
    pub with_thermometer_min: Option<f64>,
}

/// Where a pressure test stands while it goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecayPhase {
    /// No gas under pressure yet.
    #[default]
    Waiting,
    /// Gas is in, the supply is not stamped shut.
    UnderSupply,
    /// The supply is shut.
    Hold,
    /// The gas was let out.
    Vented,
}

/// What a look at a pressure test says while it goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct DecayLive {
    /// Where it stands.
    pub phase: DecayPhase,
    /// The newest pressure, Pa absolute.
    pub pressure_pa: Option<f64>,
    /// Where the pressure goes, Pa/min; `None` while too little was read.
    pub trend_pa_per_min: Option<f64>,
    /// When the supply was stamped shut, and how long ago the newest reading says that was, s.
    pub shut: Option<(f64, f64)>,
    /// What is left of the hold until it may be decided, s; `None` where waiting does not
    /// decide it.
    pub left_s: Option<f64>,
    /// What the readings show so far.
    pub findings: DecayFindings,
}
