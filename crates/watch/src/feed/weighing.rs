//! What a feed shows of a scale.

use std::sync::Arc;

use findings::Charge;
use vacuum::Weighing;
use wording::say;

pub(super) mod scale;

use super::Feed;
use crate::{
    charge_now::ChargeNow, charging, curve::state_words, events::EventKind, keys, line::LineNow,
    snapshot::BesideNow, trouble::TroubleNow,
};

/// Notices that were told are remembered, the last ones.
const MOST_TOLD: usize = 256;

impl Feed {
    /// Says that a scale is recorded beside the gauge.
    pub fn weighs(&mut self) {
        self.scale.is_there = true;
        let stamps = self.stamps();
        self.sender
            .send_modify(|frame| Arc::make_mut(&mut frame.now).stamps = stamps);
    }

    /// The acts that may be stamped in this run.
    pub(super) fn stamps(&self) -> String {
        let offered = keys::offered(self.test, self.gauge_open_to_system);
        match self.scale.is_there {
            true => offered + keys::CHARGING,
            false => offered,
        }
    }

    /// Takes what the scale says, after the record has taken it, and what that means for the
    /// weigh-in, if one was begun.
    pub fn weighed(&mut self, weighing: &Weighing, charge: Option<&Charge>) {
        let step_g = charge.and_then(|c| c.step_g);
        let voice = &self.voice;
        self.scale.shown = Some(match weighing.on_scale_g() {
            Some(g) => wording::scale_mass(voice, g, step_g),
            None => state_words(voice, weighing.word()),
        });
        self.charge(charge);
    }

    /// Takes how the weigh-in stands.
    pub fn charge(&mut self, charge: Option<&Charge>) {
        self.scale.charge = charge.cloned();
        self.owed = true;
        let Some(charge) = charge else {
            return;
        };
        for notice in &charge.notices {
            let told = charging::told_as(notice);
            if !self.scale.told.contains(&told) {
                if self.scale.told.len() >= MOST_TOLD {
                    self.scale.told.remove(0);
                }
                self.scale.told.push(told);
                let text = wording::charge_notice(&self.voice, notice);
                self.event(EventKind::OrderBroken, text);
            }
        }
        self.set_order();
    }

    /// How the weigh-in stands, while one goes on or has ended.
    pub(super) fn charge_now(&self) -> Option<ChargeNow> {
        let charge = self.scale.charge.as_ref()?;
        Some(ChargeNow::of(&self.voice, charge))
    }

    /// The order of work of the weigh-in, once it has begun.
    pub(super) fn order_of_charging(&self) -> Option<crate::order::Order> {
        let charge = self.scale.charge.as_ref()?;
        Some(charging::order(&self.voice, charge, self.inside))
    }

    /// What is read beside the gauge, the scale among it.
    pub(super) fn all_beside(&self) -> Vec<BesideNow> {
        let scale = self.scale.shown.clone().map(|shown| BesideNow {
            place: say!(self.voice, "weighed-scale"),
            shown,
        });
        self.beside.iter().cloned().chain(scale).collect()
    }

    /// The line: while refrigerant goes in, what is still to go.
    pub(super) fn line_now(
        &self,
        charge: Option<&ChargeNow>,
        trouble: Option<&TroubleNow>,
    ) -> LineNow {
        match charge {
            Some(charge) => self.line.instead(charge.line()),
            None => self.line.with_trouble(trouble),
        }
    }
}
