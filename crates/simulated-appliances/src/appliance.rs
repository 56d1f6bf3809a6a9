//! Invented appliances, sized so that they do their work in a warm room.

use crate::{
    cycle::{Condition, Machine, Running},
    draw::Draw,
    fluid::Fluid,
};

/// What is built around the sealed system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A cooler without a freezer, condenser without a fan.
    Refrigerator,
    /// One evaporator plate that freezes, condenser without a fan.
    FridgeFreezer,
    /// Condenser without a fan.
    ChestFreezer,
    /// Fans at condenser and evaporator.
    DisplayCooler,
    /// Fans at condenser and evaporator.
    FanFreezer,
}

/// An appliance in order.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Appliance {
    pub(crate) kind: Kind,
    pub(crate) machine: Machine,
    pub(crate) nameplate_kg: f64,
    pub(crate) rated_w: f64,
}

impl Kind {
    /// Whether fans move the air.
    #[must_use]
    pub fn has_fans(self) -> bool {
        matches!(self, Self::DisplayCooler | Self::FanFreezer)
    }
}

/// Everything in order, in a room.
pub(crate) fn in_order(ambient_c: f64, charge_kg: f64) -> Condition {
    Condition {
        ambient_c,
        charge_kg,
        air_mol: 0.0,
        capillary: 1.0,
        valves: 1.0,
        condenser: 1.0,
        evaporator: 1.0,
        load: 1.0,
    }
}

impl Appliance {
    /// Draws one and sizes its parts for a room of 25 to 30 °C.
    pub(crate) fn draw(draw: &mut Draw) -> Self {
        let kind = draw.pick(&[
            Kind::Refrigerator,
            Kind::FridgeFreezer,
            Kind::FridgeFreezer,
            Kind::ChestFreezer,
            Kind::DisplayCooler,
            Kind::FanFreezer,
        ]);
        let fluid = match kind {
            Kind::FanFreezer => draw.pick(&[Fluid::R290, Fluid::R290, Fluid::R134a]),
            Kind::DisplayCooler => draw.pick(&[Fluid::R290, Fluid::R134a, Fluid::R600a]),
            _ => draw.pick(&[Fluid::R600a, Fluid::R600a, Fluid::R134a]),
        };
        let (set_c, colder_k, cabinet_w_k, approach_k) = match kind {
            Kind::Refrigerator => (
                draw.range(3.0, 6.0),
                draw.range(15.0, 20.0),
                draw.range(1.0, 1.8),
                draw.range(10.0, 15.0),
            ),
            Kind::FridgeFreezer => (
                draw.range(-20.0, -17.0),
                draw.range(7.0, 11.0),
                draw.range(1.0, 1.6),
                draw.range(10.0, 15.0),
            ),
            Kind::ChestFreezer => (
                draw.range(-22.0, -18.0),
                draw.range(6.0, 10.0),
                draw.range(0.8, 1.6),
                draw.range(10.0, 15.0),
            ),
            Kind::DisplayCooler => (
                draw.range(2.0, 5.0),
                draw.range(9.0, 13.0),
                draw.range(4.0, 9.0),
                draw.range(8.0, 13.0),
            ),
            Kind::FanFreezer => (
                draw.range(-22.0, -18.0),
                draw.range(6.0, 10.0),
                draw.range(3.0, 6.0),
                draw.range(8.0, 13.0),
            ),
        };
        let room_c = draw.range(25.0, 30.0);
        let (te, tc) = (set_c - colder_k, room_c + approach_k);
        let capacity_w = cabinet_w_k * (room_c - set_c) / draw.range(0.45, 0.65);
        let (low, high) = (fluid.at(te), fluid.at(tc));
        let exchanger = draw.range(0.6, 0.85);
        let suction_c = te + exchanger * (room_c + 3.0 - te);
        let subcooled_k = draw.range(2.0, 5.0);
        let gas = low.vapour_kj_kg + low.vapour_kj_kg_k * (suction_c - te);
        let gain = gas - high.liquid_kj_kg + high.liquid_kj_kg_k * subcooled_k;
        let flow = capacity_w / gain / 1e3;
        let clearance = draw.range(0.015, 0.03);
        let density = low.vapour_kg_m3 * (te + 273.15) / (suction_c + 273.15);
        let filled = 1.0 + clearance - clearance * (high.kpa / low.kpa).powf(1.0 / 1.08);
        let efficiency = draw.range(0.55, 0.68);
        let ratio = high.kpa / low.kpa;
        let k = 0.08 / 1.08;
        let work = low.kpa / density / k * (ratio.powf(k) - 1.0);
        let work_w = flow * work * 1e3 / efficiency;
        let rejected_w = capacity_w + 0.85 * work_w;
        let drop = high.kpa - low.kpa.max(0.25 * high.kpa);
        let litres = capacity_w / draw.range(350.0, 550.0);
        let mut machine = Machine {
            fluid,
            swept_m3_s: flow / (density * filled.max(0.2)),
            clearance,
            condenser_w_k: rejected_w / (approach_k * draw.range(0.9, 0.95)),
            evaporator_w_k: capacity_w / (colder_k * draw.range(0.93, 1.0)),
            capillary: flow / ((1.0 + 0.03 * subcooled_k) * (high.liquid_kg_m3 * drop).sqrt()),
            condenser_m3: litres * draw.range(0.8, 1.1) * 1e-3,
            evaporator_m3: litres * draw.range(0.8, 1.3) * 1e-3,
            shell_m3: draw.range(1.5, 2.5) * 1e-3,
            in_oil_kg_bar: draw.range(0.001, 0.004),
            cabinet_w_k,
            set_c,
            base_w: work_w * draw.range(0.15, 0.3),
            efficiency,
            exchanger,
        };
        // the maker charges until the evaporator is full
        let room = in_order(room_c, 0.0);
        let nameplate_kg = machine.at_evaporating(&room, set_c, te).charge_kg;
        machine.set_c = set_c;
        let mut appliance = Self {
            kind,
            machine,
            nameplate_kg,
            rated_w: 0.0,
        };
        let running = appliance.running(&in_order(25.0, nameplate_kg));
        appliance.rated_w = running.power_w * draw.range(1.05, 1.3);
        appliance
    }

    pub(crate) fn running(&self, now: &Condition) -> Running {
        self.machine.run(now)
    }
}
