//! Cuts a run into rounds: pull-down, hold, break, and again.

use findings::IsolationBasis;
use run_memory::{Block, Outages};
use vacuum::{Mark, MarkKind, ReadingState};

use crate::evacuation::isolation::{self, Isolation};

/// Pressure above which a system that was under vacuum has been broken, micron (common
/// practice, no source).
pub(super) const BROKEN_MICRON: f64 = 50_000.0;
/// Pressure below which a system is under vacuum, micron (common practice, no source).
pub(super) const EVACUATED_MICRON: f64 = 5_000.0;

/// A mark and the curve speak of the same break when they are no further apart, s; what is
/// left after a hold is a round of its own when it is so long, s, and after a mark, s
/// (common practice, no source).
const SAME_BREAK_S: f64 = 120.0;
const OWN_ROUND_S: f64 = 30.0;
const OWN_ROUND_AFTER_MARK_S: f64 = 1.0;

/// One round in time: pull-down from `start_s`, hold as found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    pub(crate) start_s: f64,
    pub(crate) end_s: f64,
    pub(crate) isolation: Option<Isolation>,
}

/// Finds rounds from marks where there are any, else from the curve.
pub(crate) fn find(
    blocks: &[Block],
    marks: &[Mark],
    outages: &Outages,
    isolated_at_s: Option<f64>,
) -> Vec<Span> {
    let (Some(first), Some(last)) = (blocks.first(), blocks.last()) else {
        return Vec::new();
    };
    let mut out: Vec<Span> = Vec::new();
    let mut from_s = first.first_s;
    for break_s in breaks(blocks, marks, outages)
        .into_iter()
        .chain([f64::INFINITY])
    {
        let part = between(blocks, from_s, break_s);
        if let (Some(a), Some(b)) = (part.first(), part.last()) {
            let first = out.is_empty();
            let ends = (a.first_s, b.last_s);
            out.extend(stretch(part, marks, isolated_at_s, ends, first));
        }
        from_s = break_s;
    }
    if out.is_empty() {
        out.push(Span {
            start_s: first.first_s,
            end_s: last.last_s,
            isolation: None,
        });
    }
    out
}

fn between(blocks: &[Block], from_s: f64, to_s: f64) -> &[Block] {
    let a = blocks.partition_point(|b| b.first_s < from_s);
    let b = blocks.partition_point(|b| b.first_s < to_s);
    &blocks[a..b.max(a)]
}

/// Times at which a vacuum was broken, by mark or because the pressure went from
/// deep vacuum to far above and was pumped down again.
fn breaks(blocks: &[Block], marks: &[Mark], outages: &Outages) -> Vec<f64> {
    let mut out: Vec<f64> = marks
        .iter()
        .filter(|m| m.kind == MarkKind::NitrogenBreak)
        .map(|m| m.elapsed_s)
        .collect();
    let (mut deep, mut risen): (bool, Option<f64>) = (false, None);
    let mut left_deep_s = 0.0;
    // over range counts as far above
    let mut over = outages
        .all()
        .iter()
        .filter(|o| o.state == ReadingState::Over)
        .peekable();
    for b in blocks {
        let p = b.p();
        while over.next_if(|o| o.start_s < b.first_s).is_some() {
            if deep {
                risen.get_or_insert(left_deep_s + 1e-6);
            }
        }
        if p < EVACUATED_MICRON {
            if let Some(at) = risen.take() {
                out.push(at);
            }
            deep = true;
            left_deep_s = b.last_s;
        } else if p > BROKEN_MICRON && deep {
            risen.get_or_insert(left_deep_s + 1e-6);
        }
    }
    out.sort_by(f64::total_cmp);
    // a mark and the curve speak of the same break
    out.dedup_by(|b, a| *b - *a < SAME_BREAK_S);
    out
}

/// The rounds of one stretch between breaks.
fn stretch(
    blocks: &[Block],
    marks: &[Mark],
    isolated_at_s: Option<f64>,
    (start_s, end_s): (f64, f64),
    first: bool,
) -> Vec<Span> {
    let inside = |t: f64| (start_s - 1e-6..=end_s + 1e-6).contains(&t);
    // isolated before the record began: the hold is all there is
    let given = isolated_at_s.map(|t| if first { t.max(start_s) } else { t });
    if let Some(at_s) = given.filter(|t| inside(*t)) {
        let hold = Isolation::certain(at_s, end_s, IsolationBasis::Given);
        return vec![Span {
            start_s,
            end_s,
            isolation: Some(hold),
        }];
    }
    let shut: Vec<f64> = acts(marks, MarkKind::PumpSideShut)
        .filter(|t| inside(*t))
        .collect();
    if shut.is_empty() {
        return from_curve(blocks, start_s, end_s);
    }
    let mut out = Vec::new();
    let mut from_s = start_s;
    for (i, at_s) in shut.iter().copied().enumerate() {
        let next = shut.get(i + 1).copied().unwrap_or(f64::INFINITY);
        let reopened = acts(marks, MarkKind::ValveOpened).find(|t| *t > at_s && *t < next);
        let hold_end = reopened.unwrap_or(next).min(end_s);
        out.push(Span {
            start_s: from_s,
            end_s: hold_end,
            isolation: Some(Isolation::certain(at_s, hold_end, IsolationBasis::Mark)),
        });
        from_s = hold_end;
    }
    if end_s - from_s > OWN_ROUND_AFTER_MARK_S {
        out.push(Span {
            start_s: from_s,
            end_s,
            isolation: None,
        });
    }
    out
}

fn acts(marks: &[Mark], kind: MarkKind) -> impl Iterator<Item = f64> {
    marks
        .iter()
        .filter(move |m| m.kind == kind)
        .map(|m| m.elapsed_s)
}

fn from_curve(blocks: &[Block], start_s: f64, end_s: f64) -> Vec<Span> {
    let holds = isolation::find(blocks);
    let mut out = Vec::new();
    let mut from_s = start_s;
    for hold in holds {
        out.push(Span {
            start_s: from_s,
            end_s: hold.end_s,
            isolation: Some(hold),
        });
        from_s = hold.end_s;
    }
    if out.is_empty() || end_s - from_s > OWN_ROUND_S {
        out.push(Span {
            start_s: from_s,
            end_s,
            isolation: None,
        });
    }
    out
}
