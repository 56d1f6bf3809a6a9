//! Ice: water that froze under the pump and sublimes.
//!
//! A pool that boils faster than heat comes in cools to the triple point (0.01 °C,
//! 4,588 micron; IAPWS R14-08), stands there while it freezes, and slides down to the
//! pressure at which ice takes just the heat that comes in. There it stands until the
//! ice is gone. A floor of the same height looks alike while it stands. What tells them
//! apart, any one of which is enough:
//!
//! * it **gives way**: the fall of ln p picks up again by itself and goes on well
//!   below. Pumping, outgassing and leaks only ever slow down (sums of decaying terms
//!   are convex in ln p), so a fall that gets steeper shows that something has run out.
//!   It must pass what it had reached before: after a valve was shut for a moment the
//!   curve comes back to where it was. A valve opened or turned then explains it.
//! * water was **seen to freeze** before ([`freezing`]): a shelf within
//!   [`SHELF`] of the triple point and a steeper fall after it, and nothing has given
//!   way since.
//! * it lies within [`AT_TRIPLE`] below the triple point, where a floor would be chance.
//! * **heat or nitrogen** was stamped at its end, and later the pressure lies well below.
//!
//! Without any of it a level that stands is a floor, and a stretch that the pull-down
//! later goes below is neither. Limits are common practice, no source.

use vacuum::{Mark, MarkKind, PressureUnit, water};

use super::{
    context::PulldownContext,
    fall::{falls, level, slope},
    gauge::Cell,
};

/// Fall of ln p up to which a level is still called a plateau of ice, per s: ice that cools
/// itself, or covers less and less of the metal (tuned on even seeds of pull-downs that are
/// held up).
pub(super) const SLIDES: f64 = 0.004;
/// Levels of a shelf of freezing over the triple point: gauges that read vapour too low or
/// sit near the pump and pools with little surface, gauges that read it too high (tuned on
/// even seeds of pull-downs that are held up).
const SHELF: (f64, f64) = (0.55, 1.1);
/// Levels over the triple point at which a floor would be chance (tuned on even seeds of
/// pull-downs that are held up).
const AT_TRIPLE: f64 = 0.9;
/// Levels over the triple point below which what stands after freezing is rather the damp
/// tail of a pool that has gone: ice at −18 °C (tuned on even seeds of pull-downs that are
/// held up).
const LOWEST: f64 = 0.2;
/// Fall before and after a shelf, per s, and how much steeper it gets (tuned on even seeds
/// of pull-downs that are held up).
const AFTER_SHELF: f64 = 0.0015;
const STEEPER: f64 = 2.0;
/// How long a shelf may last before the fall goes on, s (tuned on even seeds of pull-downs
/// that are held up).
const SHELF_S: f64 = 240.0;
/// The fall in which ice gives way, per s, beyond that before it (tuned on even seeds of
/// pull-downs that are held up).
const GIVES_WAY: f64 = 0.001;
/// The same below a dip before it: water may cool below freezing before ice begins (tuned
/// on even seeds of pull-downs that are held up).
const BEYOND: f64 = 0.05;
/// Rise of ln p that lifts it, per s: within a minute, and over [`SLOW_S`]. A valve shut
/// for a moment does it, and heat; the first is over after so long, s (tuned on even seeds
/// of pull-downs that are held up).
const LIFTS: [f64; 2] = [0.001_5, 0.000_6];
const SETTLES_S: f64 = 150.0;
/// How long a pressure lifted by ice that begins stands at least, s (tuned on even seeds of
/// pull-downs that are held up).
const BEGINS_S: f64 = 30.0;
/// Length over which slow slopes are taken, s (tuned on even seeds of pull-downs that are
/// held up).
const SLOW_S: f64 = 150.0;
/// How far it must fall below what was reached before, in ln p, and within which time of
/// its steepest, s (tuned on even seeds of pull-downs that are held up).
const BELOW: f64 = 0.2;
const BEFORE_S: f64 = 60.0;
const AFTER_S: f64 = 180.0;
/// How long after the end of a plateau it may still give way, s (tuned on even seeds of
/// pull-downs that are held up).
const LATER_S: f64 = 900.0;
/// After heat or a nitrogen break: lower than this share of the plateau (tuned on even
/// seeds of pull-downs that are held up).
const SWEPT: f64 = 0.7;

/// ln of the triple point of water in micron.
pub(super) fn triple() -> f64 {
    (water::TRIPLE_POINT_PA / PressureUnit::Micron.pa()).ln()
}

/// When water was seen to freeze in a part of the record, s: near the triple point the
/// fall comes to its flattest, and then goes on more steeply.
///
/// A pool that dries has its flattest above and falls through here faster and faster; a
/// lift that only comes back to where it was is a valve.
pub(super) fn freezing(cells: &[Cell], context: &PulldownContext<'_>) -> Vec<f64> {
    /// Length over which a fall is taken here, s, and how much flatter than that of its
    /// surroundings still counts as flattest, per s (tuned on even seeds of pull-downs that
    /// are held up).
    const SHORT_S: f64 = 40.0;
    const FLATTER: f64 = 0.000_3;
    let near = |c: &Cell| (SHELF.0..SHELF.1).contains(&(c.y - triple()).exp());
    let Some(last) = cells.iter().rposition(near) else {
        return Vec::new();
    };
    let first = cells.iter().position(near).unwrap_or(last);
    // some of what comes before, and no more than is looked at: a day has many cells
    let first = cells.partition_point(|c| c.t < cells[first].t - 2.0 * SHELF_S);
    let until = cells.partition_point(|c| c.t < cells[last].t + SHELF_S + AFTER_S);
    let (part, last) = (&cells[first..until], last - first);
    let falls = falls(part, SHORT_S);
    let mut out = Vec::new();
    for i in (0..=last).filter(|&i| near(&part[i])) {
        if out.last().is_some_and(|t| part[i].t - t < SHORT_S) {
            continue;
        }
        let blur = 3.0 * part[i].step / SHORT_S;
        let steep = STEEPER * falls[i].max(0.0) + AFTER_SHELF + blur;
        let slow_from = falls[..i]
            .iter()
            .rposition(|f| *f > steep)
            .map_or(0, |j| j + 1);
        // ice that begins lifts the pressure: no flatter than flat
        let flattest = falls[slow_from..=i]
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        if falls[i] > flattest.max(0.0) + FLATTER {
            continue;
        }
        let shelf_s = |s: f64| part.partition_point(|c| c.t < part[i].t + s);
        let lifts = |j: usize| falls[j] < -LIFTS[0];
        let lifted = (shelf_s(-SETTLES_S)..i).any(lifts);
        if lifted && !begins(&part[shelf_s(-BEGINS_S)..=i]) {
            continue;
        }
        let before = (part[i].y - BELOW).min(lowest(&part[slow_from..=i]) - BEYOND);
        let mut later = (i..shelf_s(SHELF_S)).take_while(|j| !lifts(*j));
        let goes_on = later.any(|j| {
            let after = part.partition_point(|c| c.t < part[j].t + AFTER_S);
            let below = lowest(&part[j..after]) < before;
            falls[j] > steep && below && !turned(part[j].t, context)
        });
        if goes_on {
            out.push(part[i].t);
        }
    }
    out
}

/// Water that had cooled below freezing lifts the pressure when ice begins, to near the
/// triple point, and stands there at once; a valve shut for a moment does so by chance.
fn begins(recent: &[Cell]) -> bool {
    /// Levels over the triple point, and the fall of ln p per s, of ice that begins (tuned
    /// on even seeds of pull-downs that are held up).
    const NEARER: (f64, f64) = (0.85, 1.03);
    const FLAT: f64 = 0.000_8;
    let near = |c: &Cell| (NEARER.0..NEARER.1).contains(&(c.y - triple()).exp());
    recent.len() > 3 && recent.iter().all(near) && slope(recent).abs() < FLAT
}

/// True where a plateau lies near the triple point, so that it may be water freezing.
pub(super) fn is_shelf(cells: &[Cell], ends: (usize, usize)) -> bool {
    let over = (level(&cells[ends.0..=ends.1]).ln() - triple()).exp();
    (SHELF.0..SHELF.1).contains(&over)
}

fn lowest(part: &[Cell]) -> f64 {
    part.iter().map(|c| c.y).fold(f64::INFINITY, f64::min)
}

/// Cuts a stretch where the level passes the triple point, and where heat or nitrogen
/// came.
pub(super) fn parts(
    cells: &[Cell],
    (from, to): (usize, usize),
    context: &PulldownContext<'_>,
) -> Vec<(usize, usize)> {
    let mut cuts: Vec<usize> = context
        .marks
        .iter()
        .filter(|m| helps(m.kind))
        .map(|m| cells.partition_point(|c| c.t <= m.elapsed_s))
        .filter(|i| (from + 1..=to).contains(i))
        .collect();
    cuts.extend(passes_triple(cells, (from, to)));
    cuts.sort_unstable();
    cuts.dedup();
    let mut out = Vec::new();
    let mut start = from;
    for cut in cuts {
        out.push((start, cut - 1));
        start = cut;
    }
    out.push((start, to));
    out
}

/// Heat and nitrogen are what ends a plateau of ice.
pub(super) const fn helps(kind: MarkKind) -> bool {
    matches!(kind, MarkKind::HeatApplied | MarkKind::NitrogenBreak)
}

/// First cell on the other side of the triple point: the cut that puts most cells on
/// their side of it. None where nearly all of the stretch is on one side.
fn passes_triple(cells: &[Cell], (from, to): (usize, usize)) -> Option<usize> {
    /// Fewest cells on either side (common practice, no source).
    const FEWEST: usize = 5;
    let triple = triple();
    let above = |i: usize| i64::from(cells[i].y > triple);
    let all: i64 = (from..=to).map(above).sum();
    let n = (to + 1 - from) as i64;
    let mut before = 0;
    let mut best = (all.max(n - all), None);
    for i in from + 1..=to {
        before += above(i - 1);
        let count = (i - from) as i64;
        // above before and below after, or the other way round
        let falling = before + (n - count) - (all - before);
        let right = falling.max(n - falling);
        if right > best.0 {
            best = (right, Some(i));
        }
    }
    best.1
        .filter(|&i| i - from >= FEWEST && to + 1 - i >= FEWEST)
}

/// What the rest of the record says of a part of the pull-down.
#[derive(Debug, Clone, Copy)]
pub(super) struct RestOfRecord<'a> {
    /// When water was seen to freeze, s.
    pub(super) froze_s: &'a [f64],
    /// Lowest level (ln p) of the parts of the same pull-down that come later.
    pub(super) lowest: f64,
}

/// Lowest level (ln p) of some parts; one low cell is no level.
pub(super) fn lowest_level(parts: &[Vec<Cell>]) -> f64 {
    parts
        .iter()
        .map(|p| lowest_of(p))
        .fold(f64::INFINITY, f64::min)
}

fn lowest_of(part: &[Cell]) -> f64 {
    let highest = |w: &[Cell]| w.iter().map(|c| c.y).fold(f64::NEG_INFINITY, f64::max);
    part.windows(3).map(highest).fold(f64::INFINITY, f64::min)
}

/// What is known beside the curve of the plateau itself.
pub(super) struct PlateauContext<'a> {
    pub(super) context: &'a PulldownContext<'a>,
    pub(super) elsewhere: RestOfRecord<'a>,
    /// Fall of ln p around every cell, 1/s.
    pub(super) falls: &'a [f64],
}

/// Why a plateau below the triple point is ice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum IceEvidence {
    /// It gave way.
    GaveWay,
    /// Water was seen to freeze, or the level lies at the triple point, or nitrogen
    /// swept it away.
    Seen,
}

/// Why a smooth plateau below the triple point is ice; `since_s` is when something last
/// gave way.
pub(super) fn evidence_of_ice(
    cells: &[Cell],
    ends: (usize, usize),
    since_s: f64,
    known: &PlateauContext<'_>,
) -> Option<IceEvidence> {
    if gives_way(cells, ends, known) {
        return Some(IceEvidence::GaveWay);
    }
    let part = &cells[ends.0..=ends.1];
    // what is left of a fall that has not come to rest is no plateau
    let tail = &part[part.len() / 2..];
    let stands = -slope(tail) < 0.5 * SLIDES;
    let over = (level(part).ln() - triple()).exp();
    let stands = stands && over > LOWEST;
    let seen = known
        .elsewhere
        .froze_s
        .iter()
        .any(|&t| t > since_s && t < cells[ends.1].t);
    let at_triple = over > AT_TRIPLE && -slope(part) < 0.25 * SLIDES;
    (stands && (seen || at_triple || swept(tail, cells[ends.1].t, known)))
        .then_some(IceEvidence::Seen)
}

/// The pressure lies well below after the heat or the break with nitrogen that ended a
/// level plateau; without a mark, after the gauge was out of its range or silent.
fn swept(part: &[Cell], stop_s: f64, known: &PlateauContext<'_>) -> bool {
    /// How long before or after the end of a plateau an act still ended it, s; fall or rise
    /// of ln p per s up to which it stood level (tuned on even seeds of pull-downs that are
    /// held up).
    const SOON_S: f64 = 120.0;
    const LEVEL: f64 = 0.000_4;
    let context = known.context;
    if slope(part).abs() > LEVEL {
        return false;
    }
    if known.elsewhere.lowest < level(part).ln() + SWEPT.ln() {
        return true;
    }
    let helped = context.marks.iter().find(|m| {
        let after_s = m.elapsed_s - stop_s;
        helps(m.kind) && (-SOON_S..SOON_S).contains(&after_s)
    });
    helped.is_some_and(|m| {
        let from = context.record.partition_point(|b| b.first_s < m.elapsed_s);
        let later = context.record[from..].iter().map(|b| b.p());
        let lowest = later.fold(f64::INFINITY, f64::min);
        lowest < SWEPT * level(part)
    })
}

/// True when the fall picks up after the flattest of the stretch, and passes what was
/// reached before. After a lift it counts from when that has settled.
fn gives_way(cells: &[Cell], (from, to): (usize, usize), known: &PlateauContext<'_>) -> bool {
    // only what is looked at: a day has many cells
    let first = cells.partition_point(|c| c.t < cells[from].t - SLOW_S);
    let last = cells.partition_point(|c| c.t < cells[to].t + LATER_S + SLOW_S);
    let (cells, from, to) = (&cells[first..last], from - first, to - first);
    let falls = falls(cells, SLOW_S);
    let lifts = |i: &usize| falls[*i] < -LIFTS[1];
    let from = (from..=to).rev().find(lifts).map_or(from, |i| {
        let settled = |c: &Cell| c.t < cells[i].t + SETTLES_S;
        cells.partition_point(settled).max(from)
    });
    let Some(flattest) = (from..=to).min_by(|a, b| falls[*a].total_cmp(&falls[*b])) else {
        return false;
    };
    let helped = |m: &&Mark| helps(m.kind) && m.elapsed_s > cells[to].t;
    let marks = known.context.marks.iter().filter(helped);
    let until = marks.map(|m| m.elapsed_s);
    let until = until.fold(cells[to].t + LATER_S, f64::min);
    let later = flattest..cells.partition_point(|c| c.t < until);
    let later = later.take_while(|i| !lifts(i));
    let steepest = later.max_by(|a, b| falls[*a].total_cmp(&falls[*b]));
    let Some(steepest) = steepest.filter(|j| *j > flattest) else {
        return false;
    };
    let blur = 3.0 * cells[flattest].step.max(cells[steepest].step) / SLOW_S;
    let steep = falls[steepest] > STEEPER * falls[flattest].max(0.0) + GIVES_WAY + blur;
    let at = |s: f64| cells.partition_point(|c| c.t < cells[steepest].t + s);
    let past = &cells[from..at(-BEFORE_S).max(from + 1)];
    let after = lowest(&cells[steepest..at(AFTER_S)]);
    // a crawl alone would have come so far
    let crawl = (-slope(past)).max(0.0) * (BEFORE_S + AFTER_S);
    let below = lowest(past) - BELOW - 1.5 * crawl;
    let at_s = cells[steepest].t;
    steep && after < below && !turned(at_s, known.context) && !ballast_shut(at_s, known)
}

/// With the gas ballast open a pump has a floor of its own, which goes when the ballast
/// is shut; nobody stamps that. Only water seen to freeze tells it from ice.
fn ballast_shut(at_s: f64, known: &PlateauContext<'_>) -> bool {
    let before = |m: &&Mark| m.elapsed_s < at_s;
    let mut marks = known.context.marks.iter().filter(before);
    let open = marks.any(|m| m.kind == MarkKind::BallastOpened);
    open && !known.elsewhere.froze_s.iter().any(|t| *t < at_s)
}

/// A valve was turned at about that moment.
fn turned(at_s: f64, context: &PulldownContext<'_>) -> bool {
    /// How far from the moment a valve may have been stamped, s (common practice, no
    /// source).
    const AROUND_S: f64 = 90.0;
    context.marks.iter().any(|m| {
        let valve = matches!(m.kind, MarkKind::ValveOpened | MarkKind::Throttled);
        valve && (m.elapsed_s - at_s).abs() < AROUND_S
    })
}

/// The part of a level stretch that the pull-down does not go below, here or
/// `elsewhere` later: a floor that is undercut was none.
pub(super) fn kept(
    cells: &[Cell],
    (from, to): (usize, usize),
    elsewhere: f64,
) -> Option<(usize, usize)> {
    /// A floor keeps within this of its end, in ln p, over so many cells at least (common
    /// practice, no source).
    const KEEPS: f64 = 0.12;
    const FEWEST: usize = 5;
    let end = lowest_of(&cells[from..]).min(elsewhere);
    let above = (from..=to).rev().find(|&i| cells[i].y > end + KEEPS);
    let start = above.map_or(from, |i| i + 1);
    if start > to {
        return None;
    }
    (to - start >= FEWEST).then_some((start, to))
}
