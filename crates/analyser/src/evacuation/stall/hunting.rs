//! Foaming: a pressure that goes up again and again under a working pump.
//!
//! A pump only takes gas out: the pressure of a pull-down falls, however slowly.
//! A shut valve, the gas ballast, a nitrogen break or the hand-over between two
//! sensors of a gauge lift it once; a knee does not lift it at all. Oil that foams
//! gives gas back in gulps, so the pressure hunts: it turns upwards many times.
//! The evidence asked for is therefore
//!
//! * at least three rises of ln p, no more than 90 s apart, or four, no more than
//!   150 s apart, each of at least 4 standard deviations of what the gauge does by
//!   itself at that level (see `gauge`), of 1.5 of its steps and of 1.2 %, and alike
//!   in size: a valve shut for a moment makes one large rise among those of the noise;
//! * a variance of ln p about parabolas in that stretch that gauge noise reaches
//!   with a chance of 1 in 100,000 (F test, see `gauge`) and three times the gauge's,
//!   which is known to a third at best, and a roughness of 1 %.
//!
//! A plateau that ends in a knee has been held up by something that is gone: there
//! two rises and the same roughness are enough ([`restless`]); without roughness it
//! is boiling water or nothing. Below the target nobody is held up: four rises and
//! twice the roughness of the gauge are asked for. The numbers are common practice,
//! no source.
//!
//! Not found: hunting slower than about 100 s a turn on a gauge of two digits, and
//! fewer than two turns.

use statistics::robust::{median, median_of};

use super::context::held_up_above;
use super::gauge::{Cell, FEWEST, GaugeRoughness, WINDOWS_S, roughness_in, window};

/// Fewest rises, and the longest rest between two of them, s: the slower the hunting, the
/// more of it is asked for (common practice, no source).
const PATTERNS: [(usize, f64); 2] = [(3, 90.0), (4, 150.0)];
/// Above this no oil foams for long: it is the first rush, or a break, micron (common
/// practice, no source).
const HIGHEST_MICRON: f64 = 60_000.0;
/// Pressure from which foaming is looked for, as a share of the target: oil foams below it
/// as well, where it holds nobody up; far below, the absolute noise of gauges rules (common
/// practice, no source).
const LOWEST: f64 = 0.3;
/// Fewest rises below the target, and least roughness over the gauge's: valves are worked
/// there as well, and nothing is lost by silence (common practice, no source).
const FEWEST_BELOW: usize = 4;
const ROUGH_BELOW: f64 = 2.0;
/// Rises of hunting are no smaller than this share of the largest beside them (common
/// practice, no source).
const ALIKE: f64 = 0.25;
/// Smallest rise of ln p (common practice, no source).
const LEAST_RISE: f64 = 0.012;
/// The same in standard deviations of the gauge (common practice, no source).
const RISE_SDS: f64 = 4.0;
/// Longest rise, s, or four cells: a plateau that leaves its minorant is no gulp (common
/// practice, no source).
const LONGEST_RISE_S: f64 = 90.0;
/// Smallest roughness of ln p (common practice, no source).
const LEAST_ROUGH: f64 = 0.01;
/// Smallest excess of variance, for the gauge's own is known to a third at best (common
/// practice, no source).
const LEAST_RATIO: f64 = 3.0;
/// Excess of variance that must show in the short windows as well (common practice, no
/// source).
const VISIBLE: f64 = 2.5;
/// Shortest stretch, s (common practice, no source).
const SHORTEST_S: f64 = 40.0;

/// A hunting stretch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hunting {
    /// First cell.
    pub(super) from: usize,
    /// Last cell.
    pub(super) to: usize,
    /// Roughness of ln p over that of the gauge.
    pub(super) ratio: f64,
}

/// Finds the hunting stretches of one unbroken part of pull-down; `gauges` as in
/// [`WINDOWS_S`].
pub(super) fn find(
    cells: &[Cell],
    target_micron: f64,
    gauges: &[GaugeRoughness; 2],
) -> Vec<Hunting> {
    let lowest = (LOWEST * target_micron).ln();
    let level: Vec<f64> = cells.iter().map(|c| c.y).collect();
    let mut out: Vec<Hunting> = Vec::new();
    for curve in [level, above_hull(cells)] {
        let rises = rises(cells, &curve, gauges);
        let above: Vec<(usize, usize)> = rises
            .into_iter()
            .filter(|&(low, high)| {
                // in a fast fall a bend is no gulp: the pressure itself must at
                // least hang
                let hangs = cells[high].y - cells[low].y > -0.5 * (curve[high] - curve[low]);
                hangs && (lowest..HIGHEST_MICRON.ln()).contains(&cells[low].y)
            })
            .collect();
        for (from, to, count) in PATTERNS
            .iter()
            .flat_map(|p| clusters(cells, &curve, &above, *p))
        {
            let Some(ratio) = rough(cells, from, to, gauges) else {
                continue;
            };
            let below =
                median_of(cells[from..=to].iter().map(|c| c.y)) < held_up_above(target_micron);
            if below && (count < FEWEST_BELOW || ratio < ROUGH_BELOW) {
                continue;
            }
            if cells[to].t - cells[from].t >= SHORTEST_S {
                join(&mut out, Hunting { from, to, ratio });
            }
        }
    }
    out.sort_by_key(|h| h.from);
    out
}

/// Ratio of roughness where a plateau that ends in a knee is not smooth: with the
/// knee two rises are enough.
pub(super) fn restless(
    cells: &[Cell],
    (from, to): (usize, usize),
    gauges: &[GaugeRoughness; 2],
) -> Option<f64> {
    let part = &cells[from..=to];
    let level: Vec<f64> = part.iter().map(|c| c.y).collect();
    let fewest = [level, above_hull(part)]
        .iter()
        .map(|curve| rises(part, curve, gauges).len())
        .max()?;
    rough(cells, from, to, gauges).filter(|_| fewest >= 2)
}

/// Adds a stretch, or widens those it overlaps.
fn join(out: &mut Vec<Hunting>, mut new: Hunting) {
    out.retain(|old| {
        let apart = old.to < new.from || new.to < old.from;
        if !apart {
            new.from = new.from.min(old.from);
            new.to = new.to.max(old.to);
            new.ratio = new.ratio.max(old.ratio);
        }
        apart
    });
    out.push(new);
}

/// ln p above its greatest convex minorant. A fall that slows down is its own
/// minorant; hunting stands above it, on a slope as on a plateau.
fn above_hull(cells: &[Cell]) -> Vec<f64> {
    let mut hull: Vec<usize> = Vec::new();
    for (i, c) in cells.iter().enumerate() {
        while let [.., a, b] = hull[..] {
            let (a, b) = (&cells[a], &cells[b]);
            if (b.y - a.y) * (c.t - a.t) >= (c.y - a.y) * (b.t - a.t) {
                hull.pop();
            } else {
                break;
            }
        }
        hull.push(i);
    }
    let mut out = vec![0.0; cells.len()];
    for ends in hull.windows(2) {
        let (a, b) = (&cells[ends[0]], &cells[ends[1]]);
        let slope = (b.y - a.y) / (b.t - a.t).max(1e-9);
        for i in ends[0]..=ends[1] {
            out[i] = cells[i].y - a.y - slope * (cells[i].t - a.t);
        }
    }
    out
}

/// Rises that the gauge alone would not show: first and last cell of each.
fn rises(cells: &[Cell], above: &[f64], gauges: &[GaugeRoughness; 2]) -> Vec<(usize, usize)> {
    let least = |i: usize| {
        let c = &cells[i];
        (RISE_SDS * gauges[0].variance(c.y).sqrt())
            .max(1.5 * c.step)
            .max(LEAST_RISE)
    };
    let mut out = Vec::new();
    let (mut low, mut high) = (0, 0);
    let mut rising = false;
    for i in 1..cells.len() {
        if rising {
            if above[i] > above[high] {
                high = i;
            } else if above[i] < above[high] - least(i) {
                out.push((low, high));
                rising = false;
                low = i;
            }
        } else if above[i] < above[low] {
            low = i;
        } else if above[i] > above[low] + least(i) {
            rising = true;
            high = i;
        }
    }
    if rising {
        out.push((low, high));
    }
    let longest = |low: usize, high: usize| {
        LONGEST_RISE_S.max(4.0 * (cells[high].t - cells[low].t) / (high - low).max(1) as f64)
    };
    out.retain(|&(low, high)| cells[high].t - cells[low].t <= longest(low, high));
    out
}

/// Rises close to each other: first and last cell, and how many are alike. A valve
/// shut for a moment makes one large rise, to which those of the noise beside it do
/// not compare.
fn clusters(
    cells: &[Cell],
    curve: &[f64],
    rises: &[(usize, usize)],
    (fewest, rest_s): (usize, f64),
) -> Vec<(usize, usize, usize)> {
    rises
        .chunk_by(|a, b| cells[b.0].t - cells[a.1].t <= rest_s)
        .filter_map(|run| {
            let (from, to) = (run.first()?.0, run.last()?.1);
            let height = |r: &(usize, usize)| curve[r.1] - curve[r.0];
            // foam that begins may lift the pressure manyfold before it hunts
            let heights: Vec<f64> = run.iter().map(height).collect();
            let like = |largest: &f64| {
                let range = ALIKE * largest..=*largest;
                heights.iter().filter(|h| range.contains(h)).count()
            };
            let alike = heights.iter().map(like).max()?;
            (alike >= fewest).then_some((from, to, alike))
        })
        .collect()
}

/// Ratio of roughness where it is beyond the gauge's in windows of one of the
/// lengths, and at least visible in the short ones: a single hump fills every long
/// window around it.
fn rough(cells: &[Cell], from: usize, to: usize, gauges: &[GaugeRoughness; 2]) -> Option<f64> {
    // nothing from outside: the knee before a plateau is rough in its own way
    let from = from.min((to + 1).saturating_sub(FEWEST));
    let part = &cells[from..=to];
    let [short, long] = [0, 1].map(|i| excess(part, WINDOWS_S[i], &gauges[i]));
    let (short, long) = (short?, long?);
    let beyond = |e: &Excess| e.ratio > e.needed && e.rough > LEAST_ROUGH;
    let visible = short.ratio > VISIBLE;
    (visible && (beyond(&short) || beyond(&long))).then(|| short.ratio.max(long.ratio).sqrt())
}

/// Roughness of a stretch in windows of one length, medians.
struct Excess {
    /// Variance over the gauge's.
    ratio: f64,
    /// What gauge noise does not reach.
    needed: f64,
    /// Roughness of ln p.
    rough: f64,
}

fn excess(part: &[Cell], length_s: f64, gauge: &GaugeRoughness) -> Option<Excess> {
    let (mut ratios, mut variances) = (Vec::new(), Vec::new());
    let mut cells = 0;
    for i in (0..part.len()).step_by(2) {
        let seen = roughness_in(window(part, i, length_s))?;
        ratios.push(seen.variance / (gauge.variance(seen.y) + seen.rounding));
        variances.push(seen.variance);
        cells = seen.n;
    }
    // the windows together have the freedom of the whole stretch
    let windows = part.len() as f64 / cells.max(1) as f64;
    Some(Excess {
        ratio: median(&mut ratios),
        needed: gauge.critical_ratio(cells, windows).max(LEAST_RATIO),
        rough: median(&mut variances).sqrt(),
    })
}
