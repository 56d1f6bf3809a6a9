//! What a live line shows of a run that goes on.

use findings::{Live, NotAtThisRate, Phase, Pulldown, Stall, StallKind};
use run_memory::Block;
use statistics::linear::straight_line;

use crate::{
    evacuation::{
        forecast::{self, Outlook},
        judge,
    },
    run_view::RunView,
};

/// A stall that ended no longer ago than this still goes on, s (common practice, no
/// source).
const STILL_S: f64 = 45.0;

/// Length over which the trend is taken, s (common practice, no source).
const TREND_S: f64 = 30.0;

/// Looks at the run as it is now.
pub(crate) fn look(view: &RunView<'_>) -> Live {
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
    let trend = recent(&view.blocks, TREND_S).and_then(slope_micron_per_min);
    let stall = pulldown
        .filter(|_| phase == Phase::PullDown)
        .and_then(|p| p.stalls.last())
        .filter(|s| now - s.end_s < STILL_S)
        .copied();
    let outlook = match (phase, pulldown) {
        (Phase::PullDown, Some(p)) => outlook(view, p, stall),
        _ => Outlook::Unknown,
    };
    Live {
        phase,
        pressure_micron: view.newest.map(|(_, p)| p),
        trend_micron_per_min: trend,
        to_target: match outlook {
            Outlook::Target(forecast) => Some(forecast),
            _ => None,
        },
        not_at_this_rate: match outlook {
            Outlook::Not(rate) => Some(rate),
            _ => None,
        },
        held_s: hold.map(|h| h.duration_s),
        hold_left_s: hold.map(|h| (60.0 * criteria.hold_min - h.duration_s).max(0.0)),
        stall,
        rise: hold.map(|h| h.rise.clone()),
        early_answer: hold.and_then(|h| h.early_answer),
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
    let fit = straight_line(t, p).filter(|f| f.dof > 0)?;
    Some(60.0 * fit.coefficients[1])
}

/// The outlook of a pull-down, unless something holds it up whose end is not in
/// the curve.
fn outlook(view: &RunView<'_>, pulldown: &Pulldown, stall: Option<Stall>) -> Outlook {
    let from = view.blocks.partition_point(|b| b.t() < pulldown.start_s);
    let blocks = view.blocks.get(from..).unwrap_or_default();
    match stall {
        Some(s) if s.kind.ends_outside_the_curve() => Outlook::Unknown,
        Some(Stall {
            kind: StallKind::Floor,
            level_micron,
            ends_at_micron,
            start_s,
            end_s,
            ..
        }) if end_s - start_s > forecast::STANDS_LONG_S && !forecast::restless(blocks) => {
            Outlook::Not(NotAtThisRate {
                floor_micron: ends_at_micron.unwrap_or(level_micron),
            })
        }
        _ => forecast::look_ahead(blocks, view.marks, view.settings.criteria.target_micron),
    }
}
