//! Tests of the whole: what is drawn and printed of invented runs.

mod blank_off_tests;
mod escaped;
pub(crate) mod golden;
mod html;
mod invented_tests;
mod languages;
mod one_page;
mod page;
mod pdf;
mod pdf_text;
mod pressure_tests;
mod rig_pages;
mod sheet_and_json;

use invented_runs::Run;

use crate::{Sheet, Trace};

/// What a run folder gives.
pub(crate) trait Folder {
    /// Its readings and marks.
    fn trace(&self) -> Trace;

    /// A sheet with all that a run folder gives, to be changed where a test wants
    /// something else.
    fn sheet<'a>(&'a self, trace: &'a Trace) -> Sheet<'a>;
}

impl Folder for Run {
    fn trace(&self) -> Trace {
        self.entries.iter().collect()
    }

    fn sheet<'a>(&'a self, trace: &'a Trace) -> Sheet<'a> {
        Sheet {
            job: self.job.as_ref(),
            gauge_dialect: Some("tilde-frame"),
            started_utc: Some("2026-03-14T09:15:00Z"),
            record_sha256: Some(invented_runs::DIGEST),
            ..Sheet::new(trace, &self.findings, self.name, "dryhold 0.1.0")
        }
    }
}
