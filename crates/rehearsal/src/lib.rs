//! The invented system and gauge: physics behind a real pseudo-terminal.
//!
//! A [`Scenario`] is a household-scale system of our own invention with a story.
//! [`Simulation`] plays it: gas nodes joined by hoses and a capillary tube, a
//! pump with real oil, water that boils and freezes, gas dissolved in oil, a leak,
//! and a gauge that lags, hums and rounds. The curves that come out are not drawn:
//! they are what the parts do to each other. [`Truth`] tells what happened,
//! found by re-running the hold without the leak and without the volatiles.
//!
//! [`plant`] has the parts, for simulating other systems than these.
//!
//! ```
//! let scenario = rehearsal::Scenario::named("tight-and-dry").ok_or("no such scenario")?;
//! let run = rehearsal::Simulation::new(scenario, scenario.seed);
//! assert_eq!(run.truth().verdict, rehearsal::Expected::Pass);
//! assert!(run.count() > 1000);
//! # Ok::<(), &str>(())
//! ```
//!
//! # What this crate does not do
//! It shares no code with the analyser and does not know that one exists.
//! Everything here is invented: no run of it is evidence of anything.

mod bench_error;
mod device;
mod event;
mod far_end;
mod faults;
mod gas;
mod gauge;
mod household;
#[cfg(unix)]
mod link;
#[cfg(test)]
mod physics_tests;
pub mod plant;
mod pump;
mod pump_side;
mod rig;
pub mod rng;
mod scenario;
mod script;
mod simulation;
mod sources;
mod stall;
mod truth;
mod under_pressure;
mod weigh_in;
mod wire;
mod world;

pub use bench_error::BenchError;
pub use device::{GaugeBench, Pace, TimedMark};
pub use event::{SimEvent, SimKind};
pub use far_end::Line;
pub use faults::Faults;
pub use scenario::{RigScenario, Scenario, rig_scenarios, scenarios};
pub use simulation::Simulation;
pub use stall::{ExpectedStall, TrueStall};
pub use truth::{Expected, ExpectedRise, TruePumpSide, Truth};
pub use under_pressure::{PressureScenario, TruePressureTest, pressure_scenarios};
pub use weigh_in::{ChargeScenario, PlayedCharge, charge_scenarios};
