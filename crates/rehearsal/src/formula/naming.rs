//! The truth of a run of formulas. The rules are in the documentation of
//! [`super::formula_case`].

use super::{
    hold::{Hold, Volatile, settled},
    indicator::OutageKind,
    information::{Design, Nuisance},
    pulldown::Twist,
    scene::Scene,
};
use crate::ExpectedRise::{self, Leak, LeakAndMoisture, Moisture, None as Nothing, Unclear};

/// A rise below this is one that nobody needs to name, micron.
const SMALL_MICRON: f64 = 12.0;
/// Share of the whole from which a part must be named, and below which it must
/// not be; between the two either answer is right.
const SHARE: (f64, f64, f64) = (0.06, 0.10, 0.16);
/// Significance below which a part cannot be told, and below which missing it
/// is no fault.
const HIDDEN: f64 = 2.0;
const DOUBTFUL: f64 = 4.0;
/// A leak that matters beside moisture, share of the rise.
const MATTERS: f64 = 0.10;

/// What the hold is made of, over the part of it that an analyst can use.
#[derive(Debug, Clone, Default)]
pub(super) struct Anatomy {
    pub(super) settled_s: f64,
    pub(super) until_s: f64,
    pub(super) leak: f64,
    pub(super) volatile: f64,
    pub(super) gas: f64,
    pub(super) fall: f64,
    pub(super) bleed: f64,
    pub(super) level: f64,
    pub(super) noise: f64,
    /// Largest noise-free indication of the hold, micron.
    pub(super) highest: f64,
}

impl Anatomy {
    pub(super) fn of(scene: &Scene, hold: &Hold) -> Self {
        let length_s = scene.hold_s();
        let gauge = &scene.gauge;
        let waits = (5.0 * hold.jump_s).max(4.0 * gauge.lag_s) - scene.before_s;
        let settled_s = waits.max(0.0).min(0.3 * length_s);
        const POINTS: u32 = 400;
        let at = |i: u32| length_s * f64::from(i) / f64::from(POINTS);
        let shown: Vec<f64> = (0..=POINTS).map(|i| scene.shown(hold, at(i))).collect();
        let until_s = (1..=POINTS)
            .find(|i| shown[*i as usize] > 0.98 * gauge.top_micron)
            .map_or(length_s, |i| at(i - 1));
        let (a, b) = (
            settled_s.min(until_s) + scene.before_s,
            until_s + scene.before_s,
        );
        let level = gauge.shows(hold.at(b));
        Self {
            settled_s,
            until_s,
            leak: hold.leak(b) - hold.leak(a),
            volatile: hold.volatile(b) - hold.volatile(a),
            gas: hold.gas(b) - hold.gas(a),
            fall: hold.fall(b) - hold.fall(a),
            bleed: hold.bleed(b) - hold.bleed(a),
            level,
            noise: gauge.noise_at(level),
            highest: shown.iter().copied().fold(0.0, f64::max),
        }
    }

    fn rise(&self) -> f64 {
        self.leak + self.volatile + self.gas
    }

    /// Rise that need not be named, micron.
    fn small(&self) -> f64 {
        SMALL_MICRON.max(3.0 * self.noise).max(0.03 * self.level)
    }

    /// The cause when a part counts from `share` of the whole.
    fn cause(&self, share: f64, gas: f64) -> ExpectedRise {
        let whole = self.rise().max(1e-9);
        let counts = |part: f64| part > share * whole;
        match (counts(self.leak), counts(self.volatile + gas)) {
            (false, false) => Nothing,
            (true, false) => Leak,
            (false, true) => Moisture,
            (true, true) => LeakAndMoisture,
        }
    }
}

/// Cause of the rise, and the answers that are not wrong.
pub(super) fn rise(
    scene: &Scene,
    hold: &Hold,
    one_side_told: bool,
) -> (ExpectedRise, Vec<ExpectedRise>) {
    let parts = Anatomy::of(scene, hold);
    let (mut expected, mut fine) = named(scene, hold, &parts);
    if parts.bleed > (3.0 * parts.noise).max(MATTERS * parts.rise()) {
        // nothing in the curve tells gas from behind the capillary from a cause
        fine.push(Unclear);
        fine.push(Moisture);
        if !one_side_told {
            fine.extend([Leak, LeakAndMoisture]);
        }
        expected = Unclear;
    }
    if one_side_told && matches!(expected, Leak | LeakAndMoisture) {
        // a leak must not be named on that evidence alone
        fine.push(Unclear);
    }
    if scene.stopped_open || scene.outage.is_some_and(|o| o.kind != OutageKind::Missing) {
        // what else happened in the hold may count against an answer
        fine.push(Unclear);
    }
    fine.push(expected);
    fine.sort_by_key(|k| *k as u8);
    fine.dedup();
    (expected, fine)
}

fn named(scene: &Scene, hold: &Hold, parts: &Anatomy) -> (ExpectedRise, Vec<ExpectedRise>) {
    let cause = parts.cause(SHARE.1, 0.0);
    if parts.rise() <= parts.small() {
        // too little to name: nothing, or whatever it really is
        let mut fine = vec![Nothing, Unclear];
        if parts.leak + parts.volatile > 0.3 * parts.small() {
            fine.push(cause);
        } else if parts.gas > 0.5 * SMALL_MICRON {
            fine.push(Moisture);
        }
        return (Nothing, fine);
    }
    if parts.leak + parts.volatile <= 0.0 {
        // a system that gives off more gas than is small
        return (Moisture, vec![Nothing, Unclear]);
    }
    let mut fine = vec![cause];
    // a part near the limit, and the little gas, may be named or not
    for (share, gas) in [(SHARE.0, 0.0), (SHARE.2, 0.0), (SHARE.2, parts.gas)] {
        fine.push(parts.cause(share, gas));
    }
    if parts.rise() < 1.5 * parts.small() {
        fine.push(Unclear);
    }
    let sight = Sight::of(scene, hold, parts);
    let (expected, more) = match cause {
        Leak => sight.of_leak(hold),
        Moisture => sight.of_moisture(hold),
        _ => sight.of_both(hold),
    };
    fine.extend(more);
    (expected.unwrap_or(cause), fine)
}

/// What the readings of the hold can resolve.
struct Sight<'a> {
    design: Design,
    before_s: f64,
    length_s: f64,
    rise: f64,
    parts: &'a Anatomy,
}

type Answer = (Option<ExpectedRise>, Vec<ExpectedRise>);

impl<'a> Sight<'a> {
    fn of(scene: &Scene, hold: &Hold, parts: &'a Anatomy) -> Self {
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
        out
    }

    /// Straight against the slowest curve that is still called moisture.
    fn of_leak(&self, hold: &Hold) -> Answer {
        if self.design.len() < 5 {
            return (None, vec![Unclear]);
        }
        let tau_s = 0.6 * self.length_s;
        let mut others = self.everyday(hold);
        others.push(self.design.free(move |h| settled(h, tau_s)));
        let line = self.design.curve(|h| hold.leak(h + self.before_s));
        grade(self.design.significance(&line, &others))
    }

    /// The bend against a line, and a leak that would matter beside the curve.
    fn of_moisture(&self, hold: &Hold) -> Answer {
        let Some(volatile) = &hold.volatile else {
            return (None, Vec::new());
        };
        let bend = self.bend(hold, volatile);
        let leak = self.leak_beside(hold, volatile, MATTERS * self.rise);
        let half = 0.5 / MATTERS * leak;
        let slow = volatile.slowest_s() > 0.9 * self.length_s;
        if bend < HIDDEN || half < HIDDEN {
            let mut fine = vec![Unclear];
            // bend not to be seen: a line is as good
            if bend < HIDDEN {
                fine.extend([Leak, LeakAndMoisture]);
            }
            return (Some(Unclear), fine);
        }
        let doubtful = bend < DOUBTFUL || leak < HIDDEN || slow;
        (None, if doubtful { vec![Unclear] } else { Vec::new() })
    }

    fn of_both(&self, hold: &Hold) -> Answer {
        let Some(volatile) = &hold.volatile else {
            return (None, Vec::new());
        };
        let bend = self.bend(hold, volatile);
        let leak = self.leak_beside(hold, volatile, self.parts.leak);
        let mut fine = Vec::new();
        if bend < DOUBTFUL {
            fine.push(Leak);
        }
        let weakest = bend.min(leak);
        if weakest < DOUBTFUL {
            fine.push(Unclear);
        }
        ((weakest < HIDDEN).then_some(Unclear), fine)
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

fn grade(significance: f64) -> Answer {
    if significance < HIDDEN {
        (Some(Unclear), vec![Unclear])
    } else if significance < DOUBTFUL {
        (None, vec![Unclear])
    } else {
        (None, Vec::new())
    }
}

/// Standard error of the instant of isolation, s, for one who knows gauge and
/// shapes but none of the levels and slopes; infinite when nothing changes.
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
    let before = (track.at(at) - track.at((at - 10.0).max(0.0))) / at.clamp(1e-3, 10.0);
    let (jump, jump_s) = (hold.jump, hold.jump_s);
    let later = (hold.at(30.0) - hold.start - jump * settled(30.0, jump_s)) / 30.0;
    // the lag delays a step of slope and rounds the start of the jump
    let lag = gauge.lag_s.max(1e-3);
    let lag = if (lag - jump_s).abs() < 0.01 {
        1.02 * jump_s
    } else {
        lag
    };
    let moving = |x: f64| {
        if x <= 0.0 {
            return -before;
        }
        let (fast, slow) = ((-x / lag).exp(), (-x / jump_s).exp());
        let jumping = jump / (jump_s - lag) * (slow - fast);
        -(before + (later - before) * (1.0 - fast) + jumping)
    };
    let jumped = |x: f64| {
        let x = x.max(0.0);
        let (fast, slow) = ((-x / lag).exp(), (-x / jump_s).exp());
        1.0 - (jump_s * slow - lag * fast) / (jump_s - lag)
    };
    let others = [
        design.free(|_| 1.0),
        design.free(|x| x.min(0.0)),
        design.free(|x| x.max(0.0)),
        design.free(jumped),
    ];
    let curve = design.curve(moving);
    1.0 / design.significance(&curve, &others).max(1e-9)
}
