//! What a substance is like where liquid and vapour are together.

/// Liquid and vapour at one temperature, of the nominal composition.
///
/// For a single substance both pressures are the same. For a blend they are two states: liquid
/// that begins to boil, and vapour that begins to condense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturation {
    /// Temperature, °C.
    pub celsius: f64,
    /// Pressure of the bubble point, Pa absolute: what a cylinder stands at that is full of
    /// liquid.
    pub bubble_pa: f64,
    /// Pressure of the dew point, Pa absolute.
    pub dew_pa: f64,
    /// Density of the boiling liquid (at `bubble_pa`), kg/m³, which is g/L.
    pub liquid_kg_m3: f64,
    /// Density of the saturated vapour (at `dew_pa`), kg/m³, which is g/L.
    pub vapour_kg_m3: f64,
}
