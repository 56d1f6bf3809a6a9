//! A gauge at each end of the hoses.

use vacuum::{GaugeIdentity, flow::Tube};

use super::parts::{Scenario, bench_gauge, hold, pull, rig};
use crate::{
    gas::{INLET, LOW},
    gauge::{Gauge, Rounding},
    household::Household,
    rig::Rig,
    rng::Rng,
};

/// Name on the command line.
pub(super) const NAME: &str = "two-gauges";

/// Thin hoses where evacuation hoses belong.
const HOSE: Tube = Tube {
    diameter_mm: 3.6,
    length_m: 1.5,
};

pub(super) fn build(rng: &mut Rng) -> Rig {
    let mut house = Household::upright_freezer();
    house.hose = HOSE;
    house.pump_hose = HOSE;
    house.core_mm = Some(3.0);
    let mut world = house.world(rng);
    world.add_everyday_gas(4.0, 500.0);
    let script = [pull(300.0, 900.0, 3600.0), hold(900.0)].concat();
    let mut rig = rig(world, rng, script);
    rig.gauge.node = LOW;
    rig.pump_gauge = Some(Gauge {
        node: INLET,
        interval_s: 0.7,
        rounding: Rounding::Digits(3),
        thermometer: false,
        ..bench_gauge(rng)
    });
    rig
}

/// What the paperwork of the others does not say.
pub(super) fn paperwork(scenario: &mut Scenario) {
    let job = &mut scenario.job;
    job.hose = Some("three thin hoses 3.6 mm x 1.5 m, cores left in".into());
    job.gauge.description = Some("simulated gauge at the evaporator".into());
    scenario.pump_gauge = Some(GaugeIdentity {
        description: Some("simulated gauge at the pump".into()),
        serial: Some("SIM-2".into()),
        ..GaugeIdentity::default()
    });
}
