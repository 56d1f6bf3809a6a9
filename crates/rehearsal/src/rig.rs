//! A system, its gauge and what is done with it; and what came of it.

use vacuum::Sensed;

use crate::{event::SimEvent, gauge::Gauge, world::World};

/// When to go on to the next step.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Until {
    /// After so many seconds.
    Time(f64),
    /// The gauge (noise apart) has shown at most this, and so many seconds more passed.
    Below {
        micron: f64,
        dwell_s: f64,
        at_most_s: f64,
    },
    /// The oil has foamed for so long.
    Foamed { for_s: f64, at_most_s: f64 },
}

/// One act or wait.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Step {
    /// Opens the pump-side valve, fully or in part.
    Open(f64),
    /// Reduces the flow, with a mark.
    Throttle(f64),
    /// Waits.
    Wait(Until),
    /// Shuts the pump-side valve and calls it isolated.
    Isolate,
    /// Shuts and reopens the valve without saying so.
    Blip { shut_s: f64 },
    /// Stops the pump.
    StopPump,
    /// Warms the cold spots where water lies: heat let in, W/K.
    Heat(f64),
    /// Opens or shuts the gas ballast.
    Ballast(bool),
    /// Lets nitrogen in to about a pressure, Pa, over a time; the pump is valved off.
    Nitrogen { to_pa: f64, over_s: f64 },
    /// A remark in the record.
    Note(&'static str),
    /// Begins the record (else it begins with the first step); time restarts.
    Record,
}

/// A stretch in which the gauge says nothing or something wrong.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outage {
    /// Start, s after isolation.
    pub(crate) after_isolation_s: f64,
    pub(crate) length_s: f64,
    /// `Fault` is printed at each sample; `Gap` is silence, then one gap row.
    pub(crate) sensed: Sensed,
}

/// System, gauge and script together.
#[derive(Debug, Clone)]
pub(crate) struct Rig {
    pub(crate) world: World,
    pub(crate) gauge: Gauge,
    /// A second gauge, at the pump.
    pub(crate) pump_gauge: Option<Gauge>,
    pub(crate) script: Vec<Step>,
    /// False when nobody presses the mark key.
    pub(crate) marks: bool,
    /// Longest delay between an act and its mark, s.
    pub(crate) mark_delay_s: f64,
    pub(crate) outage: Option<Outage>,
    /// True when part of the system lies behind the capillary tube.
    pub(crate) one_sided: bool,
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
