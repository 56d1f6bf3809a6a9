//! The named rehearsals.

mod frozen_water;
mod parts;
mod rig_alone;
mod two_gauges;

pub use parts::Scenario;
pub(crate) use parts::job as invented_job;
use parts::{Row, freezer, hold, job, pull, rig};
pub use rig_alone::{RigScenario, rig_scenarios};
use std::sync::LazyLock;

use vacuum::{AccessSides, Pressure};

use crate::{
    gas::{HIGH, LOW},
    household::{Access, Household},
    rig::{Rig, Step, Until},
    rng::Rng,
    sources::LeakLaw,
};

/// Every scenario, in the order to show them.
#[must_use]
pub fn scenarios() -> &'static [Scenario] {
    static ALL: LazyLock<Vec<Scenario>> = LazyLock::new(all);
    &ALL
}

impl Scenario {
    /// Finds a scenario by name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        scenarios().iter().find(|s| s.name == name)
    }
}

fn tight_and_dry(rng: &mut Rng) -> Rig {
    let world = freezer(rng);
    let script = [pull(300.0, 1100.0, 2400.0), hold(900.0)].concat();
    rig(world, rng, script)
}

fn small_leak(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_leak(32.0, LOW, LeakLaw::Laminar);
    let script = [pull(300.0, 900.0, 2400.0), hold(1200.0)].concat();
    rig(world, rng, script)
}

fn moisture_in_oil(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_moisture(950.0, 260.0, 1500.0);
    let script = [pull(400.0, 500.0, 2700.0), hold(1500.0)].concat();
    rig(world, rng, script)
}

fn leak_and_moisture(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_moisture(700.0, 180.0, 1500.0);
    world.add_leak(35.0, HIGH, LeakLaw::Laminar);
    let script = [pull(400.0, 500.0, 2700.0), hold(1500.0)].concat();
    rig(world, rng, script)
}

fn foaming_oil(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_foam(6000.0, 0.3, 3000.0);
    let script = [
        vec![
            Step::Note("rehearsal: invented system"),
            Step::Wait(Until::Time(20.0)),
            Step::Open(1.0),
            Step::Wait(Until::Foamed {
                for_s: 420.0,
                at_most_s: 900.0,
            }),
            Step::Throttle(0.03),
            Step::Wait(Until::Time(110.0)),
            Step::Open(1.0),
            Step::Wait(Until::Below {
                micron: 300.0,
                dwell_s: 600.0,
                at_most_s: 1800.0,
            }),
        ],
        hold(780.0),
    ]
    .concat();
    rig(world, rng, script)
}

fn boiling_water(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_pool(3.0, 3.0, 0.9);
    let script = [pull(400.0, 400.0, 3000.0), hold(780.0)].concat();
    rig(world, rng, script)
}

fn pump_stopped_first(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.pump.backflow_l_per_s = 4e-4;
    let script = [
        pull(300.0, 700.0, 2400.0),
        vec![
            Step::StopPump,
            Step::Wait(Until::Time(150.0)),
            Step::Isolate,
            Step::Wait(Until::Time(700.0)),
        ],
    ]
    .concat();
    rig(world, rng, script)
}

fn hold_cut_short(rng: &mut Rng) -> Rig {
    let world = freezer(rng);
    let script = [pull(300.0, 900.0, 2400.0), hold(270.0)].concat();
    rig(world, rng, script)
}

fn one_side_capillary(rng: &mut Rng) -> Rig {
    let mut house = Household::upright_freezer();
    house.access = Access::LowOnly;
    let mut world = house.world(rng);
    world.add_everyday_gas(6.0, 500.0);
    let script = [pull(400.0, 600.0, 3000.0), hold(900.0)].concat();
    Rig {
        one_sided: true,
        ..rig(world, rng, script)
    }
}

fn triple_evacuation(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_moisture(110.0, 200.0, 2000.0);
    // slightly above the air outside, which then has no way in while it is vented
    let nitrogen = Step::Nitrogen {
        to_pa: Pressure::ATMOSPHERE.pa() + 5_000.0,
        over_s: 40.0,
    };
    let vent = Step::Vent { over_s: 20.0 };
    let script = [
        pull(1000.0, 120.0, 900.0),
        vec![Step::Isolate, Step::Wait(Until::Time(120.0)), nitrogen],
        vec![Step::Wait(Until::Time(240.0)), vent, Step::Open(1.0)],
        vec![Step::Wait(Until::Below {
            micron: 600.0,
            dwell_s: 180.0,
            at_most_s: 900.0,
        })],
        vec![Step::Isolate, Step::Wait(Until::Time(120.0)), nitrogen],
        vec![Step::Wait(Until::Time(240.0)), vent, Step::Open(1.0)],
        vec![Step::Wait(Until::Below {
            micron: 300.0,
            dwell_s: 700.0,
            at_most_s: 1500.0,
        })],
        hold(720.0),
    ]
    .concat();
    rig(world, rng, script)
}

fn gross_leak(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    world.add_leak(2600.0, LOW, LeakLaw::Choked);
    let script = [pull(500.0, 60.0, 1300.0), hold(780.0)].concat();
    rig(world, rng, script)
}

fn free_water_left(rng: &mut Rng) -> Rig {
    let mut world = freezer(rng);
    // under oil or in a dead end: little leaves it, and nothing stops it in the hold
    world.add_pool(6.0, 0.003, 0.08);
    let script = [pull(400.0, 300.0, 1500.0), hold(2400.0)].concat();
    rig(world, rng, script)
}

fn all() -> Vec<Scenario> {
    let with_seed = |(row, seed): (&Row, u64)| Scenario {
        name: row.name,
        title: row.title,
        story: row.story,
        seed,
        job: job(&format!("rehearsal-{}", row.name), row.sides, row.repair),
        pump_gauge: None,
        build: row.build,
    };
    let mut all: Vec<Scenario> = ROWS.iter().zip(11..).map(with_seed).collect();
    let two = all.iter_mut().filter(|s| s.name == two_gauges::NAME);
    two.for_each(two_gauges::paperwork);
    all
}

const ROWS: [Row; 14] = [
    Row {
        name: "tight-and-dry",
        title: "A sound repair",
        story: "Joint brazed under nitrogen, drier renewed. The system pulls down, \
             stays at the target for a while and holds.",
        sides: AccessSides::Both,
        repair: "evaporator joint brazed, drier renewed",
        build: tight_and_dry,
    },
    Row {
        name: "small-leak",
        title: "A pinhole in a joint",
        story: "The pull-down looks well, but air comes in through a pinhole: after isolation the \
             pressure climbs on a straight line.",
        sides: AccessSides::Both,
        repair: "process tube brazed",
        build: small_leak,
    },
    Row {
        name: "moisture-in-oil",
        title: "Moisture left in the oil",
        story: "The system stood open over a wet weekend. The joint is tight, but the oil gives water \
             up and the hold rises and levels off.",
        sides: AccessSides::Both,
        repair: "compressor exchanged after standing open",
        build: moisture_in_oil,
    },
    Row {
        name: "leak-and-moisture",
        title: "A leak, and moisture that came with it",
        story: "A cracked tube let air and damp in for weeks. The hold bends at first, then keeps \
             climbing straight.",
        sides: AccessSides::Both,
        repair: "condenser tube repaired",
        build: leak_and_moisture,
    },
    Row {
        name: "foaming-oil",
        title: "Pump oil foams until the flow is reduced",
        story: "The pump's oil is laden with gas. The reading hunts on a plateau and gets nowhere until \
             the valve is throttled and the foam collapses.",
        sides: AccessSides::Both,
        repair: "drier renewed",
        build: foaming_oil,
    },
    Row {
        name: "boiling-water",
        title: "Free water boils",
        story: "Three grams of water lie in the evaporator. The pull-down hangs where water boils, \
             until the last of it is gone.",
        sides: AccessSides::Both,
        repair: "evaporator leak under the ice repaired",
        build: boiling_water,
    },
    Row {
        name: "pump-stopped-first",
        title: "The pump was stopped with its valve open",
        story: "At the target the pump is switched off before its valve is shut: air and oil vapour \
             come back through the pump.",
        sides: AccessSides::Both,
        repair: "drier renewed",
        build: pump_stopped_first,
    },
    Row {
        name: "hold-cut-short",
        title: "Not held for long enough",
        story: "A sound system, but the hold was ended after four and a half minutes.",
        sides: AccessSides::Both,
        repair: "process tube brazed",
        build: hold_cut_short,
    },
    Row {
        name: "one-side-capillary",
        title: "Evacuated from one side only",
        story: "Only the process tube was connected. The condenser empties through the capillary and \
             bleeds back during the hold.",
        sides: AccessSides::One,
        repair: "process tube brazed",
        build: one_side_capillary,
    },
    Row {
        name: "triple-evacuation",
        title: "Three evacuations with nitrogen between",
        story: "Two breaks with dry nitrogen sweep the damp out; the third pull-down holds.",
        sides: AccessSides::Both,
        repair: "compressor exchanged",
        build: triple_evacuation,
    },
    Row {
        name: "gross-leak",
        title: "A joint left open",
        story: "The pump fights a hole. The target is never reached and the reading runs away at once \
             when the valve is shut.",
        sides: AccessSides::Both,
        repair: "condenser tube repaired",
        build: gross_leak,
    },
    Row {
        name: "free-water-left",
        title: "Free water left in a corner",
        story: "Water lies under the oil of a trap. The pump goes past it, and in the hold the pressure \
             climbs towards what water makes at room temperature.",
        sides: AccessSides::Both,
        repair: "evaporator leak under the ice repaired",
        build: free_water_left,
    },
    Row {
        name: two_gauges::NAME,
        title: "A gauge at each end of a thin hose",
        story: "Thin hoses with valve cores left in join the system to the pump. The gauge at the \
             pump is soon at the target; the one at the far side of the system is not for a long time.",
        sides: AccessSides::Both,
        repair: "evaporator joint brazed, drier renewed",
        build: two_gauges::build,
    },
    frozen_water::ROW,
];
