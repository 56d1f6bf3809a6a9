//! A whole run as pieces of closed formulas, one after the other.

use super::hold::{Hold, saturation_micron};

/// What the pressure does in one piece; `x` is seconds since its start.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Shape {
    /// Level.
    Still(f64),
    /// floor + Σ a·exp(−x/τ) + A/(1 + x/τ)^n.
    Pump {
        floor: f64,
        terms: Vec<(f64, f64)>,
        tail: Option<(f64, f64, f64)>,
    },
    /// level·exp(drift·x)·exp(rough·z(x)): z hunts between knots 1 s apart.
    Foam {
        from: f64,
        level: f64,
        drift_per_s: f64,
        rough: f64,
        knots: Vec<f64>,
    },
    /// Saturation pressure of water that cools itself from one temperature to another.
    Boil {
        from: f64,
        warm_c: f64,
        cold_c: f64,
        tau_s: f64,
    },
    /// from + slope·x + gap·(1 − exp(−x/τ)): gas let in.
    Inflow {
        from: f64,
        per_s: f64,
        gap: f64,
        tau_s: f64,
    },
    /// A hold that began so many seconds before the piece.
    Hold(Hold, f64),
}

impl Shape {
    fn at(&self, x: f64) -> f64 {
        match self {
            Self::Still(level) => *level,
            Self::Pump { floor, terms, tail } => {
                let sum: f64 = terms.iter().map(|(a, tau)| a * (-x / tau).exp()).sum();
                let tail = tail.map_or(0.0, |(a, tau, n)| a * (1.0 + x / tau).powf(-n));
                floor + sum + tail
            }
            Self::Foam {
                from,
                level,
                drift_per_s,
                rough,
                knots,
            } => {
                let last = knots.len().saturating_sub(1);
                let i = (x.max(0.0) as usize).min(last);
                let (a, b) = (knots[i], knots[(i + 1).min(last)]);
                let z = a + (b - a) * (x - i as f64).clamp(0.0, 1.0);
                let grown = 1.0 - (-x / 4.0).exp();
                let approach = (from - level) * (-x / 4.0).exp();
                (level + approach) * (drift_per_s * x + rough * z * grown).exp()
            }
            Self::Boil {
                from,
                warm_c,
                cold_c,
                tau_s,
            } => {
                let c = cold_c + (warm_c - cold_c) * (-x / tau_s).exp();
                let approach = (from - saturation_micron(*warm_c)) * (-x / 8.0).exp();
                saturation_micron(c) + approach
            }
            Self::Inflow {
                from,
                per_s,
                gap,
                tau_s,
            } => from + per_s * x - gap * (-x / tau_s).exp_m1(),
            Self::Hold(hold, before_s) => hold.at(x + before_s),
        }
    }
}

/// A valve shut for a moment: the excess it leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blip {
    pub(super) start_s: f64,
    pub(super) shut_s: f64,
    /// Jump and slope of the excess, micron and micron/s.
    pub(super) jump: f64,
    pub(super) per_s: f64,
    /// How fast it is pumped away, s.
    pub(super) back_s: f64,
}

impl Blip {
    fn at(&self, t: f64) -> f64 {
        let x = t - self.start_s;
        if x <= 0.0 {
            return 0.0;
        }
        let grown = |x: f64| -self.jump * (-x / 2.0).exp_m1() + self.per_s * x;
        if x < self.shut_s {
            grown(x)
        } else {
            grown(self.shut_s) * (-(x - self.shut_s) / self.back_s).exp()
        }
    }
}

/// Pieces in order, from 0 s on.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Track {
    pieces: Vec<(f64, Shape)>,
    pub(super) blips: Vec<Blip>,
    pub(super) end_s: f64,
}

impl Track {
    /// Goes on with `shape` from `end_s` for `length_s`.
    pub(super) fn add(&mut self, shape: Shape, length_s: f64) {
        self.pieces.push((self.end_s, shape));
        self.end_s += length_s.max(0.0);
    }

    /// Goes on with `shape` until it comes below `micron`, or for `most_s`.
    pub(super) fn add_until(&mut self, shape: Shape, micron: f64, most_s: f64) {
        let mut x = 0.0;
        while x < most_s && shape.at(x) > micron {
            x += 1.0;
        }
        self.add(shape, x);
    }

    /// Keeps the last piece up for another `length_s`.
    pub(super) fn dwell(&mut self, length_s: f64) {
        self.end_s += length_s.max(0.0);
    }

    /// Noise-free true pressure, micron.
    pub(super) fn at(&self, t: f64) -> f64 {
        let i = self.pieces.partition_point(|p| p.0 <= t).max(1) - 1;
        let level = self.pieces.get(i).map_or(0.0, |(from, s)| s.at(t - from));
        level + self.blips.iter().map(|b| b.at(t)).sum::<f64>()
    }

    /// Pressure at the end of what there is so far, micron.
    pub(super) fn last(&self) -> f64 {
        // the piece that ends here, not a later one
        self.at(self.end_s)
    }

    /// True while a pump formula rules at `t`.
    pub(super) fn pumps(&self, t: f64) -> bool {
        let i = self.pieces.partition_point(|p| p.0 <= t).max(1) - 1;
        matches!(self.pieces.get(i), Some((_, Shape::Pump { .. })))
    }
}
