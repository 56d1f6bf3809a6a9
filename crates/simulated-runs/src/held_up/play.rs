//! What the technician does, and what the recorder sees of it.

use vacuum::{Entry, Mark, MarkKind};

use super::{
    instrument::Instrument,
    rig::{ATMOSPHERE_PA, Rig},
};
use rehearsal::rng::Rng;

/// One act or wait.
#[derive(Debug, Clone, Copy)]
pub(super) enum Act {
    /// Opens the valve to the pump.
    Open,
    /// Opens it only so far.
    Throttle(f64),
    /// Waits so many seconds.
    Wait(f64),
    /// Waits until the pressure has been below so many micron for so long, s, at
    /// most so long.
    Below(f64, f64, f64),
    /// Waits until it has stood below so many micron for so long, s, at most so long.
    Stands(f64, f64, f64),
    /// Waits until the oil has foamed for so long, s.
    Foams(f64),
    Heat(f64),
    Ballast(bool),
    /// Shuts the valve, lets nitrogen in to so many Pa, waits, opens.
    Nitrogen(f64, f64),
    /// Shuts the valve for a moment and says nothing.
    Blip(f64),
    /// Shuts the valve for good.
    Isolate,
}

/// State about once a second, for the truth.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    pub(super) t_s: f64,
    /// Indication without noise, micron.
    pub(super) micron: f64,
    pub(super) system_pa: f64,
    pub(super) inlet_pa: f64,
    pub(super) water_share: f64,
    pub(super) liquid_g: f64,
    pub(super) ice_g: f64,
    pub(super) foaming: bool,
    pub(super) opening: f64,
    /// What the pump takes of the gas that comes in from anywhere but the pockets
    /// and from the volume itself: leak, walls, oil, Pa·L/s.
    pub(super) load: f64,
}

/// A run as played.
#[derive(Debug, Default)]
pub(super) struct Played {
    pub(super) entries: Vec<Entry>,
    pub(super) looks: Vec<Look>,
    /// Heat and nitrogen, s.
    pub(super) helped_s: Vec<f64>,
}

const DT_S: f64 = 0.1;
/// Length over which a level is seen to stand, looks.
const STANDS_OVER: usize = 60;

pub(super) struct Player {
    pub(super) rig: Rig,
    pub(super) gauge: Instrument,
    /// Nobody stamps marks when absent; else how late they come at most, s.
    pub(super) marks_late_s: Option<f64>,
    pub(super) out: Played,
    pub(super) rng: Rng,
    pub(super) next_reading_s: f64,
    pub(super) next_look_s: f64,
}

impl Player {
    pub(super) fn play(mut self, script: &[Act]) -> (Played, Rig, Instrument) {
        let at = self.rig.at_gauge_pa();
        self.gauge.feel(at, 1e3);
        for act in script {
            self.act(*act);
        }
        let order = |a: &Entry, b: &Entry| a.elapsed_s().total_cmp(&b.elapsed_s());
        self.out.entries.sort_by(order);
        (self.out, self.rig, self.gauge)
    }

    fn mark(&mut self, kind: MarkKind) {
        if let Some(late_s) = self.marks_late_s {
            self.out.entries.push(Entry::Mark(Mark {
                elapsed_s: self.rig.t_s + late_s * self.rng.unit(),
                kind,
                note: String::new(),
            }));
        }
    }

    fn act(&mut self, act: Act) {
        match act {
            Act::Open => {
                self.rig.opening = 1.0;
                self.mark(MarkKind::ValveOpened);
            }
            Act::Throttle(opening) => {
                self.rig.opening = opening;
                self.mark(MarkKind::Throttled);
            }
            Act::Wait(s) => self.wait(s, |_, _| false),
            Act::Below(micron, dwell_s, most_s) => {
                self.wait(most_s, |p, _| p.last_micron() <= micron);
                self.wait(dwell_s, |_, _| false);
            }
            Act::Stands(micron, for_s, most_s) => {
                let mut stood_s = 0.0;
                self.wait(most_s, |p, dt| {
                    stood_s = if p.stands_below(micron) {
                        stood_s + dt
                    } else {
                        0.0
                    };
                    stood_s >= for_s
                });
            }
            Act::Foams(for_s) => {
                let mut foamed_s = 0.0;
                self.wait(1_500.0, |p, dt| {
                    foamed_s += if p.rig.is_foaming() { dt } else { 0.0 };
                    foamed_s >= for_s
                });
            }
            Act::Heat(k) => {
                self.rig.heat_k = k;
                self.out.helped_s.push(self.rig.t_s);
                self.mark(MarkKind::HeatApplied);
            }
            Act::Ballast(open) => {
                self.rig.ballast = open;
                if open {
                    self.mark(MarkKind::BallastOpened);
                }
            }
            Act::Nitrogen(to_pa, stays_s) => self.nitrogen(to_pa, stays_s),
            Act::Blip(shut_s) => {
                self.rig.opening = 0.0;
                self.wait(shut_s, |_, _| false);
                self.rig.opening = 1.0;
            }
            Act::Isolate => {
                self.rig.opening = 0.0;
                self.mark(MarkKind::PumpSideShut);
            }
        }
    }

    fn nitrogen(&mut self, to_pa: f64, stays_s: f64) {
        const FILLS_S: f64 = 25.0;
        self.rig.opening = 0.0;
        self.out.helped_s.push(self.rig.t_s);
        self.mark(MarkKind::NitrogenBreak);
        self.rig.nitrogen_pa_per_s = to_pa.min(ATMOSPHERE_PA) / FILLS_S;
        self.wait(FILLS_S, |_, _| false);
        self.rig.nitrogen_pa_per_s = 0.0;
        self.wait(stays_s, |_, _| false);
        self.rig.opening = 1.0;
        self.mark(MarkKind::ValveOpened);
    }

    fn last_micron(&self) -> f64 {
        self.gauge.felt_micron
    }

    fn stands_below(&self, micron: f64) -> bool {
        let looks = &self.out.looks;
        let Some(then) = looks.len().checked_sub(STANDS_OVER).map(|i| &looks[i]) else {
            return false;
        };
        let now = self.last_micron();
        now < micron && (now / then.micron).ln().abs() < 0.05
    }

    /// Runs for so long, or until something holds.
    fn wait(&mut self, most_s: f64, mut until: impl FnMut(&Self, f64) -> bool) {
        let end_s = self.rig.t_s + most_s;
        while self.rig.t_s < end_s - 0.5 * DT_S {
            self.rig.step(DT_S);
            let at = self.rig.at_gauge_pa();
            self.gauge.feel(at, DT_S);
            if self.rig.t_s >= self.next_reading_s - 1e-6 {
                self.next_reading_s += self.gauge.interval_s;
                let entry = self.gauge.reading(self.rig.t_s);
                self.out.entries.push(entry);
            }
            if self.rig.t_s >= self.next_look_s - 1e-6 {
                self.next_look_s += 1.0;
                self.look();
            }
            if until(self, DT_S) {
                return;
            }
        }
    }

    fn look(&mut self) {
        let rig = &self.rig;
        let inside = rig.total_pa() / ATMOSPHERE_PA;
        self.out.looks.push(Look {
            t_s: rig.t_s,
            micron: self.gauge.felt_micron,
            system_pa: rig.total_pa(),
            inlet_pa: rig.inlet_pa,
            water_share: rig.water_pa / rig.total_pa(),
            liquid_g: rig.pockets.iter().map(|p| p.liquid_g).sum(),
            ice_g: rig.pockets.iter().map(|p| p.ice_g).sum(),
            foaming: rig.is_foaming(),
            opening: rig.opening,
            load: rig.leak * (1.0 - inside * inside)
                + rig.walls.0 * (1.0 + rig.t_s / rig.walls.1).powf(-rig.walls.2)
                + rig.oil.0 / rig.oil.1,
        });
    }
}
