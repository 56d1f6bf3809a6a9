//! A system and the room it stands in.

use super::source::Source;

/// The room: a slow swing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) swing_k: f64,
    pub(super) period_s: f64,
    pub(super) phase: f64,
}

impl Room {
    pub(super) fn warmer_k(&self, t: f64) -> f64 {
        let at = |t: f64| (std::f64::consts::TAU * t / self.period_s + self.phase).sin();
        self.swing_k * (at(t) - at(0.0))
    }
}

/// A system ready to be closed.
#[derive(Debug, Clone)]
pub(super) struct Plant {
    pub(super) family: &'static str,
    pub(super) air_micron: f64,
    pub(super) vapour_micron: f64,
    pub(super) sources: Vec<Source>,
    pub(super) room: Room,
    /// Height of equalisation, micron, and its time constant, s.
    pub(super) settling: (f64, f64),
    pub(super) length_s: f64,
    /// Leak over the hold as a share of the larger of vapour and ten times noise; or,
    /// where negative, minus micron/min.
    pub(super) leak_share: f64,
    pub(super) thermometer: bool,
}
