//! A blank-off test as its readings come.

use analyser::{Analyser, Settings};
use run_memory::{Block, History, Outages};
use std::borrow::Cow;
use vacuum::{Entry, Mark, MarkKind, RecordUnit};

use crate::setup::Setup;

/// Marks remembered one by one (common practice, no source: a test has a handful).
const MAX_MARKS: usize = 1_024;

/// A blank-off test as its readings come.
#[derive(Debug, Clone)]
pub struct BlankOff {
    pub(crate) setup: Setup,
    /// Judges what happens after isolation.
    pub(crate) hold: Analyser,
    history: History,
    pub(crate) outages: Outages,
    marks: Vec<Mark>,
    newest_s: f64,
}

impl BlankOff {
    /// A test of which nothing has been read yet.
    #[must_use]
    pub fn new(setup: Setup) -> Self {
        let settings = Settings {
            criteria: setup.criteria.clone(),
            ..setup.settings.clone()
        };
        Self {
            setup,
            hold: Analyser::new(settings),
            history: History::default(),
            outages: Outages::default(),
            marks: Vec::new(),
            newest_s: f64::NEG_INFINITY,
        }
    }

    /// Takes the next reading or mark. Times must not go backwards; a reading that does is
    /// passed over.
    pub fn take(&mut self, entry: &Entry) {
        let at_s = entry.elapsed_s();
        match entry {
            Entry::Mark(mark) => self.stamp(mark),
            Entry::Reading(_) if !at_s.is_finite() || at_s < self.newest_s => return,
            Entry::Reading(reading) => {
                self.newest_s = at_s;
                match reading.pressure() {
                    Some(pressure) => {
                        self.outages.measured(at_s);
                        let micron = pressure.micron();
                        self.history.push(at_s, micron, reading.temperature_c);
                    }
                    None => {
                        let bound = reading.bound().map(vacuum::Pressure::micron);
                        self.outages.unusable(at_s, reading.state(), bound);
                    }
                }
            }
        }
        self.hold.push(entry);
    }

    fn stamp(&mut self, mark: &Mark) {
        if mark.withdraws().is_some() {
            Mark::withdraw_from(mark, &mut self.marks);
        } else if self.marks.len() < MAX_MARKS {
            self.marks.push(mark.clone());
        }
    }

    /// Says in which unit the readings came, where that is known only once they are read.
    pub fn set_record_unit(&mut self, unit: Option<RecordUnit>) {
        self.hold.set_record_unit(unit);
    }

    /// What is known may become known later: what earlier tests were like, for instance.
    /// Criteria and settings of the hold are those that the test began with.
    pub fn setup_mut(&mut self) -> &mut Setup {
        &mut self.setup
    }

    /// Readings, from the oldest to the newest.
    pub(crate) fn blocks(&self) -> Cow<'_, [Block]> {
        self.history.blocks()
    }

    /// When the pump was stopped first between these times, s.
    pub(crate) fn pump_stopped(&self, from_s: f64, by_s: f64) -> Option<f64> {
        let stopped = self.marks.iter().filter(|m| {
            m.kind == MarkKind::PumpStopped && m.elapsed_s > from_s && m.elapsed_s < by_s
        });
        stopped.map(|m| m.elapsed_s).reduce(f64::min)
    }
}
