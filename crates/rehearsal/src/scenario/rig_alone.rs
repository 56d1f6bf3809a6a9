//! Pump, hoses and gauge by themselves: blank-off tests.

use std::sync::LazyLock;

use vacuum::{Job, flow::Tube};

use super::parts::{Scenario, hold, invented_rig, pull, rig};
use crate::{
    gas::MANIFOLD, household::Household, rig::Rig, rng::Rng, sources::LeakLaw, truth::Expected,
    world::World,
};

/// A rehearsal of a blank-off test.
#[derive(Debug, Clone)]
pub struct RigScenario {
    /// Name, story and script.
    pub scenario: Scenario,
    /// Where its pump ends, micron.
    pub pump_ends_micron: f64,
    /// The verdict that it deserves: 500 micron, kept for 30 min.
    pub right: Expected,
}

impl RigScenario {
    /// Finds one by name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        rig_scenarios().iter().find(|s| s.scenario.name == name)
    }
}

/// Every blank-off rehearsal, in the order to show them.
#[must_use]
pub fn rig_scenarios() -> &'static [RigScenario] {
    static ALL: LazyLock<Vec<RigScenario>> = LazyLock::new(all);
    &ALL
}

const IN_ORDER_MICRON: f64 = 45.0;
const TIRED_MICRON: f64 = 750.0;

/// The hoses end on shut valves: a few millilitres behind them, no capillary tube.
fn alone(rng: &mut Rng, ultimate_micron: f64) -> World {
    let house = Household {
        volume_l: 0.03,
        high_share: 0.5,
        capillary: Tube {
            diameter_mm: 6.0,
            length_m: 0.05,
        },
        core_mm: None,
        ultimate_micron,
        ..Household::upright_freezer()
    };
    let mut world = house.world(rng);
    world.add_everyday_gas(20.0, 900.0);
    world
}

fn tested(world: World, rng: &mut Rng) -> Rig {
    let script = [pull(300.0, 900.0, 1_200.0), hold(1_860.0)].concat();
    rig(world, rng, script)
}

fn in_order(rng: &mut Rng) -> Rig {
    let world = alone(rng, IN_ORDER_MICRON);
    tested(world, rng)
}

fn tired_oil(rng: &mut Rng) -> Rig {
    let world = alone(rng, TIRED_MICRON);
    tested(world, rng)
}

fn leaking_hose(rng: &mut Rng) -> Rig {
    let mut world = alone(rng, IN_ORDER_MICRON);
    world.add_leak(90.0, MANIFOLD, LeakLaw::Laminar);
    tested(world, rng)
}

fn all() -> Vec<RigScenario> {
    let of = |name: &'static str, title, story, build, pump_ends_micron, right| RigScenario {
        scenario: Scenario {
            name,
            title,
            story,
            seed: 61,
            job: Job {
                id: format!("rehearsal-{name}"),
                ..invented_rig()
            },
            pump_gauge: None,
            build,
        },
        pump_ends_micron,
        right,
    };
    vec![
        of(
            "rig-in-order",
            "Blank-off test of a good rig",
            "Pump and hoses pull against shut valves, get low and stay there.",
            in_order,
            IN_ORDER_MICRON,
            Expected::Pass,
        ),
        of(
            "rig-tired-oil",
            "Blank-off test of a pump with tired oil",
            "The oil has taken up what systems gave off: the pump ends high, however long it runs.",
            tired_oil,
            TIRED_MICRON,
            Expected::Fail,
        ),
        of(
            "rig-leaking-hose",
            "Blank-off test of a hose that leaks",
            "A gasket is worn: the pump copes, but nothing holds when its valve is shut.",
            leaking_hose,
            IN_ORDER_MICRON,
            Expected::Fail,
        ),
    ]
}
