//! Draws an evacuation: the curve, the close-up of the hold, the one-page
//! sheet, and the findings as JSON. Every sentence comes from the crate [`wording`].
//!
//! Pure: a [`Trace`] (bounded memory, fed one [`vacuum::Entry`] at a time) and
//! [`findings::Findings`] go in, text comes out. The same input gives the same
//! bytes.
//!
//! ```
//! use report::{Sheet, Trace};
//!
//! let runs = invented_runs::runs();
//! let trace: Trace = runs[0].entries.iter().collect();
//! let sheet = Sheet {
//!     started_utc: Some("2026-03-14T09:15:00Z"),
//!     ..Sheet::new(&trace, &runs[0].findings, "trace.csv", "dryhold 0.1.0")
//! };
//! assert!(report::curve_svg(&sheet)?.starts_with("<svg"));
//! assert!(report::sheet_pdf(&sheet)?.starts_with(b"%PDF-"));
//! # Ok::<(), report::ReportError>(())
//! ```
//!
//! # How it is built
//! `curve` and `closeup` lay a picture out: a list of shapes and texts with known boxes.
//! What the sheet says is collected in `contents`. The crate [`layout`] writes pictures and
//! sets sheets; it knows no test.
//!
//! # What this crate never does
//! It reads no file and no clock, judges nothing, and has no words of its own. It prints
//! only what the findings say.

mod blank_off;
mod closeup;
mod contents;
mod curve;
mod evacuation;
mod pressure_test;
mod rig_page;
mod sheet;
#[cfg(test)]
mod tests;
mod wire;

use layout::{Form, svg};

pub use blank_off::BlankOffSheet;
pub use layout::{Bin, Logo, LogoError, Photo, PhotoError, PngSize, ReportError, Span, Trace};
pub use pressure_test::{Barometer, TestSheet, TestTrace};
pub use rig_page::{rig_html, rig_pdf};
pub use sheet::{About, Companion, GivenAtReview, Sheet};
pub use wire::{
    FINDINGS_MADE_BY, blank_off_json, charge_json, decay_json, findings_json,
    findings_json_with_rig, rig_json, six_digits,
};

/// The whole run on a logarithmic pressure axis, as a self-contained SVG
/// picture with the verdict in words on it.
///
/// ```
/// # let runs = invented_runs::runs();
/// # let run = runs.iter().find(|run| run.name == "leak_1h").unwrap();
/// # let trace: report::Trace = run.entries.iter().collect();
/// # let sheet = report::Sheet::new(&trace, &run.findings, "trace.csv", "dryhold 0.1.0");
/// let svg = report::curve_svg(&sheet)?;
/// assert!(svg.starts_with("<svg") && svg.contains(">FAIL<"));
/// # Ok::<(), report::ReportError>(())
/// ```
///
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn curve_svg(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    Test::Evacuation(*sheet).curve_svg()
}

/// The hold on a linear scale with the fitted rise, as an SVG picture; `None`
/// when there is no hold in the findings.
///
/// ```
/// # let runs = invented_runs::runs();
/// # let run = runs.iter().find(|run| run.name == "leak_1h").unwrap();
/// # let trace: report::Trace = run.entries.iter().collect();
/// # let sheet = report::Sheet::new(&trace, &run.findings, "trace.csv", "dryhold 0.1.0");
/// let close_up = report::hold_svg(&sheet)?;
/// assert!(close_up.is_some_and(|svg| svg.contains("minutes since isolation")));
/// # Ok::<(), report::ReportError>(())
/// ```
///
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn hold_svg(sheet: &Sheet<'_>) -> Result<Option<String>, ReportError> {
    Ok(closeup::picture(sheet)?.as_ref().map(svg::write))
}

/// The sheet: one self-contained HTML page (no script, nothing loaded from
/// outside) that prints on one A4 or Letter page.
///
/// ```
/// # let runs = invented_runs::runs();
/// # let run = runs.iter().find(|run| run.name == "leak_1h").unwrap();
/// # let trace: report::Trace = run.entries.iter().collect();
/// # let sheet = report::Sheet::new(&trace, &run.findings, "trace.csv", "dryhold 0.1.0");
/// let html = report::sheet_html(&sheet)?;
/// assert!(html.contains("<main>") && !html.contains("<script"));
/// # Ok::<(), report::ReportError>(())
/// ```
///
/// # Errors
/// [`ReportError::Drawing`] when a picture on it cannot be drawn.
pub fn sheet_html(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    document_html(&[Test::Evacuation(*sheet)])
}

/// The sheet as PDF for printing and for keeping: tagged, its fonts inside, real
/// text, the curve as lines. One page; a second one for several rounds, or more
/// findings than the first has room for.
///
/// Made for PDF/UA-1 and, when the start of the run is known, PDF/A-2a.
///
/// ```
/// # let runs = invented_runs::runs();
/// # let run = runs.iter().find(|run| run.name == "leak_1h").unwrap();
/// # let trace: report::Trace = run.entries.iter().collect();
/// # let sheet = report::Sheet::new(&trace, &run.findings, "trace.csv", "dryhold 0.1.0");
/// let pdf = report::sheet_pdf(&sheet)?;
/// assert!(pdf.starts_with(b"%PDF-"));
/// # Ok::<(), report::ReportError>(())
/// ```
///
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses the sheet.
pub fn sheet_pdf(sheet: &Sheet<'_>) -> Result<Vec<u8>, ReportError> {
    document_pdf(&[Test::Evacuation(*sheet)])
}

/// The standalone curve as a PNG picture.
///
/// ```
/// # let runs = invented_runs::runs();
/// # let run = runs.iter().find(|run| run.name == "leak_1h").unwrap();
/// # let trace: report::Trace = run.entries.iter().collect();
/// # let sheet = report::Sheet::new(&trace, &run.findings, "trace.csv", "dryhold 0.1.0");
/// let png = report::curve_png(&sheet, report::PngSize::Message)?;
/// assert!(png.starts_with(b"\x89PNG"));
/// # Ok::<(), report::ReportError>(())
/// ```
///
/// # Errors
/// [`ReportError::Drawing`] when a drawing library fails.
pub fn curve_png(sheet: &Sheet<'_>, size: PngSize) -> Result<Vec<u8>, ReportError> {
    Test::Evacuation(*sheet).curve_png(size)
}

/// One test of a job, for a document of several.
#[derive(Debug, Clone, Copy)]
pub enum Test<'a> {
    /// Pull-down and hold.
    Evacuation(Sheet<'a>),
    /// Dry gas under pressure.
    Pressure(TestSheet<'a>),
    /// Pump, hoses and gauge alone.
    BlankOff(BlankOffSheet<'a>),
}

impl<'a> Test<'a> {
    fn draft(self) -> Result<layout::Draft<'a>, ReportError> {
        match self {
            Self::Evacuation(sheet) => evacuation::draft(sheet),
            Self::Pressure(sheet) => pressure_test::draft(sheet),
            Self::BlankOff(sheet) => blank_off::draft(sheet),
        }
    }

    fn picture(self) -> Result<layout::picture::Picture, ReportError> {
        match self {
            Self::Evacuation(sheet) => curve::picture(&sheet, Form::Standalone),
            Self::Pressure(sheet) => pressure_test::picture(&sheet, Form::Standalone),
            Self::BlankOff(sheet) => blank_off::picture(&sheet, Form::Standalone),
        }
    }

    /// The curve as a self-contained SVG picture with the verdict in words on it.
    ///
    /// # Errors
    /// [`ReportError::Drawing`] when the drawing library fails.
    pub fn curve_svg(self) -> Result<String, ReportError> {
        Ok(svg::write(&self.picture()?))
    }

    /// The same as a PNG picture.
    ///
    /// # Errors
    /// [`ReportError::Drawing`] when a drawing library fails.
    pub fn curve_png(self, size: PngSize) -> Result<Vec<u8>, ReportError> {
        layout::png(&self.picture()?, size)
    }
}

/// Sheets of several tests of a job as one HTML page, one after the other; each prints on
/// pages of its own. The first one decides language and title.
///
/// # Errors
/// [`ReportError::Drawing`] when a picture on it cannot be drawn.
pub fn document_html(tests: &[Test<'_>]) -> Result<String, ReportError> {
    layout::html(&drafts(tests)?)
}

/// Sheets of several tests of a job as one PDF, each from the head of a page; as
/// [`sheet_pdf`]. All of them have to be set for the same paper.
///
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses a sheet.
pub fn document_pdf(tests: &[Test<'_>]) -> Result<Vec<u8>, ReportError> {
    layout::pdf(&drafts(tests)?)
}

fn drafts<'a>(tests: &[Test<'a>]) -> Result<Vec<layout::Draft<'a>>, ReportError> {
    tests.iter().map(|test| test.draft()).collect()
}
