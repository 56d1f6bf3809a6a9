//! Where the pressure goes now: one answer for every view.
//!
//! What is judged comes first. Half a minute of a gauge's noise is no rise where the hold
//! as a whole shows none, and a pressure that goes up and down while oil foams neither
//! rises nor falls. Where half a minute does not show the rise that the hold as a whole
//! has, nothing is said of it.

use findings::Live;
use wording::{Voice, say};

use crate::{
    judged::{HoldNow, JudgedNow},
    words::{TREND_S, is_steady, trend_words},
};

/// Where the pressure goes.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct PaceNow {
    /// As measured, micron/min; `None` where it is not known or says nothing.
    pub(crate) micron_per_min: Option<f64>,
    /// In words; empty where nothing is said of it.
    pub(crate) words: String,
}

impl PaceNow {
    /// What goes with what is judged and shown.
    pub(crate) fn of(voice: &Voice, live: &Live, judged: &JudgedNow) -> Self {
        let hold = judged.hold.as_ref();
        // right after isolation the trend still shows the pump
        let settled = hold.is_none_or(|h| h.held_s > TREND_S);
        let trend = live.trend_micron_per_min.filter(|_| settled);
        let (Some(trend), Some(pressure)) = (trend, live.pressure_micron) else {
            return Self::default();
        };
        let hunting = judged.stall.as_ref().is_some_and(|s| s.kind == "foaming");
        let words = match hold {
            None if hunting => say!(voice, "trend-hunting"),
            Some(hold) if hold.rise == "none" => say!(voice, "trend-steady"),
            Some(hold) if is_hidden(hold, trend, pressure) => String::new(),
            _ => trend_words(voice, trend, pressure),
        };
        Self {
            micron_per_min: Some(trend),
            words,
        }
    }
}

/// A rise is named, and half a minute does not show it.
fn is_hidden(hold: &HoldNow, trend: f64, pressure: f64) -> bool {
    let named = ["leak", "moisture", "leak_and_moisture"].contains(&hold.rise);
    named && (trend < 0.0 || is_steady(trend, pressure))
}
