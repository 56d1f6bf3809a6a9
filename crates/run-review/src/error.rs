//! Why a record is not judged, or what is made from it not written.

use std::path::PathBuf;

use packed_run::PackedError;
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
    /// It came as an archive that is not unpacked.
    #[error(transparent)]
    Packed(#[from] PackedError),
    /// A moment that was typed cannot be placed in the record.
    #[error("{}: {why}", .path.display())]
    NotPlaced {
        /// The record.
        path: PathBuf,
        /// What is missing, and what to type.
        why: String,
    },
    /// The moment from which to judge, as it was given, lies outside of the record.
    #[error(
        "{}: the moment from which to judge, given as {at_s} s, lies outside of the record, which runs from {from_s:.0} s \
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
    /// A test of another job was to be taken into the sheet.
    #[error(
        "{path} is of job {job}, the first test of job {first}: a sheet is of one job, so make one of each"
    )]
    OtherJob {
        /// The other test, as it was given.
        path: String,
        /// Its job.
        job: String,
        /// The job of the first.
        first: String,
    },
    /// It cannot be drawn.
    #[error(transparent)]
    Draw(#[from] ReportError),
}
