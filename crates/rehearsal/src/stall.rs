//! Stalls as the plant knows them.

use vacuum::PressureUnit;

use crate::rig::{Glimpse, Rig};

/// Why the pull-down made no progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExpectedStall {
    /// Pump oil gave back dissolved gas.
    Foaming,
    /// Liquid water boiled.
    BoilOff,
    /// Water had frozen and sublimed.
    Ice,
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
            Self::Ice => "ice",
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
    /// Another name that is not wrong either: near the triple point water and ice lie
    /// beside each other, and some ice cannot be told from a floor.
    pub also: Option<ExpectedStall>,
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

/// Triple point of water, micron (611.657 Pa).
const TRIPLE_MICRON: f64 = 4_587.8;
/// Within this factor of it boil-off and ice are both right: gauges read each gas
/// differently, and the freezing pocket holds both.
const NEAR_TRIPLE: f64 = 1.12;

impl TrueStall {
    /// True when `word` names it rightly.
    #[must_use]
    pub fn is_called(&self, word: &str) -> bool {
        self.kind.word() == word || self.also.is_some_and(|k| k.word() == word)
    }
}

/// Half of the window over which slopes are taken, glimpses (1 s each).
const HALF: usize = 20;

/// Shortest stall worth the name, and the length from which none may miss it, s.
type Lengths = (f64, f64);

pub(crate) fn find(glimpses: &[Glimpse], rig: &Rig, target_micron: f64) -> Vec<TrueStall> {
    let run = Run {
        glimpses,
        slopes: slopes(glimpses),
        rig,
        target_micron,
    };
    let mut out = run.foaming();
    out.extend(run.water());
    out.extend(run.floors());
    out.extend(
        run.stalls(ExpectedStall::Choked, 15.0, (150.0, 400.0), |i| {
            run.is_choked(i)
        }),
    );
    out.sort_by(|x, y| x.start_s.total_cmp(&y.start_s));
    out
}

struct Run<'a> {
    glimpses: &'a [Glimpse],
    slopes: Vec<f64>,
    rig: &'a Rig,
    target_micron: f64,
}

impl Run<'_> {
    fn stalls(
        &self,
        kind: ExpectedStall,
        bridge_s: f64,
        lengths: Lengths,
        holds: impl Fn(usize) -> bool,
    ) -> Vec<TrueStall> {
        stretches(self.glimpses, holds, bridge_s)
            .into_iter()
            .filter_map(|ends| stall(kind, self.glimpses, ends, lengths))
            .collect()
    }

    fn foaming(&self) -> Vec<TrueStall> {
        let g = self.glimpses;
        stretches(g, |i| g[i].foaming, 25.0)
            .into_iter()
            .filter_map(|(a, b)| {
                // drop the approach: the plateau starts where the level comes near its median
                let level = median(g, a, b);
                let near = |&i: &usize| g[i].shown_micron < 1.5 * level;
                let start = (a..b).find(near).unwrap_or(a);
                stall(ExpectedStall::Foaming, g, (start, b), (45.0, 90.0))
            })
            .collect()
    }

    /// A pool sets a pressure that hardly moves.
    fn boils(&self, i: usize) -> bool {
        let g = &self.glimpses[i];
        let slow = self.slopes[i] > -1.0 / 180.0;
        g.pumping && g.pool && g.water_share > 0.7 && slow
    }

    /// Boil-off where the indication lies above the triple point, ice below. Where the
    /// pool is not what the indication says (a gauge that reads water vapour too high,
    /// a pressure drop before it) both names are right. Ice that does not give way is
    /// certain only after visible boiling.
    fn water(&self) -> Vec<TrueStall> {
        let below = |i: usize| self.glimpses[i].shown_micron < TRIPLE_MICRON;
        let boiling = self.stalls(ExpectedStall::BoilOff, 20.0, (60.0, 120.0), |i| {
            self.boils(i) && !below(i)
        });
        let mut ice = self.stalls(ExpectedStall::Ice, 20.0, (60.0, 180.0), |i| {
            self.boils(i) && below(i)
        });
        for stall in &mut ice {
            let gives_way = self.gives_way(stall);
            let seen = boiling
                .iter()
                .any(|b| b.certain && b.end_s < stall.start_s + 60.0);
            stall.certain &= stall.level_micron > 1.05 * self.target_micron;
            if !gives_way && !seen {
                stall.certain = false;
                stall.also = Some(ExpectedStall::Floor);
            }
        }
        let mut out = boiling;
        out.extend(ice);
        for stall in &mut out {
            let during = self
                .glimpses
                .iter()
                .filter(|g| (stall.start_s..=stall.end_s).contains(&g.t_s));
            let (frozen, all) = during.fold((0, 0), |(f, n), g| (f + i32::from(g.frozen), n + 1));
            let is_ice = stall.kind == ExpectedStall::Ice;
            let near = (stall.level_micron / TRIPLE_MICRON).ln().abs() < NEAR_TRIPLE.ln();
            if near || (2 * frozen > all) != is_ice {
                stall.also = Some(if is_ice {
                    ExpectedStall::BoilOff
                } else {
                    ExpectedStall::Ice
                });
            }
        }
        out
    }

    fn floors(&self) -> Vec<TrueStall> {
        let quiet = |i: usize| {
            let g = &self.glimpses[i];
            let flat = self.slopes[i].abs() < 1.0 / 3000.0;
            g.pumping && !g.foaming && !g.throttled && !self.boils(i) && flat
        };
        let mut out = self.stalls(ExpectedStall::Floor, 15.0, (120.0, 240.0), quiet);
        for floor in &mut out {
            // below the target nobody is held up
            floor.certain &= floor.level_micron >= 1.05 * self.target_micron;
            // one that gives way (the gas ballast was shut) is none: below the triple
            // point nothing tells it from ice
            if self.gives_way(floor) && floor.level_micron < TRIPLE_MICRON {
                floor.certain = false;
                floor.also = Some(ExpectedStall::Ice);
            }
        }
        out
    }

    fn gives_way(&self, stall: &TrueStall) -> bool {
        self.glimpses
            .iter()
            .any(|g| g.t_s > stall.end_s && g.pumping && g.shown_micron < 0.7 * stall.level_micron)
    }

    fn is_choked(&self, i: usize) -> bool {
        let g = &self.glimpses[i];
        let slope = self.slopes[i];
        let steady = slope < -1.0 / 3000.0 && slope > -1.0 / 120.0;
        // the gas that leaves is the gas that was there, and the lines hold it back
        let limited = g.inlet_pa < 0.35 * g.system_pa;
        let gone = -slope * g.system_pa * self.rig.world.system_volume_l();
        let inventory = gone > 0.6 * rig_load(self.rig, g);
        let micron = g.system_pa / PressureUnit::Micron.pa();
        let above = g.shown_micron > 0.7 * self.target_micron && micron > 100.0;
        let free = !g.foaming && !g.throttled && !g.pool;
        g.pumping && free && steady && limited && inventory && above
    }
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

fn stall(
    kind: ExpectedStall,
    glimpses: &[Glimpse],
    (a, b): (usize, usize),
    (shortest_s, certain_s): Lengths,
) -> Option<TrueStall> {
    let length = glimpses[b].t_s - glimpses[a].t_s;
    (length >= shortest_s).then(|| TrueStall {
        kind,
        also: None,
        start_s: glimpses[a].t_s,
        end_s: glimpses[b].t_s,
        level_micron: median(glimpses, a, b),
        certain: length >= certain_s,
    })
}
