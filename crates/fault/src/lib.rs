//! What gauges, clamps, eyes and ears say of a sealed system before it is cut open, and what
//! only a hold can settle.
//!
//! [`diagnose`] turns [`Signs`] into [`Candidate`]s, each with the signs that speak for it
//! and against it; [`at_rest`] compares the pressure of a rested appliance with saturation;
//! [`needed_leak`] says how fast a hold would rise if the missing refrigerant had leaked out,
//! and [`settled`] what a hold then says of it. How it weighs, where the figures are from, and
//! how often it is right: `METHOD.md` beside this crate.
//!
//! # What this crate does not do
//! No I/O, no words but those of its levels, no reading of a record. It does not decide that
//! a system is cut open.

mod code;
mod diagnosis;
mod observed;
mod rest;
mod settle;
mod signs;
mod usual;
mod weigh;
mod weights;

pub use code::FaultCode;
pub use diagnosis::{
    Candidate, Diagnosis, Doubt, Evidence, FirstCheck, LEAST_SIGNS, alike, diagnose,
};
pub use observed::{
    LEVELS, Observation, Sign, condensing_c, evaporating_c, low_side_draws_air, observations,
};
pub use rest::{AtRest, Compared, compare as at_rest};
pub use settle::{
    GaugeNoise, HoldSaid, Loss, NeededLeak, NoNeed, Settled, hold_that_shows_min, needed_leak,
    settled, shown_by,
};
pub use signs::{Cabinet, Draw, Frost, Meet, Onset, Rest, Signs, Sound, SuctionLine, Trace};
pub use usual::Usual;
pub use weights::Source;
