//! Stalls: stretches of pull-down that make no progress, and why.
//!
//! * **Foaming** (`hunting`): the pressure turns upwards again and again beyond
//!   what the gauge does by itself (`gauge`), or twice on a plateau that ends in a
//!   knee; or, where the gauge is too coarse to
//!   show that, it stood still until the flow was reduced and fell to less than
//!   half afterwards.
//! * **Boil-off** (`plateau`): a smooth plateau at the saturation pressure of water
//!   between the triple point and a little above ambient; it may slide down when it
//!   ends in a knee or freezes, since a tail of outgassing or a floor never speeds up.
//! * **Ice** (`ice`): a smooth plateau below the triple point that gives way, or that
//!   follows water seen to freeze.
//! * **Floor** (`plateau`): levels off above the target.
//! * **Choked** (`plateau`): ln p falls in a straight line for many minutes, far
//!   more slowly than a pump does; or so crawls a system of which only one side is
//!   evacuated, whose other side lies behind the capillary tube.
//!
//! Every stall carries its evidence: roughness against the gauge, level as the
//! boiling temperature of water, slope, and what ended it.

mod context;
mod fall;
mod gauge;
mod hunting;
mod ice;
mod plateau;

pub(crate) use context::PulldownContext;

use findings::{Stall, StallEnd, StallKind};
use run_memory::Block;
use statistics::robust::{median, median_of};
use vacuum::{Mark, MarkKind, Pressure, water};

use context::{END_S, NamedStretch, held_up_above};
use gauge::{Cell, GaugeRoughness, WINDOWS_S};

/// An act stamped this long after a stall still ended it, s (common practice, no source).
const STAMP_S: f64 = 30.0;
/// Stalls nearer to a foaming one than this are part of it, s (common practice, no source).
const BESIDE_S: f64 = 75.0;

/// Finds the stalls of one pull-down, oldest first.
pub(crate) fn find(blocks: &[Block], context: &PulldownContext<'_>) -> Vec<Stall> {
    if blocks.len() < gauge::FEWEST {
        return Vec::new();
    }
    let top_micron = gauge::top_micron(context.record);
    // the record's cells are gone before those of the pull-down are cut
    let (gauges, froze_s) = {
        let record = gauge::cells(context.record, top_micron);
        let gauges = WINDOWS_S.map(|length_s| GaugeRoughness::learn(&record, length_s));
        let froze = record.iter().flat_map(|p| ice::freezing(p, context));
        let froze_s: Vec<f64> = froze.collect();
        (gauges, froze_s)
    };
    let parts = gauge::cells(blocks, top_micron);
    if parts.iter().all(|p| p.len() < gauge::FEWEST) {
        return Vec::new();
    }
    let end_s = blocks.last().map_or(0.0, |b| b.last_s);
    let mut out = Vec::new();
    for (i, cells) in parts.iter().enumerate() {
        let mut named: Vec<NamedStretch> = hunting::find(cells, context.target_micron, &gauges)
            .iter()
            .map(|h| NamedStretch {
                kind: StallKind::Foaming,
                from: h.from,
                to: h.to,
                ends_at_micron: None,
            })
            .collect();
        let clear = |named: &[NamedStretch], new: &NamedStretch| {
            !named.iter().any(|o| {
                cells[new.from].t < cells[o.to].t + BESIDE_S
                    && cells[o.from].t < cells[new.to].t + BESIDE_S
                    && o.kind == StallKind::Foaming
            })
        };
        for new in cleared_by_throttling(cells, context) {
            if clear(&named, &new) {
                named.push(new);
            }
        }
        for (from, to) in plateau::knees(cells, context) {
            let new = NamedStretch {
                kind: StallKind::Foaming,
                from,
                to,
                ends_at_micron: None,
            };
            let restless = hunting::restless(cells, (from, to), &gauges).is_some();
            if restless && clear(&named, &new) {
                named.push(new);
            }
        }
        let froze_s: Vec<f64> = froze_s
            .iter()
            .copied()
            .filter(|t| !foams_at(cells, &named, *t))
            .collect();
        let elsewhere = ice::RestOfRecord {
            froze_s: &froze_s,
            lowest: ice::lowest_level(&parts[i + 1..]),
        };
        for new in plateau::find(cells, end_s, context, elsewhere) {
            if clear(&named, &new) && is_smooth(cells, &new) {
                named.push(new);
            }
        }
        out.extend(
            named
                .iter()
                .map(|n| with_evidence(cells, n, &gauges[0], end_s, context)),
        );
    }
    out.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    out
}

/// Oil foams at or near a time: what the curve does there is not water.
fn foams_at(cells: &[Cell], named: &[NamedStretch], at_s: f64) -> bool {
    named.iter().any(|n| {
        let around = cells[n.from].t - BESIDE_S..cells[n.to].t + BESIDE_S;
        n.kind == StallKind::Foaming && around.contains(&at_s)
    })
}

/// Boiling water and ice are smooth: rougher than any gauge for this work is something
/// else, even where the whole record is so rough that the gauge is not known.
fn is_smooth(cells: &[Cell], named: &NamedStretch) -> bool {
    /// Roughness of ln p over [`WINDOWS_S`] that no gauge makes (common practice, no source).
    const ROUGH: f64 = 0.022;
    if !matches!(named.kind, StallKind::BoilOff | StallKind::Ice) {
        return true;
    }
    let part = &cells[named.from..=named.to];
    let mut rough: Vec<f64> = (0..part.len())
        .step_by((part.len() / 50).max(1))
        .filter_map(|i| gauge::roughness_in(gauge::window(part, i, WINDOWS_S[0])))
        .map(|l| l.variance - l.rounding)
        .collect();
    let rough = median(&mut rough);
    rough.is_nan() || rough < ROUGH * ROUGH
}

/// Plateaus that stood until the flow was reduced, and then gave way.
fn cleared_by_throttling(cells: &[Cell], context: &PulldownContext<'_>) -> Vec<NamedStretch> {
    /// Shortest plateau, s (common practice, no source).
    const SHORTEST_S: f64 = 60.0;
    /// A plateau keeps within this of where it ends, in ln p (common practice, no source).
    const KEEPS: f64 = 0.4;
    /// Time in which the pressure must give way, s (common practice, no source).
    const GIVES_WAY_S: f64 = 900.0;
    let acts = |kind: MarkKind| {
        context
            .marks
            .iter()
            .filter(move |m| m.kind == kind)
            .map(|m| m.elapsed_s)
    };
    let mut out = Vec::new();
    for act_s in acts(MarkKind::Throttled) {
        let to = cells.partition_point(|c| c.t <= act_s).saturating_sub(1);
        let Some(last) = cells.get(to).filter(|c| act_s - c.t < STAMP_S) else {
            continue;
        };
        let recent = cells.partition_point(|c| c.t < last.t - 40.0);
        let stands = median_of(cells[recent..=to].iter().map(|c| c.y));
        let from = (0..to)
            .rev()
            .find(|&i| (cells[i].y - stands).abs() > KEEPS)
            .map_or(0, |i| i + 1);
        let level = median_of(cells[from..=to].iter().map(|c| c.y));
        let after = &cells[to..cells.partition_point(|c| c.t < act_s + GIVES_WAY_S)];
        let lowest = after.iter().map(|c| c.y).fold(f64::INFINITY, f64::min);
        let above = level > held_up_above(context.target_micron);
        if above && last.t - cells[from].t >= SHORTEST_S && lowest < level - std::f64::consts::LN_2
        {
            out.push(NamedStretch {
                kind: StallKind::Foaming,
                from,
                to,
                ends_at_micron: None,
            });
        }
    }
    out
}

fn with_evidence(
    cells: &[Cell],
    named: &NamedStretch,
    gauge: &GaugeRoughness,
    end_s: f64,
    context: &PulldownContext<'_>,
) -> Stall {
    let part = &cells[named.from..=named.to];
    let (start_s, stop_s) = (part[0].t, part[part.len() - 1].t);
    let level = median_of(part.iter().map(|c| c.y)).exp();
    let roughness = median_of(
        (0..part.len())
            .step_by((part.len() / 50).max(1))
            .filter_map(|i| gauge::roughness_in(gauge::window(part, i, WINDOWS_S[0])))
            .map(|l| (l.variance / (gauge.variance(l.y) + l.rounding / 3.0)).sqrt()),
    );
    Stall {
        kind: named.kind,
        start_s,
        end_s: stop_s,
        level_micron: level,
        roughness: if roughness.is_nan() { 1.0 } else { roughness },
        boils_at_c: Pressure::from_micron(level)
            .ok()
            .and_then(water::boiling_point_c),
        slope_per_min: 60.0 * fall::slope(part),
        ended_by: ended_by(start_s, stop_s, end_s, context),
        ends_at_micron: named.ends_at_micron,
    }
}

fn ended_by(start_s: f64, stop_s: f64, end_s: f64, context: &PulldownContext<'_>) -> StallEnd {
    let act = context
        .marks
        .iter()
        .filter(|m| {
            let acts = MarkKind::Throttled == m.kind || MarkKind::BallastOpened == m.kind;
            acts || ice::helps(m.kind)
        })
        .filter(|m| m.elapsed_s > start_s && (m.elapsed_s - stop_s).abs() < 2.0 * STAMP_S)
        .min_by(|a, b| {
            let off = |m: &Mark| (m.elapsed_s - stop_s).abs();
            off(a).total_cmp(&off(b))
        });
    match act.map(|m| m.kind) {
        Some(MarkKind::Throttled) => StallEnd::Throttled,
        Some(MarkKind::HeatApplied) => StallEnd::HeatApplied,
        Some(MarkKind::NitrogenBreak) => StallEnd::NitrogenBreak,
        Some(_) => StallEnd::BallastOpened,
        None if stop_s < end_s - END_S => StallEnd::Cleared,
        None if context.isolated => StallEnd::Isolated,
        None => StallEnd::StillOn,
    }
}
