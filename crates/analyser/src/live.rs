//! What a live line shows: phase, trend, time to target, hold time left.

use crate::{
    View,
    findings::{Findings, Rise, Stall},
    history::Block,
    judge,
    linear::least_squares,
};

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

impl Phase {
    /// What to print.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Waiting => "waiting for the gauge",
            Self::PullDown => "pull-down",
            Self::AtTarget => "target reached",
            Self::Hold => "hold",
        }
    }
}

/// Time to target as a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// Early end of the 80 % range, s from now.
    pub early_s: f64,
    /// Late end, s from now; `None` when the target may never be reached at this
    /// rate.
    pub late_s: Option<f64>,
}

/// A look at a run that goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Live {
    /// Phase.
    pub phase: Phase,
    /// Last pressure, micron.
    pub pressure_micron: Option<f64>,
    /// Change over the last half minute, micron/min.
    pub trend_micron_per_min: Option<f64>,
    /// Time to target.
    pub to_target: Option<Forecast>,
    /// Hold time so far, s.
    pub held_s: Option<f64>,
    /// Hold time still needed, s.
    pub hold_left_s: Option<f64>,
    /// A stall that goes on now.
    pub stall: Option<Stall>,
    /// Running answer of the hold.
    pub rise: Option<Rise>,
    /// Rounds so far.
    pub rounds: usize,
    /// Everything said so far.
    pub findings: Findings,
}

/// Looks at the run as it is now.
pub(crate) fn look(view: &View<'_>) -> Live {
    let findings = judge::findings(view);
    let criteria = &view.settings.criteria;
    let round = findings.rounds.last();
    let hold = round.and_then(|r| r.hold.as_ref());
    let pulldown = round.and_then(|r| r.pulldown.as_ref());
    let phase = if view.newest.is_none() {
        Phase::Waiting
    } else if hold.is_some() {
        Phase::Hold
    } else if view
        .newest
        .is_some_and(|(_, p)| p <= criteria.target_micron)
    {
        Phase::AtTarget
    } else {
        Phase::PullDown
    };
    let now = view.last_s.unwrap_or(0.0);
    let trend = recent(&view.blocks, 30.0).and_then(slope_micron_per_min);
    let to_target = (phase == Phase::PullDown)
        .then(|| forecast(&view.blocks, criteria.target_micron))
        .flatten();
    Live {
        phase,
        pressure_micron: view.newest.map(|(_, p)| p),
        trend_micron_per_min: trend,
        to_target,
        held_s: hold.map(|h| h.duration_s),
        hold_left_s: hold.map(|h| (60.0 * criteria.hold_min - h.duration_s).max(0.0)),
        stall: pulldown
            .filter(|_| phase == Phase::PullDown)
            .and_then(|p| p.stalls.last())
            .filter(|s| now - s.end_s < 45.0)
            .copied(),
        rise: hold.map(|h| h.rise.clone()),
        rounds: findings.rounds.len(),
        findings,
    }
}

fn recent(blocks: &[Block], length_s: f64) -> Option<&[Block]> {
    let end = blocks.last()?.last_s;
    let from = blocks.partition_point(|b| b.t() < end - length_s);
    Some(&blocks[from..])
}

fn slope_micron_per_min(blocks: &[Block]) -> Option<f64> {
    let (t, p): (Vec<f64>, Vec<f64>) = blocks
        .iter()
        .map(|b| (b.t() - blocks[0].t(), b.p()))
        .unzip();
    let fit = least_squares(&[vec![1.0; t.len()], t], &p).filter(|f| f.dof > 0)?;
    Some(60.0 * fit.coefficients[1])
}

/// Extrapolates ln p from the last minutes: straight as the early end, slowing
/// down the way it has been slowing down as the late end.
fn forecast(blocks: &[Block], target_micron: f64) -> Option<Forecast> {
    let part = recent(blocks, 180.0).filter(|b| b.len() >= 10)?;
    let end = part.last()?.t();
    let (t, y): (Vec<f64>, Vec<f64>) = part
        .iter()
        .map(|b| (b.t() - end, b.p().max(1e-3).ln()))
        .unzip();
    let line = least_squares(&[vec![1.0; t.len()], t.clone()], &y)?;
    let (now, rate) = (line.coefficients[0], -line.coefficients[1]);
    let to_go = now - target_micron.ln();
    let rate_sd = line.standard_errors.get(1).copied().unwrap_or(0.0);
    if to_go <= 0.0 || rate <= 2.0 * rate_sd || rate < 1e-5 {
        return None;
    }
    let early_s = to_go / (rate + 1.3 * rate_sd) * 0.9;
    // rate that decays as exp(−t/θ): reaches rate·θ in all
    let squares: Vec<f64> = t.iter().map(|t| t * t).collect();
    let bent = least_squares(&[vec![1.0; t.len()], t, squares], &y)?;
    let (rate_now, bend) = (-bent.coefficients[1], 2.0 * bent.coefficients[2]);
    let late_s = if bend > 0.0 && rate_now > 0.0 {
        let theta = rate_now / bend;
        let share = to_go / (rate_now * theta);
        (share < 0.95).then(|| -theta * (1.0 - share).ln() * 1.2)
    } else {
        Some(to_go / (rate - 1.3 * rate_sd).max(0.3 * rate) * 1.3)
    };
    Some(Forecast {
        early_s,
        late_s: late_s.map(|l| l.max(early_s)),
    })
}
