//! Stalls: stretches of pull-down that make no progress, and why.
//!
//! Evidence used: slope of ln p, hunting of ln p about a local parabola against
//! the gauge's own noise and step, level against the saturation pressure of water
//! between just below freezing and ambient, and what ended the stretch.

mod gauge;
mod hunting;

use vacuum::water;

use crate::{
    findings::{Stall, StallKind},
    history::Block,
    linear::least_squares,
    noise::gauge_noise,
    smooth::{Bin, bins, median},
};

/// Width of a bin, s.
const BIN_S: f64 = 5.0;
/// Bins looked at together (about a minute and a half).
const WINDOW: usize = 18;
/// A pause this long ends a stretch, s.
const PAUSE_S: f64 = 60.0;
/// Fall of ln p below which there is no progress, per s (half in 15 min).
const STANDS_STILL: f64 = 0.000_8;
/// Fall of ln p below which flow may be choked, per s (half in 3 min).
const CRAWLS: f64 = 0.003_5;
/// Fall of ln p above which nothing is stalled, hunting or not, per s.
const RUNS: f64 = 0.008;
/// Shortest stall, s.
const SHORTEST_S: f64 = 60.0;
/// Shortest choked stretch, s.
const SHORTEST_CHOKED_S: f64 = 300.0;
/// Hunting of ln p from which a plateau counts as rough.
const ROUGH: f64 = 0.012;
/// Hunting may rest this long without ending the stall, s.
const REST_S: f64 = 75.0;

/// Finds the stalls of one pull-down, oldest first.
pub(crate) fn find(all: &[Block], blocks: &[Block], target_micron: f64, ambient_c: Option<f64>) -> Vec<Stall> {
    let mut out = Vec::new();
    let parts = gauge::cells(all);
    let own = gauge::WINDOWS_S.map(|w| gauge::GaugeRoughness::learn(&parts, w));
    let mut from = 0;
    for i in 1..=blocks.len() {
        let ends = i == blocks.len() || blocks[i].first_s - blocks[i - 1].last_s > PAUSE_S;
        if ends {
            let last = i == blocks.len();
            out.extend(find_in(&own, &blocks[from..i], target_micron, ambient_c, last));
            from = i;
        }
    }
    out
}

fn find_in(own: &[gauge::GaugeRoughness; 2], blocks: &[Block], target_micron: f64, ambient_c: Option<f64>, last: bool) -> Vec<Stall> {
    let smooth = bins(blocks, BIN_S, 1);
    if smooth.len() < WINDOW {
        return Vec::new();
    }
    let looks = looks(&smooth, gauge_noise(blocks).step_micron.unwrap_or(0.0));
    let progress = lowest_so_far(&smooth);
    let class: Vec<Option<Class>> = (0..smooth.len())
        .map(|i| {
            // below the target nothing is in the way any more; far above the lowest
            // so far something was let in
            let p = smooth[i].y.exp();
            let stalled = p > 1.05 * target_micron && smooth[i].y < progress[i] + 0.5;
            stalled.then(|| looks[i].class()).flatten()
        })
        .collect();
    let mut out: Vec<Stall> = Vec::new();
    for cells in gauge::cells(blocks) {
        for h in hunting::find(&cells, target_micron, own) {
            let part = &cells[h.from..=h.to];
            let level = median(&mut part.iter().map(|b| b.y).collect::<Vec<_>>()).exp();
            out.push(Stall { kind: StallKind::Foaming, start_s: part[0].t, end_s: part[part.len() - 1].t, level_micron: level, roughness: h.ratio });
        }
    }
    for kind in [Class::Standing, Class::Crawling] {
        let rest = if kind == Class::Hunting {
            REST_S
        } else {
            4.0 * BIN_S
        };
        for stretch in stretches(&smooth, &class, kind, rest) {
            let goes_on = last && stretch.to + 4 >= smooth.len();
            let stall = name(&smooth, &looks, stretch, kind, ambient_c, goes_on);
            let taken = |s: &Stall| {
                out.iter().any(|o| {
                    s.start_s < o.end_s + REST_S
                        && o.start_s < s.end_s + REST_S
                        && o.kind == StallKind::Foaming
                })
            };
            if let Some(stall) = stall.filter(|s| !taken(s)) {
                out.push(stall);
            }
        }
    }
    out.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    out
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    Hunting,
    Standing,
    Crawling,
}

/// What the window around one bin looks like.
#[derive(Debug, Clone, Copy)]
struct Look {
    /// Fall of ln p, per s.
    fall: f64,
    /// Deviation from a local parabola, in ln p.
    hunting: f64,
    /// What the gauge itself would show, in ln p.
    gauge: f64,
    /// Times the deviation changes sign.
    crossings: usize,
}

impl Look {
    fn class(&self) -> Option<Class> {
        let rough = false;
        if rough && self.fall < RUNS {
            Some(Class::Hunting)
        } else if self.fall < STANDS_STILL {
            Some(Class::Standing)
        } else if self.fall < CRAWLS {
            Some(Class::Crawling)
        } else {
            None
        }
    }
}

fn looks(smooth: &[Bin], step_micron: f64) -> Vec<Look> {
    let around: Vec<Look> = (0..smooth.len()).map(|i| look(window(smooth, i))).collect();
    // hunting must show before and after: the knee of a fall is rough on one side only
    let mut out: Vec<Look> = (0..smooth.len())
        .map(|i| {
            let calmest = [
                i.saturating_sub(WINDOW / 2),
                i,
                (i + WINDOW / 2).min(smooth.len() - 1),
            ]
            .into_iter()
            .map(|j| &around[j])
            .min_by(|a, b| a.hunting.total_cmp(&b.hunting))
            .unwrap_or(&around[i]);
            Look {
                hunting: calmest.hunting,
                crossings: calmest.crossings,
                ..around[i]
            }
        })
        .collect();
    // the quiet tenth of this pull-down is what the gauge does by itself
    let mut calm: Vec<f64> = out.iter().map(|l| l.hunting).collect();
    calm.sort_unstable_by(f64::total_cmp);
    let quiet = calm[calm.len() / 10];
    for (look, bin) in out.iter_mut().zip(smooth) {
        look.gauge = quiet.max(step_micron / bin.y.exp() / 3.0).max(1e-4);
    }
    out
}

fn window(smooth: &[Bin], i: usize) -> &[Bin] {
    let from = i.saturating_sub(WINDOW / 2);
    let to = (from + WINDOW).min(smooth.len());
    &smooth[to.saturating_sub(WINDOW)..to]
}

fn look(w: &[Bin]) -> Look {
    let middle = 0.5 * (w[0].t + w[w.len() - 1].t);
    let half = (0.5 * (w[w.len() - 1].t - w[0].t)).max(1e-3);
    let u: Vec<f64> = w.iter().map(|b| (b.t - middle) / half).collect();
    let y: Vec<f64> = w.iter().map(|b| b.y).collect();
    let squares = u.iter().map(|u| u * u).collect();
    let nothing = Look {
        fall: 0.0,
        hunting: 0.0,
        gauge: 0.0,
        crossings: 0,
    };
    let Some(fit) = least_squares(&[vec![1.0; u.len()], u.clone(), squares], &y) else {
        return nothing;
    };
    let c = &fit.coefficients;
    let residuals: Vec<f64> = u
        .iter()
        .zip(&y)
        .map(|(u, y)| y - c[0] - c[1] * u - c[2] * u * u)
        .collect();
    let crossings = residuals.windows(2).filter(|r| r[0] * r[1] < 0.0).count();
    let mut size: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
    Look {
        fall: -c[1] / half,
        hunting: 1.4826 * median(&mut size),
        gauge: 0.0,
        crossings,
    }
}

fn lowest_so_far(smooth: &[Bin]) -> Vec<f64> {
    let mut low = f64::INFINITY;
    smooth
        .iter()
        .map(|b| {
            low = low.min(b.y);
            low
        })
        .collect()
}

#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: usize,
    to: usize,
}

/// Runs of one class, bridging rests of up to `rest_s`.
fn stretches(smooth: &[Bin], class: &[Option<Class>], kind: Class, rest_s: f64) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = Vec::new();
    for i in (0..class.len()).filter(|i| class[*i] == Some(kind)) {
        match out.last_mut() {
            Some(run) if smooth[i].t - smooth[run.to].t <= rest_s => run.to = i,
            _ => out.push(Stretch { from: i, to: i }),
        }
    }
    out
}

fn name(
    smooth: &[Bin],
    looks: &[Look],
    stretch: Stretch,
    class: Class,
    ambient_c: Option<f64>,
    goes_on: bool,
) -> Option<Stall> {
    let part = &smooth[stretch.from..=stretch.to];
    let (start_s, end_s) = (part[0].t, part[part.len() - 1].t);
    let length = end_s - start_s;
    let level = median(&mut part.iter().map(|b| b.y).collect::<Vec<_>>()).exp();
    let mut ratios: Vec<f64> = looks[stretch.from..=stretch.to]
        .iter()
        .map(|l| l.hunting / l.gauge)
        .collect();
    let kind = match class {
        Class::Hunting if length >= SHORTEST_S => StallKind::Foaming,
        Class::Standing if length >= SHORTEST_S => {
            if water_boils(level, ambient_c) {
                StallKind::BoilOff
            } else if goes_on {
                StallKind::Floor
            } else {
                return None;
            }
        }
        Class::Crawling if length >= SHORTEST_CHOKED_S && steady(part) => StallKind::Choked,
        _ => return None,
    };
    Some(Stall {
        kind,
        start_s,
        end_s,
        level_micron: level,
        roughness: median(&mut ratios),
    })
}

/// True when ln p falls as fast at the end of the stretch as at its start.
fn steady(part: &[Bin]) -> bool {
    let third = part.len() / 3;
    let slope = |p: &[Bin]| (p[0].y - p[p.len() - 1].y) / (p[p.len() - 1].t - p[0].t).max(1e-3);
    third >= 4 && slope(&part[part.len() - third..]) > 0.75 * slope(&part[..third])
}

/// True between the saturation pressures of water at −5 °C (a boiling pool cools
/// itself and may freeze) and a little above ambient.
fn water_boils(level_micron: f64, ambient_c: Option<f64>) -> bool {
    let at = |c: f64| water::saturation_pressure(c).map_or(f64::NAN, vacuum::Pressure::micron);
    let high = at(ambient_c.unwrap_or(25.0).clamp(-50.0, 55.0) + 3.0);
    (at(-5.0)..=high).contains(&level_micron)
}
