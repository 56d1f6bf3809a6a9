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
//! `curve` and `closeup` lay a picture out: a list of shapes and texts with known boxes
//! (`picture`). What stands in data coordinates becomes shapes once, in `plot`. Painters
//! know shapes and texts only: `svg` writes them, `pdf` paints them on paper, `pixels`
//! rasters the SVG. What the sheet says is collected in `contents`; `html` turns it into
//! markup and `page` sets it for paper.
//!
//! # What this crate never does
//! It reads no file and no clock, judges nothing, and has no words of its own. It prints
//! only what the findings say.

mod closeup;
mod contents;
mod curve;
mod error;
mod font;
mod html;
mod labels;
mod logo;
mod page;
mod pdf;
mod picture;
mod pixels;
mod plot;
mod png_file;
mod scale;
mod sheet;
mod strokes;
mod svg;
#[cfg(test)]
mod tests;
mod text;
mod trace;
mod wire;

pub use error::ReportError;
pub use logo::{Logo, LogoError};
pub use pixels::PngSize;
pub use sheet::{Companion, Sheet};
pub use trace::{Bin, Span, Trace};
pub use wire::{FINDINGS_MADE_BY, findings_json};

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
    curve::svg(sheet, curve::Form::Standalone)
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
    closeup::svg(sheet)
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
    html::page(sheet)
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
    pdf::write(sheet)
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
    pixels::curve(sheet, size)
}
