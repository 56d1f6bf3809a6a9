//! How a weigh-in stands, as it is shown.

use serde::Serialize;

/// How a weigh-in stands.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ChargeNow {
    /// What is still to leave the cylinder, g; below 0 when too much has.
    pub to_go_g: Option<f64>,
    /// The figures to be shown large, without their unit.
    pub digits: String,
    /// What the figures are: "to go of 58.1 g".
    pub words: String,
    /// It was said to end.
    pub ended: bool,
}
