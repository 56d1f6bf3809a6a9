//! A charging cylinder with a level, and how far a cylinder may be filled.

use refrigerant_tables::{OutsideTable, Saturation, Substance};

/// How much warmer or colder a dial is left for the figure of what that costs, K.
const DIAL_WRONG_K: f64 = 10.0;

/// Part of its volume to which a cylinder may be filled with liquid: common practice of 80 %
/// by volume, no source; the filling limit stamped on the cylinder goes before it.
pub const SAFE_FILL_SHARE: f64 = 0.8;

/// Temperature for which that part is counted, °C: a cylinder that is filled cold expands
/// (common practice, no source).
pub const SAFE_FILL_C: f64 = 25.0;

/// A charging cylinder set by its own pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargingCylinder {
    /// What it stands at, Pa absolute.
    pub pa: f64,
    /// Temperature at which liquid boils at that pressure, °C.
    pub celsius: f64,
    /// Density of the liquid then, kg/m³.
    pub liquid_kg_m3: f64,
    /// How far the level has to fall, mL, while the mass to weigh out leaves as liquid.
    pub level_fall_ml: f64,
    /// Share by which too much is charged with a dial left 10 K too cold: negative, too little.
    /// `None` where the table ends before.
    pub dial_too_cold: Option<f64>,
    /// The same with a dial left 10 K too warm.
    pub dial_too_warm: Option<f64>,
}

impl ChargingCylinder {
    pub(crate) fn new(
        substance: &Substance,
        pa: f64,
        weigh_out_g: f64,
    ) -> Result<Self, OutsideTable> {
        let celsius = substance.bubble_temperature_c(pa)?;
        let at = substance.saturation_at(celsius)?;
        let wrong = |dial_c| dial_error(substance, celsius, dial_c).ok();
        Ok(Self {
            pa,
            celsius,
            liquid_kg_m3: at.liquid_kg_m3,
            level_fall_ml: level_fall_ml(&at, weigh_out_g),
            dial_too_cold: wrong(celsius - DIAL_WRONG_K),
            dial_too_warm: wrong(celsius + DIAL_WRONG_K),
        })
    }
}

/// How far the level falls in a cylinder, mL, while `mass_g` leaves as liquid.
///
/// The room that liquid leaves fills with vapour that boils off the rest: of ΔV of level
/// ρ_liquid·ΔV leaves the liquid, and ρ_vapour·ΔV of it stays as vapour.
#[must_use]
pub fn level_fall_ml(at: &Saturation, mass_g: f64) -> f64 {
    // g/(kg/m³) is L/1000 of a kg, which is 1000 mL
    1e3 * mass_g / (at.liquid_kg_m3 - at.vapour_kg_m3)
}

/// Share by which the mass is wrong that a level scale shows with its dial set for `dial_c`
/// while the cylinder has `true_c`: ρ(true)/ρ(dial) − 1, negative when too little is charged.
///
/// # Errors
/// When one of the temperatures is not in the table.
pub fn dial_error(substance: &Substance, true_c: f64, dial_c: f64) -> Result<f64, OutsideTable> {
    let liquid = |celsius| Ok(substance.saturation_at(celsius)?.liquid_kg_m3);
    Ok(liquid(true_c)? / liquid(dial_c)? - 1.0)
}

/// How far a cylinder may be filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafeFill {
    /// Inner volume of the cylinder, mL.
    pub ml: f64,
    /// Most that goes in, g: [`SAFE_FILL_SHARE`] of the volume, as liquid at
    /// [`SAFE_FILL_C`].
    pub g: f64,
    /// Part of the volume that this liquid takes when the cylinder has become 50 °C warm;
    /// `None` where the table ends before.
    pub share_at_50_c: Option<f64>,
}

impl SafeFill {
    pub(crate) fn new(substance: &Substance, ml: f64) -> Result<Self, OutsideTable> {
        let filled_c = SAFE_FILL_C.min(substance.highest_c());
        let liquid = |celsius| substance.saturation_at(celsius).map(|at| at.liquid_kg_m3);
        let filled = liquid(filled_c)?;
        Ok(Self {
            ml,
            g: SAFE_FILL_SHARE * ml * filled / 1e3,
            share_at_50_c: liquid(50.0)
                .ok()
                .map(|warm| SAFE_FILL_SHARE * filled / warm),
        })
    }
}
