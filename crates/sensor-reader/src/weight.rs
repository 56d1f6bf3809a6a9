//! A line of a scale to what it weighed.

use vacuum::{Mass, MassUnit, Sensed, Steadiness, Weighed};

use crate::{
    dialect::{Shape, Weighs},
    field_text::field_text,
    find::{Field, Found},
    sample::{RejectReason, shown},
    state::State,
    value::{number, state},
};

/// What a pressure's place says in a line of a scale: nothing was measured.
pub(crate) const NO_PRESSURE: Sensed = Sensed::Gap;

/// What the line says; `None` if the scale is busy.
pub(crate) fn weighed(
    shape: &Shape,
    weighs: &Weighs,
    found: &Found<'_>,
) -> Result<Option<Weighed>, RejectReason> {
    let value = found.text(Field::Value).unwrap_or_default();
    let steadiness = match state(shape, found, &field_text(value))? {
        State::Fault => return Ok(Some(Weighed::Fault)),
        State::Off => return Ok(Some(Weighed::Gap)),
        State::Busy => return Ok(None),
        State::Over => return Ok(Some(Weighed::Over)),
        State::Under => return Ok(Some(Weighed::Under)),
        State::Ok => Steadiness::Unsaid,
        State::Stable => Steadiness::Stable,
        State::Moving => Steadiness::Moving,
    };
    let unit = unit(weighs, found)?;
    let mass = |digits: &[u8]| {
        Mass::new(number(shape, digits, found)?, unit).ok_or_else(|| RejectReason::Mass {
            text: shown(&format!("{} {unit}", field_text(digits))),
        })
    };
    Ok(Some(Weighed::Mass {
        mass: mass(value)?,
        tare: found.text(Field::Tare).map(mass).transpose()?,
        steadiness,
    }))
}

fn unit(weighs: &Weighs, found: &Found<'_>) -> Result<MassUnit, RejectReason> {
    let text = field_text(found.text(Field::Unit).unwrap_or_default());
    let unit = match weighs.units.iter().find(|(word, _)| *word == text) {
        Some((_, listed)) => Some(*listed),
        None if text.is_empty() => weighs.fixed_unit,
        None => MassUnit::read(&text),
    };
    unit.ok_or_else(|| RejectReason::MassUnit { text: shown(&text) })
}
