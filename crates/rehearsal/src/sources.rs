//! Where gas comes from: leaks, pools of water, and gas held by oil and walls.

use vacuum::{Pressure, ZERO_CELSIUS_K};

use crate::gas::{REFERENCE_K, WATER};

/// How a leak's inflow falls as the inside fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeakLaw {
    /// Laminar channel: drive ∝ p_atm² − p².
    Laminar,
    /// Molecular channel: drive ∝ p_atm − p.
    Molecular,
    /// Choked hole: constant until the inside reaches 0.53 of the outside.
    Choked,
}

/// Air coming in from outside.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leak {
    pub(crate) node: usize,
    /// Throughput into vacuum, Pa·L/s.
    pub(crate) vacuum_pa_l_per_s: f64,
    pub(crate) law: LeakLaw,
}

impl Leak {
    /// Throughput against an inside pressure, Pa·L/s.
    pub(crate) fn inflow(&self, inside_pa: f64) -> f64 {
        let ratio = inside_pa / Pressure::ATMOSPHERE.pa();
        let drive = match self.law {
            LeakLaw::Laminar => 1.0 - ratio * ratio,
            LeakLaw::Molecular => 1.0 - ratio,
            LeakLaw::Choked if ratio < 0.528 => 1.0,
            // subsonic nozzle, normalised to 1 where choking ends
            LeakLaw::Choked => {
                let flow = ratio.powf(1.4286) - ratio.powf(1.7143);
                (flow.max(0.0) / 0.0670).sqrt()
            }
        };
        self.vacuum_pa_l_per_s * drive
    }
}

/// A source as the step sees it: inflow = `gain` − `uptake`·p, Pa·L/s.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Linear {
    pub(crate) gain: f64,
    pub(crate) uptake: f64,
}

/// Gas held by oil, walls or drier beads, giving itself up with one time
/// constant and taking gas back in proportion to its partial pressure (Henry).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Held {
    pub(crate) node: usize,
    pub(crate) gas: usize,
    /// Content, Pa·L.
    pub(crate) content: f64,
    /// Content in balance with 1 Pa, L.
    pub(crate) henry_l: f64,
    /// Time constant when pumped to nothing, s.
    pub(crate) time_s: f64,
}

/// Warming by one kelvin frees gas: share per kelvin. Water clings harder.
const FREED_PER_K: [f64; 3] = [0.006, 0.05, 0.03];

impl Held {
    pub(crate) fn linear(&self, dt_s: f64, warming_k: f64) -> Linear {
        let freed = (FREED_PER_K[self.gas] * warming_k).exp();
        let time = self.time_s / freed.sqrt();
        Linear {
            gain: self.content / (time + dt_s),
            uptake: self.henry_l / freed / (time + dt_s),
        }
    }
}

/// Liquid water or ice in a pocket of the system.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pool {
    pub(crate) node: usize,
    /// Water left, g.
    pub(crate) mass_g: f64,
    /// Of it frozen, g.
    pub(crate) frozen_g: f64,
    pub(crate) temperature_c: f64,
    /// Heat capacity of the metal that goes with it, J/K.
    pub(crate) metal_j_per_k: f64,
    /// Heat let in from the surroundings, W/K.
    pub(crate) warming_w_per_k: f64,
    /// Volume of vapour that can leave the surface, L/s.
    pub(crate) surface_l_per_s: f64,
}

/// Grams of water in 1 Pa·L at the reference temperature.
pub(crate) const WATER_G_PER_PA_L: f64 =
    vacuum::water::MOLAR_MASS_G_PER_MOL * 1e-3 / (vacuum::GAS_CONSTANT_J_PER_MOL_K * REFERENCE_K);
/// Heat of vaporisation near 10 °C and of fusion, J/g (from memory).
const VAPORISATION_J_PER_G: f64 = 2478.0;
const FUSION_J_PER_G: f64 = 334.0;
const WATER_J_PER_G_K: f64 = 4.19;
/// Gas constant of water vapour, J/(g·K).
const WATER_GAS_J_PER_G_K: f64 = 0.4615;

impl Pool {
    fn latent_j_per_g(&self) -> f64 {
        if self.all_ice() {
            VAPORISATION_J_PER_G + FUSION_J_PER_G
        } else {
            VAPORISATION_J_PER_G
        }
    }

    fn all_ice(&self) -> bool {
        self.frozen_g >= self.mass_g * 0.999
    }

    fn capacity(&self) -> f64 {
        self.metal_j_per_k + self.mass_g * WATER_J_PER_G_K
    }

    /// While some of it is ice and some water, heat changes the share, not the
    /// temperature.
    fn half_frozen(&self) -> bool {
        self.frozen_g > 0.0 && !self.all_ice()
    }

    /// Evaporation over the step with its own cooling taken in implicitly, so
    /// that a thirsty pump cannot make the step unstable.
    pub(crate) fn linear(&self, dt_s: f64, surroundings_c: f64, air_pa: f64) -> Linear {
        // air above the surface holds the vapour back
        let surface = self.surface_l_per_s / (1.0 + air_pa / 400.0);
        let capacity = self.capacity();
        let pull = dt_s * self.warming_w_per_k / capacity;
        let (ahead_c, cooling) = if self.half_frozen() {
            (self.temperature_c, 0.0)
        } else {
            let ahead = (self.temperature_c + pull * surroundings_c) / (1.0 + pull);
            let per_pa_l = self.latent_j_per_g() * WATER_G_PER_PA_L;
            (ahead, dt_s * per_pa_l / capacity / (1.0 + pull))
        };
        let level = saturation_pa(ahead_c);
        let kelvin = ahead_c + ZERO_CELSIUS_K;
        // Clausius–Clapeyron
        let slope = level * self.latent_j_per_g() / (WATER_GAS_J_PER_G_K * kelvin * kelvin);
        let most = self.mass_g / WATER_G_PER_PA_L / dt_s;
        let mut uptake = surface / (1.0 + surface * slope * cooling);
        if uptake * level > most {
            uptake = most / level;
        }
        Linear {
            gain: uptake * level,
            uptake,
        }
    }

    /// Takes `evaporated` Pa·L away and lets heat in.
    pub(crate) fn settle(&mut self, evaporated_pa_l: f64, dt_s: f64, surroundings_c: f64) {
        let grams = evaporated_pa_l * WATER_G_PER_PA_L;
        let heat = dt_s * self.warming_w_per_k * (surroundings_c - self.temperature_c)
            - grams * self.latent_j_per_g();
        if self.all_ice() {
            self.frozen_g = (self.frozen_g - grams).max(0.0);
        }
        self.mass_g = (self.mass_g - grams).max(0.0);
        self.frozen_g = self.frozen_g.min(self.mass_g);
        let mut next = self.temperature_c + heat / self.capacity();
        if next < 0.0 && self.frozen_g < self.mass_g {
            let freeze =
                (-next * self.capacity() / FUSION_J_PER_G).min(self.mass_g - self.frozen_g);
            self.frozen_g += freeze;
            next += freeze * FUSION_J_PER_G / self.capacity();
        } else if next > 0.0 && self.frozen_g > 0.0 {
            let melt = (next * self.capacity() / FUSION_J_PER_G).min(self.frozen_g);
            self.frozen_g -= melt;
            next -= melt * FUSION_J_PER_G / self.capacity();
        }
        self.temperature_c = next.clamp(-55.0, 55.0);
    }

    /// The gas it gives.
    pub(crate) const GAS: usize = WATER;
}

/// Saturation pressure, Pa, held at the ends of the formula's range.
pub(crate) fn saturation_pa(temperature_c: f64) -> f64 {
    let (low, high) = vacuum::water::RANGE_C;
    vacuum::water::saturation_pressure(temperature_c.clamp(low, high)).map_or(0.0, Pressure::pa)
}
