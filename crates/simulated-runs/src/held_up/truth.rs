//! What held the pull-down up, from the rig and never from the readings.

use super::{draw::Drawn, play::Look, pocket::over_water_pa};
use rehearsal::{ExpectedStall, TrueStall};

/// Triple point of water, micron: 611.66 Pa.
const TRIPLE_MICRON: f64 = 4_587.8;
/// Within this factor of the triple point both names are right: gauges differ, and
/// water and ice lie beside each other.
const NEAR_TRIPLE: f64 = 1.12;
const MICRON_PA: f64 = 0.133_322;
/// Half the length over which slopes are taken, looks of a second.
const HALF: usize = 20;
const TARGET_MICRON: f64 = 500.0;

struct Run<'a> {
    looks: &'a [Look],
    slopes: Vec<f64>,
    drawn: &'a Drawn,
}

type Ends = (usize, usize);

pub(super) fn find(drawn: &Drawn) -> Vec<TrueStall> {
    let looks = drawn.played.looks.as_slice();
    let run = Run {
        looks,
        slopes: slopes(looks),
        drawn,
    };
    let mut out = run.foaming();
    out.extend(run.water());
    out.extend(run.floors());
    out.extend(run.choked());
    out.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    out
}

impl Run<'_> {
    fn pumps(&self, i: usize) -> bool {
        self.looks[i].opening > 0.0
    }

    fn wet(&self, i: usize) -> bool {
        let l = &self.looks[i];
        self.pumps(i) && l.liquid_g + l.ice_g > 0.005 && l.water_share > 0.6
    }

    fn stall(&self, kind: ExpectedStall, (a, b): Ends) -> TrueStall {
        TrueStall {
            kind,
            also: None,
            start_s: self.looks[a].t_s,
            end_s: self.looks[b].t_s,
            level_micron: self.level((a, b)),
            certain: false,
        }
    }

    fn level(&self, (a, b): Ends) -> f64 {
        let mut levels: Vec<f64> = self.looks[a..=b].iter().map(|l| l.micron).collect();
        levels.sort_by(f64::total_cmp);
        levels[levels.len() / 2]
    }

    /// Above the target, below the top of the gauge.
    fn counts(&self, level_micron: f64) -> bool {
        (1.05 * TARGET_MICRON..0.9 * self.drawn.gauge.top_micron).contains(&level_micron)
    }

    fn lasts(&self, (a, b): Ends) -> f64 {
        self.looks[b].t_s - self.looks[a].t_s
    }

    fn foaming(&self) -> Vec<TrueStall> {
        let g = self.looks;
        let mut out = Vec::new();
        for (a, b) in stretches(g, |i| g[i].foaming, 25.0) {
            let level = self.level((a, b));
            let start = (a..b).find(|&i| g[i].micron < 1.5 * level).unwrap_or(a);
            let mut stall = self.stall(ExpectedStall::Foaming, (start, b));
            let lasts = self.lasts((start, b));
            if lasts < 45.0 {
                continue;
            }
            let shown = self.hunts((start, b));
            let blur = self.drawn.gauge.blur(level);
            let seen = shown > 0.03 && shown > 2.5 * blur;
            stall.certain = lasts >= 90.0 && seen && self.counts(stall.level_micron);
            if !seen {
                // as smooth as water to this gauge
                stall.also = Some(if level < TRIPLE_MICRON {
                    ExpectedStall::Ice
                } else {
                    ExpectedStall::BoilOff
                });
            }
            out.push(stall);
        }
        out
    }

    /// Standard deviation of ln p about its mean of a minute around it, in which a steady
    /// fall leaves nothing.
    fn hunts(&self, (a, b): Ends) -> f64 {
        let logs: Vec<f64> = self.looks[a..=b].iter().map(|l| l.micron.ln()).collect();
        let minutes = logs.windows(61);
        let n = minutes.len().max(1) as f64;
        let squares: f64 = minutes
            .map(|w| (w[30] - w.iter().sum::<f64>() / 61.0).powi(2))
            .sum();
        (squares / n).sqrt()
    }

    /// Boiling and ice: where vapour of water sets a pressure that hardly moves.
    fn water(&self) -> Vec<TrueStall> {
        let slow = |i: usize| self.wet(i) && self.slopes[i] > -1.0 / 90.0;
        let mut out = Vec::new();
        for ends in stretches(self.looks, slow, 15.0) {
            for part in self.parts(ends) {
                if self.lasts(part) >= 60.0 {
                    out.push(self.of_water(part));
                }
            }
        }
        out
    }

    /// Cut where the indication crosses the triple point and where heat or nitrogen
    /// came.
    fn parts(&self, (a, b): Ends) -> Vec<Ends> {
        let below = |i: usize| self.looks[i].micron < TRIPLE_MICRON;
        let helped = |i: usize| {
            let t = self.looks[i].t_s;
            self.drawn
                .played
                .helped_s
                .iter()
                .filter(|h| **h <= t)
                .count()
        };
        let mut out = Vec::new();
        let mut from = a;
        for i in a + 1..=b {
            if below(i) != below(i - 1) || helped(i) != helped(i - 1) {
                out.push((from, i - 1));
                from = i;
            }
        }
        out.push((from, b));
        out
    }

    fn of_water(&self, (a, b): Ends) -> TrueStall {
        let part = &self.looks[a..=b];
        let level = self.level((a, b));
        let frozen = part.iter().filter(|l| l.ice_g > l.liquid_g).count() * 2 > part.len();
        let below = level < TRIPLE_MICRON;
        let (kind, other) = if below {
            (ExpectedStall::Ice, ExpectedStall::BoilOff)
        } else {
            (ExpectedStall::BoilOff, ExpectedStall::Ice)
        };
        let mut stall = self.stall(kind, (a, b));
        let near = (level / TRIPLE_MICRON).ln().abs() < NEAR_TRIPLE.ln();
        if near || frozen != below {
            stall.also = Some(other);
        }
        let lasts = self.lasts((a, b));
        let fallen = (self.looks[a].micron / self.looks[b].micron).ln().max(0.02);
        let pace_s = lasts / fallen;
        let plateau = if kind == ExpectedStall::Ice {
            lasts >= 150.0 && pace_s > 400.0
        } else {
            lasts >= 120.0 && pace_s > 180.0
        };
        stall.certain = plateau && self.counts(level);
        if kind == ExpectedStall::Ice && !self.gives_way((a, b), level) && !self.seen_liquid(a) {
            // nothing in the record tells it from a floor
            stall.certain = false;
            stall.also = stall.also.or(Some(ExpectedStall::Floor));
        }
        stall
    }

    fn gives_way(&self, (_, b): Ends, level: f64) -> bool {
        (b..self.looks.len()).any(|i| self.pumps(i) && self.looks[i].micron < 0.7 * level)
    }

    /// True when the indication without noise shows that liquid water was there before:
    /// it stood, or fell more slowly than it did later while the pocket froze.
    fn seen_liquid(&self, before: usize) -> bool {
        let liquid = |i: usize| {
            let l = &self.looks[i];
            self.wet(i) && l.liquid_g > 0.1 * l.ice_g && l.micron < self.drawn.gauge.top_micron
        };
        let stood = (0..before).filter(|&i| {
            liquid(i)
                && self.looks[i].micron > TRIPLE_MICRON
                && self.slopes[i].abs() < 1.0 / 1_200.0
        });
        let steepens = |i: usize| {
            let later = &self.slopes[i..(i + 200).min(self.slopes.len())];
            let steepest = later.iter().copied().fold(0.0, f64::min);
            steepest < 2.5 * self.slopes[i].min(0.0) - 1.0 / 250.0
        };
        stood.count() >= 60 || (0..before).any(|i| liquid(i) && steepens(i))
    }

    fn floors(&self) -> Vec<TrueStall> {
        let quiet = |i: usize| {
            let l = &self.looks[i];
            let flat = self.slopes[i].abs() < 1.0 / 2_000.0;
            self.pumps(i) && !l.foaming && l.opening > 0.3 && !self.wet(i) && flat
        };
        let mut out = Vec::new();
        for ends in stretches(self.looks, quiet, 15.0) {
            let lasts = self.lasts(ends);
            if lasts < 120.0 {
                continue;
            }
            let mut stall = self.stall(ExpectedStall::Floor, ends);
            let (a, b) = (&self.looks[ends.0], &self.looks[ends.1]);
            let flat = (a.micron / b.micron).ln().abs() < lasts / 3_000.0;
            let undercut = self.gives_way(ends, stall.level_micron);
            // between freezing and ambient the pressure alone does not tell it from a pool
            let warm = over_water_pa(self.drawn.rig.room_c + 3.0) / MICRON_PA;
            if (TRIPLE_MICRON..warm).contains(&stall.level_micron) {
                stall.also = Some(ExpectedStall::BoilOff);
            }
            stall.certain = lasts >= 240.0 && flat && !undercut && self.counts(stall.level_micron);
            out.push(stall);
        }
        out
    }

    fn choked(&self) -> Vec<TrueStall> {
        let holds = |i: usize| {
            let l = &self.looks[i];
            let slope = self.slopes[i];
            let steady = slope < -1.0 / 3_000.0 && slope > -1.0 / 120.0;
            let gone = -slope * l.system_pa * self.drawn.rig.volume_l;
            let limited = l.inlet_pa < 0.35 * l.system_pa && gone > 1.5 * l.load;
            let above = l.micron > 0.7 * TARGET_MICRON;
            self.pumps(i) && !l.foaming && !self.wet(i) && steady && limited && above
        };
        let mut out = Vec::new();
        for ends in stretches(self.looks, holds, 15.0) {
            if self.lasts(ends) < 150.0 {
                continue;
            }
            let mut stall = self.stall(ExpectedStall::Choked, ends);
            let third = (ends.1 - ends.0) / 3;
            let fallen = |a: usize, b: usize| (self.looks[a].micron / self.looks[b].micron).ln();
            let (first, last) = (
                fallen(ends.0, ends.0 + third),
                fallen(ends.1 - third, ends.1),
            );
            let straight = first < 1.25 * last;
            let full = self.looks[ends.0].opening > 0.3;
            stall.certain = self.lasts(ends) >= 400.0 && full && straight;
            out.push(stall);
        }
        out
    }
}

fn slopes(looks: &[Look]) -> Vec<f64> {
    (0..looks.len())
        .map(|i| {
            let (a, b) = (i.saturating_sub(HALF), (i + HALF).min(looks.len() - 1));
            let span_s = looks[b].t_s - looks[a].t_s;
            (looks[b].micron / looks[a].micron).ln() / span_s.max(1.0)
        })
        .collect()
}

fn stretches(looks: &[Look], holds: impl Fn(usize) -> bool, bridge_s: f64) -> Vec<Ends> {
    let mut out: Vec<Ends> = Vec::new();
    for i in (0..looks.len()).filter(|i| holds(*i)) {
        match out.last_mut() {
            Some(last) if looks[i].t_s - looks[last.1].t_s <= bridge_s => last.1 = i,
            _ => out.push((i, i)),
        }
    }
    out
}
