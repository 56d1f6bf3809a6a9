//! The parts that a simulated system is put together from, for whoever simulates others
//! than the [`scenarios`](crate::scenarios()).
//!
//! A [`Household`] becomes a [`World`]; what leaks, boils or foams is added to it; a
//! [`Rig`] joins it with a [`Gauge`] and with what the technician does;
//! [`Simulation::of_rig`](crate::Simulation::of_rig) plays it.

pub use crate::{
    gas::{GASES, HIGH, LOW, MANIFOLD},
    gauge::{Gauge, Principle, Rounding},
    household::{Access, Household},
    rig::{Outage, Rig, Step, Until},
    sources::LeakLaw,
    world::{Climate, World},
};
