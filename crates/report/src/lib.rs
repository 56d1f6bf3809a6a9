//! Draws an evacuation: the curve, the close-up of the hold, the one-page
//! sheet, and the findings as JSON. Every sentence comes from the crate [`wording`].
//!
//! Pure: a [`Trace`] (bounded memory, fed one [`vacuum::Entry`] at a time) and
//! [`findings::Findings`] go in, text comes out. The same input gives the same
//! bytes.
//!
//! ```
//! use report::{Sheet, Trace};
//! use vacuum::{Entry, Pressure, Reading};
//!
//! # fn demo(findings: &findings::Findings) -> Result<(), Box<dyn std::error::Error>> {
//! let mut trace = Trace::default();
//! for second in 0..600 {
//!     let pressure = Pressure::from_micron(400.0)?;
//!     trace.push(&Entry::Reading(Reading::measured(f64::from(second), pressure)));
//! }
//! let sheet = Sheet::new(&trace, findings, "trace.csv", "dryhold 0.1.0");
//! let svg = report::curve_svg(&sheet)?;
//! assert!(svg.starts_with("<svg"));
//! # Ok(())
//! # }
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
mod logo;
mod page;
mod pdf;
mod picture;
mod pixels;
mod place;
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
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn curve_svg(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    curve::svg(sheet, curve::Form::Standalone)
}

/// The hold on a linear scale with the fitted rise, as an SVG picture; `None`
/// when the findings hold no hold.
///
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn hold_svg(sheet: &Sheet<'_>) -> Result<Option<String>, ReportError> {
    closeup::svg(sheet)
}

/// The sheet: one self-contained HTML page (no script, nothing loaded from
/// outside) that prints on one A4 or Letter page.
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
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses the sheet.
pub fn sheet_pdf(sheet: &Sheet<'_>) -> Result<Vec<u8>, ReportError> {
    pdf::write(sheet)
}

/// The standalone curve as a PNG picture.
///
/// # Errors
/// [`ReportError::Drawing`] when a drawing library fails.
pub fn curve_png(sheet: &Sheet<'_>, size: PngSize) -> Result<Vec<u8>, ReportError> {
    pixels::curve(sheet, size)
}
