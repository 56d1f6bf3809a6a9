//! A record of a blank-off test, read and judged.

use analyser::Settings;
use blank_off::{BlankOff, Setup};
use findings::BlankOffFindings;
use report::{BlankOffSheet, GivenAtReview, Trace};
use rig_history::{history, oil_hours};
use run_record::Summary;
use wording::Voice;

use crate::{
    error::ReviewError,
    judge::{Entries, Record, check_inside, left_out},
    origin::{Chosen, Origin},
    other_gauges::{Advice, Draw},
    rig::{RigRecords, began_s},
};

/// A blank-off test with what was found in it.
pub struct JudgedBlankOff {
    /// What was found.
    pub findings: BlankOffFindings,
    /// How it was read.
    pub summary: Summary,
    /// Readings and marks; empty where nothing is to be drawn.
    pub trace: Trace,
    /// Where it came from.
    pub origin: Origin,
}

impl Record<'_> {
    /// Reads and judges it as a test of pump and hoses alone, in one pass. With records of the
    /// shop it is compared with earlier tests; criteria are those in `settings`.
    ///
    /// # Errors
    /// When a row cannot be read, or the isolation in `settings` lies outside of the record.
    pub fn judge_blank_off(
        self,
        settings: Settings,
        allowed_rise_micron_per_min: Option<f64>,
        shop: Option<&RigRecords>,
        (draw, advice): (Draw, &Advice),
    ) -> Result<JudgedBlankOff, ReviewError> {
        let mut entries = self.into_entries();
        let isolated_at_s = settings.isolated_at_s;
        let mut setup = Setup {
            criteria: settings.criteria.clone(),
            allowed_rise_micron_per_min,
            settings,
            ..Setup::default()
        };
        let mut began_s_utc = f64::INFINITY;
        if let Some(header) = entries.source.header() {
            began_s_utc = began_s(header);
            setup.rig.rig.clone_from(&header.job.hose);
            setup.rig.pump.clone_from(&header.job.pump);
        }
        let mut test = BlankOff::new(setup);
        let mut trace = Trace::default();
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
        if let Some(at_s) = isolated_at_s {
            check_inside(&path, at_s, span)?;
        }
        let summary = source.summary();
        test.set_record_unit(summary.unit);
        if let Some(shop) = shop {
            compare(&mut test, shop, began_s_utc);
        }
        let mut findings = test.findings();
        let data = &mut findings.data;
        data.rows = data.rows.max(summary.rows);
        data.rejected += summary.rejected;
        data.left_out = left_out(&summary);
        data.notes = (advice.notes)(&summary);
        Ok(JudgedBlankOff {
            findings,
            origin: Origin::of(&source, &path, (on_disk, draw), GivenAtReview::NOTHING),
            summary,
            trace,
        })
    }
}

/// Gives the test what earlier ones were like.
fn compare(test: &mut BlankOff, shop: &RigRecords, began_s: f64) {
    let notes = shop.notes.plain();
    let floor = test.findings().floor.filter(|f| f.reached_s.is_some());
    let floor_micron = floor.map(|f| f.micron.value);
    let setup = test.setup_mut();
    let parts = (setup.rig.pump.as_deref(), setup.rig.rig.as_deref());
    setup.history = Some(history(&shop.runs, &notes, parts, began_s, floor_micron));
    if let Some(pump) = &setup.rig.pump {
        setup.rig.oil_hours = Some(oil_hours(&shop.runs, &notes, pump, began_s).hours);
    }
}

impl JudgedBlankOff {
    /// The sheet of this record, with what was chosen about it.
    pub(crate) fn sheet<'a>(&'a self, chosen: Chosen<'a>, made_by: &'a str) -> BlankOffSheet<'a> {
        BlankOffSheet {
            trace: &self.trace,
            findings: &self.findings,
            about: self.origin.about(chosen, &[], made_by),
        }
    }

    /// The review as a technician reads it.
    #[must_use]
    pub fn lines(&self, voice: &Voice) -> Vec<String> {
        let mut lines = vec![format!("{}:", self.origin.source)];
        let notes = self.findings.data.notes.iter();
        let notes = notes.map(|note| wording::note_line(voice, note));
        let said = wording::blank_off_lines(voice, &self.findings);
        let torn = self.summary.torn_tail.as_ref();
        let torn = torn.map(|torn| wording::record_note(voice, &torn.to_string()));
        let said = notes.chain(said).chain(torn);
        lines.extend(said.map(|line| format!("  {line}")));
        lines
    }

    /// The review as JSON, one line.
    #[must_use]
    pub fn json(&self) -> String {
        report::blank_off_json(&self.findings, &self.origin.source)
    }
}
