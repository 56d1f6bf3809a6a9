//! Stalls as the plant knows them.

use vacuum::PressureUnit;

use crate::script::{Glimpse, Rig};

/// Why the pull-down made no progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExpectedStall {
    /// Pump oil gave back dissolved gas.
    Foaming,
    /// Liquid water boiled.
    BoilOff,
    /// What pump, leak and outgassing allow.
    Floor,
    /// A restriction between system and pump.
    Choked,
}

impl ExpectedStall {
    /// The word, as in findings.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Foaming => "foaming",
            Self::BoilOff => "boil_off",
            Self::Floor => "floor",
            Self::Choked => "choked",
        }
    }
}

/// One stall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrueStall {
    /// Cause.
    pub kind: ExpectedStall,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Median noise-free indication in it, micron.
    pub level_micron: f64,
    /// False when it is so short, or lies so far below the target, that
    /// leaving it out is no fault.
    pub certain: bool,
}

/// Half of the window over which slopes are taken, glimpses (1 s each).
const HALF: usize = 20;

pub(crate) fn find(glimpses: &[Glimpse], rig: &Rig, target_micron: f64) -> Vec<TrueStall> {
    let slopes = slopes(glimpses);
    let volume = rig.world.system_volume_l();
    let mut out = Vec::new();

    let foam = |i: usize| glimpses[i].foaming;
    for (a, b) in stretches(glimpses, foam, 25.0) {
        // drop the approach: the plateau starts where the level comes near its median
        let level = median(glimpses, a, b);
        let start = (a..b)
            .find(|&i| glimpses[i].shown_micron < 1.5 * level)
            .unwrap_or(a);
        push(
            &mut out,
            ExpectedStall::Foaming,
            glimpses,
            (start, b),
            45.0,
            90.0,
        );
    }
    let slow = |i: usize| slopes[i] > -1.0 / 180.0;
    let boil = |i: usize| {
        let g = &glimpses[i];
        g.pumping && g.pool && g.water_share > 0.7 && slow(i) && g.system_pa > 450.0
    };
    for (a, b) in stretches(glimpses, boil, 20.0) {
        push(
            &mut out,
            ExpectedStall::BoilOff,
            glimpses,
            (a, b),
            60.0,
            120.0,
        );
    }
    let quiet = |i: usize| {
        let g = &glimpses[i];
        g.pumping && !g.foaming && !g.throttled && !boil(i) && slopes[i].abs() < 1.0 / 3000.0
    };
    for (a, b) in stretches(glimpses, quiet, 15.0) {
        let before = out.len();
        push(
            &mut out,
            ExpectedStall::Floor,
            glimpses,
            (a, b),
            120.0,
            240.0,
        );
        if out.len() > before && out[before].level_micron < 1.05 * target_micron {
            out[before].certain = false;
        }
    }
    let micron = PressureUnit::Micron.pa();
    let choked = |i: usize| {
        let g = &glimpses[i];
        let steady = slopes[i] < -1.0 / 3000.0 && slopes[i] > -1.0 / 120.0;
        // the gas that leaves is the gas that was there, and the lines hold it back
        let limited = g.inlet_pa < 0.35 * g.system_pa;
        let inventory = -slopes[i] * g.system_pa * volume > 0.6 * rig_load(rig, g);
        let above = g.shown_micron > 0.7 * target_micron && g.system_pa > micron * 100.0;
        g.pumping
            && !g.foaming
            && !g.throttled
            && !g.pool
            && steady
            && limited
            && inventory
            && above
    };
    for (a, b) in stretches(glimpses, choked, 15.0) {
        push(
            &mut out,
            ExpectedStall::Choked,
            glimpses,
            (a, b),
            150.0,
            400.0,
        );
    }
    out.sort_by(|x, y| x.start_s.total_cmp(&y.start_s));
    out
}

/// What leaks and what the oil and walls give at first, Pa·L/s: an upper bound.
fn rig_load(rig: &Rig, glimpse: &Glimpse) -> f64 {
    let leaks: f64 = rig
        .world
        .leaks
        .iter()
        .map(|l| l.inflow(glimpse.system_pa))
        .sum();
    let held: f64 = rig
        .world
        .held
        .iter()
        .map(|h| h.content * (-glimpse.t_s / h.time_s).exp() / h.time_s)
        .sum();
    leaks + held
}

/// d ln p/dt over a centred window, 1/s.
fn slopes(glimpses: &[Glimpse]) -> Vec<f64> {
    let logs: Vec<f64> = glimpses
        .iter()
        .map(|g| g.shown_micron.max(0.1).ln())
        .collect();
    (0..logs.len())
        .map(|i| {
            let (a, b) = (i.saturating_sub(HALF), (i + HALF).min(logs.len() - 1));
            let span = glimpses[b].t_s - glimpses[a].t_s;
            if span > 0.0 {
                (logs[b] - logs[a]) / span
            } else {
                0.0
            }
        })
        .collect()
}

/// Stretches where `holds`, joined over breaks shorter than `bridge_s`.
fn stretches(
    glimpses: &[Glimpse],
    holds: impl Fn(usize) -> bool,
    bridge_s: f64,
) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for i in (0..glimpses.len()).filter(|&i| holds(i)) {
        match out.last_mut() {
            Some(last) if glimpses[i].t_s - glimpses[last.1].t_s <= bridge_s => last.1 = i,
            _ => out.push((i, i)),
        }
    }
    out
}

fn median(glimpses: &[Glimpse], a: usize, b: usize) -> f64 {
    let mut levels: Vec<f64> = glimpses[a..=b].iter().map(|g| g.shown_micron).collect();
    levels.sort_by(f64::total_cmp);
    levels[levels.len() / 2]
}

fn push(
    out: &mut Vec<TrueStall>,
    kind: ExpectedStall,
    glimpses: &[Glimpse],
    (a, b): (usize, usize),
    shortest_s: f64,
    certain_s: f64,
) {
    let length = glimpses[b].t_s - glimpses[a].t_s;
    if length >= shortest_s {
        out.push(TrueStall {
            kind,
            start_s: glimpses[a].t_s,
            end_s: glimpses[b].t_s,
            level_micron: median(glimpses, a, b),
            certain: length >= certain_s,
        });
    }
}
