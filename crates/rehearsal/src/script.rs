//! What the technician does, and the recorder that follows.

use vacuum::{MarkKind, Pressure, Sensed};

use crate::{
    event::{SimEvent, SimKind},
    gas::{GASES, INLET, LOW, MANIFOLD, WATER},
    pump_side::{PumpSide, Sampled},
    rig::{Glimpse, Played, Rig, Step, Until},
    rng::Rng,
};

struct Player {
    rig: Rig,
    pump_side: Option<PumpSide>,
    out: Played,
    rng: Rng,
    /// World time at which the record began, if it did.
    zero_s: Option<f64>,
    next_sample_s: f64,
    last_sample_s: f64,
    next_glimpse_s: f64,
    isolated: bool,
    throttled: bool,
    silent: bool,
}

/// Longest stretch between looks at the condition of a wait, s.
const LOOK_S: f64 = 1.0;

/// Plays a rig to its end.
pub(crate) fn play(rig: Rig, seed: u64) -> Played {
    let from_start = !rig.script.iter().any(|s| matches!(s, Step::Record));
    let script = rig.script.clone();
    let mut player = Player {
        pump_side: rig
            .pump_gauge
            .clone()
            .map(|g| PumpSide::new(g, &rig.world, seed)),
        zero_s: from_start.then_some(rig.world.time_s),
        next_sample_s: rig.world.time_s,
        last_sample_s: rig.world.time_s - rig.gauge.interval_s,
        next_glimpse_s: rig.world.time_s,
        rng: Rng::new(seed, 7),
        isolated: false,
        throttled: false,
        silent: false,
        out: Played {
            events: Vec::new(),
            pump_side: None,
            glimpses: Vec::new(),
            end_s: 0.0,
            isolations: Vec::new(),
            at_isolation: None,
            stopped_open_s: None,
            started_isolated: false,
            outage: None,
        },
        rig,
    };
    let partial = player.partial();
    player.rig.gauge.felt_pa = player.rig.gauge.instant_pa(&partial);
    for step in script {
        player.act(step);
    }
    player.out.end_s = player.now();
    player.out.pump_side = player.pump_side.map(PumpSide::into_events);
    player.out.events.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    player.out
}

impl Player {
    fn now(&self) -> f64 {
        self.rig.world.time_s - self.zero_s.unwrap_or(self.rig.world.time_s)
    }

    fn partial(&self) -> [f64; GASES] {
        let node = self.rig.gauge.node;
        std::array::from_fn(|g| self.rig.world.partial(g, node))
    }

    fn mark(&mut self, kind: MarkKind, note: &str) {
        if !self.rig.marks || self.zero_s.is_none() {
            return;
        }
        let t_s = self.now() + self.rng.unit() * self.rig.mark_delay_s;
        self.out.events.push(SimEvent {
            t_s,
            kind: SimKind::Mark(kind, note.to_owned()),
        });
    }

    fn act(&mut self, step: Step) {
        match step {
            Step::Open(opening) => {
                let was_shut = self.rig.world.opening() == 0.0;
                self.rig.world.turn_valve(opening);
                self.isolated = false;
                self.throttled = false;
                if was_shut {
                    self.mark(MarkKind::ValveOpened, "");
                } else {
                    self.mark(MarkKind::ValveOpened, "full flow again");
                }
            }
            Step::Throttle(opening) => {
                self.rig.world.turn_valve(opening);
                self.throttled = true;
                self.mark(MarkKind::Throttled, "");
            }
            Step::Wait(until) => self.wait(until),
            Step::Isolate => self.isolate(),
            Step::Blip { shut_s } => {
                let opening = self.rig.world.opening();
                self.rig.world.turn_valve(0.0);
                self.wait(Until::Time(shut_s));
                self.rig.world.turn_valve(opening);
            }
            Step::StopPump => {
                self.rig.world.pump.running = false;
                self.rig.world.disturb();
                if self.rig.world.opening() > 0.0 {
                    self.out.stopped_open_s = Some(self.now());
                }
                self.mark(MarkKind::PumpStopped, "");
            }
            Step::Heat(w_per_k) => {
                for pool in &mut self.rig.world.pools {
                    pool.warming_w_per_k = w_per_k;
                }
                self.rig.world.disturb();
                self.mark(MarkKind::HeatApplied, "warm water on the cold spot");
            }
            Step::Ballast(open) => {
                self.rig.world.pump.ballast = open;
                if open {
                    self.mark(MarkKind::BallastOpened, "");
                }
            }
            Step::Nitrogen { to_pa, over_s } => self.nitrogen(to_pa, over_s),
            Step::Vent { over_s } => self.vent(over_s),
            Step::Note(text) => self.mark(MarkKind::Note, text),
            Step::Record => {
                self.zero_s = Some(self.rig.world.time_s);
                self.next_sample_s = self.rig.world.time_s;
                self.next_glimpse_s = self.rig.world.time_s;
                self.out.started_isolated = self.isolated;
                self.out.isolations.clear();
                self.out.stopped_open_s = None;
                if self.isolated {
                    self.out.isolations.push(0.0);
                    self.snapshot();
                }
            }
        }
    }

    fn snapshot(&mut self) {
        self.out.at_isolation = Some((self.rig.world.clone(), self.rig.gauge.clone()));
    }

    fn isolate(&mut self) {
        self.rig.world.turn_valve(0.0);
        self.isolated = true;
        let now = self.now();
        self.out.isolations.push(now);
        self.snapshot();
        if let Some(o) = self.rig.outage {
            let start = now + o.after_isolation_s;
            self.out.outage = Some((start, start + o.length_s));
        }
        self.mark(MarkKind::PumpSideShut, "");
    }

    fn nitrogen(&mut self, to_pa: f64, over_s: f64) {
        let flow = to_pa * self.rig.world.system_volume_l() / over_s;
        self.rig.world.nitrogen_pa_l_per_s = flow;
        self.rig.world.disturb();
        self.isolated = false;
        self.mark(MarkKind::NitrogenBreak, "dry, through the regulator");
        self.wait(Until::Time(over_s));
        self.rig.world.nitrogen_pa_l_per_s = 0.0;
        self.rig.world.disturb();
    }

    /// Down to the air outside: from below it air would come in instead.
    fn vent(&mut self, over_s: f64) {
        let world = &mut self.rig.world;
        let above_pa = (world.total(MANIFOLD) - Pressure::ATMOSPHERE.pa()).max(0.0);
        world.nitrogen_pa_l_per_s = -above_pa * world.system_volume_l() / over_s;
        world.disturb();
        self.mark(MarkKind::Note, "vented from above atmospheric pressure");
        self.wait(Until::Time(over_s));
        self.rig.world.nitrogen_pa_l_per_s = 0.0;
        self.rig.world.disturb();
    }

    fn wait(&mut self, until: Until) {
        let start = self.rig.world.time_s;
        let mut reached = None;
        let mut foamed_s = 0.0;
        loop {
            let waited = self.rig.world.time_s - start;
            let (done, left) = match until {
                Until::Time(s) => (waited >= s - 1e-6, s - waited),
                Until::Below {
                    micron,
                    dwell_s,
                    at_most_s,
                } => {
                    if reached.is_none() && self.rig.gauge.clean_micron() <= micron {
                        reached = Some(waited);
                    }
                    let end = reached.map_or(at_most_s, |r: f64| (r + dwell_s).min(at_most_s));
                    (waited >= end - 1e-6, end - waited)
                }
                Until::Foamed { for_s, at_most_s } => (
                    foamed_s >= for_s || waited >= at_most_s - 1e-6,
                    at_most_s - waited,
                ),
            };
            if done {
                return;
            }
            let before = self.rig.world.time_s;
            self.advance(left.min(LOOK_S));
            if self.rig.world.is_foaming() {
                foamed_s += self.rig.world.time_s - before;
            }
        }
    }

    /// Runs the plant for `length_s`, sampling and glimpsing on the way.
    fn advance(&mut self, length_s: f64) {
        let end = self.rig.world.time_s + length_s;
        while self.rig.world.time_s < end - 1e-9 {
            let beside_s = self
                .pump_side
                .as_ref()
                .map_or(f64::INFINITY, PumpSide::due_s);
            let due = end
                .min(self.next_sample_s)
                .min(self.next_glimpse_s)
                .min(beside_s);
            let left = due - self.rig.world.time_s;
            if left > 1e-9 {
                let dt = self.rig.world.step(left);
                let partial = self.partial();
                self.rig.gauge.feel(&partial, dt);
                if let Some(gauge) = &mut self.pump_side {
                    gauge.feel(&self.rig.world, dt);
                }
                continue;
            }
            if self.next_sample_s <= due {
                self.sample();
            }
            if let Some(gauge) = &mut self.pump_side
                && beside_s <= due
            {
                gauge.sample(Sampled {
                    world_s: self.rig.world.time_s,
                    zero_s: self.zero_s,
                });
            }
            if self.next_glimpse_s <= due {
                self.glimpse();
                self.next_glimpse_s += LOOK_S;
            }
        }
    }

    fn sample(&mut self) {
        let at = self.rig.world.time_s;
        let gauge = &mut self.rig.gauge;
        let mut sensed = gauge.sample(at - self.last_sample_s);
        self.last_sample_s = at;
        let jitter = gauge.jitter_s * (self.rng.unit() - 0.5);
        self.next_sample_s = at + (gauge.interval_s + jitter).max(0.02);
        let temperature_c = gauge.thermometer.then(|| {
            let noisy = self.rig.world.climate.at(at) + 0.03 * self.rng.normal();
            (noisy * 10.0).round() / 10.0
        });
        if self.zero_s.is_none() {
            return;
        }
        let t_s = self.now();
        if let (Some((from, to)), Some(outage)) = (self.out.outage, self.rig.outage) {
            if t_s >= from && t_s < to {
                if outage.sensed == Sensed::Gap {
                    self.silent = true;
                    return;
                }
                sensed = outage.sensed;
            } else if self.silent {
                self.silent = false;
                self.push_reading(t_s, Sensed::Gap, None);
                return;
            }
        }
        self.push_reading(t_s, sensed, temperature_c);
    }

    fn push_reading(&mut self, t_s: f64, sensed: Sensed, temperature_c: Option<f64>) {
        self.out.events.push(SimEvent {
            t_s,
            kind: SimKind::Reading {
                sensed,
                temperature_c,
            },
        });
    }

    fn glimpse(&mut self) {
        if self.zero_s.is_none() {
            return;
        }
        let w = &self.rig.world;
        let system_pa = w.total(LOW);
        self.out.glimpses.push(Glimpse {
            t_s: self.now(),
            shown_micron: self.rig.gauge.clean_micron(),
            pump_side_micron: self.pump_side.as_ref().map(PumpSide::clean_micron),
            system_pa,
            inlet_pa: w.total(INLET),
            water_share: w.partial(WATER, LOW) / system_pa.max(1e-6),
            pool: w.pools.iter().any(|p| p.mass_g > 0.005),
            frozen: w
                .pools
                .iter()
                .map(|p| 2.0 * p.frozen_g - p.mass_g)
                .sum::<f64>()
                > 0.0,
            foaming: w.is_foaming(),
            pumping: w.pump.running && w.opening() > 0.0,
            throttled: self.throttled,
        });
    }
}
