//! The pressure of an appliance at rest.

use refrigerant_tables::Substance;

use crate::signs::Rest;

/// How a pressure at rest lies to saturation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtRest {
    /// Below: no liquid is left, or another gas.
    Below,
    /// At it: this refrigerant, and some of it liquid.
    Saturated,
    /// Above by little more than gauge and thermometer may be off.
    ALittleAbove,
    /// Above: air, or another gas.
    Above,
}

/// A pressure at rest beside saturation at the same temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// How it lies.
    pub state: AtRest,
    /// Of this refrigerant, Pa absolute: the bubble point of a blend, which its liquid has.
    pub saturation_pa: f64,
    /// Above saturation, Pa (negative below).
    pub above_pa: f64,
    /// What gauge and thermometer may be off, Pa.
    pub may_be_off_pa: f64,
    /// Mass of the vapour, kg/m³, where no liquid is left.
    pub vapour_kg_m3: Option<f64>,
    /// Other refrigerants of household appliances that stand at this pressure.
    pub as_if: Vec<&'static str>,
}

/// What a gauge of the trade may be off: a share of the reading and Pa beside it (class 1.6
/// of EN 837-1 on 10 bar is 0.16 bar; half of that is usual: common practice, no source).
const GAUGE_SHARE: f64 = 0.01;
const GAUGE_PA: f64 = 8_000.0;
/// What a thermometer may be off, and the appliance be uneven, K (common practice, no source).
const THERMOMETER_K: f64 = 1.5;

/// What could stand in the appliance instead.
const OTHERS: [&str; 4] = ["R-600a", "R-134a", "R-290", "R-1234yf"];

/// Compares a pressure at rest with saturation. `None` where the table of the refrigerant
/// does not reach that temperature.
///
/// A gas that does not condense adds its pressure to that of the refrigerant (Dalton's law).
/// All liquid gone, the pressure is below saturation. Both at once can hide each other: a
/// pressure at saturation does not prove that there is no air where little liquid is left.
///
/// ```
/// use fault::{AtRest, Rest, at_rest};
/// use refrigerant_tables::Substance;
///
/// // 302.2 kPa: CoolProp 8.0.0 at 20 °C
/// let r600a = Substance::named("R-600a")?;
/// let state = |kpa: f64| at_rest(r600a, Rest { pa: kpa * 1e3, c: 20.0 }).map(|found| found.state);
/// assert_eq!(state(302.0), Some(AtRest::Saturated));
/// assert_eq!(state(390.0), Some(AtRest::Above));
/// assert_eq!(state(180.0), Some(AtRest::Below));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn compare(substance: &'static Substance, rest: Rest) -> Option<Compared> {
    let at = |c: f64| {
        let c = c.clamp(substance.lowest_c(), substance.highest_c());
        substance.saturation_at(c).ok()
    };
    let state = substance.saturation_at(rest.c).ok()?;
    let slope = (at(rest.c + 1.0)?.bubble_pa - at(rest.c - 1.0)?.bubble_pa) / 2.0;
    let gauge = GAUGE_SHARE * rest.pa + GAUGE_PA;
    let may_be_off_pa = 2.0 * gauge.hypot(0.5 * THERMOMETER_K * slope);
    let above_pa = rest.pa - state.bubble_pa;
    // a blend stands between its two points when little of it is liquid
    let below_pa = state.dew_pa - rest.pa;
    let found = if below_pa > may_be_off_pa {
        AtRest::Below
    } else if above_pa > 1.8 * may_be_off_pa {
        AtRest::Above
    } else if above_pa > may_be_off_pa {
        AtRest::ALittleAbove
    } else {
        AtRest::Saturated
    };
    let others = OTHERS.iter().filter_map(|name| {
        let other = Substance::named(name).ok()?;
        let pa = other.saturation_at(rest.c).ok()?.bubble_pa;
        let near = (pa - rest.pa).abs() < may_be_off_pa;
        (near && other.designation() != substance.designation()).then(|| other.designation())
    });
    Some(Compared {
        state: found,
        saturation_pa: state.bubble_pa,
        above_pa,
        may_be_off_pa,
        vapour_kg_m3: (found == AtRest::Below)
            .then(|| substance.vapour_kg_m3(rest.c, rest.pa).ok())
            .flatten(),
        as_if: match found {
            AtRest::Saturated => Vec::new(),
            _ => others.collect(),
        },
    })
}
