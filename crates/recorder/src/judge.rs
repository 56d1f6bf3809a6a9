//! Who judges a run while it is recorded, by the kind of test.

use analyser::{Analyser, Settings};
use findings::{DecayFindings, Verdict};
use pressure_decay::{Known, PressureDecay, Setup};
use vacuum::{Entry, RecordUnit, TestKind, TestPlan};
use watch::{Feed, line::Other};

/// A pressure test is judged anew once the record has gone on so far, s: that takes some
/// milliseconds, and hardly changes in a second.
const DECAY_EVERY_S: f64 = 5.0;

/// Who judges.
pub(crate) enum Judge {
    /// Of an evacuation.
    Evacuation(Box<Analyser>),
    /// Of a pressure test.
    Pressure(Box<UnderPressure>),
}

/// The judge of a pressure test and what it said last.
pub(crate) struct UnderPressure {
    test: PressureDecay,
    /// When, s of the record, and what.
    said: Option<(f64, DecayFindings)>,
    newest_s: f64,
}

impl Judge {
    pub(crate) fn new(plan: &TestPlan, settings: Settings, unit: Option<RecordUnit>) -> Self {
        match plan.kind {
            TestKind::PressureDecay => {
                let known = Known {
                    volume_l: settings.volume_l,
                    refrigerant: settings.refrigerant,
                    ambient_c: settings.ambient_c,
                };
                let setup = Setup::of_plan(plan, known, "given in the job");
                Self::Pressure(Box::new(UnderPressure {
                    test: PressureDecay::new(setup),
                    said: None,
                    newest_s: 0.0,
                }))
            }
            TestKind::Evacuation | TestKind::BlankOff => {
                let mut analyser = Analyser::new(settings);
                analyser.set_record_unit(unit);
                Self::Evacuation(Box::new(analyser))
            }
        }
    }

    /// True if a hold has passed.
    pub(crate) fn hold_passed(&self) -> bool {
        match self {
            Self::Evacuation(analyser) => analyser.findings().verdict == Verdict::Pass,
            Self::Pressure(_) => false,
        }
    }

    /// Takes the memory that a day needs.
    pub(crate) fn reserve_for_a_day(&mut self) {
        if let Self::Evacuation(analyser) = self {
            analyser.reserve_for_a_day();
        }
    }

    /// Takes what the record has taken.
    pub(crate) fn push(&mut self, entry: &Entry) {
        match self {
            Self::Evacuation(analyser) => analyser.push(entry),
            Self::Pressure(under) => {
                under.newest_s = under.newest_s.max(entry.elapsed_s());
                if let Entry::Mark(_) = entry {
                    under.said = None;
                }
                under.test.take(entry);
            }
        }
    }

    /// Gives back memory that is no longer needed.
    pub(crate) fn tidy(&mut self) {
        if let Self::Evacuation(analyser) = self {
            analyser.tidy();
        }
    }

    /// Shows how the run stands.
    pub(crate) fn show(&mut self, feed: &mut Feed, beside: &[Other<'_>]) {
        match self {
            Self::Evacuation(analyser) => feed.look(&analyser.live(), beside),
            Self::Pressure(under) => {
                let found = under.found();
                feed.look_at_pressure_test(under.test.live(found), beside);
            }
        }
    }

    /// Shows what the run comes to.
    pub(crate) fn conclude(&mut self, feed: &mut Feed) {
        match self {
            Self::Evacuation(analyser) => feed.conclude(&analyser.findings()),
            Self::Pressure(under) => feed.conclude_pressure_test(&under.test.findings()),
        }
    }
}

impl UnderPressure {
    fn found(&mut self) -> DecayFindings {
        let fresh = self
            .said
            .take()
            .filter(|(at_s, _)| self.newest_s - at_s < DECAY_EVERY_S);
        let (at_s, found) = fresh.unwrap_or_else(|| (self.newest_s, self.test.findings()));
        self.said = Some((at_s, found.clone()));
        found
    }
}
