//! Draws an evacuation: the curve, the close-up of the hold, the one-page
//! sheet, the findings as JSON and as plain sentences, in several languages
//! ([`Voice`]).
//!
//! Pure: a [`Trace`] (bounded memory, fed one [`vacuum::Entry`] at a time) and
//! [`analyser::Findings`] go in, text comes out. The same input gives the same
//! bytes.
//!
//! ```
//! use report::{Sheet, Trace};
//! use vacuum::{Entry, Pressure, Reading};
//!
//! # fn demo(findings: &analyser::Findings) -> Result<(), Box<dyn std::error::Error>> {
//! let mut trace = Trace::default();
//! for second in 0..600 {
//!     let pressure = Pressure::from_micron(400.0)?;
//!     trace.push(&Entry::Reading(Reading::measured(f64::from(second), pressure)));
//! }
//! let sheet = Sheet {
//!     trace: &trace,
//!     findings,
//!     job: None,
//!     choices: None,
//!     gauge_dialect: None,
//!     source: "trace.csv",
//!     started_utc: None,
//!     made_by: "dryhold 0.1.0",
//!     record_sha256: None,
//!     logo: None,
//!     beside: &[],
//! };
//! let svg = report::curve_svg(&sheet)?;
//! assert!(svg.starts_with("<svg"));
//! # Ok(())
//! # }
//! ```
//!
//! # How it is built
//! One layout model (`picture`: shapes and texts with known boxes) is filled by
//! `curve` and `closeup`, and painted as SVG by `paint`: plotters draws grid, shading and series in data coordinates; direct labels,
//! dashes and brackets lie over it. `pdf` paints the same model, `pixels` rasters the SVG.
//! What the sheet says is collected in `contents`; `html` turns it into markup and
//! `page` sets it for paper. The words come from `wording`.
//!
//! # What this crate does not do
//! No files, no clock, no judging. It prints only what the findings say.

mod catalogue;
mod closeup;
mod contents;
mod curve;
mod figures;
mod font;
mod html;
mod logo;
mod moments;
mod page;
mod paint;
mod pdf;
mod picture;
mod pixels;
mod place;
mod scale;
mod strokes;
// the invented runs speak of this crate by its name, for tests outside use them too
#[cfg(test)]
extern crate self as report;
#[cfg(test)]
mod synthetic;
mod text;
mod trace;
mod voice;
mod wire;
pub mod wording;

pub use logo::{Logo, LogoError};
pub use pixels::PngSize;
pub use trace::{Bin, Span, Trace};
pub use voice::Voice;
pub use wire::{FINDINGS_MADE_BY, findings_json};
pub use wording::{left_out_lines, summary_lines};

use analyser::Findings;
use vacuum::{GaugeIdentity, Job, Paper, SheetChoices, SheetField};

/// Everything a curve or a sheet is made from.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The readings and marks.
    pub trace: &'a Trace,
    /// What was found in them.
    pub findings: &'a Findings,
    /// The job, when one was given.
    pub job: Option<&'a Job>,
    /// What was chosen about the sheet, instead of what the job says of it.
    pub choices: Option<&'a SheetChoices>,
    /// The dialect that the gauge's lines were read in, when known.
    pub gauge_dialect: Option<&'a str>,
    /// Where the run came from (run folder or file); its name is printed.
    pub source: &'a str,
    /// When the run started, RFC 3339 in UTC, when known.
    pub started_utc: Option<&'a str>,
    /// Name and version of the judging program, for instance "dryhold 0.1.0".
    pub made_by: &'a str,
    /// Digest of the record as a whole, 64 hexadecimal characters, when it is a
    /// run folder: printed so that paper and record can be held together.
    pub record_sha256: Option<&'a str>,
    /// The shop's logo.
    pub logo: Option<&'a Logo>,
    /// Gauges and channels recorded beside the judged one.
    pub beside: &'a [Companion<'a>],
}

impl Sheet<'_> {
    /// The choices that count; `None` where nothing was chosen.
    fn choices(&self) -> Option<&SheetChoices> {
        self.choices.or(self.job.map(|job| &job.sheet))
    }

    /// Language, unit, zone and clock that were chosen.
    fn voice(&self) -> Voice {
        self.choices().map_or_else(Voice::default, Voice::from)
    }

    /// Paper the sheet is set for.
    fn paper(&self) -> Paper {
        self.choices().and_then(|c| c.paper).unwrap_or_default()
    }

    /// True when `field` is to be printed.
    fn prints(&self, field: SheetField) -> bool {
        self.choices().is_none_or(|choices| choices.prints(field))
    }
}

/// A gauge or channel drawn beside the judged one.
#[derive(Debug, Clone, Copy)]
pub struct Companion<'a> {
    /// Where it sits, in words ("pump side").
    pub place: &'a str,
    /// Which gauge it is.
    pub gauge: &'a GaugeIdentity,
    /// Its readings.
    pub trace: &'a Trace,
}

/// Why nothing could be drawn.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// The drawing library refused the picture.
    #[error("the {what} could not be drawn: {cause}")]
    Drawing {
        /// Which picture.
        what: &'static str,
        /// What the drawing library said.
        cause: String,
    },
}

/// The whole run on a logarithmic pressure axis, as a self-contained SVG
/// picture with the verdict in words on it.
///
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn curve_svg(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    paint::svg(&curve::picture(sheet, curve::Form::Standalone), "curve")
}

/// The hold on a linear scale with the fitted rise, as an SVG picture; `None`
/// when the findings hold no hold.
///
/// # Errors
/// [`ReportError::Drawing`] when the drawing library fails.
pub fn hold_svg(sheet: &Sheet<'_>) -> Result<Option<String>, ReportError> {
    closeup::picture(sheet)
        .map(|picture| paint::svg(&picture, "close-up of the hold"))
        .transpose()
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

/// The name of a run folder or file without the folders above it, which mean
/// nothing to whoever gets the sheet.
fn source_name(source: &str) -> &str {
    let trimmed = source.trim_end_matches(['/', '\\']);
    trimmed.rsplit(['/', '\\']).next().unwrap_or(trimmed)
}

/// True when the sheet must say that its data are invented.
fn is_invented(sheet: &Sheet<'_>) -> bool {
    sheet.job.is_some_and(|job| job.invented)
}
