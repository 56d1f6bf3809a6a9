//! What the pressure truly does.

use rehearsal::rng::Rng;

/// What the pump does once it is near its floor.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Pumping {
    /// Goes on down by its power law.
    Steady,
    /// Warms up: rises as ln(1 + t/τ), by this share at the end.
    Drifts(f64),
    /// Hunts: two sines whose periods have no common measure, of this share.
    Hunts(f64, f64),
    /// Moves in steps, each of this share, every so many seconds.
    Steps(f64, f64),
    /// Its valve was shut for a moment: share, when, for how long.
    Blips(f64, f64, f64),
}

/// How hose and system come to one pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Equalises {
    /// tanh(u/τ): viscous flow through a choke into a small volume.
    Tanh,
    /// u/(u + τ).
    Hyperbola,
}

/// How the pressure goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Rise {
    /// u.
    Straight,
    /// u to this power.
    Power(f64),
    /// ln(1 + u/τ).
    Logarithm(f64),
    /// arctan(u/τ).
    Arctangent(f64),
}

impl Rise {
    fn shape(self, u: f64) -> f64 {
        match self {
            Self::Straight => u,
            Self::Power(n) => u.powf(n),
            Self::Logarithm(tau) => (u / tau).ln_1p(),
            Self::Arctangent(tau) => (u / tau).atan(),
        }
    }
}

/// A pull-down and a hold.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Story {
    floor_micron: f64,
    /// Time scale and power of the pull-down.
    down: (f64, f64),
    pumping: Pumping,
    /// When the valve was to be shut, s: what the pump does is laid out for that.
    plan_s: f64,
    /// When it was, s.
    pub(super) shut_s: f64,
    pub(super) end_s: f64,
    /// Height over the pressure at isolation, either sign, and time scale, s.
    jump: (f64, f64),
    equalises: Equalises,
    rise: Rise,
    /// Rise over the whole hold, micron; below zero where gas is taken up.
    rise_micron: f64,
    hold_s: f64,
}

impl Story {
    pub(super) fn draw(rng: &mut Rng) -> Self {
        let shut_s = rng.log_range(420.0, 3_000.0);
        let hold_s = rng.log_range(480.0, 2_700.0);
        let floor_micron = rng.log_range(25.0, 450.0);
        let power = rng.range(3.0, 6.0);
        // how far above its floor the pump still is when the valve is shut
        let left = rng.log_range(0.003, 0.4) * floor_micron;
        let scale_s = shut_s / ((760_000.0 / left).powf(1.0 / power) - 1.0);
        let pumping = match (rng.unit() * 6.0) as u32 {
            0 | 1 => Pumping::Steady,
            2 => Pumping::Drifts(rng.log_range(0.01, 0.12)),
            3 => Pumping::Hunts(rng.log_range(0.005, 0.08), rng.log_range(6.0, 90.0)),
            4 => Pumping::Steps(
                rng.log_range(0.01, 0.15) * rng.pick(&[-1.0, 1.0]),
                rng.log_range(60.0, 400.0),
            ),
            _ => Pumping::Blips(
                rng.log_range(0.05, 1.5),
                rng.range(0.4, 0.85) * shut_s,
                rng.log_range(4.0, 80.0),
            ),
        };
        let jump = match (rng.unit() * 4.0) as u32 {
            0 => 0.0,
            1 => -rng.log_range(0.01, 0.3),
            2 => rng.log_range(0.01, 0.2),
            _ => rng.log_range(0.1, 2.0),
        };
        let rise = match (rng.unit() * 5.0) as u32 {
            0 | 1 => Rise::Straight,
            2 => Rise::Power(rng.range(0.5, 0.85)),
            3 => Rise::Logarithm(rng.log_range(20.0, 600.0)),
            _ => Rise::Arctangent(rng.log_range(30.0, 1_500.0)),
        };
        let mut rise_micron = rng.log_range(0.04, 12.0) * floor_micron;
        // gas is taken up only where the jump still shows when the valve was shut
        if jump > 0.2 && rng.chance(0.15) {
            rise_micron = -rng.range(0.05, 0.3) * jump * floor_micron;
        }
        Self {
            floor_micron,
            down: (scale_s, power),
            pumping,
            plan_s: shut_s,
            shut_s,
            end_s: shut_s + hold_s,
            jump: (jump, rng.log_range(0.5, 20.0)),
            equalises: rng.pick(&[Equalises::Tanh, Equalises::Hyperbola]),
            rise,
            rise_micron,
            hold_s,
        }
    }

    /// The same, with the valve shut so much later.
    pub(super) fn shut_later(&self, by_s: f64) -> Self {
        Self {
            shut_s: self.shut_s + by_s,
            ..self.clone()
        }
    }

    /// The same, rising by this share more.
    pub(super) fn rising_more(&self, share: f64) -> Self {
        Self {
            rise_micron: self.rise_micron * (1.0 + share),
            ..self.clone()
        }
    }

    /// The same, with a jump higher by this share of the pressure.
    pub(super) fn jumping_more(&self, share: f64) -> Self {
        Self {
            jump: (self.jump.0 + share, self.jump.1),
            ..self.clone()
        }
    }

    /// The same, equalising slower by this share.
    pub(super) fn equalising_slower(&self, share: f64) -> Self {
        Self {
            jump: (self.jump.0, self.jump.1 * (1.0 + share)),
            ..self.clone()
        }
    }

    /// True when there is anything to equalise.
    pub(super) fn jumps(&self) -> bool {
        self.jump.0 != 0.0
    }

    /// When the valve was to be shut, s.
    pub(super) fn plan_s(&self) -> f64 {
        self.plan_s
    }

    /// How much the pump hunts, as noise over pressure of readings that come every
    /// `interval_s` and tell no more than four a period.
    pub(super) fn restless(&self, interval_s: f64) -> f64 {
        match self.pumping {
            // √(0.7²/2 + 0.5²/2)
            Pumping::Hunts(share, period_s) => {
                0.61 * share * (0.25 * period_s / interval_s).max(1.0).sqrt()
            }
            _ => 0.0,
        }
    }

    pub(super) fn family(&self) -> &'static str {
        match self.pumping {
            Pumping::Steady => "steady",
            Pumping::Drifts(_) => "drifts",
            Pumping::Hunts(..) => "hunts",
            Pumping::Steps(..) => "steps",
            Pumping::Blips(..) => "blips",
        }
    }

    /// Under the pump.
    fn pumped(&self, t: f64) -> f64 {
        let (scale_s, power) = self.down;
        let plain = self.floor_micron + 760_000.0 * (1.0 + t / scale_s).powf(-power);
        let share = match self.pumping {
            Pumping::Steady => 0.0,
            Pumping::Drifts(share) => {
                let tau_s = 0.1 * self.plan_s;
                share * (t / tau_s).ln_1p() / (self.plan_s / tau_s).ln_1p()
            }
            Pumping::Hunts(share, period_s) => {
                let turn = std::f64::consts::TAU * t / period_s;
                share * (0.7 * turn.sin() + 0.5 * (turn * 0.618_034 + 1.0).sin())
            }
            Pumping::Steps(share, every_s) => {
                // up and down by turns, with a third step between
                let step = |from_s: f64| 0.5 * (1.0 + ((t - from_s) / 3.0).tanh());
                let count = (self.plan_s / every_s) as u32;
                (1..=count)
                    .map(|i| {
                        let sign = if i % 3 == 0 { -1.5 } else { 0.75 };
                        // none within a minute before the valve: that could be the valve
                        let at = f64::from(i) * every_s;
                        if at > self.plan_s - 60.0 {
                            0.0
                        } else {
                            sign * share * step(at)
                        }
                    })
                    .sum()
            }
            Pumping::Blips(share, at_s, lasts_s) => {
                let u = t - at_s;
                if u <= 0.0 {
                    0.0
                } else if u < lasts_s {
                    share * (u / lasts_s).sqrt()
                } else {
                    let v = (u - lasts_s) / 6.0;
                    share / (1.0 + v * v)
                }
            }
        };
        plain * (1.0 + share)
    }

    /// True pressure, micron.
    pub(super) fn at(&self, t: f64) -> f64 {
        if t <= self.shut_s {
            return self.pumped(t.max(0.0));
        }
        let begun = self.pumped(self.shut_s);
        let u = t - self.shut_s;
        let (height, tau_s) = self.jump;
        let settled = match self.equalises {
            Equalises::Tanh => (u / tau_s).tanh(),
            Equalises::Hyperbola => u / (u + tau_s),
        };
        let risen = self.rise.shape(u) / self.rise.shape(self.hold_s);
        begun * (1.0 + height * settled) + self.rise_micron * risen
    }
}
