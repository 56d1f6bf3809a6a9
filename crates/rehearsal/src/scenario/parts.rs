//! What rehearsals are put together from.

use vacuum::{AccessSides, GaugeIdentity, Job, SheetChoices};

use crate::{
    gas::MANIFOLD,
    gauge::{Gauge, Principle, Rounding},
    household::Household,
    rig::{Rig, Step, Until},
    rng::{Rng, Wander},
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
    pub(super) build: fn(&mut Rng) -> Rig,
}

impl Scenario {
    pub(crate) fn rig(&self, seed: u64) -> Rig {
        (self.build)(&mut Rng::new(seed, 1))
    }
}

/// One row of the table of scenarios.
pub(super) struct Row {
    pub(super) name: &'static str,
    pub(super) title: &'static str,
    pub(super) story: &'static str,
    pub(super) sides: AccessSides,
    pub(super) repair: &'static str,
    pub(super) build: fn(&mut Rng) -> Rig,
}

pub(crate) fn job(id: &str, sides: AccessSides, repair: &str) -> Job {
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
            principle: None,
            calibrated_on: None,
            calibration_due: None,
        },
        sheet: SheetChoices::default(),
        ..Job::default()
    }
}

/// The paperwork of a test of pump and hoses alone.
pub(super) fn invented_rig() -> Job {
    let of_a_system = job("", AccessSides::Both, "");
    Job {
        invented: true,
        ambient_c: of_a_system.ambient_c,
        technician: of_a_system.technician,
        shop: of_a_system.shop,
        pump: of_a_system.pump,
        hose: of_a_system.hose,
        gauge: of_a_system.gauge,
        ..Job::default()
    }
}

/// A sound hot-wire gauge at the manifold, one reading a second.
pub(super) fn bench_gauge(rng: &mut Rng) -> Gauge {
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

pub(super) fn rig(world: World, rng: &mut Rng, script: Vec<Step>) -> Rig {
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
pub(super) fn pull(micron: f64, dwell_s: f64, at_most_s: f64) -> Vec<Step> {
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
pub(super) fn hold(s: f64) -> Vec<Step> {
    vec![
        Step::Isolate,
        Step::Wait(Until::Time(15.0)),
        Step::StopPump,
        Step::Wait(Until::Time(s - 15.0)),
    ]
}

pub(super) fn freezer(rng: &mut Rng) -> World {
    let mut world = Household::upright_freezer().world(rng);
    world.add_everyday_gas(2.5, 500.0);
    world
}
