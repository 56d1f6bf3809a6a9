//! System, hose and pump as two pressures and a flow between them.

use super::pocket::{G_PER_PA_L, Pocket};
use rehearsal::rng::{Rng, Wander};

/// Pressure of the room, Pa.
pub(super) const ATMOSPHERE_PA: f64 = 101_325.0;

/// Hose between system and pump.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hose {
    pub(super) bore_cm: f64,
    pub(super) length_cm: f64,
}

impl Hose {
    /// Conductance at a mean pressure, L/s: 1.35 d⁴p̄/l + 12.1 d³/l (cm, Pa; textbook
    /// values for air at 20 °C), no more than an open end of 20 L/s per cm².
    fn l_per_s(self, mean_pa: f64) -> f64 {
        let (d, l) = (self.bore_cm, self.length_cm);
        let tube = 1.35 * d.powi(4) * mean_pa / l + 12.1 * d.powi(3) / l;
        let end = 20.0 * std::f64::consts::FRAC_PI_4 * d * d;
        tube * end / (tube + end)
    }
}

/// Foam in the pump's oil.
#[derive(Debug, Clone)]
pub(super) struct Foam {
    /// Pressure of the gas in the oil, Pa.
    pub(super) gas_pa: f64,
    /// Start, s after the pump was connected.
    pub(super) starts_s: f64,
    /// Strength of the hunting of ln p.
    pub(super) rough: f64,
    /// Time in which the oil rids itself of gas at full and at reduced flow, s.
    pub(super) clears_s: [f64; 2],
    /// Gulps: time between them, s, and what is left of the last.
    pub(super) gulps_s: f64,
    pub(super) gulp: f64,
    pub(super) wander: Wander,
}

impl Foam {
    fn back_pa(&mut self, pumped_s: f64, opening: f64, dt_s: f64, rng: &mut Rng) -> f64 {
        if pumped_s < self.starts_s {
            return 0.0;
        }
        let calm = usize::from(opening < 0.3);
        self.gas_pa *= (-dt_s / self.clears_s[calm]).exp();
        self.gulp *= (-2.5 * dt_s / self.gulps_s).exp();
        if rng.chance(dt_s / self.gulps_s) {
            self.gulp += rng.range(0.8, 2.0);
        }
        let hunts = self.gulp - 0.5 + 0.6 * self.wander.step(dt_s, rng);
        let rough = if calm == 1 { 0.0 } else { self.rough };
        self.gas_pa * (rough * hunts).exp()
    }
}

/// Everything physical.
#[derive(Debug, Clone)]
pub(super) struct Rig {
    pub(super) volume_l: f64,
    pub(super) pump_l_per_s: f64,
    /// Lowest pressure on clean oil, and with the gas ballast open, Pa.
    pub(super) ultimate_pa: [f64; 2],
    pub(super) ballast: bool,
    pub(super) hose: Hose,
    /// Share of the hose's pressure drop that lies before the gauge.
    pub(super) tap: f64,
    /// Air that leaks in, Pa·L/s.
    pub(super) leak: f64,
    /// Outgassing q/(1 + t/t₀)ⁿ: Pa·L/s, s, power.
    pub(super) walls: (f64, f64, f64),
    /// Gas in the system's oil: Pa·L, and the time in which it leaves, s.
    pub(super) oil: (f64, f64),
    /// Share of pumped water that stays in the pump's oil and comes back, Pa per Pa·L.
    pub(super) pump_wets: f64,
    pub(super) pockets: Vec<Pocket>,
    pub(super) room_c: f64,
    /// Warmth applied, K, reached with its own time.
    pub(super) heat_k: f64,
    pub(super) warm_k: f64,
    pub(super) foam: Option<Foam>,
    /// Opening of the pump's valve, 0 to 1.
    pub(super) opening: f64,
    pub(super) nitrogen_pa_per_s: f64,
    pub(super) t_s: f64,
    /// Time under the pump, s.
    pub(super) pumped_s: f64,
    pub(super) air_pa: f64,
    pub(super) water_pa: f64,
    pub(super) inlet_pa: f64,
    pub(super) wet_oil_pa: f64,
    pub(super) rng: Rng,
}

/// Time in which wet pump oil gives its water to the exhaust, s: ballast shut, open.
const OIL_DRIES_S: [f64; 2] = [1_500.0, 200.0];
/// Time in which applied heat reaches the metal, s.
const HEATS_S: f64 = 90.0;

impl Rig {
    pub(super) fn total_pa(&self) -> f64 {
        self.air_pa + self.water_pa
    }

    /// Partial pressures at the gauge, air and water, Pa.
    pub(super) fn at_gauge_pa(&self) -> (f64, f64) {
        let total = self.total_pa();
        let felt = if self.opening > 0.0 {
            total - self.tap * (total - self.inlet_pa)
        } else {
            total
        };
        let water = self.water_pa / total;
        (felt * (1.0 - water), felt * water)
    }

    pub(super) fn is_foaming(&self) -> bool {
        self.foam.as_ref().is_some_and(|f| {
            self.opening > 0.3
                && self.pumped_s >= f.starts_s
                && f.gas_pa > 40.0
                && f.gas_pa > 0.4 * self.inlet_pa
        })
    }

    pub(super) fn step(&mut self, dt_s: f64) {
        self.t_s += dt_s;
        self.warm_k += (self.heat_k - self.warm_k) * dt_s / HEATS_S;
        let out_l_per_s = self.pull(dt_s);
        let (q, t0, n) = self.walls;
        let from_walls = q * (1.0 + self.t_s / t0).powf(-n);
        // warm oil lets go sooner
        let oil_s = self.oil.1 * (-0.02 * self.warm_k).exp();
        let from_oil = self.oil.0 / oil_s;
        self.oil.0 *= (-dt_s / oil_s).exp();
        let inside = self.total_pa() / ATMOSPHERE_PA;
        let leak = self.leak * (1.0 - inside * inside).max(0.0);
        let gain = leak + from_walls + from_oil;
        self.air_pa += dt_s * (gain / self.volume_l + self.nitrogen_pa_per_s);
        self.air_pa /= 1.0 + dt_s * out_l_per_s / self.volume_l;
        self.evaporate(out_l_per_s, dt_s);
    }

    /// Volume that leaves the system, L/s; what comes back is booked at once.
    fn pull(&mut self, dt_s: f64) -> f64 {
        if self.opening <= 0.0 {
            return 0.0;
        }
        self.pumped_s += dt_s;
        let i = usize::from(self.ballast);
        let foam = self.foam.as_mut().map_or(0.0, |f| {
            f.back_pa(self.pumped_s, self.opening, dt_s, &mut self.rng)
        });
        let back = self.ultimate_pa[i] + self.wet_oil_pa + foam;
        let total = self.total_pa();
        let mut c = 0.0;
        for _ in 0..4 {
            c = self.hose.l_per_s(0.5 * (total + self.inlet_pa)) * self.opening;
            let s = self.pump_l_per_s;
            self.inlet_pa = (s * back + c * total) / (s + c);
        }
        let flow = c * (total - self.inlet_pa);
        if flow < 0.0 {
            self.air_pa -= dt_s * flow / self.volume_l;
            return 0.0;
        }
        let water = flow * self.water_pa / total;
        self.wet_oil_pa += self.pump_wets * water * dt_s;
        self.wet_oil_pa *= (-dt_s / OIL_DRIES_S[i]).exp();
        flow / total
    }

    fn evaporate(&mut self, out_l_per_s: f64, dt_s: f64) {
        let around_c = self.room_c + self.warm_k;
        let leaves: Vec<f64> = self
            .pockets
            .iter()
            .map(|p| p.leaves_l_per_s(self.air_pa))
            .collect();
        let gain: f64 = self
            .pockets
            .iter()
            .zip(&leaves)
            .map(|(p, l)| l * p.vapour_pa())
            .sum();
        let loss = out_l_per_s + leaves.iter().sum::<f64>();
        self.water_pa =
            (self.water_pa + dt_s * gain / self.volume_l) / (1.0 + dt_s * loss / self.volume_l);
        for (pocket, leaves) in self.pockets.iter_mut().zip(leaves) {
            let flow = leaves * (pocket.vapour_pa() - self.water_pa);
            let grams = (flow * dt_s * G_PER_PA_L).min(pocket.mass_g());
            pocket.settle(grams, around_c, dt_s);
        }
    }
}
