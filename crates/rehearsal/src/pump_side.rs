//! A second gauge, at the pump: it samples at a pace of its own, and nothing it
//! does changes the run.

use crate::{
    event::{SimEvent, SimKind},
    gas::GASES,
    gauge::Gauge,
    rng::Rng,
    world::World,
};

/// The gauge and what it has said.
pub(crate) struct PumpSide {
    gauge: Gauge,
    rng: Rng,
    next_s: f64,
    last_s: f64,
    events: Vec<SimEvent>,
}

/// When it is asked: world time, and world time at which the record began.
pub(crate) struct Sampled {
    pub(crate) world_s: f64,
    pub(crate) zero_s: Option<f64>,
}

impl PumpSide {
    pub(crate) fn new(mut gauge: Gauge, world: &World, seed: u64) -> Self {
        gauge.felt_pa = gauge.instant_pa(&partial(world, gauge.node));
        Self {
            next_s: world.time_s,
            last_s: world.time_s - gauge.interval_s,
            rng: Rng::new(seed, 9),
            events: Vec::new(),
            gauge,
        }
    }

    /// World time of its next sample, s.
    pub(crate) fn due_s(&self) -> f64 {
        self.next_s
    }

    pub(crate) fn feel(&mut self, world: &World, dt_s: f64) {
        let partial = partial(world, self.gauge.node);
        self.gauge.feel(&partial, dt_s);
    }

    /// What it would show without noise, micron.
    pub(crate) fn clean_micron(&self) -> f64 {
        self.gauge.clean_micron()
    }

    pub(crate) fn sample(&mut self, at: Sampled) {
        let sensed = self.gauge.sample(at.world_s - self.last_s);
        self.last_s = at.world_s;
        let jitter = self.gauge.jitter_s * (self.rng.unit() - 0.5);
        self.next_s = at.world_s + (self.gauge.interval_s + jitter).max(0.02);
        let Some(zero_s) = at.zero_s else { return };
        self.events.push(SimEvent {
            t_s: at.world_s - zero_s,
            kind: SimKind::Reading {
                sensed,
                temperature_c: None,
            },
        });
    }

    pub(crate) fn into_events(self) -> Vec<SimEvent> {
        self.events
    }
}

fn partial(world: &World, node: usize) -> [f64; GASES] {
    std::array::from_fn(|g| world.partial(g, node))
}
