//! A run that goes on: phase, trend, time to target, hold time left.

use crate::{hold::EarlyAnswer, pulldown::Stall, rise::Rise, run::Findings};

/// Time to target as a range, s from now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// Early end of the 80 % range.
    pub early_s: f64,
    /// As likely earlier as later.
    pub likely_s: f64,
    /// Late end of the 80 % range.
    pub late_s: f64,
}

/// The pressure levels off above the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotAtThisRate {
    /// Level it will end at, micron.
    pub floor_micron: f64,
}

/// Where the job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// No measurement yet.
    Waiting,
    /// The pump is working, the target is not reached.
    PullDown,
    /// The target is reached, the pump still connected.
    AtTarget,
    /// Isolated.
    Hold,
}

/// A look at a run that goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Live {
    /// Phase.
    pub phase: Phase,
    /// Last pressure, micron.
    pub pressure_micron: Option<f64>,
    /// Change over the last half minute, or over less of it while the pressure changes
    /// by much of itself meanwhile, micron/min.
    pub trend_micron_per_min: Option<f64>,
    /// Change over the last three minutes, micron/min; `None` while fewer were measured.
    pub slow_trend_micron_per_min: Option<f64>,
    /// Time to target; `None` as well while oil foams or water boils.
    pub to_target: Option<Forecast>,
    /// Said when the pressure levels off above the target.
    pub not_at_this_rate: Option<NotAtThisRate>,
    /// Hold time so far, s.
    pub held_s: Option<f64>,
    /// Hold time still needed, s.
    pub hold_left_s: Option<f64>,
    /// A stall that goes on now.
    pub stall: Option<Stall>,
    /// Running answer of the hold.
    pub rise: Option<Rise>,
    /// Said when the hold will not pass, before it is over.
    pub early_answer: Option<EarlyAnswer>,
    /// Rounds so far.
    pub rounds: usize,
    /// Everything said so far.
    pub findings: Findings,
}

impl Live {
    /// True where the verdict so far is that of the hold that goes on, not of one before it.
    #[must_use]
    pub fn hold_counts(&self) -> bool {
        self.findings.judged.map(|place| place + 1) == Some(self.findings.rounds.len())
    }
}
