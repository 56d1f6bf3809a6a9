//! What is shown of a charge that is weighed in: large figures, order of work, warnings.

use findings::{Charge, ChargeNotice, ChargePhase};
use vacuum::ChargingAct;
use wording::{Inside, RiskyAct, Voice, cautions_at, charge_notice, gravest_at, say};

use crate::{
    charge_now::ChargeNow,
    keys,
    order::{Order, Step, StepState, Warning},
    snapshot::PressureNow,
};

/// Nearer to the target than this share of it, or than the tolerance, the cylinder is shut.
const NEAR: f64 = 0.02;

impl ChargeNow {
    pub(crate) fn of(voice: &Voice, charge: &Charge) -> Self {
        let number = |g| wording::scale_number(voice, g, charge.step_g);
        let ended = charge.phase == ChargePhase::Ended;
        let (digits, words) = match (charge.to_go_g, charge.nameplate_g, charge.left_cylinder_g) {
            _ if ended => (
                charge.charged_g.map(|e| number(e.value)),
                say!(voice, "weighed-live-done"),
            ),
            (Some(to_go_g), _, _) if to_go_g < -charge.tolerance_g => {
                (Some(number(to_go_g)), say!(voice, "weighed-live-over"))
            }
            (Some(to_go_g), Some(nameplate_g), _) => {
                let target_g = nameplate_g + charge.left_in_hoses_g.unwrap_or(0.0);
                let target = wording::scale_mass(voice, target_g, Some(0.1));
                (
                    Some(number(to_go_g)),
                    say!(voice, "weighed-live-to-go", target = target),
                )
            }
            (_, _, Some(left)) => (Some(number(left.value)), say!(voice, "weighed-live-out")),
            _ => (None, say!(voice, "weighed-live-phase")),
        };
        Self {
            to_go_g: charge.to_go_g,
            digits: digits.unwrap_or_else(|| "—".to_owned()),
            words,
            ended,
        }
    }

    /// The large figures take the place of a pressure that says nothing while refrigerant
    /// goes in.
    pub(crate) fn figures(&self) -> PressureNow {
        PressureNow {
            state: "ok",
            digits: self.digits.clone(),
            unit: "g",
            trend: self.words.clone(),
            ..PressureNow::default()
        }
    }

    /// Figures and what they are, on a line.
    pub(crate) fn line(&self) -> String {
        format!("{} g {}", self.digits, self.words)
    }
}

/// Order of work of a weigh-in.
pub(crate) fn order(voice: &Voice, charge: &Charge, inside: Inside) -> Order {
    let done = |act: ChargingAct| charge.acts.iter().any(|(_, done)| *done == act);
    let near_g = charge.nameplate_g.unwrap_or(0.0) * NEAR;
    let is_near = charge
        .to_go_g
        .is_some_and(|g| g <= near_g.max(charge.tolerance_g));
    let advice = match charge.phase {
        ChargePhase::Ended => "weighed-next-done",
        ChargePhase::Settling => "weighed-next-settle",
        ChargePhase::Filling if !done(ChargingAct::CylinderShut) => match is_near {
            true => "weighed-next-shut",
            false => "weighed-next-fill",
        },
        ChargePhase::Filling if !done(ChargingAct::ChargingValveShut) => {
            "weighed-next-charging-valve"
        }
        ChargePhase::Filling if !done(ChargingAct::HighSideShut) => "weighed-next-high-side",
        ChargePhase::Filling if !done(ChargingAct::CompressorOn) => "weighed-next-compressor",
        ChargePhase::Filling => "weighed-next-end",
    };
    let mut next_seen = charge.phase == ChargePhase::Ended;
    let steps = ChargingAct::ALL.into_iter().map(|act| {
        let state = match (done(act), next_seen) {
            (true, _) => StepState::Done,
            (false, true) => StepState::Later,
            (false, false) => {
                next_seen = true;
                StepState::Next
            }
        };
        Step {
            key: keys::key_of_charging(act),
            text: wording::charging_act_words(voice, act),
            state,
        }
    });
    let steps = steps.collect();
    let acts: &[RiskyAct] = match charge.phase {
        ChargePhase::Ended => &[RiskyAct::PinchOff],
        _ => &[RiskyAct::Charge],
    };
    Order {
        advice: say!(voice, advice),
        steps,
        cautions: cautions_at(voice, inside, acts),
        gravest: gravest_at(voice, inside, acts).unwrap_or_default(),
        warnings: charge
            .notices
            .iter()
            .map(|notice| Warning {
                code: notice.code(),
                text: charge_notice(voice, notice),
                told: true,
            })
            .collect(),
    }
}

/// What makes a notice another one than one that was told.
pub(crate) fn told_as(notice: &ChargeNotice) -> (&'static str, i64) {
    let at_s = match notice {
        ChargeNotice::Touched { at_s, .. } | ChargeNotice::ZeroLost { at_s, .. } => *at_s,
        ChargeNotice::NotHeard { from_s, .. } => *from_s,
        _ => 0.0,
    };
    (notice.code(), (at_s * 10.0) as i64)
}
