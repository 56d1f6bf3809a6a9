//! What hoses keep, what to weigh out, and how sure that is.

use refrigerant_tables::{OutsideTable, Saturation};
use vacuum::refrigerant::COLD_LOW_SIDE_C;

use crate::{
    cylinder::{ChargingCylinder, SafeFill},
    hose::{Contents, Held, Hose},
    limits::charge_limits,
    plan::{DrawIn, Plan, Refused},
    scale::{ScaleFit, scale_standard_g},
    warning::Warning,
};

/// How far off the bore of a hose may be, mm, either way: a judgement about rubber hoses,
/// no source.
const BORE_OFF_MM: f64 = 0.2;

/// How far off a length may be, as a share of it; a judgement, no source.
const LENGTH_OFF: f64 = 0.02;

/// How far off the volume of a manifold may be, as a share of it; a judgement, no source.
const MANIFOLD_OFF: f64 = 0.1;

/// How far hoses may be from the temperature of the room, K; a judgement, no source.
const AMBIENT_OFF_K: f64 = 3.0;

/// How far off the pressure of a running low side may be, as a share of it; a judgement, no
/// source.
const LOW_SIDE_OFF: f64 = 0.3;

/// Share of the charge in hoses from which on it is warned about; common practice, no source.
const MUCH: f64 = 0.05;

/// Difference between cylinder and room that is nothing yet, K; a judgement, no source.
const SAME_TEMPERATURE_K: f64 = 3.0;

/// Hoses after the running system has drawn them empty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnIn {
    /// Pressure of the low side, Pa absolute.
    pub low_side_pa: f64,
    /// True when nobody gave it: it is that of the refrigerant at −25 °C.
    pub is_assumed: bool,
    /// What hoses keep then, g.
    pub left_g: f64,
    /// What to weigh out then, g.
    pub weigh_out_g: f64,
}

/// How a charge stands against the nameplate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Below its tolerance, whatever is uncertain.
    Short,
    /// Within its tolerance, whatever is uncertain.
    Within,
    /// Above its tolerance, whatever is uncertain.
    Over,
    /// What is uncertain is too much to tell.
    CannotTell,
}

impl Standing {
    /// The code in JSON.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Short => "short",
            Self::Within => "within",
            Self::Over => "over",
            Self::CannotTell => "cannot_tell",
        }
    }
}

/// What is in the system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InSystem {
    /// What left the cylinder, g.
    pub weighed_out_g: f64,
    /// What of it is in the system, g.
    pub g: f64,
    /// How much more than the nameplate charge that is, g; negative when it is short.
    pub off_g: f64,
    /// How far it is above the lowest charge that the tolerance allows, g; negative when the
    /// charge is short.
    pub margin_g: f64,
    /// What of all this is uncertain, g, 95 %.
    pub uncertainty_95_g: f64,
    /// How it stands.
    pub standing: Standing,
}

impl InSystem {
    fn new(weighed_out_g: f64, left_g: f64, uncertainty_95_g: f64, plan: &Plan) -> Self {
        let g = weighed_out_g - left_g;
        let (off_g, tolerance_g) = (g - plan.nameplate_g, plan.tolerance_g());
        let standing = if off_g + uncertainty_95_g < -tolerance_g {
            Standing::Short
        } else if off_g - uncertainty_95_g > tolerance_g {
            Standing::Over
        } else if off_g.abs() + uncertainty_95_g <= tolerance_g {
            Standing::Within
        } else {
            Standing::CannotTell
        };
        Self {
            weighed_out_g,
            g,
            off_g,
            margin_g: off_g + tolerance_g,
            uncertainty_95_g,
            standing,
        }
    }
}

/// What makes the charge uncertain: standard uncertainties, g.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Spread {
    /// Bores and lengths of hoses, volume of the manifold.
    pub hoses_g: f64,
    /// Temperature of hoses, and the pressure that they are drawn down to.
    pub state_g: f64,
    /// Two readings of the scale; nothing when its step is not known.
    pub scale_g: f64,
}

impl Spread {
    /// All together, g, 95 %: the root of the sum of squares, doubled (JCGM 100:2008, 5.1.2
    /// and 6.2.1).
    #[must_use]
    pub fn uncertainty_95_g(&self) -> f64 {
        2.0 * self.hoses_g.hypot(self.state_g).hypot(self.scale_g)
    }
}

/// What to weigh out, and all that goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// Liquid and vapour at the temperature of the room.
    pub at: Saturation,
    /// What each hose keeps when it is taken off as it is, in the order of the plan.
    pub hoses: Vec<Held>,
    /// What the line of the cylinder keeps.
    pub cylinder_line: Option<Held>,
    /// What the manifold keeps.
    pub manifold: Option<Held>,
    /// What all of them keep when they are taken off as they are, g.
    pub undrawn_left_g: f64,
    /// The same when they are drawn empty first; `None` where the table has no vapour for it.
    pub drawn_in: Option<DrawnIn>,
    /// What they keep in this plan, g.
    pub left_g: f64,
    /// The same as a share of the charge.
    pub share_of_charge: f64,
    /// What to weigh out so that the nameplate charge ends in the system, g.
    pub weigh_out_g: f64,
    /// What of the charge in the system stays uncertain then.
    pub spread: Spread,
    /// What is in the system after the mass of the plan, if that is done.
    pub in_system: Option<InSystem>,
    /// What would be in it if nothing but the nameplate charge were weighed out.
    pub if_hoses_forgotten: InSystem,
    /// The scale against the tolerance.
    pub scale: Option<ScaleFit>,
    /// The charging cylinder.
    pub charging_cylinder: Option<ChargingCylinder>,
    /// How far the cylinder may be filled.
    pub safe_fill: Option<SafeFill>,
    /// What speaks against the plan.
    pub warnings: Vec<Warning>,
}

/// Works a plan out.
///
/// # Errors
/// [`Refused`] for what makes no sense, or is not in the table of the refrigerant.
pub fn work_out(plan: &Plan) -> Result<Weighing, Refused> {
    plan.check()?;
    let at = plan.substance.saturation_at(plan.ambient_c);
    let at = at.map_err(Refused::Ambient)?;
    let density = |contents| match contents {
        Contents::Liquid => at.liquid_kg_m3,
        Contents::Vapour => at.vapour_kg_m3,
    };
    let held = |ml: f64, contents| Held {
        ml,
        g: ml * density(contents) / 1e3,
    };
    let in_hose = |hose: &Hose| held(hose.volume_ml(), hose.contents);
    let hoses: Vec<Held> = plan.hoses.iter().map(in_hose).collect();
    let cylinder_line = plan.cylinder_line.as_ref().map(in_hose);
    let manifold = plan.manifold.map(|m| held(m.ml, m.contents));
    let every = || hoses.iter().chain(&cylinder_line).chain(&manifold);
    let undrawn_left_g = every().map(|held| held.g).sum();
    let ml: f64 = every().map(|held| held.ml).sum();

    let drawn_in = drawn_in(plan, &at, ml)?;
    let state = match (plan.draw_in, drawn_in) {
        (DrawIn::Yes, Some(drawn)) => HoseState::Drawn(drawn),
        _ => HoseState::AsTheyAre,
    };
    let left_g = match state {
        HoseState::Drawn(drawn) => drawn.left_g,
        HoseState::AsTheyAre => undrawn_left_g,
    };
    let weigh_out_g = plan.nameplate_g + left_g;
    let spread = spread(plan, &at, state, every());
    let in_system = |out_g| InSystem::new(out_g, left_g, spread.uncertainty_95_g(), plan);
    let charging_cylinder = plan
        .cylinder_pa
        .map(|pa| ChargingCylinder::new(plan.substance, pa, weigh_out_g))
        .transpose()
        .map_err(Refused::Cylinder)?;
    let safe_fill = plan.cylinder_ml.map(|ml| SafeFill::new(plan.substance, ml));
    let safe_fill = safe_fill.transpose().map_err(Refused::Ambient)?;
    let scale = plan
        .scale_step_g
        .map(|step_g| ScaleFit::new(step_g, plan.tolerance_g()));
    let mut found = Weighing {
        at,
        cylinder_line,
        manifold,
        undrawn_left_g,
        drawn_in,
        left_g,
        share_of_charge: left_g / plan.nameplate_g,
        weigh_out_g,
        spread,
        in_system: plan.weighed_out_g.map(in_system),
        if_hoses_forgotten: in_system(plan.nameplate_g),
        scale,
        charging_cylinder,
        safe_fill,
        warnings: Vec::new(),
        hoses,
    };
    found.warnings = warnings(plan, &found);
    Ok(found)
}

/// How hoses are taken off.
#[derive(Clone, Copy)]
enum HoseState {
    AsTheyAre,
    Drawn(DrawnIn),
}

/// Hoses of `ml` after the running system has drawn them empty.
fn drawn_in(plan: &Plan, at: &Saturation, ml: f64) -> Result<Option<DrawnIn>, Refused> {
    let cold = || plan.substance.saturation_at(COLD_LOW_SIDE_C).ok();
    let assumed_pa = || cold().map(|cold| cold.dew_pa.min(at.dew_pa));
    let Some(low_side_pa) = plan.low_side_pa.or_else(assumed_pa) else {
        return Ok(None);
    };
    // it is colder in the system than in hoses: what comes out of them is warm vapour
    let density = plan.substance.vapour_kg_m3(plan.ambient_c, low_side_pa);
    let left_g = ml * density.map_err(Refused::LowSide)? / 1e3;
    Ok(Some(DrawnIn {
        low_side_pa,
        is_assumed: plan.low_side_pa.is_none(),
        left_g,
        weigh_out_g: plan.nameplate_g + left_g,
    }))
}

fn spread<'a>(
    plan: &Plan,
    at: &Saturation,
    state: HoseState,
    every: impl Iterator<Item = &'a Held>,
) -> Spread {
    // a half-width with nothing known inside it: JCGM 100:2008, 4.3.7
    let evenly = |half_width: f64| half_width / 3.0_f64.sqrt();
    let hoses = plan.hoses.iter().chain(&plan.cylinder_line);
    let volumes_off = hoses.map(|hose| {
        let bore = 2.0 * evenly(BORE_OFF_MM) / hose.bore_mm;
        bore.hypot(evenly(LENGTH_OFF))
    });
    let volumes_off = volumes_off.chain(plan.manifold.map(|_| evenly(MANIFOLD_OFF)));
    let (mut squares, mut liquid_ml, mut vapour_ml) = (0.0, 0.0, 0.0);
    for ((held, off), contents) in every.zip(volumes_off).zip(plan.contents()) {
        let g = match state {
            HoseState::Drawn(drawn) => held.ml / 1e3 * drawn_density(plan, drawn.low_side_pa),
            HoseState::AsTheyAre => held.g,
        };
        squares += (g * off).powi(2);
        match contents {
            Contents::Liquid => liquid_ml += held.ml,
            Contents::Vapour => vapour_ml += held.ml,
        }
    }
    let state_g = match state {
        HoseState::Drawn(drawn) => drawn.left_g * evenly(LOW_SIDE_OFF),
        HoseState::AsTheyAre => {
            let beside = |kelvin: f64| {
                let at = plan.substance.saturation_at(at.celsius + kelvin);
                let kept = |at: Saturation| {
                    (liquid_ml * at.liquid_kg_m3 + vapour_ml * at.vapour_kg_m3) / 1e3
                };
                at.map(kept)
            };
            evenly(temperature_half_width(beside, plan, at))
        }
    };
    Spread {
        hoses_g: squares.sqrt(),
        state_g,
        scale_g: plan.scale_step_g.map_or(0.0, scale_standard_g),
    }
}

fn drawn_density(plan: &Plan, pa: f64) -> f64 {
    let density = plan.substance.vapour_kg_m3(plan.ambient_c, pa);
    density.unwrap_or_default()
}

/// Half of what the content of hoses changes over the temperatures they may have, g; at an end
/// of the table what it changes on the side that is in it.
fn temperature_half_width(
    kept_g: impl Fn(f64) -> Result<f64, OutsideTable>,
    plan: &Plan,
    at: &Saturation,
) -> f64 {
    let (low, high) = (plan.substance.lowest_c(), plan.substance.highest_c());
    let colder = (at.celsius - low).clamp(0.0, AMBIENT_OFF_K);
    let warmer = (high - at.celsius).clamp(0.0, AMBIENT_OFF_K);
    let change = kept_g(warmer).and_then(|warm| Ok(kept_g(-colder)? - warm));
    let per_k = change.map_or(0.0, |change| change.abs() / (colder + warmer));
    per_k * AMBIENT_OFF_K
}

fn warnings(plan: &Plan, found: &Weighing) -> Vec<Warning> {
    let mut all = Vec::new();
    let (tolerance_g, uncertainty_95_g) = (plan.tolerance_g(), found.spread.uncertainty_95_g());
    let mut contents = plan.contents();
    if contents.next().is_none() {
        all.push(Warning::NoHoses);
    }
    if found.share_of_charge >= MUCH {
        all.push(Warning::HosesKeepMuch(found.share_of_charge));
    }
    if let Some(scale) = found.scale.filter(|scale| !scale.is_fine_enough()) {
        all.push(Warning::ScaleTooCoarse {
            step_g: scale.step_g,
            tolerance_g,
        });
    }
    if uncertainty_95_g > tolerance_g {
        all.push(Warning::TooUncertain {
            uncertainty_95_g,
            tolerance_g,
        });
    }
    if plan.substance.is_zeotropic_blend() && plan.contents().any(|c| c == Contents::Vapour) {
        all.push(Warning::VapourOfBlend);
    }
    if let Some(cylinder) = found.charging_cylinder {
        let warmer_k = cylinder.celsius - plan.ambient_c;
        if warmer_k > SAME_TEMPERATURE_K {
            all.push(Warning::CylinderWarm(warmer_k));
        } else if warmer_k < -SAME_TEMPERATURE_K {
            all.push(Warning::CylinderCold(-warmer_k));
        }
    }
    let limits = charge_limits(plan.substance.refrigerant()).iter();
    let above = limits.filter(|limit| plan.nameplate_g > limit.g);
    all.extend(above.map(|limit| Warning::AboveLimit(*limit)));
    all
}
