//! One row of the table.

/// A state of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct State {
    /// Temperature, °C.
    pub(crate) celsius: f64,
    /// Pressure of the bubble point, Pa absolute.
    pub(crate) bubble_pa: f64,
    /// Pressure of the dew point, Pa absolute.
    pub(crate) dew_pa: f64,
    /// Density of the boiling liquid, kg/m³.
    pub(crate) liquid_kg_m3: f64,
    /// Density of the saturated vapour, kg/m³.
    pub(crate) vapour_kg_m3: f64,
    /// Density of the vapour at half the dew pressure, kg/m³.
    pub(crate) at_half_dew_kg_m3: f64,
    /// Density of the vapour at 0.85 of the dew pressure, kg/m³.
    pub(crate) at_085_dew_kg_m3: f64,
}
