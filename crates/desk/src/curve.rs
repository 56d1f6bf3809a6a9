//! A curve in few numbers: to be drawn small, and to be compared with others.

use serde::{Deserialize, Serialize};

/// The readings of a record in 256 bins of equal length from its first reading to its
/// last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CurveInBins {
    /// From the first reading to the last, s.
    pub span_s: f64,
    /// Mean of log10 of the pressure in micron in each bin, in thousandths (3000 is 1,000
    /// micron); a bin without a reading takes the straight line between its neighbours.
    pub log_micron: Vec<i16>,
    /// What rounding to thousandths took off each, in two-hundredths of a thousandth, −100 to
    /// 100: the noise of a gauge is smaller than a thousandth, and tells copies from records
    /// that are only alike.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rest: Vec<i8>,
}
