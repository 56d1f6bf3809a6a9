//! Stalls: stretches of pull-down that make no progress, and why.
//!
//! Evidence used: slope of ln p, roughness of ln p against the gauge's own
//! noise, level against the saturation pressure of water between freezing and
//! ambient, and what ended the stretch.

use vacuum::water;

use crate::{
    findings::{Stall, StallKind},
    history::Block,
    smooth::{Bin, bins, median},
};

/// Width of a bin, s.
const BIN_S: f64 = 5.0;
/// Bins looked at together.
const WINDOW: usize = 12;
/// Fall of ln p below which there is no progress, per s (half in 15 min).
const STANDS_STILL: f64 = 0.000_8;
/// Fall of ln p below which flow is choked, per s (half in 6 min).
const CRAWLS: f64 = 0.002;
/// Shortest stall, s.
const SHORTEST_S: f64 = 60.0;
/// Shortest choked stretch, s.
const SHORTEST_CHOKED_S: f64 = 480.0;
/// Roughness of ln p from which a plateau counts as hunting.
const ROUGH: f64 = 0.02;

/// Finds the stalls of one pull-down, oldest first.
pub(crate) fn find(blocks: &[Block], target_micron: f64, ambient_c: Option<f64>) -> Vec<Stall> {
    let smooth = bins(blocks, BIN_S, 2);
    if smooth.len() < WINDOW {
        return Vec::new();
    }
    let slopes = slopes(&smooth);
    let rough = roughness(&smooth);
    let quiet = quiet_level(&rough);
    let mut out = Vec::new();
    let mut i = 0;
    while i < smooth.len() {
        let class = class_at(&smooth, &slopes, &rough, quiet, i, target_micron);
        let Some(class) = class else {
            i += 1;
            continue;
        };
        let mut j = i + 1;
        let mut missing = 0;
        let mut last = i;
        while j < smooth.len() && missing <= 4 {
            if class_at(&smooth, &slopes, &rough, quiet, j, target_micron) == Some(class) {
                last = j;
                missing = 0;
            } else {
                missing += 1;
            }
            j += 1;
        }
        let stretch = Stretch { from: i, to: last };
        if let Some(stall) = name(&smooth, &rough, quiet, stretch, class, ambient_c) {
            out.push(stall);
        }
        i = last + 1;
    }
    out
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    Hunting,
    Standing,
    Crawling,
}

#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: usize,
    to: usize,
}

/// Slope of ln p around each bin, per s, by least squares over the window.
fn slopes(smooth: &[Bin]) -> Vec<f64> {
    (0..smooth.len())
        .map(|i| {
            let w = window(smooth, i);
            let n = w.len() as f64;
            let (mt, my) = (
                w.iter().map(|b| b.t).sum::<f64>() / n,
                w.iter().map(|b| b.y).sum::<f64>() / n,
            );
            let (mut ty, mut tt) = (0.0, 0.0);
            for b in w {
                ty += (b.t - mt) * (b.y - my);
                tt += (b.t - mt) * (b.t - mt);
            }
            if tt > 0.0 { ty / tt } else { 0.0 }
        })
        .collect()
}

fn window(smooth: &[Bin], i: usize) -> &[Bin] {
    let from = i.saturating_sub(WINDOW / 2);
    let to = (from + WINDOW).min(smooth.len());
    &smooth[to.saturating_sub(WINDOW)..to]
}

/// Roughness of ln p around each bin: robust deviation of second differences.
fn roughness(smooth: &[Bin]) -> Vec<f64> {
    let second: Vec<f64> = (0..smooth.len())
        .map(|i| {
            if i == 0 || i + 1 == smooth.len() {
                0.0
            } else {
                (smooth[i - 1].y - 2.0 * smooth[i].y + smooth[i + 1].y).abs() / 6.0_f64.sqrt()
            }
        })
        .collect();
    (0..smooth.len())
        .map(|i| {
            let from = i.saturating_sub(WINDOW / 2);
            let to = (from + WINDOW).min(second.len());
            let mut w = second[to.saturating_sub(WINDOW)..to].to_vec();
            1.4826 * median(&mut w)
        })
        .collect()
}

/// Roughness of the quiet parts of this pull-down: what the gauge itself does.
fn quiet_level(rough: &[f64]) -> f64 {
    let mut sorted = rough.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted[sorted.len() / 4].max(1e-4)
}

fn class_at(
    smooth: &[Bin],
    slopes: &[f64],
    rough: &[f64],
    quiet: f64,
    i: usize,
    target_micron: f64,
) -> Option<Class> {
    let p = smooth[i].y.exp();
    // below the target nothing is in the way any more
    if p < 1.05 * target_micron {
        return None;
    }
    let fall = -slopes[i];
    let hunting = rough[i] > (4.0 * quiet).max(ROUGH);
    if hunting && fall < 4.0 * CRAWLS {
        Some(Class::Hunting)
    } else if fall < STANDS_STILL {
        Some(Class::Standing)
    } else if fall < CRAWLS {
        Some(Class::Crawling)
    } else {
        None
    }
}

fn name(
    smooth: &[Bin],
    rough: &[f64],
    quiet: f64,
    stretch: Stretch,
    class: Class,
    ambient_c: Option<f64>,
) -> Option<Stall> {
    let part = &smooth[stretch.from..=stretch.to];
    let (start_s, end_s) = (part[0].t, part[part.len() - 1].t);
    let length = end_s - start_s;
    let level = median(&mut part.iter().map(|b| b.y).collect::<Vec<_>>()).exp();
    let roughness = median(&mut rough[stretch.from..=stretch.to].to_vec()) / quiet;
    let goes_on = stretch.to + 4 >= smooth.len();
    let kind = match class {
        Class::Hunting if length >= 0.75 * SHORTEST_S => StallKind::Foaming,
        Class::Standing if length >= SHORTEST_S => {
            if water_boils(level, ambient_c) {
                StallKind::BoilOff
            } else if goes_on {
                StallKind::Floor
            } else {
                return None;
            }
        }
        Class::Crawling if length >= SHORTEST_CHOKED_S => StallKind::Choked,
        _ => return None,
    };
    Some(Stall {
        kind,
        start_s,
        end_s,
        level_micron: level,
        roughness,
    })
}

/// True between the saturation pressures of water at −3 °C and at ambient.
fn water_boils(level_micron: f64, ambient_c: Option<f64>) -> bool {
    let at = |c: f64| water::saturation_pressure(c).map_or(f64::NAN, vacuum::Pressure::micron);
    let high = at(ambient_c.unwrap_or(25.0).clamp(-50.0, 55.0) + 3.0);
    (at(-3.0)..=high).contains(&level_micron)
}
