use crate::SheetChoices;

/// From how many sides the system is evacuated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AccessSides {
    /// One side only: what lies behind the capillary tube is pumped through it,
    /// which takes hours, and bleeds back into the hold.
    One,
    /// High and low side together.
    Both,
}

/// Which gauge measured, for the paperwork.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GaugeIdentity {
    /// Description as typed.
    pub description: Option<String>,
    /// Serial number as typed.
    pub serial: Option<String>,
    /// Date of the last calibration, as typed (ISO 8601 preferred).
    pub calibrated_on: Option<String>,
    /// Date when calibration is next due.
    pub calibration_due: Option<String>,
}

/// What the program writes into a record for the place of a gauge at the pump.
pub const PUMP_SIDE: &str = "pump side";

/// True where a place, as somebody wrote it, is [`PUMP_SIDE`].
///
/// ```
/// assert!(vacuum::is_pump_side(" Pump side"));
/// assert!(!vacuum::is_pump_side("evaporator"));
/// ```
#[must_use]
pub fn is_pump_side(place: &str) -> bool {
    place.trim().eq_ignore_ascii_case(PUMP_SIDE)
}

/// The system and paperwork data of one repair.
///
/// Everything is optional except the identifier: absent knowledge stays absent.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Job {
    /// Identifier of the job, as the shop writes it; never empty in a run.
    pub id: String,
    /// True for demonstration data, so that no sheet can be mistaken for evidence.
    pub invented: bool,
    /// Kind of appliance ("upright freezer").
    pub appliance: Option<String>,
    /// Model as typed.
    pub model: Option<String>,
    /// Serial number as typed.
    pub serial: Option<String>,
    /// Refrigerant designation (ISO 817), for instance "R-600a".
    pub refrigerant: Option<String>,
    /// Nameplate charge, g.
    pub charge_g: Option<f64>,
    /// Oil kind.
    pub oil: Option<String>,
    /// Internal volume of the system, L.
    pub volume_l: Option<f64>,
    /// Ambient temperature, °C.
    pub ambient_c: Option<f64>,
    /// Temperature of the coldest part of the system during the hold, °C, −60 to 60:
    /// where it is below freezing, water stands there as ice.
    pub coldest_part_c: Option<f64>,
    /// Sides evacuated.
    pub access_sides: Option<AccessSides>,
    /// Whether the gauge stays open to the system when the manifold valves are shut.
    /// Where it does not, a hold after that act shows the manifold and not the system.
    pub gauge_open_to_system: Option<bool>,
    /// What was repaired.
    pub repair: Option<String>,
    /// Technician's name.
    pub technician: Option<String>,
    /// Technician's licence or certificate number.
    pub licence: Option<String>,
    /// Shop.
    pub shop: Option<String>,
    /// Vacuum pump.
    pub pump: Option<String>,
    /// Hoses.
    pub hose: Option<String>,
    /// Gauge.
    pub gauge: GaugeIdentity,
    /// What was chosen about the sheet.
    pub sheet: SheetChoices,
}
