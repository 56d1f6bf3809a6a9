//! A run: what the gauge prints and what the technician marks, in order.

use crate::{Truth, event::SimEvent, rig::Rig, scenario::Scenario, script};

/// A simulated run, ready to be played event by event.
///
/// The whole run is computed on construction (some ten milliseconds); iterating
/// hands it out. The same scenario and seed always give the same events.
#[derive(Debug, Clone)]
pub struct Simulation {
    events: std::vec::IntoIter<SimEvent>,
    pump_side: Option<Vec<SimEvent>>,
    truth: Truth,
}

impl Simulation {
    /// Plays `scenario` with `seed`; [`Scenario::seed`] is its own default.
    #[must_use]
    pub fn new(scenario: &Scenario, seed: u64) -> Self {
        Self::of_rig(scenario.rig(seed), seed)
    }

    /// Plays a system that was put together from parts of the [`plant`](crate::plant).
    #[must_use]
    pub fn of_rig(rig: Rig, seed: u64) -> Self {
        let played = script::play(rig.clone(), seed);
        let truth = Truth::of(&played, &rig);
        Self {
            events: played.events.into_iter(),
            pump_side: played.pump_side,
            truth,
        }
    }

    /// What the gauge at the pump says in the same run, on the same clock; `None`
    /// where there is no second gauge.
    #[must_use]
    pub fn pump_side(&self) -> Option<Self> {
        let events = self.pump_side.clone()?;
        Some(Self {
            events: events.into_iter(),
            pump_side: None,
            truth: self.truth.clone(),
        })
    }

    /// What really happened.
    #[must_use]
    pub fn truth(&self) -> &Truth {
        &self.truth
    }
}

impl Iterator for Simulation {
    type Item = SimEvent;

    fn next(&mut self) -> Option<SimEvent> {
        self.events.next()
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        self.events.size_hint()
    }
}

impl ExactSizeIterator for Simulation {}
