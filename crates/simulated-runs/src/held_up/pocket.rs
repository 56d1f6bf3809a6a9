//! A pocket of water in the system: it boils, cools, freezes, sublimes.
//!
//! Saturation pressures are those of Buck (1996), which share nothing with the
//! published formulas of [`vacuum::water`]; a test compares both.

/// Temperature at which water freezes under its own vapour, °C.
const FREEZES_C: f64 = 0.01;
/// Heat of vaporisation near 5 °C, of fusion, of sublimation, J/g (from memory).
const VAPORISATION_J_PER_G: f64 = 2_490.0;
const FUSION_J_PER_G: f64 = 334.0;
const SUBLIMATION_J_PER_G: f64 = 2_834.0;
/// Specific heat of water and of ice, J/(g·K) (from memory).
const WATER_J_PER_G_K: f64 = 4.2;
const ICE_J_PER_G_K: f64 = 2.05;
/// Grams of water vapour in 1 Pa·L at 20 °C, from 18.015 g/mol and 8.3145 J/(mol·K).
pub(super) const G_PER_PA_L: f64 = 18.015e-3 / (8.3145 * 293.15);
/// A pocket smaller than this is dry, g.
pub(super) const DRY_G: f64 = 1e-4;

/// Water, ice, and the metal they lie on.
#[derive(Debug, Clone)]
pub(super) struct Pocket {
    pub(super) liquid_g: f64,
    pub(super) ice_g: f64,
    pub(super) celsius: f64,
    /// Heat capacity of the metal that goes with it, J/K.
    pub(super) metal_j_per_k: f64,
    /// Heat let in from the surroundings while it is full, W/K.
    pub(super) heat_w_per_k: f64,
    /// Its share that shrinks with the mass: (m/m₀) to this power.
    pub(super) shrinks: f64,
    /// Vapour that leaves the full surface, L/s.
    pub(super) surface_l_per_s: f64,
    /// How far it cools below freezing before ice begins, K.
    pub(super) supercools_k: f64,
    /// Mass at the start, g.
    pub(super) began_g: f64,
}

impl Pocket {
    pub(super) fn mass_g(&self) -> f64 {
        self.liquid_g + self.ice_g
    }

    pub(super) fn is_dry(&self) -> bool {
        self.mass_g() < DRY_G
    }

    /// Share of the first mass that is left.
    fn left(&self) -> f64 {
        (self.mass_g() / self.began_g).clamp(0.0, 1.0)
    }

    fn capacity_j_per_k(&self) -> f64 {
        self.metal_j_per_k + self.liquid_g * WATER_J_PER_G_K + self.ice_g * ICE_J_PER_G_K
    }

    /// Pressure of its vapour in balance, Pa.
    pub(super) fn vapour_pa(&self) -> f64 {
        if self.liquid_g > 0.0 {
            over_water_pa(self.celsius)
        } else {
            over_ice_pa(self.celsius)
        }
    }

    /// Volume of vapour that can leave, L/s; air above it holds it back.
    pub(super) fn leaves_l_per_s(&self, air_pa: f64) -> f64 {
        if self.is_dry() {
            return 0.0;
        }
        // a thin rest covers less and less of the metal
        self.surface_l_per_s * self.left().powf(0.5) / (1.0 + air_pa / 900.0)
    }

    /// Takes vapour away (negative: frost comes back) and lets heat in.
    pub(super) fn settle(&mut self, evaporated_g: f64, around_c: f64, dt_s: f64) {
        if self.is_dry() {
            (self.liquid_g, self.ice_g) = (0.0, 0.0);
            return;
        }
        let contact = self.heat_w_per_k * self.left().powf(self.shrinks);
        let mut heat_j = contact * (around_c - self.celsius) * dt_s;
        let from_ice = self.liquid_g <= 0.0;
        if from_ice {
            heat_j -= evaporated_g * SUBLIMATION_J_PER_G;
            self.ice_g = (self.ice_g - evaporated_g).max(0.0);
        } else {
            heat_j -= evaporated_g * VAPORISATION_J_PER_G;
            self.liquid_g = (self.liquid_g - evaporated_g).max(0.0);
        }
        let capacity = self.capacity_j_per_k();
        self.celsius += heat_j / capacity;
        self.freeze_or_melt(capacity);
        self.celsius = self.celsius.clamp(-70.0, 80.0);
    }

    fn freeze_or_melt(&mut self, capacity: f64) {
        let below_k = FREEZES_C - self.celsius;
        let begun = self.ice_g > 0.0 || below_k > self.supercools_k;
        if below_k > 0.0 && self.liquid_g > 0.0 && begun {
            let freezes = (below_k * capacity / FUSION_J_PER_G).min(self.liquid_g);
            self.liquid_g -= freezes;
            self.ice_g += freezes;
            self.celsius += freezes * FUSION_J_PER_G / capacity;
        } else if below_k < 0.0 && self.ice_g > 0.0 {
            let melts = (-below_k * capacity / FUSION_J_PER_G).min(self.ice_g);
            self.ice_g -= melts;
            self.liquid_g += melts;
            self.celsius -= melts * FUSION_J_PER_G / capacity;
        }
    }
}

/// Saturation pressure over liquid water, Pa (Buck, manual of 1996, from memory).
pub(super) fn over_water_pa(celsius: f64) -> f64 {
    let c = celsius;
    611.21 * ((18.678 - c / 234.5) * c / (257.14 + c)).exp()
}

/// Saturation pressure over ice, Pa (Buck, manual of 1996, from memory).
pub(super) fn over_ice_pa(celsius: f64) -> f64 {
    let c = celsius;
    611.15 * ((23.036 - c / 333.7) * c / (279.82 + c)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pocket() -> Pocket {
        Pocket {
            liquid_g: 2.0,
            ice_g: 0.0,
            celsius: 20.0,
            metal_j_per_k: 10.0,
            heat_w_per_k: 0.0,
            shrinks: 0.5,
            surface_l_per_s: 2.0,
            supercools_k: 0.0,
            began_g: 2.0,
        }
    }

    #[test]
    fn saturation_agrees_with_another_formula() {
        // IAPWS-IF97 and R14-08 by way of another implementation: 5 °C 872.57 Pa,
        // 20 °C 2,339.2 Pa, −10 °C 259.874 Pa, −20 °C 103.239 Pa, −30 °C 38.005 Pa
        for (c, pa) in [(5.0, 872.57), (20.0, 2_339.2), (30.0, 4_246.7)] {
            assert!((over_water_pa(c) / pa - 1.0).abs() < 1e-3, "{c} °C");
        }
        for (c, pa) in [(-10.0, 259.874), (-20.0, 103.239), (-30.0, 38.005)] {
            assert!((over_ice_pa(c) / pa - 1.0).abs() < 2e-3, "{c} °C");
        }
    }

    #[test]
    fn an_insulated_pocket_freezes_at_the_expense_of_its_own_heat() {
        let mut p = pocket();
        let mut taken_g = 0.0;
        while p.liquid_g > 0.0 && taken_g < 2.0 {
            p.settle(1e-4, 20.0, 0.1);
            taken_g += 1e-4;
        }
        // heat balance: (10 J/K + 2 g · 4.2) · 20 K and 334 J for every gram that
        // freezes must equal 2,490 J for every gram that boils, to 3 %
        let given_j = 18.4 * 20.0 + 334.0 * p.ice_g;
        assert!((given_j / (2_490.0 * taken_g) - 1.0).abs() < 0.03, "{p:?}");
        assert!((p.celsius - FREEZES_C).abs() < 0.2, "{p:?}");
        assert!((p.ice_g + taken_g - 2.0).abs() < 0.01);
    }

    #[test]
    fn warmth_melts_ice_at_its_melting_point() {
        let mut p = pocket();
        (p.liquid_g, p.ice_g, p.celsius) = (0.0, 1.0, -12.0);
        p.heat_w_per_k = 1.0;
        let mut at_zero_s = 0.0;
        for _ in 0..2_000 {
            p.settle(0.0, 20.0, 0.1);
            at_zero_s += if p.ice_g > 0.0 && p.liquid_g > 0.0 {
                0.1
            } else {
                0.0
            };
        }
        // 334 J at 20 K · 1 W/K take 16.7 s where all of the first mass is there;
        // half of it is: √½ as much heat
        assert!(
            (at_zero_s - 16.7 * 2.0_f64.sqrt()).abs() < 1.0,
            "{at_zero_s}"
        );
        assert!(p.celsius > 10.0, "{p:?}");
    }
}
