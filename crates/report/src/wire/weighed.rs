//! The charge in JSON: what a scale said went in, or what was typed.

use findings::{Charge, ChargePhase};
use serde::Serialize;
use wording::Voice;

use super::{
    estimate::{EstimateWire, estimate},
    number::{Number, Seconds},
};

#[derive(Serialize)]
pub(super) struct ChargeWire {
    basis: &'static str,
    begun_at_s: Option<Seconds>,
    ended_at_s: Option<Seconds>,
    /// It was said to end; always so for a typed mass.
    ended: bool,
    nameplate_g: Option<Number>,
    tolerance_g: Number,
    left_in_hoses_g: Option<Number>,
    left_cylinder_g: Option<EstimateWire>,
    charged_g: Option<EstimateWire>,
    to_go_g: Option<Number>,
    scale_step_g: Option<Number>,
    acts: Vec<ActWire>,
    notices: Vec<NoticeWire>,
}

#[derive(Serialize)]
struct ActWire {
    act: &'static str,
    at_s: Seconds,
}

#[derive(Serialize)]
struct NoticeWire {
    code: &'static str,
    text: String,
}

pub(super) fn charge(charge: &Charge) -> ChargeWire {
    let english = Voice::default();
    let acts = charge.acts.iter().map(|(at_s, act)| ActWire {
        act: act.code(),
        at_s: Seconds(*at_s),
    });
    let notices = charge.notices.iter().map(|notice| NoticeWire {
        code: notice.code(),
        // English, as every text in JSON
        text: wording::charge_notice(&english, notice),
    });
    ChargeWire {
        basis: charge.basis.word(),
        begun_at_s: charge.begun_at_s.map(Seconds),
        ended_at_s: charge.ended_at_s.map(Seconds),
        ended: charge.phase == ChargePhase::Ended,
        nameplate_g: charge.nameplate_g.map(Number),
        tolerance_g: Number(charge.tolerance_g),
        left_in_hoses_g: charge.left_in_hoses_g.map(Number),
        left_cylinder_g: charge.left_cylinder_g.as_ref().map(estimate),
        charged_g: charge.charged_g.as_ref().map(estimate),
        to_go_g: charge.to_go_g.map(Number),
        scale_step_g: charge.step_g.map(Number),
        acts: acts.collect(),
        notices: notices.collect(),
    }
}
