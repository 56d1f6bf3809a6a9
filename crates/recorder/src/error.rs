//! Why a run cannot be recorded.

use run_record::RecordError;
use sensor_reader::{AddressError, DialectError, TransportError};
use thiserror::Error;

/// Why a run cannot be recorded. What is missing is said as data: whoever asks the person
/// for it knows how it is given.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum RecorderError {
    /// The record cannot be made or read.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The dialect of a gauge is not fit for use.
    #[error(transparent)]
    Dialect(#[from] DialectError),
    /// The address of a gauge means nothing.
    #[error(transparent)]
    Address(#[from] AddressError),
    /// A gauge cannot be opened.
    #[error("{}{source}", place.map(|p| format!("{p} gauge: ")).unwrap_or_default())]
    Gauge {
        /// Which of two: "far-side" or "pump-side"; `None` where there is one.
        place: Option<&'static str>,
        /// Why.
        source: TransportError,
    },
    /// The scale cannot be opened.
    #[error("scale: {source}")]
    Scale {
        /// Why.
        source: TransportError,
    },
    /// A scale is to be read, and nobody says how it speaks.
    #[error("nobody said how the scale speaks (dialects that ship: {known})")]
    ScaleDialectMissing {
        /// The names there are.
        known: String,
    },
    /// A run that goes on was recorded without a scale, and one is asked for.
    #[error("this run was recorded without a scale")]
    RecordedWithoutScale,
    /// Two gauges are to be read from one port.
    #[error("two instruments are said to be at {port}; give each its own port")]
    SamePort {
        /// The port.
        port: String,
    },
    /// A run that goes on has a gauge at the pump, and nobody says where it is connected.
    #[error("the record does not say where the pump-side gauge was connected")]
    PumpPortMissing,
    /// A run that goes on was recorded with one gauge, and two are asked for.
    #[error("this run was recorded with one gauge")]
    RecordedWithOneGauge,
    /// The dialect gives other channels than those the run was recorded with.
    #[error("the dialect now gives other channels than those this run was recorded with")]
    OtherChannels,
    /// The folder of runs cannot be made.
    #[error("{}: {}", folder.display(), plain_file::io_words(source))]
    RunsFolder {
        /// The folder.
        folder: std::path::PathBuf,
        /// Why.
        source: std::io::Error,
    },
}
