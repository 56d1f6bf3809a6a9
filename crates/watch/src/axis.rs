//! How the curve of a run is drawn.

use serde::Serialize;

/// How the curve is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AxisNow {
    /// True where the scale is linear; else it is logarithmic.
    pub linear: bool,
    /// Micron in one unit of the scale.
    pub micron_per_unit: f64,
}

impl Default for AxisNow {
    /// Micron on a logarithmic scale.
    fn default() -> Self {
        Self {
            linear: false,
            micron_per_unit: 1.0,
        }
    }
}
