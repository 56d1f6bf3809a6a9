//! What the readings of a hold can resolve, in standard errors.

use super::{
    anatomy::{Anatomy, Named},
    hold::{Hold, Volatile, settled},
    information::{Design, Nuisance},
    pulldown::Twist,
    scene::Scene,
};
use rehearsal::ExpectedRise::{self, Leak, LeakAndMoisture, Unclear};

/// Significance below which a part cannot be told, and below which missing it
/// is no fault.
const HIDDEN: f64 = 2.0;
const DOUBTFUL: f64 = 4.0;
/// A leak that matters beside moisture, share of the rise.
const MATTERS: f64 = 0.10;

/// Longest time constant that a hold can show to saturate, in holds.
const SLOWEST: f64 = 0.9;
/// Time constants of stores that stand for every explanation without a leak, holds.
const STORES: [f64; 8] = [0.05, 0.08, 0.13, 0.2, 0.3, 0.45, 0.65, SLOWEST];

/// What the readings of the hold can resolve.
pub(super) struct Sight<'a> {
    design: Design,
    before_s: f64,
    length_s: f64,
    rise: f64,
    parts: &'a Anatomy,
}

impl<'a> Sight<'a> {
    pub(super) fn of(scene: &Scene, hold: &Hold, parts: &'a Anatomy) -> Self {
        let gauge = &scene.gauge;
        let origin = scene.isolated_s.unwrap_or(0.0);
        let lost = |h: f64| {
            let within = |o: super::indicator::Outage| (o.start_s..o.end_s).contains(&(origin + h));
            scene.outage.is_some_and(within)
        };
        let count = ((parts.until_s - parts.settled_s) / gauge.interval_s)
            .floor()
            .max(0.0);
        let times: Vec<f64> = (0..=count as u32)
            .map(|i| parts.settled_s + f64::from(i) * gauge.interval_s)
            .filter(|h| !lost(*h))
            .collect();
        let crossed = parts.rise() / gauge.step(parts.level);
        let per_step = times.len() as f64 / (1.0 + crossed);
        let sigma = times
            .iter()
            .map(|h| {
                let level = gauge.shows(hold.at(h + scene.before_s));
                let (noise, step) = (gauge.noise * level, gauge.step(level));
                // without noise to blur it, a rounding error lasts as long as its step
                let lasting = if noise < 0.3 * step {
                    per_step.max(1.0)
                } else {
                    1.0
                };
                noise.hypot(step * (lasting / 12.0).sqrt())
            })
            .collect();
        Self {
            design: Design::new(times, sigma, gauge.correlation),
            before_s: scene.before_s,
            length_s: parts.until_s,
            rise: parts.rise(),
            parts,
        }
    }

    /// Level, the tail of the equalisation and the little gas.
    fn everyday(&self, hold: &Hold) -> Vec<Nuisance> {
        let d = &self.design;
        let gas = 4f64.max(0.02 * self.parts.level);
        let shift = self.before_s;
        vec![
            d.free(|_| 1.0),
            d.bounded(hold.jump.abs().max(4.0), move |h| {
                (-(h + shift) / hold.jump_s).exp()
            }),
            d.bounded(gas, move |h| settled(h + shift, hold.gas.1)),
        ]
    }

    /// A saturating curve of unknown size, time and shape.
    fn unknown(&self, volatile: &Volatile) -> Vec<Nuisance> {
        let d = &self.design;
        let shift = self.before_s;
        let here = d.curve(|h| volatile.at(h + shift));
        let slope = |other: &Volatile| {
            let there = d.curve(|h| other.at(h + shift));
            Design::given(there.iter().zip(&here).map(|(a, b)| a - b).collect())
        };
        let mut out = vec![
            d.free(|h| volatile.at(h + shift)),
            slope(&volatile.slower(1.02)),
        ];
        if let Some(bent) = volatile.bent(0.02) {
            out.push(slope(&bent));
        }
        if let Volatile::Sheet { tau_s, .. } = *volatile {
            // nobody knows that it is a sheet and not a second, faster store
            out.push(d.free(move |h| settled(h + shift, 0.25 * tau_s)));
        }
        out
    }

    /// What the readings say against every explanation of `whole` without a leak:
    /// one or two stores, none slower than what is still called moisture.
    fn without_leak(&self, hold: &Hold, whole: impl Fn(f64) -> f64) -> f64 {
        let store = |share: &f64| {
            let tau_s = share * self.length_s;
            self.design.curve(|h| settled(h + self.before_s, tau_s))
        };
        let stores: Vec<Vec<f64>> = STORES.iter().map(store).collect();
        let whole = self.design.curve(|h| whole(h + self.before_s));
        self.design.misfit(&whole, &self.everyday(hold), &stores)
    }

    /// A leak against the nearest explanation without one.
    pub(super) fn of_leak(&self, hold: &Hold) -> Named {
        if self.design.len() < 5 {
            return Named {
                fine: vec![Unclear],
                words: "hardly a reading".into(),
                ..Named::default()
            };
        }
        let leak = self.without_leak(hold, |h| hold.leak(h));
        Named {
            expected: (leak < HIDDEN).then_some(Unclear),
            fine: unclear_if(leak < DOUBTFUL),
            words: format!("leak {leak:.1} from any curve"),
        }
    }

    /// The bend against a line, and a leak that would matter beside the curve.
    pub(super) fn of_moisture(&self, hold: &Hold) -> Named {
        let Some(volatile) = &hold.volatile else {
            return Named::default();
        };
        let bend = self.bend(hold, volatile);
        let leak = self.leak_beside(hold, volatile, MATTERS * self.rise);
        let half = 0.5 / MATTERS * leak;
        let slow = volatile.slowest_s() > SLOWEST * self.length_s;
        let words = format!("bend {bend:.1}, tenth as leak {leak:.1}");
        if bend < HIDDEN || half < HIDDEN {
            let mut fine = vec![Unclear];
            // bend not to be seen: a line is as good
            if bend < HIDDEN {
                fine.extend([Leak, LeakAndMoisture]);
            }
            return Named {
                expected: Some(Unclear),
                fine,
                words,
            };
        }
        Named {
            expected: None,
            fine: unclear_if(bend < DOUBTFUL || leak < HIDDEN || slow),
            words,
        }
    }

    /// Both parts, each against explanations without it.
    pub(super) fn of_both(&self, hold: &Hold) -> Named {
        let Some(volatile) = &hold.volatile else {
            return Named::default();
        };
        let bend = self.bend(hold, volatile);
        let leak = self.leak_beside(hold, volatile, self.parts.leak);
        let any = self.without_leak(hold, |h| hold.leak(h) + volatile.at(h));
        let weakest = bend.min(leak).min(any);
        let mut fine = unclear_if(weakest < DOUBTFUL);
        if bend < DOUBTFUL {
            fine.push(Leak);
        }
        Named {
            expected: (weakest < HIDDEN).then_some(Unclear),
            fine,
            words: format!("bend {bend:.1}, leak {leak:.1}, from any curve {any:.1}"),
        }
    }

    /// Significance of the volatile part beside a line.
    fn bend(&self, hold: &Hold, volatile: &Volatile) -> f64 {
        let mut others = self.everyday(hold);
        others.push(self.design.free(|h| h));
        let curve = self.design.curve(|h| volatile.at(h + self.before_s));
        self.design.significance(&curve, &others)
    }

    /// Significance of a straight rise of `micron` beside the volatile part.
    fn leak_beside(&self, hold: &Hold, volatile: &Volatile, micron: f64) -> f64 {
        let mut others = self.everyday(hold);
        others.extend(self.unknown(volatile));
        let span_s = (self.length_s - self.parts.settled_s).max(1.0);
        let line = self.design.curve(|h| micron * h / span_s);
        self.design.significance(&line, &others)
    }
}

fn unclear_if(doubtful: bool) -> Vec<ExpectedRise> {
    if doubtful { vec![Unclear] } else { Vec::new() }
}

/// Standard error of the instant of isolation, s, for one who knows the shapes but
/// none of the levels and slopes, and lag and equalisation time only roughly;
/// infinite when nothing changes.
pub(super) fn isolation_error_s(scene: &Scene, hold: &Hold) -> f64 {
    const AROUND_S: f64 = 90.0;
    let Some(at) = scene
        .isolated_s
        .filter(|_| scene.twist != Twist::StartsIsolated)
    else {
        return f64::INFINITY;
    };
    let (track, gauge) = (&scene.pulldown.track, &scene.gauge);
    let reach = AROUND_S.min(scene.hold_s());
    let n = (2.0 * reach / gauge.interval_s) as u32;
    let times: Vec<f64> = (0..=n)
        .map(|i| f64::from(i) * gauge.interval_s - reach)
        .collect();
    let sigma = times
        .iter()
        .map(|x| gauge.noise_at(track.at((at + x).max(0.0))))
        .collect();
    let design = Design::new(times, sigma, gauge.correlation);
    let later = (hold.at(30.0) - hold.start - hold.jump * settled(30.0, hold.jump_s)) / 30.0;
    let corner = Corner {
        before: (track.at(at) - track.at((at - 10.0).max(0.0))) / at.clamp(1e-3, 10.0),
        later,
        jump: hold.jump,
        jump_s: hold.jump_s,
        lag_s: gauge.lag_s.max(0.1),
    };
    let by = |other: Corner, step: f64| move |x: f64| (other.at(x) - corner.at(x)) / step;
    let longer = |s: f64| 0.02 * s + 0.01;
    let (lag_step, jump_step) = (longer(corner.lag_s), longer(corner.jump_s));
    let mut laggier = corner;
    laggier.lag_s += lag_step;
    let mut slower = corner;
    slower.jump_s += jump_step;
    let mut higher = corner;
    higher.jump += 1.0;
    let others = [
        design.free(|_| 1.0),
        design.free(|x| x.min(0.0)),
        design.free(|x| x.max(0.0)),
        design.free(by(higher, 1.0)),
        design.bounded(2.0, by(laggier, lag_step)),
        design.bounded(0.5 * corner.jump_s, by(slower, jump_step)),
    ];
    let shifted = design.curve(|x| (corner.at(x - 0.05) - corner.at(x + 0.05)) / 0.1);
    1.0 / design.significance(&shifted, &others).max(1e-9)
}

/// The moment of isolation as the gauge shows it: a slope before, another after, an
/// exponential jump, all behind a first-order lag; `x` is seconds since.
#[derive(Debug, Clone, Copy)]
struct Corner {
    before: f64,
    later: f64,
    jump: f64,
    jump_s: f64,
    lag_s: f64,
}

impl Corner {
    fn at(&self, x: f64) -> f64 {
        let straight = self.before * (x - self.lag_s);
        if x <= 0.0 {
            return straight;
        }
        let lag = if (self.lag_s - self.jump_s).abs() < 0.01 {
            1.02 * self.jump_s
        } else {
            self.lag_s
        };
        let fast = settled(x, lag);
        let slow = settled(x, self.jump_s);
        let bent = (self.later - self.before) * (x - lag * fast);
        straight + bent + self.jump * (self.jump_s * slow - lag * fast) / (self.jump_s - lag)
    }
}
