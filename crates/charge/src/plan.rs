//! What is asked, and why it may be refused.

use std::fmt;

use refrigerant_tables::{OutsideTable, Substance};
use vacuum::mass::LARGEST_CHARGE_G;

use crate::hose::{Contents, Hose, HoseError, Manifold};

/// Part of the charge that a tolerance is, and the least it is, g, where the nameplate has
/// none: common practice, no source.
const USUAL_TOLERANCE: (f64, f64) = (0.02, 1.0);

/// Tolerance of a charge whose nameplate gives none, g: 2 % of it, at least 1 g (common
/// practice, no source).
#[must_use]
pub fn usual_tolerance_g(nameplate_g: f64) -> f64 {
    (USUAL_TOLERANCE.0 * nameplate_g).max(USUAL_TOLERANCE.1)
}

/// Whether what hoses keep is drawn into the system at the end.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum DrawIn {
    /// Hoses are taken off as they are.
    #[default]
    No,
    /// The running system draws hoses empty through the low side.
    Yes,
}

/// What is charged, with what.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The refrigerant.
    pub substance: &'static Substance,
    /// Charge on the nameplate, g: above 0, at most 1,000 kg.
    pub nameplate_g: f64,
    /// Tolerance of the charge to both sides, g; [`usual_tolerance_g`] where there is none.
    pub tolerance_g: Option<f64>,
    /// Temperature of the room, and of hoses and system in it, °C.
    pub ambient_c: f64,
    /// Hoses on the way, that were evacuated with the system.
    pub hoses: Vec<Hose>,
    /// The line from the valve of the cylinder, where it was evacuated too.
    pub cylinder_line: Option<Hose>,
    /// The manifold.
    pub manifold: Option<Manifold>,
    /// Whether hoses are drawn empty at the end.
    pub draw_in: DrawIn,
    /// Pressure of the running low side, Pa absolute, when they are; taken from the
    /// refrigerant at −25 °C where it is not given.
    pub low_side_pa: Option<f64>,
    /// Smallest step of the scale, g.
    pub scale_step_g: Option<f64>,
    /// What the charging cylinder stands at, Pa absolute.
    pub cylinder_pa: Option<f64>,
    /// Inner volume of the cylinder to be filled, mL.
    pub cylinder_ml: Option<f64>,
    /// What was weighed out, g, when that is done.
    pub weighed_out_g: Option<f64>,
}

impl Plan {
    /// A charge without hoses, and with nothing else known.
    #[must_use]
    pub const fn new(substance: &'static Substance, nameplate_g: f64, ambient_c: f64) -> Self {
        Self {
            substance,
            nameplate_g,
            tolerance_g: None,
            ambient_c,
            hoses: Vec::new(),
            cylinder_line: None,
            manifold: None,
            draw_in: DrawIn::No,
            low_side_pa: None,
            scale_step_g: None,
            cylinder_pa: None,
            cylinder_ml: None,
            weighed_out_g: None,
        }
    }

    /// Tolerance of the charge, g.
    #[must_use]
    pub fn tolerance_g(&self) -> f64 {
        self.tolerance_g
            .unwrap_or_else(|| usual_tolerance_g(self.nameplate_g))
    }

    /// What every hose, line and manifold holds at the end.
    pub(crate) fn contents(&self) -> impl Iterator<Item = Contents> {
        let hoses = self.hoses.iter().chain(&self.cylinder_line);
        let manifold = self.manifold.iter().map(|m| m.contents);
        hoses.map(|hose| hose.contents).chain(manifold)
    }

    pub(crate) fn check(&self) -> Result<(), Refused> {
        let mass = |g: f64| g > 0.0 && g <= LARGEST_CHARGE_G;
        let small = |g: Option<f64>| g.is_none_or(|g| g > 0.0 && g <= self.nameplate_g);
        if !mass(self.nameplate_g) {
            return Err(Refused::Nameplate(self.nameplate_g));
        }
        if !small(self.tolerance_g) {
            return Err(Refused::Tolerance(self.tolerance_g.unwrap_or_default()));
        }
        if !small(self.scale_step_g) {
            return Err(Refused::ScaleStep(self.scale_step_g.unwrap_or_default()));
        }
        if let Some(g) = self.weighed_out_g.filter(|g| !mass(*g)) {
            return Err(Refused::WeighedOut(g));
        }
        if let Some(ml) = self.cylinder_ml.filter(|ml| !(*ml > 0.0 && *ml <= 1e6)) {
            return Err(Refused::CylinderVolume(ml));
        }
        for hose in self.hoses.iter().chain(&self.cylinder_line) {
            hose.check()?;
        }
        self.manifold.map_or(Ok(()), Manifold::check)?;
        let mut held = self.contents().peekable();
        let only_vapour = held.peek().is_some() && held.all(|c| c == Contents::Vapour);
        if only_vapour && self.substance.is_zeotropic_blend() {
            return Err(Refused::VapourOfBlend(self.substance.designation()));
        }
        Ok(())
    }
}

/// Why nothing is worked out.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// The charge, g.
    Nameplate(f64),
    /// The tolerance, g.
    Tolerance(f64),
    /// The step of the scale, g.
    ScaleStep(f64),
    /// What was weighed out, g.
    WeighedOut(f64),
    /// The volume of the cylinder, mL.
    CylinderVolume(f64),
    /// A hose or the manifold.
    Hose(HoseError),
    /// A blend whose vapour has another composition, charged as vapour.
    VapourOfBlend(&'static str),
    /// The temperature of the room.
    Ambient(OutsideTable),
    /// The pressure of the charging cylinder.
    Cylinder(OutsideTable),
    /// The pressure of the running low side.
    LowSide(OutsideTable),
}

impl From<HoseError> for Refused {
    fn from(error: HoseError) -> Self {
        Self::Hose(error)
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nameplate(g) => write!(
                f,
                "a nameplate charge of {g} g: it lies above 0 and up to 1000 kg; read it from \
                 the nameplate"
            ),
            Self::Tolerance(g) => write!(
                f,
                "a tolerance of {g} g: it lies above 0 and up to the charge itself"
            ),
            Self::ScaleStep(g) => write!(
                f,
                "a scale step of {g} g: it lies above 0 and up to the charge itself; a coarser \
                 scale cannot weigh this charge"
            ),
            Self::WeighedOut(g) => write!(
                f,
                "{g} g weighed out: give what has left the cylinder, above 0 and up to 1000 kg"
            ),
            Self::CylinderVolume(ml) => write!(
                f,
                "a cylinder of {ml} mL: give its inner volume, above 0 and up to 1000 L"
            ),
            Self::Hose(error) => error.fmt(f),
            Self::VapourOfBlend(designation) => write!(
                f,
                "{designation} is a blend whose vapour has another composition than its liquid: \
                 charge it as liquid. Which hose carries the liquid? Write liquid behind it"
            ),
            Self::Ambient(error) => write!(f, "temperature of the room: {error}"),
            Self::Cylinder(error) => write!(
                f,
                "pressure of the cylinder: {error}; give it absolute, which is what the gauge \
                 shows and the barometer (about 1 bar) on top"
            ),
            Self::LowSide(error) => write!(f, "pressure of the low side: {error}"),
        }
    }
}

impl std::error::Error for Refused {}
