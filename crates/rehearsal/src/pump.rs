//! The rotary vane pump and its oil.

use vacuum::Pressure;

use crate::{
    gas::{AIR, GASES, REFRIGERANT, WATER},
    rng::{Rng, Wander},
    sources::saturation_pa,
};

/// How oil foams.
#[derive(Debug, Clone)]
pub(crate) struct Foam {
    /// Share of the pumped gas that dissolves in the oil, per litre of oil's
    /// holding power: pressure of dissolved gas gained per Pa·L pumped, Pa.
    pub(crate) laden_per_pa_l: f64,
    /// Time in which agitated oil rids itself of gas, s.
    pub(crate) clears_agitated_s: f64,
    /// The same once the flow is reduced, s.
    pub(crate) clears_calm_s: f64,
    /// Roughness: standard deviation of the logarithm of the bubble pressure.
    pub(crate) roughness: f64,
    /// Pressure of the dissolved gas, Pa.
    pub(crate) dissolved_pa: f64,
    fast: Wander,
    slow: Wander,
    burst: f64,
}

impl Foam {
    pub(crate) fn new(rng: &mut Rng) -> Self {
        Self {
            laden_per_pa_l: 0.0,
            clears_agitated_s: 2500.0,
            clears_calm_s: 18.0,
            roughness: 0.3,
            dissolved_pa: 0.0,
            fast: Wander::new(rng.range(0.6, 2.0), rng),
            slow: Wander::new(rng.range(5.0, 14.0), rng),
            burst: 0.0,
        }
    }
}

/// A pump.
#[derive(Debug, Clone)]
pub(crate) struct Pump {
    pub(crate) running: bool,
    /// Free-air displacement, L/s.
    pub(crate) speed_l_per_s: f64,
    /// Share of the speed lost at atmospheric pressure.
    pub(crate) droop: f64,
    /// Lowest inlet pressure on clean oil, Pa.
    pub(crate) ultimate_pa: f64,
    /// Air that comes back through it when it stands, L/s against atmosphere.
    pub(crate) backflow_l_per_s: f64,
    pub(crate) ballast: bool,
    /// Water taken up by the oil, Pa·L.
    pub(crate) oil_water: f64,
    /// Oil's holding power for water, L.
    pub(crate) oil_henry_l: f64,
    pub(crate) foam: Option<Foam>,
}

/// Share of the pumped water that stays in the oil, without and with gas ballast.
const WATER_STAYS: [f64; 2] = [0.02, 0.001];
/// Time in which warm oil gives water up to the exhaust, without and with ballast, s.
const WATER_LEAVES_S: [f64; 2] = [2500.0, 300.0];
/// Temperature of the oil in a running pump, °C.
const OIL_C: f64 = 45.0;

/// What the pump does at its inlet over a step: speed, and the pressure that
/// streams back for each gas.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pull {
    pub(crate) speed: f64,
    pub(crate) back_pa: [f64; GASES],
}

impl Pump {
    /// A pump with clean oil.
    pub(crate) fn new(speed_l_per_s: f64, ultimate_pa: f64) -> Self {
        Self {
            running: true,
            speed_l_per_s,
            droop: 0.12,
            ultimate_pa,
            backflow_l_per_s: 5e-4,
            ballast: false,
            oil_water: 0.0,
            oil_henry_l: 60.0,
            foam: None,
        }
    }

    /// True while gas from the oil, not from the system, sets the inlet pressure.
    pub(crate) fn is_foaming(&self, inlet_pa: f64, opening: f64) -> bool {
        self.foam.as_ref().is_some_and(|f| {
            self.running
                && opening > 0.3
                && f.dissolved_pa > 40.0
                && f.dissolved_pa > 0.4 * inlet_pa
        })
    }

    /// The pull over the next `dt_s`.
    pub(crate) fn pull(&mut self, inlet_pa: f64, opening: f64, dt_s: f64, rng: &mut Rng) -> Pull {
        let atmosphere = Pressure::ATMOSPHERE.pa();
        let mut back = [0.0; GASES];
        if !self.running {
            // a standing pump lets its exhaust air back, and oil vapour with it
            back[AIR] = atmosphere;
            return Pull {
                speed: self.backflow_l_per_s,
                back_pa: back,
            };
        }
        let mut speed = self.speed_l_per_s * (1.0 - self.droop * inlet_pa / atmosphere);
        back[AIR] = if self.ballast {
            self.ultimate_pa * 4.0
        } else {
            self.ultimate_pa
        };
        back[WATER] = (self.oil_water / self.oil_henry_l).min(saturation_pa(OIL_C));
        if let Some(f) = &mut self.foam {
            let agitated = opening > 0.3 && f.dissolved_pa > 0.3 * inlet_pa;
            let x = 0.75 * f.fast.step(dt_s, rng) + 0.66 * f.slow.step(dt_s, rng);
            f.burst *= (-dt_s / 1.5).exp();
            if agitated && rng.chance(dt_s / 12.0) {
                f.burst += rng.range(0.3, 1.2);
            }
            let rough = if agitated { f.roughness } else { 0.0 };
            back[AIR] += f.dissolved_pa * ((rough * (x + f.burst)).exp());
            if agitated {
                speed *= 0.7;
            }
        }
        Pull {
            speed,
            back_pa: back,
        }
    }

    /// Books what was pumped, Pa·L of each gas (negative: came back).
    pub(crate) fn book(&mut self, pumped: &[f64; GASES], opening: f64, dt_s: f64) {
        if !self.running {
            return;
        }
        let i = usize::from(self.ballast);
        self.oil_water += WATER_STAYS[i] * pumped[WATER];
        self.oil_water = (self.oil_water * (1.0 - dt_s / WATER_LEAVES_S[i])).max(0.0);
        if let Some(f) = &mut self.foam {
            // oil takes up refrigerant far more readily than air
            let taken = 0.4 * pumped[AIR] + pumped[REFRIGERANT];
            let clears = if opening > 0.3 {
                f.clears_agitated_s
            } else {
                f.clears_calm_s
            };
            f.dissolved_pa += f.laden_per_pa_l * taken;
            f.dissolved_pa = (f.dissolved_pa * (-dt_s / clears).exp()).max(0.0);
        }
    }
}
