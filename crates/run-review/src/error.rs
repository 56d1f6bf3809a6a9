//! Why a record is not judged, or what is made from it not written.

use std::path::PathBuf;

use report::ReportError;
use run_record::RecordError;
use thiserror::Error;

/// Why a record is not judged.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ReviewError {
    /// It cannot be read.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The isolation that was given lies outside of the record.
    #[error(
        "{}: an isolation at {at_s} s lies outside of the record, which runs from {from_s:.0} s \
         to {to_s:.0} s",
        .path.display()
    )]
    IsolatedOutside {
        /// The record.
        path: PathBuf,
        /// The isolation that was given, s of the record.
        at_s: f64,
        /// Its first row, s.
        from_s: f64,
        /// Its last row, s.
        to_s: f64,
    },
}

/// Why curve, sheet or findings are not written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ProductError {
    /// A file or folder cannot be written.
    #[error("{} cannot be written: {}", .path.display(), plain_file::io_words(source))]
    Write {
        /// Which.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// It cannot be drawn.
    #[error(transparent)]
    Draw(#[from] ReportError),
}
