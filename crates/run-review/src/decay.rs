//! A record of a pressure test, read and judged.

use findings::DecayFindings;
use pressure_decay::{GaugeZero, PressureDecay, Setup};
use report::{Barometer, GivenAtReview, TestSheet, TestTrace};
use run_record::Summary;
use vacuum::{Job, Pressure, TestGas};
use wording::Voice;

use crate::{
    error::ReviewError,
    judge::{Entries, Record, check_inside, given_at_review},
    origin::{Chosen, Origin},
    other_gauges::{Advice, Draw},
};

/// A pressure test with what was found in it.
pub struct JudgedDecay {
    /// What was found.
    pub findings: DecayFindings,
    /// How it was read.
    pub summary: Summary,
    /// What else there is to say of how it was read.
    pub notes: Vec<String>,
    /// Its points for drawing; empty where they were not wanted.
    pub trace: TestTrace,
    /// Where it came from.
    pub origin: Origin,
    /// The gas that was let in.
    gas: TestGas,
    /// From where the gauge counts.
    barometer: Barometer,
}

impl Record<'_> {
    /// Reads and judges it as a pressure test, in one pass. From where the gauge of a foreign
    /// table counts is read from the table; a barometer in `setup` is the one that the import
    /// was given.
    ///
    /// # Errors
    /// When a row cannot be read, or the time at which the supply was shut lies outside of
    /// the record.
    pub fn judge_decay(
        self,
        setup: Setup,
        draw: Draw,
        advice: &Advice,
    ) -> Result<JudgedDecay, ReviewError> {
        let header = self.header().cloned();
        let mut entries = self.into_entries();
        let shut_at_s = setup.shut_at_s;
        let barometer_known = setup.barometer_pa.is_some();
        let gas = setup.gas;
        let given = given(&setup, header.as_ref().map(|h| &h.job));
        let mut trace = TestTrace::new(gas);
        let mut test = PressureDecay::new(setup);
        let span = entries.each(|entry| {
            test.take(entry);
            if draw == Draw::Yes {
                trace.push(entry);
            }
        })?;
        let Entries {
            source,
            path,
            on_disk,
            ..
        } = entries;
        if let Some(at_s) = shut_at_s {
            check_inside(&path, at_s, span)?;
        }
        let summary = source.summary();
        let setup = test.setup_mut();
        if summary.counts_from_air {
            setup.zero = match barometer_known {
                true => GaugeZero::BarometerGiven,
                false => GaugeZero::BarometerUnknown,
            };
        }
        let around_pa = setup.barometer_pa.unwrap_or(Pressure::ATMOSPHERE.pa());
        setup.barometer_pa = Some(around_pa);
        let barometer = match setup.zero {
            GaugeZero::Absolute => Barometer::NotNeeded,
            GaugeZero::BarometerUnknown => Barometer::Assumed(around_pa),
            GaugeZero::BarometerGiven => Barometer::Given(around_pa),
            GaugeZero::BarometerRecorded => Barometer::Recorded,
        };
        Ok(JudgedDecay {
            findings: test.findings(),
            notes: (advice.notes)(&summary),
            summary,
            trace,
            origin: Origin::of(&source, &path, (on_disk, draw), given),
            gas,
            barometer,
        })
    }
}

/// What the setup has that the job does not say, or says otherwise.
fn given(setup: &Setup, job: Option<&Job>) -> GivenAtReview {
    given_at_review(
        GivenAtReview {
            refrigerant: setup.refrigerant,
            volume_l: setup.volume_l,
            ..GivenAtReview::NOTHING
        },
        job,
    )
}

impl JudgedDecay {
    /// The sheet of this record, with what was chosen about it.
    pub(crate) fn sheet<'a>(&'a self, chosen: Chosen<'a>, made_by: &'a str) -> TestSheet<'a> {
        TestSheet {
            trace: &self.trace,
            findings: &self.findings,
            gas: self.gas,
            barometer: self.barometer,
            notes: &self.notes,
            about: self.origin.about(chosen, &[], made_by),
        }
    }

    /// The review as a technician reads it.
    #[must_use]
    pub fn lines(&self, voice: &Voice) -> Vec<String> {
        let mut lines = vec![format!("{}:", self.origin.source)];
        let notes = self
            .notes
            .iter()
            .map(|note| wording::note_line(voice, note));
        let said = wording::decay_lines(voice, &self.findings);
        lines.extend(notes.chain(said).map(|line| format!("  {line}")));
        lines
    }

    /// The review as JSON, one line.
    #[must_use]
    pub fn json(&self) -> String {
        let rows = (self.summary.rows, self.summary.rejected);
        report::decay_json(&self.findings, &self.origin.source, rows, &self.notes)
    }
}
