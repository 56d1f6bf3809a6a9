//! A rehearsal as the recorder sees it: gauges on lines of this computer, marks on their clock,
//! the job and the test of an invented system, and what was simulated in the end.
//!
//! # What this crate does not do
//! Record, judge, print, or know an option of a program.

use std::{collections::VecDeque, sync::mpsc::Receiver};

use recorder::{Companions, Gauges, PUMP_SIDE_NAME, TimedMarks};
use rehearsal::{
    ChargeScenario, Expected, GaugeBench, Line, Pace, PressureScenario, RigScenario, Scenario,
    Simulation, TimedMark, TruePressureTest, Truth, charge_scenarios, pressure_scenarios,
    rig_scenarios, scenarios,
};
use run_record::{Companion, RunHeader, ScaleUsed};
use sensor_reader::{Address, Dialect, GaugeStream, Options};
use thiserror::Error;
use vacuum::{Criteria, GaugeIdentity, Job, Mark, PUMP_SIDE, TestKind, TestPlan};

/// Why a rehearsal cannot be played.
#[derive(Debug, Error)]
#[error("{0}")]
pub struct PlayError(String);

fn failed(why: impl std::fmt::Display) -> PlayError {
    PlayError(why.to_string())
}

/// What the record says of the port.
#[must_use]
pub const fn port_words(line: Line) -> &'static str {
    match line {
        #[cfg(unix)]
        Line::PseudoTerminal => "a pseudo-terminal of the rehearsal",
        Line::Loopback => "a connection of the rehearsal on this computer",
    }
}

/// Names and titles of all rehearsals.
#[must_use = "nothing is printed here"]
pub fn listed() -> impl Iterator<Item = (&'static str, &'static str)> {
    let evacuations = scenarios().iter().map(|s| (s.name, s.title));
    let rigs = rig_scenarios().iter().map(|s| &s.scenario);
    evacuations
        .chain(pressure_scenarios().iter().map(|s| (s.name, s.title)))
        .chain(rigs.map(|s| (s.name, s.title)))
        .chain(charge_scenarios().iter().map(|s| (s.name, s.title)))
}

/// What is played.
#[derive(Debug, Clone, Copy)]
pub enum Story {
    /// An evacuation.
    Evacuation(&'static Scenario),
    /// A pressure test.
    Pressure(&'static PressureScenario),
    /// A blank-off test of pump and hoses alone.
    BlankOff(&'static RigScenario),
    /// An evacuation, and a charge that is weighed in after it.
    Charge(&'static ChargeScenario),
}

impl Story {
    /// Finds a rehearsal of either kind by name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let evacuation = Scenario::named(name).map(Self::Evacuation);
        evacuation
            .or_else(|| PressureScenario::named(name).map(Self::Pressure))
            .or_else(|| RigScenario::named(name).map(Self::BlankOff))
            .or_else(|| ChargeScenario::named(name).map(Self::Charge))
    }

    /// One line.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Evacuation(scenario) => scenario.title,
            Self::Pressure(scenario) => scenario.title,
            Self::BlankOff(rig) => rig.scenario.title,
            Self::Charge(scenario) => scenario.title,
        }
    }

    /// The gauges, about to speak, and what is said of the truth at the end, a sentence each.
    ///
    /// # Errors
    /// When there is no such line to be had.
    pub fn begin(
        self,
        seed: Option<u64>,
        line: Line,
        pace: Pace,
    ) -> Result<(Benches, Vec<String>), PlayError> {
        match self {
            Self::Evacuation(scenario) => {
                let simulation = Simulation::new(scenario, seed.unwrap_or(scenario.seed));
                let truth = truth_words(simulation.truth());
                Ok((Benches::open(simulation, line, pace)?, truth))
            }
            Self::BlankOff(rig) => {
                let seed = seed.unwrap_or(rig.scenario.seed);
                let simulation = Simulation::new(&rig.scenario, seed);
                let truth = rig_truth_words(rig, simulation.truth());
                Ok((Benches::open(simulation, line, pace)?, truth))
            }
            Self::Charge(scenario) => {
                let played = scenario.play(seed.unwrap_or(scenario.seed()));
                let judged = GaugeBench::open_playing(played.gauge, line, pace).map_err(failed)?;
                let scale = GaugeBench::open_playing(played.scale, line, pace).map_err(failed)?;
                let benches = Benches {
                    line,
                    judged,
                    pump_side: None,
                    scale: Some(scale),
                };
                let words = format!(
                    "What was simulated: {:.1} g left the cylinder, {} g of that stay in the hoses.",
                    scenario.leaves_cylinder_g, scenario.left_in_hoses_g
                );
                Ok((benches, vec![words]))
            }
            Self::Pressure(scenario) => {
                let events = scenario.play(seed.unwrap_or(scenario.seed));
                let judged = GaugeBench::open_under_pressure(events, line, pace).map_err(failed)?;
                let benches = Benches {
                    line,
                    judged,
                    pump_side: None,
                    scale: None,
                };
                Ok((benches, pressure_truth_words(&scenario.truth())))
            }
        }
    }

    /// How its gauges speak.
    ///
    /// # Errors
    /// None but a defect of the rehearsal.
    pub fn dialect(self) -> Result<Dialect, PlayError> {
        let toml = match self {
            Self::Evacuation(_) | Self::BlankOff(_) | Self::Charge(_) => GaugeBench::dialect_toml(),
            Self::Pressure(_) => GaugeBench::pressure_dialect_toml(),
        };
        Dialect::from_toml(toml, "rehearsal").map_err(failed)
    }

    /// The invented system and paperwork.
    #[must_use]
    pub fn job(self) -> &'static Job {
        match self {
            Self::Evacuation(scenario) => &scenario.job,
            Self::Pressure(scenario) => &scenario.job,
            Self::BlankOff(rig) => &rig.scenario.job,
            Self::Charge(scenario) => &scenario.job,
        }
    }

    /// What it is judged against.
    #[must_use]
    pub fn criteria(self) -> Criteria {
        match self {
            Self::BlankOff(_) => Criteria::usual_for(TestKind::BlankOff),
            Self::Evacuation(_) | Self::Pressure(_) | Self::Charge(_) => Criteria::default(),
        }
    }

    /// What stands in the record before its first row.
    #[must_use]
    pub fn header(
        self,
        dialect: &Dialect,
        criteria: &Criteria,
        (companions, benches): (&Companions, &Benches),
        software: &str,
    ) -> RunHeader {
        let port = port_words(benches.line);
        RunHeader {
            job: self.job().clone(),
            test: match self {
                Self::Evacuation(_) | Self::Charge(_) => TestPlan::default(),
                Self::Pressure(scenario) => scenario.test.clone(),
                Self::BlankOff(_) => TestPlan::of(TestKind::BlankOff),
            },
            criteria: Some(criteria.clone()),
            dialect: Some(dialect.name().to_owned()),
            assumed_unit: dialect.fixed_unit(),
            port: Some(port.into()),
            software: software.to_owned(),
            started: None,
            beside: companions.in_header(),
            scale: match self {
                Self::Charge(scenario) => Some(ScaleUsed {
                    dialect: Some("rehearsal-scale".into()),
                    port: Some(port.into()),
                    left_in_hoses_g: Some(scenario.left_in_hoses_g),
                }),
                _ => None,
            },
        }
    }
}

/// The simulated gauges, each on a line of its own.
#[derive(Debug)]
pub struct Benches {
    line: Line,
    judged: GaugeBench,
    pump_side: Option<GaugeBench>,
    scale: Option<GaugeBench>,
}

impl Benches {
    fn open(simulation: Simulation, line: Line, pace: Pace) -> Result<Self, PlayError> {
        let bench = |simulation| GaugeBench::open(simulation, line, pace).map_err(failed);
        Ok(Self {
            line,
            pump_side: simulation.pump_side().map(bench).transpose()?,
            judged: bench(simulation)?,
            scale: None,
        })
    }

    /// The gauge at the pump, where the story has one.
    #[must_use]
    pub fn companions(&self, story: Story, dialect: &Dialect) -> Companions {
        let pump_gauge = match story {
            Story::Evacuation(scenario) => scenario.pump_gauge.clone().unwrap_or_default(),
            Story::Pressure(_) | Story::BlankOff(_) | Story::Charge(_) => GaugeIdentity::default(),
        };
        let mut beside = Companions::default();
        // both lines carry simulated time
        beside.one_clock = true;
        if self.pump_side.is_some() {
            beside.add_pump_side(Companion {
                name: PUMP_SIDE_NAME.into(),
                place: PUMP_SIDE.into(),
                dialect: Some(dialect.name().to_owned()),
                port: Some(port_words(self.line).into()),
                gauge: pump_gauge,
            });
        }
        beside
    }

    /// The marks that the simulated technician stamps.
    #[must_use]
    pub fn marks(&self) -> SimulatedMarks<'_> {
        SimulatedMarks {
            stamped: self.judged.marks(),
            waiting: VecDeque::new(),
        }
    }

    /// Opens their ports as those of any gauge.
    ///
    /// # Errors
    /// When one cannot be opened.
    pub async fn connect(&self, dialect: &Dialect) -> Result<Gauges, PlayError> {
        let pump_side = match &self.pump_side {
            Some(bench) => Some(connect(bench, dialect).await?),
            None => None,
        };
        let gauges = Gauges::new(connect(&self.judged, dialect).await?, pump_side);
        let Some(scale) = &self.scale else {
            return Ok(gauges);
        };
        let spoken = Dialect::from_toml(GaugeBench::scale_dialect_toml(), "rehearsal");
        let spoken = spoken.map_err(failed)?;
        Ok(gauges.with_scale(connect(scale, &spoken).await?))
    }

    /// True once everything was sent and read.
    #[must_use]
    pub fn finished(&self) -> bool {
        let mut others = self.pump_side.iter().chain(&self.scale);
        self.judged.finished() && others.all(GaugeBench::finished)
    }

    /// Waits until everything was said and read.
    ///
    /// # Errors
    /// What went wrong on the side of a gauge.
    pub fn join(&mut self) -> Result<(), PlayError> {
        let all = std::iter::once(&mut self.judged)
            .chain(&mut self.pump_side)
            .chain(&mut self.scale);
        for bench in all {
            bench.join().map_err(failed)?;
        }
        Ok(())
    }
}

async fn connect(bench: &GaugeBench, dialect: &Dialect) -> Result<GaugeStream, PlayError> {
    let address = Address::parse(&bench.path().display().to_string()).map_err(failed)?;
    GaugeStream::open(&address, dialect, Options::default())
        .await
        .map_err(failed)
}

/// What the simulation knows and the analyser did not.
fn truth_words(truth: &Truth) -> Vec<String> {
    let mut words = Vec::new();
    let rise = truth.rise.map_or("no hold", |r| r.word()).replace('_', " ");
    let leak = truth.leak_micron_per_min;
    let decimals = usize::from(leak < 10.0);
    if let Some(ratio) = truth.pump_side.as_ref().and_then(|p| p.at_isolation_ratio) {
        words.push(format!(
            "At the valve the far side truly stood at {ratio:.1} times the pump side."
        ));
    }
    words.push(format!(
        "What was simulated: rise {rise}, leak {leak:.decimals$} micron/min."
    ));
    words.push(fitting_verdicts(&truth.verdict_acceptable));
    words
}

/// The same of a blank-off test.
fn rig_truth_words(rig: &RigScenario, truth: &Truth) -> Vec<String> {
    vec![
        format!(
            "What was simulated: a pump that ends at {} micron, hoses that leak {:.1} micron/min.",
            rig.pump_ends_micron, truth.leak_micron_per_min
        ),
        fitting_verdicts(&[rig.right]),
    ]
}

/// The same of a pressure test.
fn pressure_truth_words(truth: &TruePressureTest) -> Vec<String> {
    let leak = match truth.leak_pa_m3_per_s > 0.0 {
        true => format!("a leak of {} Pa·m³/s", truth.leak_pa_m3_per_s),
        false => "a tight system".to_owned(),
    };
    let supply = match truth.supply_open {
        true => ", and the supply stayed open",
        false => "",
    };
    vec![
        format!("What was simulated: {leak}{supply}."),
        fitting_verdicts(&truth.fitting),
    ]
}

/// Every verdict that is right for what was simulated: where a limit is broken in a hold
/// that is too short as well, or met by less than the gauge shows, there are several.
fn fitting_verdicts(fitting: &[Expected]) -> String {
    let words: Vec<String> = fitting
        .iter()
        .map(|v| v.word().replace('_', " ").to_uppercase())
        .collect();
    match words.as_slice() {
        [one] => format!("The right verdict on it is {one}."),
        several => format!("Right verdicts on it are {}.", several.join(" and ")),
    }
}

/// Marks that the simulated technician stamps, on the gauge's clock.
#[derive(Debug)]
pub struct SimulatedMarks<'a> {
    stamped: &'a Receiver<TimedMark>,
    waiting: VecDeque<TimedMark>,
}

impl TimedMarks for SimulatedMarks<'_> {
    fn due(&mut self, gauge_s: f64) -> Vec<Mark> {
        self.waiting.extend(self.stamped.try_iter());
        let count = self.waiting.iter().take_while(|m| m.t_s <= gauge_s).count();
        let due = self.waiting.drain(..count);
        due.map(|mark| Mark {
            elapsed_s: mark.t_s,
            kind: mark.kind,
            note: mark.note,
        })
        .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_simulated_never_contradicts_a_right_verdict() {
        use Expected as E;
        assert_eq!(
            fitting_verdicts(&[E::Fail]),
            "The right verdict on it is FAIL."
        );
        assert_eq!(
            fitting_verdicts(&[E::Fail, E::NotProven]),
            "Right verdicts on it are FAIL and NOT PROVEN."
        );
    }
}
