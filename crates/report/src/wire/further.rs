//! What criteria ask for besides target, hold and ceiling, in JSON.

use findings::FurtherCriterion;
use serde::Serialize;
use vacuum::AccessSides;

use super::number::Number;

/// `required` and `measured` are in `unit`; `measured` is null where it is not shown.
#[derive(Serialize)]
pub(super) struct FurtherWire {
    criterion: &'static str,
    unit: &'static str,
    required: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    over_last_min: Option<Number>,
    measured: Option<Number>,
    met: Option<bool>,
}

pub(super) fn further(criterion: &FurtherCriterion) -> FurtherWire {
    let (unit, required, over_last_min, measured) = match *criterion {
        FurtherCriterion::PumpOn { least_min, on_s } => {
            ("min", least_min, None, on_s.map(|s| s / 60.0))
        }
        FurtherCriterion::Rise {
            most_micron,
            rose_micron,
        } => ("micron", most_micron, None, rose_micron),
        FurtherCriterion::Steady {
            last_min,
            within_micron,
            moved_micron,
        } => ("micron", within_micron, Some(last_min), moved_micron),
        FurtherCriterion::BelowRepeat {
            above_micron,
            highest_micron,
        } => ("micron", above_micron, None, highest_micron),
        FurtherCriterion::EarlierRounds { asked, met } => {
            ("rounds", count(asked), None, Some(count(met)))
        }
        FurtherCriterion::BothSides { sides } => {
            let sides = sides.map(|sides| match sides {
                AccessSides::One => 1.0,
                AccessSides::Both => 2.0,
            });
            ("sides", 2.0, None, sides)
        }
        FurtherCriterion::Ambient { above_c, ambient_c } => ("°C", above_c, None, ambient_c),
        _ => ("", f64::NAN, None, None),
    };
    FurtherWire {
        criterion: criterion.word(),
        unit,
        required: Number(required),
        over_last_min: over_last_min.map(Number),
        measured: measured.map(Number),
        met: criterion.is_met(),
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful of rounds")]
fn count(rounds: usize) -> f64 {
    rounds as f64
}
