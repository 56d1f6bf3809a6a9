//! What speaks against a plan.

use crate::limits::ChargeLimit;

/// Something to think about before weighing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warning {
    /// No hose was given: what hoses keep is not counted.
    NoHoses,
    /// Hoses keep a good part of the charge, as a share of it.
    HosesKeepMuch(f64),
    /// Step of the scale and tolerance, g: the tolerance holds fewer than four steps.
    ScaleTooCoarse {
        /// Step of the scale, g.
        step_g: f64,
        /// Tolerance of the charge, g.
        tolerance_g: f64,
    },
    /// What stays uncertain is more than the tolerance.
    TooUncertain {
        /// Uncertainty of the charge in the system, g, 95 %.
        uncertainty_95_g: f64,
        /// Tolerance of the charge, g.
        tolerance_g: f64,
    },
    /// A blend, and a hose with its vapour, which has another composition.
    VapourOfBlend,
    /// The cylinder stands above what it would at the temperature of the room, by so many K.
    CylinderWarm(f64),
    /// It stands below, by so many K.
    CylinderCold(f64),
    /// The charge is above a limit for refrigerants that burn.
    AboveLimit(ChargeLimit),
}

impl Warning {
    /// The code in JSON.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoHoses => "no_hoses",
            Self::HosesKeepMuch(_) => "hoses_keep_much",
            Self::ScaleTooCoarse { .. } => "scale_too_coarse",
            Self::TooUncertain { .. } => "too_uncertain",
            Self::VapourOfBlend => "vapour_of_blend",
            Self::CylinderWarm(_) => "cylinder_warm",
            Self::CylinderCold(_) => "cylinder_cold",
            Self::AboveLimit(_) => "above_limit",
        }
    }
}
