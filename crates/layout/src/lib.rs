//! Lays pictures and sheets out and writes them: SVG, PNG, HTML, PDF.
//!
//! Whatever test a sheet is of, it has the same grid, type and furniture: a [`Draft`] is
//! what is said of one test ([`contents::Contents`]) with its pictures, and one document
//! holds any number of them. The same input gives the same bytes.
//!
//! # How it is built
//! A picture is a list of shapes and texts with known boxes ([`picture`]). What stands in
//! data coordinates becomes shapes once, in [`plot`], on axes of [`scale`]; [`labels`] finds
//! room for words. Painters know shapes and texts only: [`svg`] writes them, `pdf` paints
//! them on paper, `pixels` rasters the SVG. `html` turns the contents of a sheet into markup
//! and [`page`] sets them for paper.
//!
//! # What this crate never does
//! It knows no test and no finding but the verdict, has no words but those for what it left
//! out, and reads no file and no clock.
//!
//! ```
//! use layout::picture::{Picture, Text};
//!
//! let picture = Picture {
//!     width: 80.0,
//!     height: 20.0,
//!     title: "one word".into(),
//!     description: String::new(),
//!     shapes: Vec::new(),
//!     texts: vec![Text::new(4.0, 14.0, 11.0, "hold")],
//! };
//! assert!(layout::svg::write(&picture).contains(">hold</text>"));
//! ```

pub mod contents;
mod document;
mod draft;
mod error;
pub mod flags;
pub mod font;
mod form;
pub mod header;
mod html;
pub mod labels;
mod logo;
pub mod page;
pub mod parts;
mod pdf;
mod photo;
pub mod picture;
mod pixel_rows;
mod pixels;
pub mod plot;
mod png_file;
pub mod scale;
pub mod strokes;
pub mod svg;
pub mod text;
mod trace;

pub use document::{html, notice_pdf, pdf};
pub use draft::{Draft, DrawCurve};
pub use error::ReportError;
pub use form::{Dimensions, Form};
pub use logo::{Logo, LogoError};
pub use page::Notice;
pub use photo::{Photo, PhotoError};
pub use pixels::{PngSize, png};
pub use trace::{Bin, Span, Trace};
