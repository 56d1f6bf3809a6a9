//! Rehearsals of a pressure test: nitrogen in a household system, its walls and the room.
//!
//! Gas and walls are balances of amount and heat, integrated in time: gas that is let in
//! warms what is there, the walls take the heat up, the room takes it from the walls. The
//! leak is laminar. The gas law is ideal but for a second virial coefficient of nitrogen,
//! linear in temperature (from memory).

use std::sync::LazyLock;

use vacuum::{
    AccessSides, AllowedLoss, GaugeIdentity, Job, MarkKind, Pressure, Sensed, TestGas, TestKind,
    TestPlan, ZERO_CELSIUS_K,
};

use crate::{
    event::{SimEvent, SimKind},
    rng::Rng,
    scenario::invented_job,
    truth::Expected,
};

/// Step of the balance and pause between readings, s.
const STEP_S: f64 = 1.0;
/// Molar gas constant, J/(mol·K).
const R: f64 = 8.314_46;
/// Molar heat of nitrogen at constant pressure and at constant volume, J/(mol·K): 7/2 and
/// 5/2 of R.
const CP: f64 = 3.5 * R;
const CV: f64 = 2.5 * R;
/// The air outside, Pa.
const AIR_PA: f64 = 101_325.0;
/// Inner volume, m³.
const VOLUME_M3: f64 = 2.8e-3;
/// How fast the supply fills: share of what is missing, 1/s.
const FILLS_PER_S: f64 = 0.12;
/// Heat from gas to walls, W/K, and heat that the walls hold, J/K: 6 kg of steel and copper.
const GAS_TO_WALL_W_PER_K: f64 = 0.9;
const WALL_J_PER_K: f64 = 2_700.0;
/// Heat from the walls to the room, W/K.
const WALL_TO_ROOM_W_PER_K: f64 = 3.0;

/// A rehearsal of a pressure test.
#[derive(Debug, Clone)]
pub struct PressureScenario {
    /// Name on the command line.
    pub name: &'static str,
    /// One line.
    pub title: &'static str,
    /// Default seed.
    pub seed: u64,
    /// The invented system and paperwork.
    pub job: Job,
    /// What is known of the test.
    pub test: TestPlan,
    story: Story,
}

/// What happens.
#[derive(Debug, Clone, Copy)]
struct Story {
    /// p·V/t at the pressure of the test, Pa·m³/s.
    leak_pa_m3_per_s: f64,
    /// How far the room cools in an hour, K.
    cools_k_per_h: f64,
    /// How long the gas stands under the supply before its valve is shut, s.
    stands_s: f64,
    /// From "shut" to the end, s.
    hold_s: f64,
    /// The valve of the supply stays open though it is stamped shut.
    supply_open: bool,
    thermometer: bool,
    /// Loss that is allowed, Pa·m³/s: 0.02 is about a hundredth of the gas in an hour.
    allowed_pa_m3_per_s: f64,
    /// Verdicts that are not wrong.
    fitting: &'static [Expected],
}

/// What was simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct TruePressureTest {
    /// The leak, p·V/t at the pressure of the test, Pa·m³/s; 0 when tight.
    pub leak_pa_m3_per_s: f64,
    /// The supply stayed open.
    pub supply_open: bool,
    /// Verdicts that are not wrong.
    pub fitting: Vec<Expected>,
}

/// Every rehearsal of a pressure test, in the order to show them.
#[must_use]
pub fn pressure_scenarios() -> &'static [PressureScenario] {
    static ALL: LazyLock<Vec<PressureScenario>> = LazyLock::new(all);
    &ALL
}

fn all() -> Vec<PressureScenario> {
    const TIGHT: Story = Story {
        leak_pa_m3_per_s: 0.0,
        cools_k_per_h: 0.3,
        stands_s: 600.0,
        hold_s: 3_600.0,
        supply_open: false,
        thermometer: true,
        allowed_pa_m3_per_s: 0.02,
        fitting: &[Expected::Pass],
    };
    let not_proven: &[Expected] = &[Expected::NotProven];
    let rows = [
        (
            "nitrogen-cooling-room",
            "Pressure test: tight, and the pressure falls because the room cools",
            Story {
                cools_k_per_h: 2.5,
                ..TIGHT
            },
        ),
        (
            "nitrogen-leak",
            "Pressure test: a joint leaks",
            Story {
                leak_pa_m3_per_s: 0.08,
                fitting: &[Expected::Fail],
                ..TIGHT
            },
        ),
        (
            "nitrogen-heat-of-filling",
            "Pressure test: shut at once after filling, the gas still warm",
            Story {
                stands_s: 0.0,
                hold_s: 1_200.0,
                fitting: not_proven,
                ..TIGHT
            },
        ),
        (
            "nitrogen-supply-open",
            "Pressure test: the valve of the supply does not close",
            Story {
                cools_k_per_h: 2.5,
                supply_open: true,
                fitting: not_proven,
                ..TIGHT
            },
        ),
        (
            "nitrogen-no-thermometer",
            "Pressure test: the pressure falls, and nothing measures the temperature",
            Story {
                cools_k_per_h: 2.5,
                thermometer: false,
                allowed_pa_m3_per_s: 0.01,
                fitting: not_proven,
                ..TIGHT
            },
        ),
        (
            "nitrogen-too-short",
            "Pressure test: looked at for five minutes only",
            Story {
                hold_s: 300.0,
                fitting: not_proven,
                ..TIGHT
            },
        ),
    ];
    rows.into_iter()
        .enumerate()
        .map(|(i, (name, title, story))| PressureScenario {
            name,
            title,
            seed: 4_101 + i as u64,
            job: job(&format!("INVENTED-P{}", i + 1), story.thermometer),
            test: TestPlan {
                gas: Some(TestGas::Nitrogen),
                allowed: Some(AllowedLoss::Throughput {
                    pa_m3_per_s: story.allowed_pa_m3_per_s,
                }),
                hold_min: Some(15.0),
                least_pa: Some(10e5),
                highest_pa: Some(13e5),
                ..TestPlan::of(TestKind::PressureDecay)
            },
            story,
        })
        .collect()
}

fn job(id: &str, thermometer: bool) -> Job {
    let with = if thermometer {
        " with a clip-on thermometer"
    } else {
        ""
    };
    Job {
        gauge: GaugeIdentity {
            description: Some(format!(
                "simulated pressure transmitter, 0 to 16 bar abs{with}"
            )),
            serial: Some("SIM-P".into()),
            ..GaugeIdentity::default()
        },
        ..invented_job(id, AccessSides::Both, "process tube and drier brazed")
    }
}

impl PressureScenario {
    /// Finds a rehearsal by name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        pressure_scenarios().iter().find(|s| s.name == name)
    }

    /// What was simulated.
    #[must_use]
    pub fn truth(&self) -> TruePressureTest {
        TruePressureTest {
            leak_pa_m3_per_s: self.story.leak_pa_m3_per_s,
            supply_open: self.story.supply_open,
            fitting: self.story.fitting.to_vec(),
        }
    }

    /// Plays it: what the gauge says and what the technician stamps, in order of time. The
    /// same seed always gives the same events.
    #[must_use]
    pub fn play(&self, seed: u64) -> Vec<SimEvent> {
        Play::new(self.story, Rng::new(seed, 41)).run()
    }
}

/// Gas, walls, room and instruments on their way.
struct Play {
    story: Story,
    rng: Rng,
    events: Vec<SimEvent>,
    t_s: f64,
    mol: f64,
    gas_k: f64,
    wall_k: f64,
    room_k: f64,
    /// What the thermometer shows, before its noise, K.
    shown_k: f64,
}

impl Play {
    fn new(story: Story, rng: Rng) -> Self {
        let room_k = 21.0 + ZERO_CELSIUS_K;
        Self {
            story,
            rng,
            events: Vec::new(),
            t_s: 0.0,
            mol: AIR_PA * VOLUME_M3 / (R * room_k),
            gas_k: room_k,
            wall_k: room_k,
            room_k,
            shown_k: room_k,
        }
    }

    /// The pressure of the gas, Pa.
    fn pressure_pa(&self) -> f64 {
        let per_mol = VOLUME_M3 / self.mol;
        let virial = (-4.6 + 0.175 * (self.gas_k - 300.0)) * 1e-6;
        R * self.gas_k / per_mol * (1.0 + virial / per_mol)
    }

    fn run(mut self) -> Vec<SimEvent> {
        self.stamp(MarkKind::Note, "rehearsal: invented system");
        self.stand(30.0, None);
        // a little first, for bubbles, then in steps
        for (bar, for_s) in [(3.0, 120.0), (6.0, 60.0), (11.0, 90.0)] {
            self.stand(for_s, Some(bar * 1e5));
        }
        self.stamp(MarkKind::Pressurised, "");
        self.stand(self.story.stands_s.max(1.0), Some(11e5));
        self.stamp(MarkKind::SupplyShut, "");
        let still_open = self.story.supply_open.then_some(11e5);
        self.stand(self.story.hold_s, still_open);
        self.events
    }

    fn stamp(&mut self, kind: MarkKind, note: &str) {
        self.events.push(SimEvent {
            t_s: self.t_s,
            kind: SimKind::Mark(kind, note.to_owned()),
        });
    }

    /// Lets so much time go by, with the supply at a pressure or shut.
    fn stand(&mut self, for_s: f64, supply_pa: Option<f64>) {
        for _ in 0..(for_s / STEP_S).round() as u32 {
            self.step(supply_pa);
            self.say();
        }
    }

    fn step(&mut self, supply_pa: Option<f64>) {
        let pa = self.pressure_pa();
        // the supply stands in the room; what flows in brings its enthalpy along
        let inflow = supply_pa.map_or(0.0, |supply| {
            FILLS_PER_S * (supply - pa) * VOLUME_M3 / (R * self.room_k)
        });
        let full = (11e5_f64.powi(2) - AIR_PA.powi(2)).max(1.0);
        let throughput = self.story.leak_pa_m3_per_s * (pa.powi(2) - AIR_PA.powi(2)) / full;
        let outflow = throughput.max(0.0) / (R * self.gas_k);
        let to_wall_w = GAS_TO_WALL_W_PER_K * (self.gas_k - self.wall_k);
        let brought_k = if inflow > 0.0 {
            self.room_k
        } else {
            self.gas_k
        };
        let warms_w = inflow * (CP * brought_k - CV * self.gas_k)
            - outflow * (CP - CV) * self.gas_k
            - to_wall_w;
        // the room cools slowly, and wanders
        let shape = (self.t_s / 3_600.0 * std::f64::consts::FRAC_PI_2)
            .min(1.5)
            .cos();
        self.room_k -= self.story.cools_k_per_h * shape * STEP_S / 3_600.0;
        self.room_k += 0.08 * self.rng.normal() * (STEP_S / 3_600.0).sqrt();
        self.gas_k += STEP_S * warms_w / (self.mol * CV);
        self.wall_k += STEP_S * (to_wall_w - WALL_TO_ROOM_W_PER_K * (self.wall_k - self.room_k))
            / WALL_J_PER_K;
        self.mol += STEP_S * (inflow - outflow);
        self.shown_k += STEP_S * (self.wall_k - self.shown_k) / 40.0;
        self.t_s += STEP_S;
    }

    /// One line of the transmitter: steps of a millibar, noise of two.
    fn say(&mut self) {
        let noisy = self.pressure_pa() + 200.0 * self.rng.normal();
        let step = |value: f64, step: f64| (value / step).round() * step;
        let sensed = match Pressure::from_pa(step(noisy, 100.0)) {
            Ok(pressure) => Sensed::Measured(pressure),
            Err(_) => Sensed::Fault,
        };
        let shown_c = self.shown_k - ZERO_CELSIUS_K + 0.03 * self.rng.normal();
        let temperature_c = self.story.thermometer.then(|| step(shown_c, 0.05));
        self.events.push(SimEvent {
            t_s: self.t_s,
            kind: SimKind::Reading {
                sensed,
                temperature_c,
            },
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(events: &[SimEvent]) -> Vec<(f64, f64, Option<f64>)> {
        let one = |e: &SimEvent| match &e.kind {
            SimKind::Reading {
                sensed: Sensed::Measured(p),
                temperature_c,
            } => Some((e.t_s, p.pa(), *temperature_c)),
            _ => None,
        };
        events.iter().filter_map(one).collect()
    }

    /// Between two moments long after filling, a closed system keeps p/(Z·T): CoolProp 8.0.0
    /// gives 3.825 kPa a kelvin for nitrogen at 11 bar and 22 °C.
    #[test]
    fn a_closed_system_follows_the_room() {
        let scenario = PressureScenario::named("nitrogen-cooling-room").expect("it is there");
        let play = readings(&scenario.play(7));
        let mean = |from: f64| {
            let some: Vec<_> = play
                .iter()
                .filter(|r| (from..from + 120.0).contains(&r.0))
                .collect();
            let n = some.len() as f64;
            let celsius: f64 = some.iter().filter_map(|r| r.2).sum::<f64>() / n;
            (some.iter().map(|r| r.1).sum::<f64>() / n, celsius)
        };
        let ((early_pa, early_c), (late_pa, late_c)) = (mean(2_700.0), mean(4_300.0));
        assert!(early_c - late_c > 0.4, "{early_c} to {late_c} °C");
        let per_k = (early_pa - late_pa) / (early_c - late_c);
        assert!((per_k - 3_825.0).abs() < 350.0, "{per_k} Pa/K");
    }

    #[test]
    fn the_leak_is_the_one_that_is_said() {
        let scenario = PressureScenario::named("nitrogen-leak").expect("it is there");
        let mut play = Play::new(
            Story {
                cools_k_per_h: 0.0,
                ..scenario.story
            },
            Rng::new(1, 1),
        );
        play.stand(3_000.0, Some(11e5));
        let (before, t_s) = (play.mol, play.t_s);
        play.stand(60.0, None);
        let lost = (before - play.mol) / (play.t_s - t_s) * R * play.gas_k;
        assert!((lost / 0.08 - 1.0).abs() < 0.02, "{lost} Pa·m³/s");
    }

    #[test]
    fn filling_warms_the_gas_and_every_story_is_told() {
        let mut play = Play::new(pressure_scenarios()[0].story, Rng::new(1, 1));
        play.stand(30.0, Some(11e5));
        assert!(play.gas_k > play.wall_k + 5.0, "{} K", play.gas_k);
        for scenario in pressure_scenarios() {
            let events = scenario.play(scenario.seed);
            let marks = events.iter().filter_map(|e| match &e.kind {
                SimKind::Mark(kind, _) => Some(*kind),
                SimKind::Reading { .. } | SimKind::Line(_) => None,
            });
            let wanted = [MarkKind::Note, MarkKind::Pressurised, MarkKind::SupplyShut];
            assert_eq!(marks.collect::<Vec<_>>(), wanted, "{}", scenario.name);
        }
    }
}
