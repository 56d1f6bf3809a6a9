//! Putting a household-scale system together from the numbers a technician
//! would give: litres, hose bores, micron.

use vacuum::{PressureUnit, flow::Tube, leak::Throughput};

use crate::{
    gas::{AIR, GasData, HIGH, LOW, Line, Link, MANIFOLD, REFRIGERANT, WATER},
    pump::{Foam, Pump},
    rng::Rng,
    sources::{Held, Leak, LeakLaw, Pool},
    world::{Climate, World},
};

/// How the high side is reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// A hose on each side.
    Both,
    /// Only the low side; the high side is pumped through the capillary.
    LowOnly,
    /// Only the high side.
    HighOnly,
}

/// A system with its hoses and pump.
#[derive(Debug, Clone)]
pub struct Household {
    /// Internal volume of the system, L.
    pub volume_l: f64,
    /// Share of it on the high side.
    pub high_share: f64,
    /// The capillary tube between the two sides.
    pub capillary: Tube,
    /// Which sides are connected.
    pub access: Access,
    /// Hose between system and manifold.
    pub hose: Tube,
    /// Free bore of the valve cores, mm, when they are left in.
    pub core_mm: Option<f64>,
    /// Hose between manifold and pump.
    pub pump_hose: Tube,
    /// Pumping speed, L/s.
    pub pump_l_per_s: f64,
    /// Lowest pressure of the pump, micron.
    pub ultimate_micron: f64,
    /// Temperature of the room and of the system.
    pub climate: Climate,
    /// Molar mass of the refrigerant, g/mol.
    pub refrigerant_g_per_mol: f64,
}

impl Household {
    /// An upright freezer of about 3 L with sound hoses and pump, at 21 °C.
    pub(crate) fn upright_freezer() -> Self {
        Self {
            volume_l: 2.8,
            high_share: 0.2,
            capillary: Tube {
                diameter_mm: 0.66,
                length_m: 3.0,
            },
            access: Access::Both,
            hose: Tube {
                diameter_mm: 6.0,
                length_m: 0.9,
            },
            core_mm: Some(3.0),
            pump_hose: Tube {
                diameter_mm: 7.5,
                length_m: 1.2,
            },
            pump_l_per_s: 0.7,
            ultimate_micron: 45.0,
            climate: Climate {
                start_c: 21.0,
                drift_c_per_h: 0.4,
                swing_c: 0.15,
                swing_period_s: 1300.0,
                heated_k: 0.0,
                cooling_s: 1500.0,
            },
            refrigerant_g_per_mol: 58.122,
        }
    }

    /// The world at one atmosphere of air, pump running behind a shut valve.
    #[must_use]
    pub fn world(&self, rng: &mut Rng) -> World {
        let bore_l =
            |t: Tube| std::f64::consts::PI * (t.diameter_mm * 0.5e-3).powi(2) * t.length_m * 1e3;
        let sides = if self.access == Access::Both {
            2.0
        } else {
            1.0
        };
        let manifold_l = 0.02 + sides * bore_l(self.hose);
        let inlet_l = 0.06 + bore_l(self.pump_hose);
        let line = |tube: Tube, core_mm| Line { tube, core_mm };
        let link = |from, to, line| Link {
            from,
            to,
            line,
            opening: 1.0,
        };
        let mut links = vec![link(HIGH, LOW, line(self.capillary, None))];
        if self.access != Access::LowOnly {
            links.push(link(HIGH, MANIFOLD, line(self.hose, self.core_mm)));
        }
        if self.access != Access::HighOnly {
            links.push(link(LOW, MANIFOLD, line(self.hose, self.core_mm)));
        }
        links.push(Link {
            opening: 0.0,
            ..link(MANIFOLD, crate::gas::INLET, line(self.pump_hose, None))
        });
        let volume_l = [
            self.volume_l * self.high_share,
            self.volume_l * (1.0 - self.high_share),
            manifold_l,
            inlet_l,
        ];
        let pump = Pump::new(
            self.pump_l_per_s,
            self.ultimate_micron * PressureUnit::Micron.pa(),
        );
        let valve = links.len() - 1;
        let gases = GasData::with_refrigerant(self.refrigerant_g_per_mol);
        let mut world = World::new(
            volume_l,
            links,
            valve,
            pump,
            self.climate,
            gases,
            Rng::new(rng.next_seed(), 5),
        );
        world.fill(AIR, vacuum::Pressure::ATMOSPHERE.pa());
        world
    }
}

/// Gas held by oil, walls or drier, described by what it would do in a hold.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Volatile {
    pub(crate) gas: usize,
    pub(crate) node: usize,
    /// Pressure it would rise to in the closed system after the pull-down, micron.
    pub(crate) rise_micron: f64,
    /// Time in which it would get there, s.
    pub(crate) rise_time_s: f64,
    /// Holding power against the volume of the system: how many times more gas
    /// sits in the oil than over it once in balance.
    pub(crate) holding: f64,
    /// Length of pull-down it has to survive, s.
    pub(crate) pumped_s: f64,
}

impl World {
    /// Adds a leak that would raise the closed system by so much, micron/min.
    pub fn add_leak(&mut self, micron_per_min: f64, node: usize, law: LeakLaw) {
        let q = Throughput::from_rise(micron_per_min, self.system_volume_l());
        self.leaks.push(Leak {
            node,
            vacuum_pa_l_per_s: q.pa_m3_per_s() * 1e3,
            law,
        });
    }

    /// Adds gas held in oil, on walls or in the drier, in three fractions that
    /// let go at different speeds, as thick and thin films of oil do.
    pub(crate) fn add_volatile(&mut self, v: Volatile) {
        let volume = self.system_volume_l();
        let henry_l = v.holding * volume;
        let level_pa = v.rise_micron * PressureUnit::Micron.pa();
        for (share, pace) in [(0.3, 0.4), (0.45, 1.0), (0.25, 2.2)] {
            let time_s = v.rise_time_s * (1.0 + v.holding) * pace;
            let content = henry_l * share * level_pa * (1.0 + 1.0 / v.holding);
            // what the pull-down takes away must have been there before it
            let before = (v.pumped_s / time_s).min(2.5).exp();
            self.held.push(Held {
                node: v.node,
                gas: v.gas,
                content: content * before,
                henry_l: henry_l * share,
                time_s,
            });
        }
    }

    /// Adds the little dissolved air and refrigerant that every oil gives off.
    pub fn add_everyday_gas(&mut self, rise_micron: f64, rise_time_s: f64) {
        self.add_volatile(Volatile {
            gas: REFRIGERANT,
            node: LOW,
            rise_micron,
            rise_time_s,
            holding: 1.5,
            pumped_s: 900.0,
        });
    }

    /// Adds water in the oil and on the walls.
    pub fn add_moisture(&mut self, rise_micron: f64, rise_time_s: f64, pumped_s: f64) {
        self.add_volatile(Volatile {
            gas: WATER,
            node: LOW,
            rise_micron,
            rise_time_s,
            holding: 9.0,
            pumped_s,
        });
    }

    /// Adds a pocket of liquid water, g.
    pub fn add_pool(&mut self, mass_g: f64, surface_l_per_s: f64, warming_w_per_k: f64) {
        self.pools.push(Pool {
            node: LOW,
            mass_g,
            frozen_g: 0.0,
            temperature_c: self.climate.at(self.time_s),
            metal_j_per_k: 25.0,
            warming_w_per_k,
            surface_l_per_s,
        });
    }

    /// Makes the pump oil foam at about `plateau_micron`.
    pub fn add_foam(&mut self, plateau_micron: f64, roughness: f64, self_clears_s: f64) {
        let mut rng = self.rng.clone();
        let mut foam = Foam::new(&mut rng);
        self.rng = rng;
        let pumped = vacuum::Pressure::ATMOSPHERE.pa() * self.system_volume_l();
        foam.laden_per_pa_l = plateau_micron * PressureUnit::Micron.pa() / (0.4 * pumped);
        foam.roughness = roughness;
        foam.clears_agitated_s = self_clears_s;
        self.pump.foam = Some(foam);
    }
}
