//! The invented system and gauge: physics behind a real pseudo-terminal.
//!
//! A [`Scenario`] is a household-scale system of our own invention with a story.
//! [`Simulation`] plays it: gas nodes joined by hoses and a capillary tube, a
//! pump with real oil, water that boils and freezes, gas dissolved in oil, a leak,
//! and a gauge that lags, hums and rounds. The curves that come out are not drawn:
//! they are what the parts do to each other. [`Truth`] tells what happened,
//! found by re-running the hold without the leak and without the volatiles.
//!
//! [`bench_case`] draws one run of a wide random family, to measure an analyser on;
//! [`formula_case`] draws one of a second family that shares nothing with the plant,
//! [`held_up_case`] one of a third: pull-downs that stall, for measuring a stall finder.
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

mod cases;
#[cfg(unix)]
mod device;
mod event;
mod formula;
mod gas;
mod gauge;
mod held_up;
mod household;
#[cfg(test)]
mod physics_tests;
mod pump;
mod pump_side;
mod rig;
mod rng;
mod scenario;
mod script;
mod simulation;
mod sources;
mod stall;
mod table;
mod truth;
mod valve;
#[cfg(unix)]
mod wire;
mod world;

pub use cases::{Case, Hints, bench_case};
#[cfg(unix)]
pub use device::{BenchError, Faults, GaugeBench, Pace, TimedMark};
pub use event::{SimEvent, SimKind};
pub use formula::formula_case;
pub use held_up::{HeldUp, held_up_case};
pub use scenario::{Scenario, scenarios};
pub use simulation::Simulation;
pub use stall::{ExpectedStall, TrueStall};
pub use table::write_csv;
pub use truth::{Expected, ExpectedRise, TruePumpSide, Truth};
pub use valve::{ValveCase, valve_case};
