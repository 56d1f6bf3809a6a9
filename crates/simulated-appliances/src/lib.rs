//! Invented appliances with a known fault, to measure a diagnosis on.
//!
//! [`appliance_case`] draws the appliance of a seed, gives it a fault, lets it run in its
//! room until everything is steady, and looks at it as a technician would: through gauges
//! and clamps that are a little off, and with eyes and ears that sometimes miss. The same
//! seed always gives the same case.
//!
//! The machine is a balance of mass flow, heat and refrigerant (`cycle`): clearance
//! compressor, capillary tube, condenser, evaporator, cabinet, and where the charge is. Its
//! properties are its own small tables, which `tables.py` beside this file makes with
//! CoolProp 8.0.0.
//!
//! ```
//! let case = simulated_appliances::appliance_case(7);
//! assert_eq!(case, simulated_appliances::appliance_case(7));
//! assert!((10.0..45.0).contains(&case.seen.ambient_c));
//! ```
//!
//! # What this crate does not do
//! It shares no formula and no table with the diagnosis and does not know that there is
//! one. No program contains it: everything here is invented, and none of it is evidence of
//! anything. It has no transients, no frost that insulates, no moisture in numbers: ice in
//! the capillary tube is a restriction that goes when the appliance has stood.

mod appliance;
mod cycle;
mod draw;
mod fluid;
mod seen;
mod tables;
mod truth;

pub use appliance::Kind;
pub use seen::{Frost, Meet, Onset, Seen, Sound, SuctionLine, Trace};
pub use truth::Truth;

use appliance::Appliance;
use draw::Draw;
use truth::Faulty;

/// One appliance with its fault.
#[derive(Debug, Clone, PartialEq)]
pub struct ApplianceCase {
    /// What it was drawn from.
    pub seed: u64,
    /// What is wrong.
    pub truth: Truth,
    /// What is wrong in more words, for a list of what was missed.
    pub story: String,
    /// What was seen.
    pub seen: Seen,
    /// What is really so, for tests of the simulator.
    pub inside: Inside,
}

/// What is really the case in a running appliance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    /// Of the room, °C.
    pub ambient_c: f64,
    /// °C.
    pub evaporating_c: f64,
    /// °C.
    pub condensing_c: f64,
    /// Of the pressure at the discharge, kPa.
    pub discharge_kpa: f64,
    /// W.
    pub power_w: f64,
    /// W.
    pub capacity_w: f64,
    /// Wetted share of the evaporator; above 1 liquid stands in the suction line.
    pub wetted: f64,
    /// K.
    pub subcooled_k: f64,
    /// °C.
    pub cabinet_c: f64,
    /// Share of the time that it runs, 0 to 1.
    pub duty: f64,
    /// What is in it over what the nameplate says.
    pub charge_share: f64,
}

/// The appliance of a seed. Each fault comes equally often.
#[must_use]
pub fn appliance_case(seed: u64) -> ApplianceCase {
    // neither the order of the faults nor even and odd seeds may tell
    let truth = Draw::new(seed, 9).pick(&Truth::ALL);
    appliance_with(seed, truth)
}

/// The appliance of a seed with this fault.
#[must_use]
pub fn appliance_with(seed: u64, truth: Truth) -> ApplianceCase {
    let mut draw = Draw::new(seed, 1);
    let appliance = Appliance::draw(&mut draw);
    let ambient_c = draw.range(16.0, 36.0);
    let faulty = Faulty::draw(&appliance, truth, ambient_c, &mut draw);
    let seen = seen::look(&appliance, &faulty, &mut Draw::new(seed, 2));
    let running = &faulty.running;
    ApplianceCase {
        seed,
        truth,
        story: format!(
            "{:?} {} {:?}: charge {:.2}, tube {:.2}, valves {:.2}, condenser {:.2}, evaporator \
             {:.2}, load {:.2}, air {:.3} mol, {ambient_c:.0} °C",
            appliance.kind,
            appliance.machine.fluid.name(),
            faulty.outside,
            faulty.now.charge_kg / appliance.nameplate_kg,
            faulty.now.capillary,
            faulty.now.valves,
            faulty.now.condenser,
            faulty.now.evaporator,
            faulty.now.load,
            faulty.now.air_mol,
        ),
        seen,
        inside: Inside {
            ambient_c,
            evaporating_c: running.evaporating_c,
            condensing_c: running.condensing_c,
            discharge_kpa: running.discharge_kpa,
            power_w: running.power_w,
            capacity_w: running.capacity_w,
            wetted: running.wetted,
            subcooled_k: running.condensing_c - running.condenser_out_c,
            cabinet_c: running.cabinet_c,
            duty: running.duty,
            charge_share: faulty.now.charge_kg / appliance.nameplate_kg,
        },
    }
}
