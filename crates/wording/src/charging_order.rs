//! The order of work of charging, with what should happen and what can hurt.

use charge::{ChargingStep, DrawIn, Plan, Weighing};
use vacuum::{Pressure, refrigerant::COLD_LOW_SIDE_C};

use crate::{Inside, RiskyAct, Voice, cautions_at, say};

/// What is said of one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepWords {
    /// The step.
    pub step: ChargingStep,
    /// What to do.
    pub what: String,
    /// What should happen then.
    pub expect: Option<String>,
    /// What it means when it does not.
    pub otherwise: Option<String>,
    /// What can hurt, the gravest first.
    pub cautions: Vec<String>,
}

/// The order of work of charging.
#[must_use]
pub fn charging_order(voice: &Voice, plan: &Plan, found: &Weighing) -> Vec<StepWords> {
    let words = |step| StepWords {
        step,
        what: what(voice, step, plan, found),
        expect: expect(voice, step, plan, found),
        otherwise: otherwise(voice, step),
        cautions: cautions(voice, step, plan),
    };
    ChargingStep::ALL.map(words).into()
}

/// The same as lines for a terminal.
#[must_use]
pub fn charging_order_lines(voice: &Voice, plan: &Plan, found: &Weighing) -> Vec<String> {
    let mut lines = vec![say!(voice, "charge-order")];
    for (i, words) in charging_order(voice, plan, found).into_iter().enumerate() {
        lines.push(format!("  {}. {}", i + 1, words.what));
        let expected = words.expect.into_iter();
        let expected = expected.map(|words| say!(voice, "charge-expect", words = words));
        let otherwise = words.otherwise.into_iter();
        let otherwise = otherwise.map(|words| say!(voice, "charge-otherwise", words = words));
        let outcomes = expected.chain(otherwise);
        lines.extend(outcomes.map(|line| format!("     {line}")));
        let cautions = words.cautions.into_iter();
        let cautions = cautions.map(|words| say!(voice, "charge-caution", words = words));
        lines.extend(cautions.map(|line| format!("     {line}")));
    }
    lines.push(say!(voice, "charge-cautions"));
    let general = general_cautions(voice).into_iter();
    lines.extend(general.map(|line| format!("  {line}")));
    lines
}

/// Every caution of charging this refrigerant, each once: those of the steps in their order,
/// then what holds throughout.
#[must_use]
pub fn charging_cautions(voice: &Voice, plan: &Plan) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let of_steps = ChargingStep::ALL.into_iter();
    let of_steps = of_steps.flat_map(|step| cautions(voice, step, plan));
    for caution in of_steps.chain(general_cautions(voice)) {
        if !all.contains(&caution) {
            all.push(caution);
        }
    }
    all
}

fn what(voice: &Voice, step: ChargingStep, plan: &Plan, found: &Weighing) -> String {
    match step {
        ChargingStep::Prepare => say!(voice, "charge-step-prepare"),
        ChargingStep::ShutLowSide => say!(voice, "charge-step-low-shut"),
        ChargingStep::LetLiquidIn => {
            let mass = voice.mass(found.weigh_out_g);
            say!(voice, "charge-step-liquid", mass = mass)
        }
        ChargingStep::ShutValves => say!(voice, "charge-step-shut"),
        ChargingStep::StartCompressor => say!(voice, "charge-step-start"),
        ChargingStep::DrawResidueIn if plan.draw_in == DrawIn::No => {
            let left = voice.grams(found.left_g);
            say!(voice, "charge-step-draw-not", left = left)
        }
        ChargingStep::DrawResidueIn => say!(voice, "charge-step-draw"),
        ChargingStep::PinchOff => say!(voice, "charge-step-pinch"),
    }
}

fn expect(voice: &Voice, step: ChargingStep, plan: &Plan, found: &Weighing) -> Option<String> {
    let pressure = voice.absolute(found.at.bubble_pa);
    match step {
        ChargingStep::ShutLowSide => Some(say!(voice, "charge-step-low-shut-expect")),
        ChargingStep::LetLiquidIn => Some(say!(
            voice,
            "charge-step-liquid-expect",
            pressure = pressure
        )),
        ChargingStep::StartCompressor => {
            let low = voice.absolute(cold_low_side_pa(plan)?);
            Some(say!(
                voice,
                "charge-step-start-expect",
                pressure = pressure,
                low = low
            ))
        }
        ChargingStep::DrawResidueIn if plan.draw_in == DrawIn::Yes => {
            Some(say!(voice, "charge-step-draw-expect"))
        }
        _ => None,
    }
}

fn otherwise(voice: &Voice, step: ChargingStep) -> Option<String> {
    match step {
        ChargingStep::LetLiquidIn => Some(say!(voice, "charge-step-liquid-wrong")),
        ChargingStep::StartCompressor => Some(say!(voice, "charge-step-start-wrong")),
        _ => None,
    }
}

/// What the low side of a running freezer stands at, Pa absolute.
fn cold_low_side_pa(plan: &Plan) -> Option<f64> {
    let cold = plan.substance.saturation_at(COLD_LOW_SIDE_C);
    cold.ok().map(|cold| cold.dew_pa)
}

fn cautions(voice: &Voice, step: ChargingStep, plan: &Plan) -> Vec<String> {
    let inside = Inside::typed(Some(plan.substance.designation()));
    let at = |act| cautions_at(voice, inside, &[act]);
    match step {
        ChargingStep::Prepare => at(RiskyAct::Charge),
        ChargingStep::ShutLowSide => Vec::new(),
        ChargingStep::LetLiquidIn => {
            let mut all = Vec::new();
            // the triple point of carbon dioxide: said again where the valve is opened
            if plan.substance.designation() == "R-744" {
                all.push(say!(voice, "caution-r744"));
            }
            all.push(say!(voice, "charge-caution-warm"));
            all
        }
        ChargingStep::ShutValves => vec![say!(voice, "charge-caution-locked")],
        ChargingStep::StartCompressor => {
            let mut all = vec![say!(voice, "caution-compressor")];
            let outside_pa = Pressure::ATMOSPHERE.pa();
            if cold_low_side_pa(plan).is_some_and(|pa| pa < outside_pa) {
                all.push(say!(voice, "charge-step-start-vacuum"));
            }
            all
        }
        ChargingStep::DrawResidueIn => match plan.draw_in {
            DrawIn::Yes => vec![say!(voice, "charge-caution-slug")],
            DrawIn::No => vec![say!(voice, "caution-recover")],
        },
        ChargingStep::PinchOff => at(RiskyAct::PinchOff),
    }
}

fn general_cautions(voice: &Voice) -> Vec<String> {
    vec![
        say!(voice, "charge-caution-fill"),
        say!(voice, "charge-caution-code"),
    ]
}
