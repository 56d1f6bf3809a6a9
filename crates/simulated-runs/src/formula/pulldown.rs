//! Random pull-downs.

use vacuum::{Entry, MarkKind};

use super::{
    draw::{self, Aim},
    hold::{ATMOSPHERE_MICRON, saturation_micron},
    indicator::mark,
    track::{Blip, Shape, Track},
};
use rehearsal::{
    ExpectedStall, TrueStall,
    rng::{Rng, Wander},
};

/// What happens on the way down or at its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Twist {
    Plain,
    Foam,
    BoilOff,
    Choked,
    HighFloor,
    Blips,
    Rounds,
    PumpStopped,
    StartsIsolated,
    NeverIsolated,
    OneSide,
    Outage,
}

const TWISTS: [(Twist, f64, &str); 12] = [
    (Twist::Plain, 38.0, "formula plain"),
    (Twist::Foam, 14.0, "formula foam"),
    (Twist::BoilOff, 11.0, "formula boil-off"),
    (Twist::Choked, 4.0, "formula choked"),
    (Twist::HighFloor, 4.0, "formula high floor"),
    (Twist::Blips, 6.0, "formula blips"),
    (Twist::Rounds, 6.0, "formula rounds"),
    (Twist::PumpStopped, 4.0, "formula pump stopped"),
    (Twist::StartsIsolated, 5.0, "formula starts isolated"),
    (Twist::NeverIsolated, 2.0, "formula never isolated"),
    (Twist::OneSide, 4.0, "formula one side"),
    (Twist::Outage, 4.0, "formula outage"),
];

pub(super) fn twist(rng: &mut Rng) -> (Twist, &'static str) {
    let mut at = rng.unit() * TWISTS.iter().map(|t| t.1).sum::<f64>();
    for (twist, weight, name) in TWISTS {
        at -= weight;
        if at <= 0.0 {
            return (twist, name);
        }
    }
    (Twist::Plain, TWISTS[0].2)
}

/// A pull-down as far as it has been drawn.
#[derive(Debug, Clone, Default)]
pub(super) struct Pulldown {
    pub(super) track: Track,
    /// Every act; dropped later when nobody marks.
    pub(super) marks: Vec<Entry>,
    /// Foaming and boil-off; hunting strength beside foaming.
    pub(super) stalls: Vec<(TrueStall, f64)>,
    /// Time constant of a choked line and when it began.
    pub(super) choked: Option<(f64, f64)>,
    /// Isolations before the last.
    pub(super) isolations_s: Vec<f64>,
    pub(super) celsius: f64,
    pub(super) floor: f64,
}

impl Pulldown {
    /// Draws one down to the moment of isolation.
    pub(super) fn draw(twist: Twist, celsius: f64, rng: &mut Rng) -> Self {
        let mut out = Self {
            celsius,
            floor: match twist {
                Twist::HighFloor => rng.log_range(520.0, 3000.0),
                _ => rng.log_range(20.0, 450.0),
            },
            ..Self::default()
        };
        let waits_s = if rng.chance(0.4) {
            rng.range(3.0, 60.0)
        } else {
            0.0
        };
        out.track.add(Shape::Still(ATMOSPHERE_MICRON), waits_s);
        out.note(MarkKind::ValveOpened);
        match twist {
            Twist::Foam => out.foam(rng),
            Twist::BoilOff => out.boil(rng),
            Twist::Rounds => {
                for _ in 0..1 + (rng.unit() * 2.0) as u32 {
                    out.round(rng);
                }
            }
            Twist::Choked => {
                let level = rng.log_range(3000.0, 40_000.0);
                out.descend(level, rng);
                out.choke(rng);
                out.track.dwell(rng.log_range(30.0, 600.0));
                return out;
            }
            _ => {}
        }
        out.finish(twist, rng);
        out
    }

    fn note(&mut self, kind: MarkKind) {
        self.marks.push(mark(self.track.end_s, kind));
    }

    /// Sum of exponentials, now and then with a power-law tail, from here to the floor.
    fn curve(&self, rng: &mut Rng) -> Shape {
        let above = (self.track.last() - self.floor).max(1.0);
        let slow = (rng.log_range(400.0, 6000.0)).min(0.6 * above);
        let late = rng.range(0.2, 1.5) * self.floor.min(slow);
        let (slow_s, late_s) = (rng.range(40.0, 300.0), rng.range(200.0, 900.0));
        let fast = |rest: f64, rng: &mut Rng| (rest, rng.log_range(8.0, 60.0));
        if rng.chance(0.25) {
            let n = rng.range(0.8, 1.6);
            let tail = Some((slow, rng.range(15.0, 80.0), n));
            let terms = vec![fast(above - slow, rng)];
            return Shape::Pump {
                floor: self.floor,
                terms,
                tail,
            };
        }
        let mut terms = vec![fast(above - slow, rng), (slow, slow_s)];
        if rng.chance(0.5) && late < slow {
            terms[1].0 -= late;
            terms.push((late, late_s));
        }
        Shape::Pump {
            floor: self.floor,
            terms,
            tail: None,
        }
    }

    /// Quickly down to about `level`.
    fn descend(&mut self, level: f64, rng: &mut Rng) {
        let from = self.track.last();
        let shape = Shape::Pump {
            floor: 0.8 * level,
            terms: vec![(from - 0.8 * level, rng.log_range(8.0, 45.0))],
            tail: None,
        };
        self.track.add_until(shape, level, 900.0);
    }

    fn foam(&mut self, rng: &mut Rng) {
        let level = rng.log_range(300.0, 20_000.0).max(1.6 * self.floor);
        let rough = rng.log_range(0.05, 0.4);
        let length_s = rng.log_range(60.0, 900.0);
        self.descend(1.15 * level, rng);
        let start_s = self.track.end_s;
        let shape = Shape::Foam {
            from: self.track.last(),
            level,
            drift_per_s: rng.range(-0.3, 0.1) / length_s,
            rough,
            knots: hunting(length_s, rng),
        };
        self.track.add(shape, length_s);
        self.stalls.push((
            TrueStall {
                kind: ExpectedStall::Foaming,
                also: None,
                start_s,
                end_s: self.track.end_s,
                level_micron: level,
                certain: length_s >= 90.0,
            },
            rough,
        ));
        if rng.chance(0.6) {
            self.note(MarkKind::Throttled);
            // at reduced flow for a while
            let from = self.track.last();
            let shape = Shape::Pump {
                floor: 0.6 * from,
                terms: vec![(0.4 * from, rng.range(20.0, 80.0))],
                tail: None,
            };
            self.track.add(shape, rng.range(20.0, 100.0));
            self.note(MarkKind::ValveOpened);
        }
    }

    fn boil(&mut self, rng: &mut Rng) {
        let warm_c = self.celsius - rng.range(0.0, 1.5);
        let cold_c = rng.range(-5.0, 5.0);
        let length_s = rng.log_range(120.0, 2000.0);
        let warm = saturation_micron(warm_c);
        self.descend(1.1 * warm, rng);
        let start_s = self.track.end_s;
        let shape = Shape::Boil {
            from: self.track.last(),
            warm_c,
            cold_c,
            tau_s: length_s * rng.log_range(0.25, 0.8),
        };
        self.track.add(shape, length_s);
        let end_s = self.track.end_s;
        // boiling down to the triple point, ice below it
        let triple = saturation_micron(0.01);
        let mut freezes_s = start_s;
        while freezes_s < end_s && self.track.at(freezes_s) > triple {
            freezes_s += 1.0;
        }
        let parts = [
            (ExpectedStall::BoilOff, start_s, freezes_s, warm),
            (ExpectedStall::Ice, freezes_s, end_s, triple),
        ];
        for (kind, start_s, end_s, from) in parts {
            let length_s = end_s - start_s;
            // one that falls an e-fold in less than 3 minutes stalls nobody
            let pace_s = length_s / (from / self.track.at(end_s - 1.0)).ln().max(0.1);
            if length_s < 60.0 {
                continue;
            }
            let level_micron = self.track.at(0.5 * (start_s + end_s));
            let near = (level_micron / triple).ln().abs() < 0.11;
            let other = match kind {
                ExpectedStall::Ice => ExpectedStall::BoilOff,
                _ => ExpectedStall::Ice,
            };
            let stall = TrueStall {
                kind,
                also: near.then_some(other),
                start_s,
                end_s,
                level_micron,
                certain: length_s >= 150.0 && pace_s > 180.0,
            };
            self.stalls.push((stall, 0.0));
        }
    }

    fn choke(&mut self, rng: &mut Rng) {
        let tau_s = rng.log_range(120.0, 600.0);
        let from = self.track.last();
        self.floor = self.floor.min(250.0);
        self.choked = Some((self.track.end_s, tau_s));
        let shape = Shape::Pump {
            floor: self.floor,
            terms: vec![(from - self.floor, tau_s)],
            tail: None,
        };
        let aim = (self.floor * 1.1).max(rng.range(250.0, 480.0));
        self.track.add_until(shape, aim, 4500.0);
    }

    /// A pull-down, a short hold, and a break with nitrogen.
    fn round(&mut self, rng: &mut Rng) {
        let shape = self.curve(rng);
        let level = rng.range(500.0, 2500.0).max(1.2 * self.floor);
        self.track.add_until(shape, level, 1500.0);
        self.track.dwell(rng.range(20.0, 300.0));
        self.isolations_s.push(self.track.end_s);
        self.note(MarkKind::PumpSideShut);
        let length_s = rng.range(30.0, 300.0);
        let aim = rng.pick(&[Aim::Tight, Aim::Moisture, Aim::Leak]);
        let hold = draw::hold(aim, self.track.last(), length_s, self.celsius, rng);
        self.track.add(Shape::Hold(hold, 0.0), length_s);
        self.note(MarkKind::NitrogenBreak);
        let (from, over_s) = (self.track.last(), rng.range(10.0, 60.0));
        let to = rng.log_range(40_000.0, 750_000.0);
        let fill = Shape::Inflow {
            from,
            per_s: (to - from) / over_s,
            gap: 0.0,
            tau_s: 1.0,
        };
        self.track.add(fill, over_s);
        let level = self.track.last();
        self.track.add(Shape::Still(level), rng.range(60.0, 400.0));
        self.note(MarkKind::ValveOpened);
    }

    fn finish(&mut self, twist: Twist, rng: &mut Rng) {
        let start_s = self.track.end_s;
        let shape = self.curve(rng);
        let near = self.floor * rng.range(1.03, 1.3);
        let aim = match twist {
            Twist::HighFloor => 1.05 * self.floor,
            _ => near.max(rng.range(150.0, 470.0)),
        };
        self.track.add_until(shape, aim, 4000.0);
        if twist == Twist::HighFloor {
            self.track.dwell(rng.range(300.0, 1500.0));
        } else {
            self.track.dwell(rng.log_range(20.0, 1200.0));
        }
        if twist == Twist::Blips {
            self.blips(start_s, rng);
        }
    }

    fn blips(&mut self, start_s: f64, rng: &mut Rng) {
        let length_s = self.track.end_s - start_s;
        let mut at = start_s + rng.range(0.2, 0.5) * length_s;
        for _ in 0..1 + (rng.unit() * 3.0) as u32 {
            let shut_s = rng.range(5.0, 60.0);
            let back_s = rng.log_range(1.5, 15.0);
            // pumped away again before the hold begins
            if at + shut_s + 8.0 * back_s > self.track.end_s {
                return;
            }
            let level = self.track.at(at);
            self.track.blips.push(Blip {
                start_s: at,
                shut_s,
                jump: rng.range(0.0, 0.6) * level,
                per_s: rng.range(0.0, 0.01) * level,
                back_s,
            });
            at += shut_s + 8.0 * back_s + rng.range(0.05, 0.3) * length_s;
        }
    }
}

/// Hunting of unit size, a knot a second: jumping between two levels, wandering,
/// or swinging.
fn hunting(length_s: f64, rng: &mut Rng) -> Vec<f64> {
    let count = length_s as usize + 2;
    match (rng.unit() * 3.0) as u32 {
        0 => {
            let stay_s = rng.log_range(3.0, 15.0);
            let mut side = 1.0;
            let flip = |side: &mut f64, rng: &mut Rng| {
                if rng.chance(1.0 / stay_s) {
                    *side = -*side;
                }
                *side
            };
            (0..count).map(|_| flip(&mut side, rng)).collect()
        }
        1 => {
            let mut wander = Wander::new(rng.log_range(2.0, 12.0), rng);
            (0..count).map(|_| wander.step(1.0, rng)).collect()
        }
        _ => {
            let period_s = rng.log_range(8.0, 40.0);
            let mut phase = rng.range(0.0, std::f64::consts::TAU);
            let mut size = Wander::new(30.0, rng);
            (0..count)
                .map(|_| {
                    phase += std::f64::consts::TAU / period_s * (1.0 + 0.3 * rng.normal());
                    let strength = 1.4 * (1.0 + 0.4 * size.step(1.0, rng));
                    strength * phase.sin()
                })
                .collect()
        }
    }
}
