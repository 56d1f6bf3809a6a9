//! Plateaus and crawls: boil-off, ice, floor, choked flow.
//!
//! The slope of ln p is taken over [`SLOPE_S`]. A stretch *stands* when it falls
//! more slowly than [`STANDS`]; it counts as a floor below half of that, and it
//! *crawls* when it falls faster than a floor and more slowly than [`CRAWLS`]. The
//! limits are common practice, no source.
//!
//! A plateau of boiling water that is over ends in a knee: sums of exponentials, of
//! power laws and of a constant, which is what pumping and outgassing make, are
//! convex in ln p, so a fall that gets steeper shows that something has ended. While
//! a pool boils it slides from saturation at ambient towards 0 °C, at up to
//! [`SLIDES`]. A level between the triple point and ambient that still stands at the
//! end of the record is called boil-off too: whether it is a pool or a floor at that
//! level the pressure alone does not tell. Below the triple point it is ice where
//! [`ice`] says why, else a floor. A stretch is cut where it passes the triple point,
//! and where heat or nitrogen came. A floor is never undercut: what the same
//! pull-down later goes below was none.

use findings::StallKind;
use statistics::exponential_decay;
use vacuum::water;

use super::{
    context::{END_S, NamedStretch, PulldownContext, held_up_above},
    fall::{falls, lasts, level, slope},
    gauge::Cell,
    ice::{self, IceEvidence, PlateauContext, RestOfRecord},
};

/// Length over which a slope is taken, s (common practice, no source).
const SLOPE_S: f64 = 60.0;
/// Fall of ln p below which there is no progress, per s (half in 15 min) (common practice,
/// no source).
const STANDS: f64 = 0.000_8;
/// Fall of ln p below which a level counts as a floor, per s (common practice, no source).
const FLOOR: f64 = 0.000_4;
/// Fall of ln p up to which boiling water may slide as it cools itself, per s (common
/// practice, no source).
const SLIDES: f64 = 0.008;
/// The fall after a knee, per s, and how much steeper it is than before (common practice,
/// no source).
const LEAST_KNEE: f64 = 0.008;
const STEEPER: f64 = 2.0;
/// Fall of ln p above which a pump is at work, per s (common practice, no source).
const CRAWLS: f64 = 0.01;
/// Shortest boil-off, floor at the end, floor in between, choked stretch, s (common
/// practice, no source).
const SHORTEST_S: [f64; 4] = [60.0, 120.0, 240.0, 300.0];
/// Interruptions bridged, s (common practice, no source).
const BRIDGE_S: f64 = 20.0;

/// Ambient that is assumed for the highest pressure at which water may boil, °C, and how
/// much warmer than said it may be, K (common practice, no source).
const WARM_ROOM_C: f64 = 25.0;
const WARMER_K: f64 = 3.0;
/// How long after a stretch the fall may pick up, s (common practice, no source).
const PICKS_UP_WITHIN_S: f64 = 120.0;
/// A crawl is straight when its last third falls at this share of the pace of its first at
/// least (common practice, no source).
const STRAIGHT: f64 = 0.8;
/// How far above the lowest so far a level may lie, in ln p, before something was let in
/// (common practice, no source).
const LET_IN: f64 = 0.5;

/// Finds plateaus of one unbroken part of a pull-down that ends at `end_s`.
pub(super) fn find(
    cells: &[Cell],
    end_s: f64,
    context: &PulldownContext<'_>,
    elsewhere: RestOfRecord<'_>,
) -> Vec<NamedStretch> {
    let falls = falls(cells, SLOPE_S);
    let open = in_the_way(cells, context);
    let known = PlateauContext {
        context,
        elsewhere,
        falls: &falls,
    };
    let mut found = PlateauSearch {
        cells,
        end_s,
        open: &open,
        known: &known,
        out: Vec::new(),
    };
    found.boiling();
    found.ice();
    found.floors();
    found.choked();
    found.out
}

/// Plateaus of one part, as they are found.
struct PlateauSearch<'a> {
    cells: &'a [Cell],
    end_s: f64,
    open: &'a [bool],
    known: &'a PlateauContext<'a>,
    out: Vec<NamedStretch>,
}

impl PlateauSearch<'_> {
    fn stretches(&self, slowest: f64, fastest: f64) -> Vec<(usize, usize)> {
        let falls = self.known.falls;
        let holds = |i: usize| self.open[i] && (slowest..fastest).contains(&falls[i]);
        stretches(self.cells, holds)
    }

    fn parts(&self, fastest: f64) -> Vec<((usize, usize), (usize, usize))> {
        let mut out = Vec::new();
        for whole in self.stretches(f64::NEG_INFINITY, fastest) {
            let parts = ice::parts(self.cells, whole, self.known.context);
            let long = |ends: &(usize, usize)| lasts(self.cells, *ends) >= SHORTEST_S[0];
            out.extend(parts.into_iter().filter(long).map(|part| (whole, part)));
        }
        out
    }

    fn add(&mut self, kind: StallKind, (from, to): (usize, usize), ends_at_micron: Option<f64>) {
        let apart = |o: &NamedStretch| o.to < from || to < o.from;
        if self.out.iter().all(apart) {
            self.out.push(NamedStretch {
                kind,
                from,
                to,
                ends_at_micron,
            });
        }
    }

    fn is_over(&self, ends: (usize, usize)) -> bool {
        self.end_s - self.cells[ends.1].t > END_S
    }

    /// Boiling that stands, and boiling that slides until it ends in a knee or freezes.
    fn boiling(&mut self) {
        let (cells, falls, context) = (self.cells, self.known.falls, self.known.context);
        for (whole, part) in self.parts(STANDS) {
            let over = self.is_over(part) && part.1 == whole.1;
            if in_range(cells, part, context) && !(over && peters_out(cells, falls, part)) {
                self.add(StallKind::BoilOff, part, None);
            }
        }
        for (whole, part) in self.parts(SLIDES) {
            let freezes = cells[part.1].t - SLOPE_S..cells[whole.1].t + SLOPE_S;
            let froze = self
                .known
                .elsewhere
                .froze_s
                .iter()
                .any(|t| freezes.contains(t));
            let ends = froze || speeds_up(cells, falls, whole);
            if in_range(cells, part, context) && ends {
                self.add(StallKind::BoilOff, part, None);
            }
        }
    }

    fn ice(&mut self) {
        let mut since_s = f64::NEG_INFINITY;
        for (_, part) in self.parts(ice::SLIDES) {
            if level(&self.cells[part.0..=part.1]).ln() >= ice::triple() {
                continue;
            }
            let why = ice::evidence_of_ice(self.cells, part, since_s, self.known);
            // what follows a shelf that gave way is what froze there
            if why == Some(IceEvidence::GaveWay) && !ice::is_shelf(self.cells, part) {
                since_s = self.cells[part.1].t;
            }
            if why.is_some() {
                // what slides above the triple point was cut at its own length
                let boiled = self.out.iter().filter(|o| o.to < part.1).map(|o| o.to + 1);
                let from = boiled.fold(part.0, usize::max);
                self.add(StallKind::Ice, (from, part.1), None);
            }
        }
    }

    fn floors(&mut self) {
        let cells = self.cells;
        for whole in self.stretches(f64::NEG_INFINITY, FLOOR) {
            let Some(ends) = ice::kept(cells, whole, self.known.elsewhere.lowest) else {
                continue;
            };
            let least = SHORTEST_S[if self.is_over(ends) { 2 } else { 1 }];
            let part = &cells[ends.0..=ends.1];
            if lasts(cells, ends) >= least && -slope(part) < FLOOR {
                let ends_at = ends_at(part);
                self.add(StallKind::Floor, ends, Some(ends_at));
            }
        }
    }

    /// A crawl straight after a plateau of water is the end of it.
    fn choked(&mut self) {
        let cells = self.cells;
        for ends in self.stretches(FLOOR, CRAWLS) {
            let Some(ends) = choked(cells, ends, self.known.context.one_side) else {
                continue;
            };
            let after_water = self.out.iter().any(|o| {
                let water = matches!(o.kind, StallKind::BoilOff | StallKind::Ice);
                let rest_s = cells[ends.0].t - cells[o.to].t;
                water && (0.0..SLOPE_S).contains(&rest_s)
            });
            if !after_water {
                self.add(StallKind::Choked, ends, None);
            }
        }
    }
}

/// Below the target nothing is in the way any more; far above the lowest so far
/// something was let in. After heat ice may stand higher than before, and after a
/// break with nitrogen the pull-down begins again.
fn in_the_way(cells: &[Cell], context: &PulldownContext<'_>) -> Vec<bool> {
    let target = held_up_above(context.target_micron);
    let mut lowest = f64::INFINITY;
    let mut highest: Option<f64> = None;
    let mut helped = context
        .marks
        .iter()
        .filter(|m| ice::helps(m.kind))
        .map(|m| m.elapsed_s)
        .peekable();
    cells
        .iter()
        .map(|c| {
            while helped.next_if(|at_s| *at_s < c.t).is_some() {
                highest = Some(f64::NEG_INFINITY);
            }
            // what counts is how far it fell from where heat or nitrogen lifted it
            if highest.is_some_and(|high| c.y > high) {
                highest = Some(c.y);
                lowest = c.y;
            }
            lowest = lowest.min(c.y);
            c.y > target && c.y < lowest + LET_IN
        })
        .collect()
}

fn stretches(cells: &[Cell], holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for i in (0..cells.len()).filter(|i| holds(*i)) {
        match out.last_mut() {
            Some(run) if cells[i].t - cells[run.1].t <= BRIDGE_S => run.1 = i,
            _ => out.push((i, i)),
        }
    }
    out
}

/// True between the triple point of water and a little above saturation at ambient.
fn in_range(cells: &[Cell], (from, to): (usize, usize), context: &PulldownContext<'_>) -> bool {
    let at = |c: f64| water::saturation_pressure(c).map_or(f64::NAN, vacuum::Pressure::micron);
    let high = at(context.ambient_c.unwrap_or(WARM_ROOM_C).clamp(-50.0, 55.0) + WARMER_K);
    let level = level(&cells[from..=to]);
    level.ln() >= ice::triple() && level <= high
}

/// True when the fall after the stretch is more than twice as fast as in it and goes on
/// below it: what held the pressure up is gone. After a valve was shut
/// for a moment the curve comes back to where it was.
fn speeds_up(cells: &[Cell], falls: &[f64], (from, to): (usize, usize)) -> bool {
    /// How far the fall goes on below, in ln p, and within which time, s (common practice,
    /// no source).
    const BELOW: f64 = 0.25;
    const WITHIN_S: f64 = 180.0;
    let lowest = |part: &[Cell]| part.iter().map(|c| c.y).fold(f64::INFINITY, f64::min);
    let until = |s: f64| cells.partition_point(|c| c.t < cells[to].t + s);
    let fastest = falls[to..until(SLOPE_S)]
        .iter()
        .copied()
        .fold(0.0, f64::max);
    fastest > (-STEEPER * slope(&cells[from..=to])).max(LEAST_KNEE)
        && lowest(&cells[to..until(WITHIN_S)]) < lowest(&cells[from..=to]) - BELOW
}

/// True when the fall never picks up after the stretch: a tail levelling off, or
/// one step of a coarse gauge.
fn peters_out(cells: &[Cell], falls: &[f64], (from, to): (usize, usize)) -> bool {
    /// Fall of ln p from which it picks up, per s (common practice, no source).
    const PICKS_UP: f64 = 0.002;
    let until = cells.partition_point(|c| c.t < cells[to].t + PICKS_UP_WITHIN_S);
    let fastest = falls[to..until].iter().copied().fold(0.0, f64::max);
    fastest < (-STEEPER * slope(&cells[from..=to])).max(PICKS_UP)
}

/// Plateaus that end in a knee.
pub(super) fn knees(cells: &[Cell], context: &PulldownContext<'_>) -> Vec<(usize, usize)> {
    let falls = falls(cells, SLOPE_S);
    let open = in_the_way(cells, context);
    let holds = |i: usize| open[i] && falls[i] < SLIDES;
    let mut out = stretches(cells, holds);
    out.retain(|ends| lasts(cells, *ends) >= SHORTEST_S[0] && speeds_up(cells, &falls, *ends));
    out
}

/// Where a floor ends: the asymptote of an exponential tail where the stretch
/// carries one, else its last level, micron.
fn ends_at(part: &[Cell]) -> f64 {
    let (t, p): (Vec<f64>, Vec<f64>) = part.iter().map(|c| (c.t - part[0].t, c.y.exp())).unzip();
    let last = level(&part[part.len() * 3 / 4..]);
    match exponential_decay::fit(&t, &p) {
        Some(fit) if fit.amplitude > 0.0 && fit.tau < t[t.len() - 1] => {
            fit.floor.clamp(0.5 * last, last)
        }
        _ => last,
    }
}

/// The choked part of a crawl: straight in ln p. Its start may still bend, and its
/// end where it comes near a floor; either may be cut away.
fn choked(cells: &[Cell], (from, to): (usize, usize), one_side: bool) -> Option<(usize, usize)> {
    if one_side && lasts(cells, (from, to)) >= SHORTEST_S[3] / 2.0 {
        return Some((from, to));
    }
    let length = to - from;
    let starts = [0, length / 4, length / 2].map(|skip| (from + skip, to));
    let ends = [0, length / 4].map(|skip| (from + skip, to - length / 4));
    starts.into_iter().chain(ends).find(|&ends| {
        let part = &cells[ends.0..=ends.1];
        let fallen = part[0].y - part[part.len() - 1].y;
        lasts(cells, ends) >= SHORTEST_S[3] && fallen > 0.5 && straight(part)
    })
}

/// True when ln p falls nearly as fast at the end as at the start.
fn straight(part: &[Cell]) -> bool {
    let third = part.len() / 3;
    third >= 4 && slope(&part[part.len() - third..]) < STRAIGHT * slope(&part[..third])
}
