//! Another gauge of the same run, compared with the judged one at equal times.
//!
//! Each gauge is kept in its own bounded memory ([`History`]), so that it does not
//! matter how fast either speaks or in which order their rows come. Pressures at
//! equal times are found by going along a straight line in ln p between
//! neighbouring blocks of the other gauge, which is exact for the exponentials a
//! pull-down is made of, and only where it measured all the way.

mod in_hold;
mod in_pulldown;

use std::{borrow::Cow, collections::VecDeque};

use findings::{AuxiliaryFindings, Finding, Findings, Pair, Pulldown};
use run_memory::{Block, GaugeNoise, History, Outages, gauge_noise};
use statistics::robust::median_of;
use vacuum::{MarkKind, Reading, ReadingState, is_pump_side};

use crate::run_view::RunView;

/// How much of the end of the pull-down is compared, s (common practice, no source).
const LAST_S: f64 = 60.0;
/// A comparison at an instant may be off by so much, s (common practice, no source).
const NEAR_S: f64 = 10.0;

/// The act and its mark are so far apart at most, s: the end of a pull-down is left out
/// (common practice, no source).
const ACT_S: f64 = 3.0;

/// What another gauge, or a further channel, says in a run: every reading goes in,
/// memory stays bounded. Made by [`Analyser::auxiliary`](crate::Analyser::auxiliary).
#[derive(Debug, Clone)]
pub struct Auxiliary {
    name: String,
    place: String,
    history: History,
    outages: Outages,
    rows: u64,
    used: u64,
    lowest_micron: Option<f64>,
    last_s: f64,
    /// Acts and isolations to come, s: readings before and after stay apart.
    splits: VecDeque<f64>,
}

impl Auxiliary {
    pub(crate) fn new(name: &str, place: &str, splits: impl Iterator<Item = f64>) -> Self {
        let mut splits: Vec<f64> = splits.filter(|t| t.is_finite()).collect();
        splits.sort_by(f64::total_cmp);
        Self {
            name: name.to_owned(),
            place: place.to_owned(),
            history: History::default(),
            outages: Outages::default(),
            rows: 0,
            used: 0,
            lowest_micron: None,
            last_s: f64::NEG_INFINITY,
            splits: splits.into(),
        }
    }

    /// Takes its next reading; a time that goes back counts as now.
    pub fn push(&mut self, reading: &Reading) {
        if !reading.elapsed_s.is_finite() {
            return;
        }
        let t = reading.elapsed_s.max(self.last_s);
        self.last_s = t;
        self.rows += 1;
        while self.splits.pop_front_if(|at| *at <= t).is_some() {
            self.history.split();
        }
        if let Some(pressure) = reading.pressure() {
            let micron = pressure.micron();
            self.used += 1;
            self.lowest_micron = Some(self.lowest_micron.map_or(micron, |low| low.min(micron)));
            self.outages.measured(t);
            self.history.push(t, micron, reading.temperature_c);
        } else {
            let bound = reading.bound().map(vacuum::Pressure::micron);
            self.outages.unusable(t, reading.state(), bound);
        }
    }

    fn is_at_pump(&self) -> bool {
        is_pump_side(&self.place)
    }

    /// Both gauges at the times of the judged one's blocks.
    fn pairs(&self, far: &[Block], blocks: &[Block]) -> Vec<Pair> {
        let mut pairs = Vec::with_capacity(far.len());
        let mut next = 0;
        for block in far {
            let t = block.t();
            while blocks.get(next).is_some_and(|b| b.t() < t) {
                next += 1;
            }
            let after = blocks.get(next);
            let before = next.checked_sub(1).and_then(|i| blocks.get(i));
            let auxiliary = match (before, after) {
                (_, Some(b)) if b.t() <= t => Some(b.p()),
                (Some(a), Some(b)) if self.measured_between(a, b) => between(a, b, t),
                _ => None,
            };
            if let Some(auxiliary_micron) = auxiliary.filter(|p| *p > 0.0)
                && block.p() > 0.0
            {
                pairs.push(Pair {
                    at_s: t,
                    far_micron: block.p(),
                    auxiliary_micron,
                });
            }
        }
        pairs
    }

    /// True when nothing is missing between two neighbouring blocks.
    fn measured_between(&self, a: &Block, b: &Block) -> bool {
        let hole = b.first_s - a.last_s;
        let (from, to) = (a.t(), b.t());
        let all = self.outages.all();
        let first = all.partition_point(|o| o.end_s <= from);
        let out = all.get(first).is_some_and(|o| o.start_s < to);
        hole <= self.outages.shortest_gap_s() && !out
    }
}

/// On a straight line in ln p.
fn between(a: &Block, b: &Block, t: f64) -> Option<f64> {
    let (p, q) = (a.p(), b.p());
    let share = (t - a.t()) / (b.t() - a.t());
    (p > 0.0 && q > 0.0).then(|| (p.ln() + share * (q / p).ln()).exp())
}

/// One comparison while it is made.
struct Comparison<'a> {
    view: &'a RunView<'a>,
    other: &'a Auxiliary,
    pairs: Vec<Pair>,
    blocks: Cow<'a, [Block]>,
}

impl Comparison<'_> {
    /// Pairs of a stretch, ends included.
    fn within(&self, from_s: f64, to_s: f64) -> &[Pair] {
        let start = self.pairs.partition_point(|p| p.at_s < from_s);
        let end = self.pairs.partition_point(|p| p.at_s <= to_s);
        self.pairs.get(start..end.max(start)).unwrap_or_default()
    }

    /// Noise and steps of both gauges in a stretch, the judged one first.
    fn noise(&self, from_s: f64, to_s: f64) -> (GaugeNoise, GaugeNoise) {
        let of = |blocks: &[Block]| {
            let inside = blocks.iter().filter(|b| b.t() >= from_s && b.t() <= to_s);
            gauge_noise(inside)
        };
        (of(&self.view.blocks), of(&self.blocks))
    }

    /// True when the pump was stopped between two times.
    fn pump_stopped_within(&self, from_s: f64, to_s: f64) -> bool {
        let stops = |m: &vacuum::Mark| {
            m.kind == MarkKind::PumpStopped && m.elapsed_s >= from_s && m.elapsed_s <= to_s
        };
        self.view.marks.iter().any(stops)
    }
}

/// Compares every other gauge with the judged one; adds what there is to say.
pub(crate) fn compare(view: &RunView<'_>, others: &[Auxiliary], findings: &mut Findings) {
    for other in others {
        let blocks = other.history.blocks();
        let comparison = Comparison {
            view,
            pairs: other.pairs(&view.blocks, &blocks),
            blocks,
            other,
        };
        let (compared, added) = comparison.at(findings);
        findings.auxiliary.push(compared);
        findings.findings.extend(added);
    }
    findings.findings.sort_by(Finding::order);
}

impl Comparison<'_> {
    fn at(&self, findings: &Findings) -> (AuxiliaryFindings, Vec<Finding>) {
        let target = findings.criteria.target_micron;
        let round = findings.judged_round();
        let pulldown = round.and_then(|r| r.pulldown.as_ref());
        let hold = round.and_then(|r| r.hold.as_ref());
        let in_hold = hold.and_then(|h| self.in_hold(h, pulldown));
        let compared = AuxiliaryFindings {
            name: self.other.name.clone(),
            place: self.other.place.clone(),
            rows: self.other.rows,
            used: self.other.used,
            lowest_micron: self.other.lowest_micron,
            reached_target_s: pulldown.and_then(|p| self.reached(p, target)),
            at_target: pulldown
                .and_then(|p| p.reached_target_s)
                .and_then(|at_s| self.nearest(at_s)),
            at_isolation: pulldown.and_then(|p| self.last_minute(p)),
            furthest_apart: pulldown.and_then(|p| self.furthest_apart(p)),
            hold: in_hold,
        };
        let mut added = Vec::new();
        if let Some(p) = pulldown.filter(|_| self.other.is_at_pump()) {
            added.extend(self.far_side_lags(p, target, &compared));
        }
        if let Some(h) = hold {
            added.extend(self.gauges_disagree(h, in_hold));
            if self.other.is_at_pump() {
                added.extend(self.rises_alone(h));
            }
        }
        (compared, added)
    }

    fn nearest(&self, at_s: f64) -> Option<Pair> {
        let near = self.within(at_s - NEAR_S, at_s + NEAR_S).iter();
        let off = |p: &&Pair| (p.at_s - at_s).abs();
        near.min_by(|a, b| off(a).total_cmp(&off(b))).copied()
    }

    fn last_minute(&self, pulldown: &Pulldown) -> Option<Pair> {
        let end_s = pulldown.end_s;
        let from_s = (end_s - LAST_S).max(pulldown.start_s);
        // the act itself and its mark are a moment apart
        let settled = self.within(from_s, end_s - ACT_S);
        middle(settled)
    }

    /// When the other gauge came down to the target to stay.
    fn reached(&self, pulldown: &Pulldown, target_micron: f64) -> Option<f64> {
        let inside: Vec<&Block> = self
            .blocks
            .iter()
            .filter(|b| b.t() >= pulldown.start_s && b.t() < pulldown.end_s - ACT_S)
            .collect();
        let above = inside.iter().rposition(|b| b.p() > target_micron);
        let out = self.other.outages.all().iter().filter(|o| {
            o.state == ReadingState::Over
                && o.end_s <= pulldown.end_s
                && o.end_s >= pulldown.start_s
        });
        // over range until then, it was not at the target
        let not_before = out.map(|o| o.end_s).fold(f64::NEG_INFINITY, f64::max);
        let first = above.map_or(0, |i| i + 1);
        let found = inside.get(first)?;
        Some(found.first_s.max(not_before))
    }
}

/// The medians of a stretch, as one pair.
fn middle(pairs: &[Pair]) -> Option<Pair> {
    let last = pairs.last()?;
    let at = |value: fn(&Pair) -> f64| median_of(pairs.iter().map(value));
    Some(Pair {
        at_s: last.at_s,
        far_micron: at(|p| p.far_micron),
        auxiliary_micron: at(|p| p.auxiliary_micron),
    })
}
