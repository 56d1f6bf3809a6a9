//! Judges an evacuation from its readings.
//!
//! Readings and marks go in one by one; [`Findings`] come out at any moment.
//! The same sequence gives the same answer whether it is live or read back, and
//! whatever the chunks: memory is bounded ([`run_memory`]), and everything else
//! is a pure function of that memory.
//!
//! ```
//! use analyser::{Analyser, Settings, Verdict};
//! use vacuum::{Entry, Mark, MarkKind, Pressure, Reading};
//!
//! let mut analyser = Analyser::new(Settings::default());
//! for s in 0..1_200 {
//!     let t = f64::from(s);
//!     // down to 300 micron, shut at 500 s, tight
//!     let micron = 300.0 + 700_000.0 * (-t / 30.0).exp();
//!     analyser.push(&Entry::Reading(Reading::measured(t, Pressure::from_micron(micron)?)));
//!     if s == 500 {
//!         let kind = MarkKind::PumpSideShut;
//!         analyser.push(&Entry::Mark(Mark { elapsed_s: t, kind, note: String::new() }));
//!     }
//! }
//! assert_eq!(analyser.findings().verdict, Verdict::Pass);
//! # Ok::<(), vacuum::PressureError>(())
//! ```
//!
//! # What this crate does not do
//! No I/O, no clock, no printing, and no words: a [`Finding`] carries its evidence as
//! figures ([`Statement`]), and sentences are made where they are printed.
//!
//! # Method
//! [`method`] says how every number is made, with formulas and sources.

mod auxiliary;
mod evacuation;
mod run_view;
mod settings;

pub use auxiliary::Auxiliary;
pub use evacuation::{false_passes, method};
pub use findings::{
    Ambient, AuxiliaryFindings, AuxiliaryHold, Certainty, CouldShow, DataSummary, EVIDENCE,
    EarlyAnswer, Estimate, FarSide, Finding, Findings, Forecast, FurtherCriterion, Gap, Hold,
    IsolationBasis, LeakIndicated, LeakThroughput, LeftOut, Live, NotAtThisRate, Odds,
    OperatingLoss, Pair, PassWorth, Phase, Pulldown, Reason, Rise, RiseCurve, RiseKind, Round,
    Saturating, ShowsTooLittle, SmallestLeak, Stall, StallEnd, StallKind, Statement, TimeRange,
    Verdict,
};
pub use settings::Settings;

use evacuation::{judge, live};
use run_memory::{History, Outages, TargetStretches};
use run_view::RunView;
use vacuum::{ChargingAct, Entry, Mark, Reading, ReadingState, RecordUnit};

/// Marks remembered one by one; a run has a handful (common practice, no source).
const MAX_MARKS: usize = 4_096;

/// Takes readings and marks, gives findings.
#[derive(Debug, Clone, Default)]
pub struct Analyser {
    settings: Settings,
    history: History,
    outages: Outages,
    target_stretches: TargetStretches,
    marks: Vec<Mark>,
    rows: u64,
    used: u64,
    last_s: Option<f64>,
    first: Option<(f64, f64)>,
    begins_still: bool,
    /// Refrigerant goes in: what the gauge says is no vacuum.
    charging: bool,
}

impl Analyser {
    /// An analyser that has seen nothing yet.
    #[must_use]
    pub fn new(settings: Settings) -> Self {
        Self {
            settings,
            ..Self::default()
        }
    }

    /// Takes the next line of the run. Times must not go backwards.
    pub fn push(&mut self, entry: &Entry) {
        match entry {
            Entry::Mark(mark) if self.charging && mark.withdraws().is_none() => {}
            Entry::Reading(_) if self.charging => {}
            Entry::Reading(reading) => self.push_reading(reading),
            Entry::Mark(mark) => self.push_mark(mark),
        }
    }

    /// From a weigh-in on refrigerant goes in: the vacuum is judged up to there. Where that
    /// mark is taken back, what was passed over meanwhile is a gap.
    fn look_for_charging(&mut self, at_s: f64) {
        let begins = Some(ChargingAct::WeighInBegins);
        let charging = self.marks.iter().any(|m| m.charging_act() == begins);
        if self.charging && !charging {
            self.outages.unusable(at_s, ReadingState::Gap, None);
        }
        self.charging = charging;
    }

    /// Takes the next reading.
    pub fn push_reading(&mut self, reading: &Reading) {
        let t = reading.elapsed_s;
        self.rows += 1;
        self.last_s = Some(t);
        match reading.pressure() {
            Some(p) => {
                self.used += 1;
                let first = self.first.get_or_insert((t, p.micron())).1;
                // the air outside does not move within a few readings
                let near = (p.micron() - first).abs() <= 0.01 * first;
                self.begins_still = match self.used {
                    1 => true,
                    2..=5 => self.begins_still && near,
                    _ => self.begins_still,
                };
                self.outages.measured(t);
                let target = self.settings.criteria.target_micron * (1.0 + settings::ROUNDING);
                self.target_stretches.push(t, p.micron(), target);
                self.history.push(t, p.micron(), reading.temperature_c);
            }
            None => {
                let bound = reading.bound().map(vacuum::Pressure::micron);
                self.outages.unusable(t, reading.state(), bound);
            }
        }
    }

    /// Says in which unit the readings came, where that is known only once they are
    /// read.
    pub fn set_record_unit(&mut self, unit: Option<RecordUnit>) {
        self.settings.record_unit = unit;
    }

    /// Takes the next mark. One that withdraws an earlier one ([`Mark::withdraws`])
    /// takes it back: from then on it is judged as if it had never been stamped.
    pub fn push_mark(&mut self, mark: &Mark) {
        if mark.withdraws().is_some() {
            Mark::withdraw_from(mark, &mut self.marks);
        } else {
            self.history.split();
            if self.marks.len() < MAX_MARKS {
                self.marks.push(mark.clone());
            }
        }
        self.look_for_charging(mark.elapsed_s);
        self.last_s = Some(
            self.last_s
                .map_or(mark.elapsed_s, |t| t.max(mark.elapsed_s)),
        );
    }

    /// Everything that can be said now.
    ///
    /// ```
    /// use analyser::{Analyser, Reason, Settings, Verdict};
    ///
    /// let nothing = Analyser::new(Settings::default()).findings();
    /// assert_eq!(nothing.verdict, Verdict::NotProven);
    /// assert_eq!(nothing.reasons, [Reason::NoReadings]);
    /// ```
    #[must_use]
    pub fn findings(&self) -> Findings {
        judge::findings(&self.view())
    }

    /// A place for what another gauge, or a further channel, said in this run. Give
    /// it every reading, then hand it to [`Analyser::findings_with`].
    #[must_use]
    pub fn auxiliary(&self, name: &str, place: &str) -> Auxiliary {
        let holds = self.findings().rounds.into_iter().filter_map(|r| r.hold);
        let marks = self.marks.iter().map(|m| m.elapsed_s);
        Auxiliary::new(name, place, marks.chain(holds.map(|h| h.isolated_at_s)))
    }

    /// Everything that can be said, the other gauges of the run compared with the
    /// judged one. They change nothing about the verdict.
    ///
    /// ```
    /// use analyser::{Analyser, Settings};
    /// use vacuum::{Pressure, Reading};
    ///
    /// let mut analyser = Analyser::new(Settings::default());
    /// let reading = |t: f64, micron: f64| {
    ///     Ok::<_, vacuum::PressureError>(Reading::measured(t, Pressure::from_micron(micron)?))
    /// };
    /// for s in 0..60 {
    ///     analyser.push_reading(&reading(f64::from(s), 500.0)?);
    /// }
    /// let mut at_pump = analyser.auxiliary("pump", "pump side");
    /// for s in 0..60 {
    ///     at_pump.push(&reading(f64::from(s), 250.0)?);
    /// }
    /// let findings = analyser.findings_with(&[at_pump]);
    /// assert_eq!(findings.auxiliary[0].lowest_micron, Some(250.0));
    /// # Ok::<(), vacuum::PressureError>(())
    /// ```
    #[must_use]
    pub fn findings_with(&self, others: &[Auxiliary]) -> Findings {
        let mut findings = self.findings();
        if !others.is_empty() {
            auxiliary::compare(&self.view(), others, &mut findings);
        }
        findings
    }

    /// Reserves the memory that a day of readings needs, 3.1 MB, now. A run that goes on
    /// through the night then needs hardly more than in its first hour, so that a computer
    /// short of memory refuses it at the start or not at all. Without it memory is taken as
    /// readings come.
    pub fn reserve_for_a_day(&mut self) {
        self.history.reserve_for_a_day();
    }

    /// Puts the memory of the run in order, so that the next look at it needs no copy.
    /// No answer depends on it; worth it before every look at a run that goes on.
    pub fn tidy(&mut self) {
        self.history.tidy();
    }

    /// What to show on a live line now.
    ///
    /// ```
    /// use analyser::{Analyser, Phase, Settings};
    ///
    /// let live = Analyser::new(Settings::default()).live();
    /// assert_eq!(live.phase, Phase::Waiting);
    /// assert_eq!(live.pressure_micron, None);
    /// ```
    #[must_use]
    pub fn live(&self) -> Live {
        live::look(&self.view())
    }

    fn view(&self) -> RunView<'_> {
        RunView {
            settings: &self.settings,
            blocks: self.history.blocks(),
            outages: &self.outages,
            target_stretches: &self.target_stretches,
            marks: &self.marks,
            rows: self.rows,
            used: self.used,
            last_s: self.last_s,
            first: self.first,
            begins_still: self.begins_still,
            newest: self.history.last(),
        }
    }
}
