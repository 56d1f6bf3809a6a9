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

/// How a gauge senses the pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GaugePrinciple {
    /// By the heat that gas carries away (Pirani, thermocouple, thermistor): what it shows
    /// depends on the gas, and it is adjusted for air.
    Thermal,
    /// By the force on a diaphragm (capacitance, piezo): the same for every gas.
    Diaphragm,
    /// Otherwise.
    Other,
}

impl GaugePrinciple {
    /// Every principle.
    pub const ALL: [Self; 3] = [Self::Thermal, Self::Diaphragm, Self::Other];

    /// The word in a job file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Thermal => "thermal",
            Self::Diaphragm => "diaphragm",
            Self::Other => "other",
        }
    }

    /// The principle that a person names: "thermal", "Pirani", "capacitance".
    ///
    /// ```
    /// use vacuum::GaugePrinciple;
    ///
    /// assert_eq!(GaugePrinciple::named("Pirani"), Some(GaugePrinciple::Thermal));
    /// assert_eq!(GaugePrinciple::named("capacitance"), Some(GaugePrinciple::Diaphragm));
    /// assert_eq!(GaugePrinciple::named("digital"), None);
    /// ```
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        Some(match text.trim().to_lowercase().as_str() {
            "thermal" | "thermal conductivity" | "pirani" | "thermocouple" | "thermistor" => {
                Self::Thermal
            }
            "diaphragm" | "capacitance" | "piezo" => Self::Diaphragm,
            "other" => Self::Other,
            _ => return None,
        })
    }

    /// True pressure over what the gauge shows, in pure water vapour: about one half on a
    /// thermal gauge adjusted for air (vacuum gauge literature), 1 else.
    #[must_use]
    pub const fn water_vapour_factor(self) -> f64 {
        match self {
            Self::Thermal => 0.5,
            Self::Diaphragm | Self::Other => 1.0,
        }
    }
}

/// Which gauge measured, for the paperwork.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GaugeIdentity {
    /// Description as typed.
    pub description: Option<String>,
    /// Serial number as typed.
    pub serial: Option<String>,
    /// How it senses the pressure.
    pub principle: Option<GaugePrinciple>,
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
    /// Whom the appliance belongs to.
    pub customer: Option<String>,
    /// Where it stands.
    pub site: Option<String>,
    /// Number of the warranty claim, as typed.
    pub claim: Option<String>,
    /// Number of the work order, as typed.
    pub work_order: Option<String>,
    /// Parts that were fitted.
    pub parts_fitted: Option<String>,
    /// Serial number of the compressor that was taken out, as typed.
    pub compressor_serial_old: Option<String>,
    /// Serial number of the compressor that was put in, as typed.
    pub compressor_serial_new: Option<String>,
    /// Refrigerant recovered before the repair, g.
    pub recovered_g: Option<f64>,
    /// Refrigerant charged after it, g.
    pub charged_g: Option<f64>,
    /// Where the leak was found.
    pub leak_location: Option<String>,
    /// File with one photo (JPEG or PNG): as typed in a job file, the name of a file beside
    /// it in a run.
    pub photo: Option<String>,
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
