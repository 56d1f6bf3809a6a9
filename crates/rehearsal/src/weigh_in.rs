//! A charge that is weighed in after a hold: the refrigerant cylinder on an invented scale.

use std::sync::LazyLock;

use vacuum::{ChargingAct, Job, MarkKind, Sensed};

use crate::{
    event::{SimEvent, SimKind},
    rng::Rng,
    scenario::Scenario,
    simulation::Simulation,
};

/// The cylinder with what is in it, g.
const CYLINDER_G: f64 = 4_812.6;
/// What the nameplate says, g.
const NAMEPLATE_G: f64 = 58.0;
/// What the hoses keep, g.
const LEFT_IN_HOSES_G: f64 = 0.1;
/// The scale speaks so often, s.
const EVERY_S: f64 = 0.1;
/// Its smallest step, g.
const STEP_G: f64 = 0.1;
/// Scatter of single values, g.
const SCATTER_G: f64 = 0.03;
/// It follows a change with this time constant, s.
const LAG_S: f64 = 0.3;
/// From the end of the evacuation to the beginning of the weigh-in, s.
const BEGINS_S: f64 = 10.0;
/// Seconds from the end of the evacuation to the beginning of the flow, and its length.
const FLOW: (f64, f64) = (25.0, 30.0);
/// From the end of the evacuation to the last word of the scale, s.
const LASTS_S: f64 = 110.0;

/// A rehearsal of a weigh-in.
#[derive(Debug, Clone)]
pub struct ChargeScenario {
    /// By which it is chosen.
    pub name: &'static str,
    /// One line.
    pub title: &'static str,
    /// The invented system, with its nameplate charge.
    pub job: Job,
    /// What leaves the cylinder, g.
    pub leaves_cylinder_g: f64,
    /// What the hoses keep of that, g.
    pub left_in_hoses_g: f64,
    /// What is laid on the cylinder while refrigerant flows and stays there, g.
    leans_g: f64,
    evacuation: &'static Scenario,
}

/// What the gauge and the scale say, each in the order of time.
#[derive(Debug, Clone, PartialEq)]
pub struct PlayedCharge {
    /// The gauge, and the acts that are stamped.
    pub gauge: Vec<SimEvent>,
    /// The scale.
    pub scale: Vec<SimEvent>,
}

/// Every rehearsal of a weigh-in, in the order to show them.
#[must_use]
pub fn charge_scenarios() -> &'static [ChargeScenario] {
    static ALL: LazyLock<Vec<ChargeScenario>> = LazyLock::new(all);
    &ALL
}

impl ChargeScenario {
    /// Finds one by name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        charge_scenarios().iter().find(|s| s.name == name)
    }

    /// The seed it is usually played with.
    #[must_use]
    pub fn seed(&self) -> u64 {
        self.evacuation.seed
    }

    /// Plays evacuation, hold and weigh-in.
    #[must_use]
    pub fn play(&self, seed: u64) -> PlayedCharge {
        let mut gauge: Vec<SimEvent> = Simulation::new(self.evacuation, seed).collect();
        let end_s = gauge.last().map_or(0.0, |event| event.t_s);
        let said = |event: &SimEvent| match event.kind {
            SimKind::Reading { sensed, .. } => Some(sensed),
            _ => None,
        };
        let last = gauge.iter().rev().find_map(said).unwrap_or(Sensed::Gap);
        let mut acts = [BEGINS_S, 60.0, 65.0, 70.0, 76.0, 100.0]
            .into_iter()
            .zip(ChargingAct::ALL)
            .peekable();
        for second in 1..=LASTS_S as u32 {
            let after_s = f64::from(second);
            while let Some((at_s, act)) = acts.next_if(|(at_s, _)| *at_s <= after_s) {
                gauge.push(SimEvent {
                    t_s: end_s + at_s,
                    kind: SimKind::Mark(MarkKind::Note, act.remark().into()),
                });
            }
            // valved off, it shows what stands in its own hose
            let sensed = match after_s <= BEGINS_S + 2.0 {
                true => last,
                false => Sensed::Over(None),
            };
            gauge.push(SimEvent {
                t_s: end_s + after_s,
                kind: SimKind::Reading {
                    sensed,
                    temperature_c: None,
                },
            });
        }
        let scale = self.weighed(end_s, seed);
        PlayedCharge { gauge, scale }
    }

    fn weighed(&self, end_s: f64, seed: u64) -> Vec<SimEvent> {
        let mut rng = Rng::new(seed, 7);
        let mut shown_g = CYLINDER_G;
        let mut recent = [f64::NAN; 8];
        let count = (LASTS_S / EVERY_S) as usize;
        let lines = (0..count).map(|i| {
            let after_s = i as f64 * EVERY_S;
            let share = ((after_s - FLOW.0) / FLOW.1).clamp(0.0, 1.0);
            // fast at first, slower as the pressures come together
            let gone_g = self.leaves_cylinder_g * (1.0 - (1.0 - share).powi(2));
            let leans_g = match after_s > FLOW.0 + FLOW.1 / 2.0 {
                true => self.leans_g,
                false => 0.0,
            };
            let on_it_g = CYLINDER_G - gone_g + leans_g;
            shown_g += (on_it_g - shown_g) * (1.0 - (-EVERY_S / LAG_S).exp());
            let value_g = ((shown_g + SCATTER_G * rng.normal()) / STEP_G).round() * STEP_G;
            recent.rotate_left(1);
            recent[7] = value_g;
            let still = recent.iter().all(|g| (g - value_g).abs() < 1.5 * STEP_G);
            let word = if still { "STILL" } else { "MOVES" };
            let t_s = end_s + after_s;
            SimEvent {
                t_s,
                kind: SimKind::Line(format!("t={t_s:.3} m={value_g:.1} g {word}\r\n")),
            }
        });
        lines.collect()
    }
}

fn all() -> Vec<ChargeScenario> {
    let Some(evacuation) = Scenario::named("tight-and-dry") else {
        return Vec::new();
    };
    let of = |name: &'static str, title, leaves_cylinder_g, leans_g| ChargeScenario {
        name,
        title,
        job: Job {
            id: format!("rehearsal-{name}"),
            charge_g: Some(NAMEPLATE_G),
            ..evacuation.job.clone()
        },
        leaves_cylinder_g,
        left_in_hoses_g: LEFT_IN_HOSES_G,
        leans_g,
        evacuation,
    };
    let right_g = NAMEPLATE_G + LEFT_IN_HOSES_G;
    vec![
        of(
            "charge-weighed-in",
            "Tight system, charged by weight as the nameplate says",
            right_g + 0.2,
            0.0,
        ),
        of(
            "charge-overshoot",
            "Charged by weight, the cylinder shut too late",
            right_g + 5.4,
            0.0,
        ),
        of(
            "charge-cylinder-touched",
            "Charged by weight, a hose comes to lie on the cylinder",
            right_g + 0.2,
            40.0,
        ),
    ]
}
