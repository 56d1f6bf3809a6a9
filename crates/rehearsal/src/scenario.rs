//! The named rehearsals.

mod frozen_water;
mod two_gauges;

use std::sync::LazyLock;

use vacuum::{AccessSides, GaugeIdentity, Job, SheetChoices};

use crate::{
    gas::{HIGH, LOW, MANIFOLD},
    gauge::{Gauge, Principle, Rounding},
    household::{Access, Household},
    rng::{Rng, Wander},
    script::{Rig, Step, Until},
    sources::LeakLaw,
    world::World,
};

/// A rehearsal: an invented system, a story, a script.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// Name on the command line.
    pub name: &'static str,
    /// One line.
    pub title: &'static str,
    /// What the technician meets, in a few sentences.
    pub story: &'static str,
    /// Default seed.
    pub seed: u64,
    /// The invented system and paperwork.
    pub job: Job,
    /// The gauge at the pump, where there is a second one; the job names the
    /// first, which is judged.
    pub pump_gauge: Option<GaugeIdentity>,
    build: fn(&mut Rng) -> Rig,
}

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

    pub(crate) fn rig(&self, seed: u64) -> Rig {
        (self.build)(&mut Rng::new(seed, 1))
    }
}

fn job(id: &str, sides: AccessSides, repair: &str) -> Job {
    Job {
        id: id.into(),
        invented: true,
        appliance: Some("upright freezer (invented)".into()),
        model: Some("example UF-280".into()),
        serial: Some("0000-INVENTED".into()),
        refrigerant: Some("R-600a".into()),
        charge_g: Some(60.0),
        oil: Some("mineral".into()),
        volume_l: Some(2.8),
        ambient_c: Some(21.0),
        coldest_part_c: Some(21.0),
        access_sides: Some(sides),
        gauge_open_to_system: Some(true),
        repair: Some(repair.into()),
        technician: Some("A. Example (invented)".into()),
        licence: None,
        shop: Some("Example Repairs (invented)".into()),
        pump: Some("two-stage rotary vane, 0.7 L/s".into()),
        hose: Some("two 6 mm x 0.9 m with cores, pump hose 7.5 mm x 1.2 m".into()),
        gauge: GaugeIdentity {
            description: Some("simulated gauge at the manifold".into()),
            serial: Some("SIM-1".into()),
            calibrated_on: None,
            calibration_due: None,
        },
        sheet: SheetChoices::default(),
    }
}

/// A sound hot-wire gauge at the manifold, one reading a second.
fn bench_gauge(rng: &mut Rng) -> Gauge {
    Gauge {
        node: MANIFOLD,
        principle: Principle::HotWire {
            response: [1.0, 1.15, 1.5],
            convection: 0.25,
        },
        lag_s: 1.2,
        noise_relative: 0.004,
        noise_micron: 0.6,
        rounding: Rounding::Step(1.0),
        top_micron: 25_000.0,
        bottom_micron: 1.0,
        hand_over: None,
        burst_chance: 0.0,
        interval_s: 1.0,
        jitter_s: 0.04,
        thermometer: true,
        felt_pa: 0.0,
        wander: Wander::new(2.0, rng),
        rng: Rng::new(rng.next_seed(), 3),
    }
}

fn rig(world: World, rng: &mut Rng, script: Vec<Step>) -> Rig {
    Rig {
        world,
        gauge: bench_gauge(rng),
        pump_gauge: None,
        script,
        marks: true,
        mark_delay_s: 1.5,
        outage: None,
        one_sided: false,
    }
}

/// Opens the valve and pulls down, staying a while at the target.
fn pull(micron: f64, dwell_s: f64, at_most_s: f64) -> Vec<Step> {
    vec![
        Step::Note("rehearsal: invented system"),
        Step::Wait(Until::Time(20.0)),
        Step::Open(1.0),
        Step::Wait(Until::Below {
            micron,
            dwell_s,
            at_most_s,
        }),
    ]
}

/// The right order: valve first, then pump, then wait.
fn hold(s: f64) -> Vec<Step> {
    vec![
        Step::Isolate,
        Step::Wait(Until::Time(15.0)),
        Step::StopPump,
        Step::Wait(Until::Time(s - 15.0)),
    ]
}

fn freezer(rng: &mut Rng) -> World {
    let mut world = Household::upright_freezer().world(rng);
    world.add_everyday_gas(2.5, 500.0);
    world
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
    let nitrogen = Step::Nitrogen {
        to_pa: 60_000.0,
        over_s: 40.0,
    };
    let script = [
        pull(1000.0, 120.0, 900.0),
        vec![Step::Isolate, Step::Wait(Until::Time(120.0)), nitrogen],
        vec![Step::Wait(Until::Time(240.0)), Step::Open(1.0)],
        vec![Step::Wait(Until::Below {
            micron: 600.0,
            dwell_s: 180.0,
            at_most_s: 900.0,
        })],
        vec![Step::Isolate, Step::Wait(Until::Time(120.0)), nitrogen],
        vec![Step::Wait(Until::Time(240.0)), Step::Open(1.0)],
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

/// One row of the table of scenarios.
struct Row {
    name: &'static str,
    title: &'static str,
    story: &'static str,
    sides: AccessSides,
    repair: &'static str,
    build: fn(&mut Rng) -> Rig,
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
