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

/// Lengths over which the trend is taken, s: the longest over which the pressure changed
/// by no more than [`OF_ITSELF`], else the shortest (common practice, no source).
const TRENDS_S: [f64; 4] = [30.0, 15.0, 8.0, 4.0];

/// Share of the pressure by which it may change over the length of a trend. A straight
/// line over more of it speaks of a rate that is long over: a pull-down that comes from
/// 25,000 to 128 micron in half a minute does not fall by 35,000 a minute at 128 (common
/// practice, no source).
const OF_ITSELF: f64 = 0.5;

/// A level is left when the pressure is below this share of it, and when a smooth one falls
/// by this share of the pressure a minute (common practice, no source).
const LEFT: f64 = 0.6;
const FALLS_AWAY: f64 = 0.2;

/// A pressure goes up when it does so by this share of itself a minute, and by so many
/// micron a minute (common practice, no source).
const RISES: f64 = 0.01;
const LEAST_RISE_MICRON_PER_MIN: f64 = 0.5;

/// Length over which a level shows, s (common practice, no source).
const SLOW_TREND_S: f64 = 180.0;

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
    let trend = trend(&view.blocks);
    let stall = pulldown
        .filter(|_| phase == Phase::PullDown)
        .and_then(|p| p.stalls.last())
        .filter(|s| now - s.end_s < STILL_S)
        .filter(|s| !has_left(s, view.newest, trend))
        .copied();
    // a pressure that goes up is on no way to the target
    let rises = view
        .newest
        .zip(trend)
        .is_some_and(|((_, p), t)| t >= (RISES * p).max(LEAST_RISE_MICRON_PER_MIN));
    let outlook = match (phase, pulldown) {
        (Phase::PullDown, Some(p)) if !rises => outlook(view, p, stall),
        _ => Outlook::Unknown,
    };
    Live {
        phase,
        pressure_micron: view.newest.map(|(_, p)| p),
        trend_micron_per_min: trend,
        slow_trend_micron_per_min: recent(&view.blocks, SLOW_TREND_S)
            .filter(|blocks| {
                blocks
                    .first()
                    .is_some_and(|b| now - b.t() > 0.9 * SLOW_TREND_S)
            })
            .and_then(slope_micron_per_min),
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

/// A stall is found some time after it began, and its end some time after it came: until
/// then the pressure says that it is over.
fn has_left(stall: &Stall, newest: Option<(f64, f64)>, trend: Option<f64>) -> bool {
    let Some((_, pressure)) = newest else {
        return false;
    };
    let falls = trend.is_some_and(|t| -t > FALLS_AWAY * pressure);
    match stall.kind {
        // slow and steady, and no level at all
        StallKind::Choked => false,
        // up and down by itself
        StallKind::Foaming => pressure < LEFT * stall.level_micron,
        StallKind::BoilOff | StallKind::Ice | StallKind::Floor => {
            falls || pressure < LEFT * stall.level_micron
        }
    }
}

/// Where the pressure goes now, micron/min.
fn trend(blocks: &[Block]) -> Option<f64> {
    let newest = blocks.last()?.p();
    let slopes = TRENDS_S.map(|length_s| {
        let slope = recent(blocks, length_s).and_then(slope_micron_per_min)?;
        Some((length_s, slope))
    });
    let told: Vec<(f64, f64)> = slopes.into_iter().flatten().collect();
    let fits =
        |(length_s, slope): &&(f64, f64)| (slope * length_s / 60.0).abs() <= OF_ITSELF * newest;
    let of_now = told.iter().find(fits).or(told.last());
    // no pressure is below zero a second from now
    of_now
        .map(|(_, slope)| *slope)
        .filter(|slope| -slope / 60.0 < newest)
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
