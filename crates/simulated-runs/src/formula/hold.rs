//! Closed formulas of a hold.

use vacuum::water;

/// One standard atmosphere, micron.
pub(super) const ATMOSPHERE_MICRON: f64 = 760_000.0;

/// Ratio of inner to outer pressure up to which air comes in at the speed of
/// sound, hence at a constant rate (0.528 for air; rounded).
const CRITICAL: f64 = 0.5;

/// How something volatile comes out, all starting from 0 at isolation.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Volatile {
    /// b·(1 − exp(−h/τ)).
    Simple { rise: f64, tau_s: f64 },
    /// Two stores of their own speed.
    Double {
        rise: f64,
        tau_s: f64,
        share: f64,
        second_s: f64,
    },
    /// b·(1 − exp(−(h/τ)^β)): many stores of many speeds (Kohlrausch).
    Stretched { rise: f64, tau_s: f64, beta: f64 },
    /// Diffusion out of a plane sheet, √h at first, then exponential
    /// (Crank, The Mathematics of Diffusion, eq. 4.18; from memory);
    /// τ is that of its slowest mode.
    Sheet { rise: f64, tau_s: f64 },
    /// Liquid or ice at its saturation pressure while it warms up again:
    /// (p_sat(T(h)) − p0)·(1 − exp(−h/τ)), T(h) = T∞ − ΔT·exp(−h/τ_w).
    Pool {
        from_micron: f64,
        tau_s: f64,
        end_c: f64,
        below_k: f64,
        warming_s: f64,
    },
}

impl Volatile {
    /// Rise after `h` s, micron.
    pub(super) fn at(&self, h: f64) -> f64 {
        match *self {
            Self::Simple { rise, tau_s } => rise * settled(h, tau_s),
            Self::Double {
                rise,
                tau_s,
                share,
                second_s,
            } => rise * (share * settled(h, tau_s) + (1.0 - share) * settled(h, second_s)),
            Self::Stretched { rise, tau_s, beta } => {
                -rise * (-(h.max(0.0) / tau_s).powf(beta)).exp_m1()
            }
            Self::Sheet { rise, tau_s } => rise * sheet(h / tau_s),
            Self::Pool {
                from_micron,
                tau_s,
                end_c,
                below_k,
                warming_s,
            } => {
                let c = end_c - below_k * (-h.max(0.0) / warming_s).exp();
                (saturation_micron(c) - from_micron) * settled(h, tau_s)
            }
        }
    }

    /// The same with its times multiplied by `stretch`.
    pub(super) fn slower(&self, stretch: f64) -> Self {
        let mut out = self.clone();
        match &mut out {
            Self::Simple { tau_s, .. }
            | Self::Stretched { tau_s, .. }
            | Self::Sheet { tau_s, .. }
            | Self::Pool { tau_s, .. } => *tau_s *= stretch,
            Self::Double { tau_s, .. } => *tau_s *= stretch,
        }
        out
    }

    /// The same with its own shape parameter a little changed; `None` when it
    /// has none beside rise and time.
    pub(super) fn bent(&self, by: f64) -> Option<Self> {
        let mut out = self.clone();
        match &mut out {
            Self::Simple { .. } | Self::Sheet { .. } => return None,
            Self::Double { second_s, .. } => *second_s *= 1.0 + by,
            Self::Stretched { beta, .. } => *beta *= 1.0 + by,
            Self::Pool { warming_s, .. } => *warming_s *= 1.0 + by,
        }
        Some(out)
    }

    /// The slowest time that matters, s.
    pub(super) fn slowest_s(&self) -> f64 {
        match *self {
            Self::Simple { tau_s, .. } | Self::Sheet { tau_s, .. } => tau_s,
            Self::Double {
                tau_s,
                second_s,
                share,
                ..
            } => {
                if share < 0.85 {
                    tau_s.max(second_s)
                } else {
                    tau_s
                }
            }
            // time to lose the last of three e-folds, compared with an exponential
            Self::Stretched { tau_s, beta, .. } => tau_s * 3f64.powf(1.0 / beta) / 3.0,
            Self::Pool {
                tau_s, warming_s, ..
            } => tau_s.max(warming_s),
        }
    }

    /// A word for descriptions.
    pub(super) fn word(&self) -> &'static str {
        match self {
            Self::Simple { .. } => "simple",
            Self::Double { .. } => "double",
            Self::Stretched { .. } => "stretched",
            Self::Sheet { .. } => "sheet",
            Self::Pool { .. } => "pool",
        }
    }
}

/// 1 − exp(−h/τ).
pub(super) fn settled(h: f64, tau_s: f64) -> f64 {
    -(-h.max(0.0) / tau_s).exp_m1()
}

/// Fraction given off by a plane sheet after `x` times of its slowest mode.
fn sheet(x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let pi2 = std::f64::consts::PI.powi(2);
    if x < 0.15 {
        // Dt/l² = 4x/π² for a sheet of thickness 2l; short times go with the root
        return 2.0 * (4.0 * x / pi2 / std::f64::consts::PI).sqrt();
    }
    let left: f64 = (0..6)
        .map(|n| {
            let odd = f64::from(2 * n + 1).powi(2);
            8.0 / (odd * pi2) * (-odd * x).exp()
        })
        .sum();
    1.0 - left
}

/// Saturation pressure of water, micron, at −60 to 60 °C.
pub(super) fn saturation_micron(celsius: f64) -> f64 {
    let (low, high) = water::RANGE_C;
    water::saturation_pressure(celsius.clamp(low, high)).map_or(0.0, |p| p.micron())
}

/// A hold from isolation on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hold {
    /// Pressure at isolation, micron.
    pub(super) start: f64,
    /// Equalisation jump, micron.
    pub(super) jump: f64,
    pub(super) jump_s: f64,
    /// Air coming in, micron/min, 0 when tight.
    pub(super) leak_per_min: f64,
    pub(super) volatile: Option<Volatile>,
    /// The little dissolved gas of every system.
    pub(super) gas: (f64, f64),
    /// Slow fall by sorption.
    pub(super) fall: (f64, f64),
    /// Gas through the capillary tube.
    pub(super) bleed: (f64, f64),
    /// Warming of the whole system, K/s, at `celsius`.
    pub(super) drift_k_per_s: f64,
    pub(super) celsius: f64,
}

impl Hold {
    /// Air that came in through the leak after `h` s, micron.
    ///
    /// Constant inflow up to half an atmosphere; beyond, the usual ellipse in
    /// place of the nozzle formula, whose solution is a quarter of a sine.
    pub(super) fn leak(&self, h: f64) -> f64 {
        let rate = self.leak_per_min / 60.0;
        let straight = rate * h.max(0.0);
        let room = (CRITICAL * ATMOSPHERE_MICRON - self.start).max(0.0);
        if straight <= room {
            return straight;
        }
        let left = ATMOSPHERE_MICRON * (1.0 - CRITICAL);
        let angle = ((straight - room) / left).min(std::f64::consts::FRAC_PI_2);
        room + left * angle.sin()
    }

    /// Rise by water and the like, micron.
    pub(super) fn volatile(&self, h: f64) -> f64 {
        self.volatile.as_ref().map_or(0.0, |v| v.at(h))
    }

    pub(super) fn gas(&self, h: f64) -> f64 {
        self.gas.0 * settled(h, self.gas.1)
    }

    pub(super) fn bleed(&self, h: f64) -> f64 {
        self.bleed.0 * settled(h, self.bleed.1)
    }

    pub(super) fn fall(&self, h: f64) -> f64 {
        self.fall.0 * settled(h, self.fall.1)
    }

    /// Absolute temperature over that at isolation.
    pub(super) fn warmth(&self, h: f64) -> f64 {
        1.0 + self.drift_k_per_s * h / (self.celsius + 273.15)
    }

    /// True pressure, micron.
    pub(super) fn at(&self, h: f64) -> f64 {
        let cold = self.start
            + self.jump * settled(h, self.jump_s)
            + self.leak(h)
            + self.volatile(h)
            + self.gas(h)
            + self.bleed(h)
            - self.fall(h);
        (cold * self.warmth(h)).max(0.5)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_goes_with_the_root_and_then_like_an_exponential() {
        // where the two series meet they agree
        let (below, above) = (sheet(0.1499), sheet(0.1501));
        assert!((below - above).abs() < 1e-3, "{below} {above}");
        assert!((sheet(0.04) / sheet(0.01) - 2.0).abs() < 1e-9);
        // half is out at Dt/l² = 0.197 for half-thickness l (Crank, from memory)
        let half = 0.197 * std::f64::consts::PI.powi(2) / 4.0;
        assert!((sheet(half) - 0.5).abs() < 2e-3, "{}", sheet(half));
    }

    fn tight(start: f64) -> Hold {
        Hold {
            start,
            jump: 0.0,
            jump_s: 5.0,
            leak_per_min: 0.0,
            volatile: None,
            gas: (0.0, 100.0),
            fall: (0.0, 100.0),
            bleed: (0.0, 100.0),
            drift_k_per_s: 0.0,
            celsius: 20.0,
        }
    }

    #[test]
    fn a_leak_is_straight_to_half_an_atmosphere_and_ends_at_one() {
        let hold = Hold {
            leak_per_min: 60_000.0,
            ..tight(300.0)
        };
        let half_s = (0.5 * ATMOSPHERE_MICRON - 300.0) / 1000.0;
        assert!((hold.at(half_s) - 0.5 * ATMOSPHERE_MICRON).abs() < 1e-6);
        assert!((hold.at(0.5 * half_s) - hold.at(0.0) - 500.0 * half_s).abs() < 1e-6);
        // no step in the rate, then ever slower, then the air outside
        let rate = |h: f64| hold.at(h + 0.5) - hold.at(h - 0.5);
        assert!((rate(half_s + 1.0) - 1000.0).abs() < 1.0);
        assert!(rate(half_s + 300.0) < 900.0);
        assert!((hold.at(1e5) - ATMOSPHERE_MICRON).abs() < 1e-3);
    }

    #[test]
    fn a_pool_ends_at_the_saturation_pressure() {
        let hold = Hold {
            volatile: Some(Volatile::Pool {
                from_micron: 300.0,
                tau_s: 100.0,
                end_c: 20.0,
                below_k: 5.0,
                warming_s: 200.0,
            }),
            ..tight(300.0)
        };
        // 17545.6 micron at 20 °C (IAPWS-IF97)
        assert!((hold.at(1e5) - 17_545.6).abs() < 1.0);
    }
}
