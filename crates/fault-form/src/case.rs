//! Everything that was said, as numbers.

use fault::{GaugeNoise, Signs};

/// Everything that was said of one appliance.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// What was seen.
    pub signs: Signs,
    /// Missing refrigerant, g: nameplate less charge found, or as given.
    pub missing_g: Option<f64>,
    /// Since it was charged, months.
    pub months: Option<f64>,
    /// Of the sealed system, L.
    pub volume_l: Option<f64>,
    /// Hold that is planned, min.
    pub hold_min: f64,
    /// Gauge of the hold.
    pub gauge: GaugeNoise,
    /// A remark of a file.
    pub about: Option<String>,
    /// What is wrong with an invented appliance.
    pub truth: Option<String>,
}
