//! What went in: rows, gaps, resolution, noise.

use vacuum::{GaugePrinciple, RecordUnit};

/// A stretch without usable readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Last reading before, s.
    pub start_s: f64,
    /// First reading after, s.
    pub end_s: f64,
}

/// Rows of a file that could not be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// How many.
    pub rows: u64,
    /// The first of them: row, counted from 1 as an editor counts lines, and why.
    pub listed: Vec<(u64, String)>,
}

/// What went in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DataSummary {
    /// Readings seen.
    pub rows: u64,
    /// Measurements used.
    pub used: u64,
    /// Rows not used as a measurement.
    pub rejected: u64,
    /// Rows of the file that gave no entry at all, counted in `rejected` too. The
    /// analyser never sees them; whoever read the file fills this in.
    pub left_out: LeftOut,
    /// How the file was understood, in words, likewise.
    pub notes: Vec<String>,
    /// In which unit the readings came and who says so, where that is known.
    pub unit: Option<RecordUnit>,
    /// How the gauge senses the pressure, where the job says it.
    pub gauge_principle: Option<GaugePrinciple>,
    /// Gaps.
    pub gaps: Vec<Gap>,
    /// Median time between readings, s.
    pub interval_s: Option<f64>,
    /// Smallest step the gauge shows near the hold pressure, micron.
    pub resolution_micron: Option<f64>,
    /// Gauge noise near the hold pressure, standard deviation, micron.
    pub noise_micron: Option<f64>,
}
