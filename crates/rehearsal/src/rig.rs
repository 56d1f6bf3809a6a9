//! A system, its gauge and what is done with it; and what came of it.

use vacuum::Sensed;

use crate::{event::SimEvent, gauge::Gauge, world::World};

/// When to go on to the next step.
#[derive(Debug, Clone, Copy)]
pub enum Until {
    /// After so many seconds.
    Time(f64),
    /// The gauge (noise apart) has shown at most this, and so many seconds more passed.
    Below {
        /// Level, micron.
        micron: f64,
        /// Seconds more.
        dwell_s: f64,
        /// Longest wait in all, s.
        at_most_s: f64,
    },
    /// The oil has foamed for so long.
    Foamed {
        /// So long, s.
        for_s: f64,
        /// Longest wait, s.
        at_most_s: f64,
    },
}

/// One act or wait.
#[derive(Debug, Clone, Copy)]
pub enum Step {
    /// Opens the pump-side valve, fully or in part.
    Open(f64),
    /// Reduces the flow, with a mark.
    Throttle(f64),
    /// Waits.
    Wait(Until),
    /// Shuts the pump-side valve and calls it isolated.
    Isolate,
    /// Shuts and reopens the valve without saying so.
    Blip {
        /// How long it is shut, s.
        shut_s: f64,
    },
    /// Stops the pump.
    StopPump,
    /// Warms the cold spots where water lies: heat let in, W/K.
    Heat(f64),
    /// Opens or shuts the gas ballast.
    Ballast(bool),
    /// Lets nitrogen in; the pump is valved off.
    Nitrogen {
        /// To about this pressure, Pa.
        to_pa: f64,
        /// Over this time, s.
        over_s: f64,
    },
    /// Vents what stands above the air outside, through a valve to it, with a remark.
    Vent {
        /// Over this time, s.
        over_s: f64,
    },
    /// A remark in the record.
    Note(&'static str),
    /// Begins the record (else it begins with the first step); time restarts.
    Record,
}

/// A stretch in which the gauge says nothing or something wrong.
#[derive(Debug, Clone, Copy)]
pub struct Outage {
    /// Start, s after isolation.
    pub after_isolation_s: f64,
    /// Length, s.
    pub length_s: f64,
    /// `Fault` is printed at each sample; `Gap` is silence, then one gap row.
    pub sensed: Sensed,
}

/// System, gauge and script together.
#[derive(Debug, Clone)]
pub struct Rig {
    /// The system, its hoses and its pump.
    pub world: World,
    /// The gauge that is judged.
    pub gauge: Gauge,
    /// A second gauge, at the pump.
    pub pump_gauge: Option<Gauge>,
    /// What is done, in order.
    pub script: Vec<Step>,
    /// False when nobody presses the mark key.
    pub marks: bool,
    /// Longest delay between an act and its mark, s.
    pub mark_delay_s: f64,
    /// When the gauge fails.
    pub outage: Option<Outage>,
    /// True when part of the system lies behind the capillary tube.
    pub one_sided: bool,
}

/// State of the plant about once a second, for the truth.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Glimpse {
    pub(crate) t_s: f64,
    /// Noise-free indication, micron.
    pub(crate) shown_micron: f64,
    /// The same of a gauge at the pump.
    pub(crate) pump_side_micron: Option<f64>,
    pub(crate) system_pa: f64,
    pub(crate) inlet_pa: f64,
    pub(crate) water_share: f64,
    pub(crate) pool: bool,
    /// Most of what lies in the pools is ice.
    pub(crate) frozen: bool,
    pub(crate) foaming: bool,
    pub(crate) pumping: bool,
    pub(crate) throttled: bool,
}

/// What happened, before anything is judged.
#[derive(Debug, Clone)]
pub(crate) struct Played {
    pub(crate) events: Vec<SimEvent>,
    /// What the gauge at the pump says, when there is one.
    pub(crate) pump_side: Option<Vec<SimEvent>>,
    pub(crate) glimpses: Vec<Glimpse>,
    pub(crate) end_s: f64,
    /// Isolations in order, s; one per round.
    pub(crate) isolations: Vec<f64>,
    /// The plant and gauge at the last isolation.
    pub(crate) at_isolation: Option<(World, Gauge)>,
    pub(crate) stopped_open_s: Option<f64>,
    pub(crate) started_isolated: bool,
    pub(crate) outage: Option<(f64, f64)>,
}
