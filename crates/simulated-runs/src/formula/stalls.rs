//! Stalls of a run of formulas.

use super::scene::Scene;
use rehearsal::{ExpectedStall, TrueStall};

/// Half of the window over which slopes are taken, s.
const HALF_S: f64 = 20.0;
/// d ln p/dt below which nothing moves, 1/s.
const FLAT: f64 = 1.0 / 3000.0;
/// The same below which one may say so.
const CREEPS: f64 = 1.0 / 1200.0;

/// Every stall, in order.
pub(super) fn find(scene: &Scene, target_micron: f64) -> Vec<TrueStall> {
    let mut out: Vec<TrueStall> = scene
        .pulldown
        .stalls
        .iter()
        .map(|(stall, rough)| judged(scene, *stall, *rough, target_micron))
        .collect();
    out.extend(floors(scene, target_micron));
    out.extend(choked(scene, target_micron));
    out.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    out
}

/// Hunting that the gauge's lag or noise hides need not be found, nor what
/// happens above its range or below the target.
fn judged(scene: &Scene, mut stall: TrueStall, rough: f64, target_micron: f64) -> TrueStall {
    let gauge = &scene.gauge;
    stall.level_micron = gauge.shows(stall.level_micron);
    // below the target nobody is held up
    let counts = 1.05 * target_micron..0.9 * gauge.top_micron;
    stall.certain &= counts.contains(&stall.level_micron);
    if stall.kind == ExpectedStall::Foaming {
        let shown = shown_roughness(scene, &stall);
        let noise = gauge.noise_at(stall.level_micron) / stall.level_micron;
        stall.certain &= shown > 2.0 * noise && shown > 0.4 * rough && shown > 0.03;
    }
    stall
}

/// Standard deviation of the logarithm after the gauge's lag.
fn shown_roughness(scene: &Scene, stall: &TrueStall) -> f64 {
    let gauge = &scene.gauge;
    let keep = (-0.5 / gauge.lag_s.max(0.01)).exp();
    let (mut felt, mut t) = (stall.level_micron, stall.start_s + 10.0);
    let (mut sum, mut squares, mut n) = (0.0, 0.0, 0.0);
    while t < stall.end_s {
        let p = scene.pulldown.track.at(t);
        felt = p + (felt - p) * keep;
        let log = felt.max(1.0).ln();
        sum += log;
        squares += log * log;
        n += 1.0;
        t += 0.5;
    }
    if n < 2.0 {
        return 0.0;
    }
    (squares / n - (sum / n).powi(2)).max(0.0).sqrt()
}

/// Stretches under the pump in which next to nothing moves.
fn floors(scene: &Scene, target_micron: f64) -> Vec<TrueStall> {
    let track = &scene.pulldown.track;
    let slow = |t: f64| track.pumps(t) && slope(scene, t).abs() < CREEPS;
    let log = |t: f64| track.at(t).max(0.1).ln();
    stretches(scene, slow)
        .into_iter()
        .filter(|(a, b)| b - a >= 120.0)
        .map(|(start_s, end_s)| {
            let level_micron = scene.gauge.shows(track.at(0.5 * (start_s + end_s)));
            let flat = (log(end_s) - log(start_s)).abs() < FLAT * (end_s - start_s);
            let lasts = end_s - start_s >= 240.0;
            TrueStall {
                kind: ExpectedStall::Floor,
                also: None,
                start_s,
                end_s,
                level_micron,
                certain: flat && lasts && level_micron >= 1.05 * target_micron,
            }
        })
        .collect()
}

/// A slow exponential: as drawn, certain; elsewhere one that looks the same.
fn choked(scene: &Scene, target_micron: f64) -> Vec<TrueStall> {
    let track = &scene.pulldown.track;
    let slow = |t: f64| {
        let s = slope(scene, t);
        let slow = s < -FLAT && s > -1.0 / 90.0 && track.at(t) > 0.7 * target_micron;
        track.pumps(t) && slow && steady(scene, t)
    };
    stretches(scene, slow)
        .into_iter()
        .filter(|(a, b)| b - a >= 120.0)
        .map(|(start_s, end_s)| {
            let drawn = scene.pulldown.choked.filter(|(at, tau_s)| {
                // slower by a factor e than in 200 s: no hose in order
                *tau_s > 200.0 && *at < end_s && end_s - start_s >= 400.0
            });
            TrueStall {
                kind: ExpectedStall::Choked,
                also: None,
                start_s,
                end_s,
                level_micron: scene.gauge.shows(track.at(0.5 * (start_s + end_s))),
                certain: drawn.is_some(),
            }
        })
        .collect()
}

/// True when the logarithm falls much as fast a minute before as a minute after.
fn steady(scene: &Scene, t: f64) -> bool {
    let (before, after) = (slope(scene, t - 60.0), slope(scene, t + 60.0));
    before > 1.4 * after && after > 1.4 * before
}

/// d ln p/dt of the true pressure, 1/s.
fn slope(scene: &Scene, t: f64) -> f64 {
    let track = &scene.pulldown.track;
    let a = (t - HALF_S).max(0.0);
    let b = (t + HALF_S).min(track.end_s).max(a);
    (track.at(b).max(0.1) / track.at(a).max(0.1)).ln() / (b - a).max(1e-3)
}

fn stretches(scene: &Scene, holds: impl Fn(f64) -> bool) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let end = scene.isolated_s.unwrap_or(scene.end_s());
    let mut t = 0.0;
    while t <= end {
        if holds(t) {
            match out.last_mut() {
                Some(last) if t - last.1 <= 20.0 => last.1 = t,
                _ => out.push((t, t)),
            }
        }
        t += 2.0;
    }
    out
}
