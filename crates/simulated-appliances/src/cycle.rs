//! The balance of a running appliance with a capillary tube.
//!
//! Two temperatures are sought: of evaporation and of condensation. Whatever the compressor
//! sucks has to pass the capillary tube, and the refrigerant found in condenser,
//! evaporator, shell and oil has to be what was charged. The cabinet is at its set point
//! while the machine can keep it there, and otherwise as warm as the balance of its heat.
//!
//! Compressor: clearance volumetric efficiency 1 + C − C·r^(1/n), polytropic work
//! (textbook forms, from memory). Capillary tube: an orifice with the mean density of what
//! enters, choked at a quarter of the head pressure, more flow with subcooling (an invented
//! map of the right shape). Heat exchangers: UA on the wetted part. Void fractions are
//! constants. None of this is known to a diagnosis.

use crate::fluid::Fluid;

const KELVIN: f64 = 273.15;
const GAS_J_MOL_K: f64 = 8.314_462_618;
/// Of the compression, and of the space behind the piston.
const POLYTROPIC: f64 = 1.08;
/// Share of liquid by volume where both phases flow.
const LIQUID_IN_CONDENSER: f64 = 0.14;
const LIQUID_IN_EVAPORATOR: f64 = 0.17;
/// How far beyond the evaporator liquid may stand, as a share of it.
const OVERFLOW: f64 = 0.35;

/// What an appliance is, in order.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Machine {
    pub(crate) fluid: Fluid,
    pub(crate) swept_m3_s: f64,
    pub(crate) clearance: f64,
    pub(crate) condenser_w_k: f64,
    pub(crate) evaporator_w_k: f64,
    /// kg/s per √(kPa·kg/m³).
    pub(crate) capillary: f64,
    pub(crate) condenser_m3: f64,
    pub(crate) evaporator_m3: f64,
    pub(crate) shell_m3: f64,
    /// Refrigerant that the oil takes up at 1 bar in the shell, kg.
    pub(crate) in_oil_kg_bar: f64,
    pub(crate) cabinet_w_k: f64,
    pub(crate) set_c: f64,
    /// Drawn whatever the load, W.
    pub(crate) base_w: f64,
    pub(crate) efficiency: f64,
    /// Of the heat exchanger between capillary tube and suction line.
    pub(crate) exchanger: f64,
}

/// In which state it is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Condition {
    pub(crate) ambient_c: f64,
    pub(crate) charge_kg: f64,
    pub(crate) air_mol: f64,
    /// Factors of what is in order: 1.
    pub(crate) capillary: f64,
    pub(crate) valves: f64,
    pub(crate) condenser: f64,
    pub(crate) evaporator: f64,
    pub(crate) load: f64,
}

/// What is then the case while it runs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Running {
    pub(crate) evaporating_c: f64,
    pub(crate) suction_kpa: f64,
    pub(crate) condensing_c: f64,
    /// With the partial pressure of air.
    pub(crate) discharge_kpa: f64,
    pub(crate) discharge_c: f64,
    pub(crate) condenser_out_c: f64,
    /// Vapour in what enters the capillary tube, 0 to 1.
    pub(crate) vapour_in_tube: f64,
    /// Wetted share of the evaporator; above 1 liquid stands in the suction line.
    pub(crate) wetted: f64,
    pub(crate) power_w: f64,
    pub(crate) capacity_w: f64,
    pub(crate) charge_kg: f64,
    pub(crate) cabinet_c: f64,
    /// Share of the time that it runs.
    pub(crate) duty: f64,
}

/// Finds the zero of a rising function.
fn rising(mut low: f64, mut high: f64, rounds: u32, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..rounds {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

impl Machine {
    /// Mass flow of the compressor, kg/s, its work, W, and the temperature of what it sucks.
    fn compressor(
        &self,
        now: &Condition,
        (evaporating_c, discharge_kpa): (f64, f64),
        suction_c: f64,
    ) -> (f64, f64) {
        let low = self.fluid.at(evaporating_c);
        let ratio = (discharge_kpa / low.kpa).max(1.0);
        let filled = 1.0 + self.clearance - self.clearance * ratio.powf(1.0 / POLYTROPIC);
        let density =
            low.vapour_kg_m3 * (evaporating_c + KELVIN) / (suction_c.max(evaporating_c) + KELVIN);
        let whole = self.swept_m3_s * filled.max(0.0) * density;
        let k = (POLYTROPIC - 1.0) / POLYTROPIC;
        let work_kj_kg = low.kpa / density / k * (ratio.powf(k) - 1.0);
        // what leaks back through the valves is compressed again, for a part of its work
        let worked = whole * (0.45 + 0.55 * now.valves);
        let power_w = self.base_w + worked * work_kj_kg * 1e3 / self.efficiency;
        (whole * now.valves, power_w)
    }

    fn tube(&self, now: &Condition, head_kpa: f64, back_kpa: f64, inlet: (f64, f64, f64)) -> f64 {
        let (density, subcooled_k, _) = inlet;
        let drop = head_kpa - back_kpa.max(0.25 * head_kpa);
        let more = 1.0 + 0.03 * subcooled_k.min(20.0);
        self.capillary * now.capillary * more * (density * drop.max(0.0)).sqrt()
    }

    /// All of it at two temperatures, and by how much the tube passes more than the
    /// compressor sucks.
    fn state(&self, now: &Condition, cabinet_c: f64, te: f64, tc: f64) -> (Running, f64) {
        let (low, high) = (self.fluid.at(te), self.fluid.at(tc));
        // air gathers at the end of the condenser and keeps vapour from the wall
        let air_kpa = 0.6 * now.air_mol * GAS_J_MOL_K * (tc + KELVIN) / self.condenser_m3 / 1e3;
        let head_kpa = high.kpa + air_kpa;
        let condenser = self.condenser_w_k * now.condenser / (1.0 + 3.0 * air_kpa / head_kpa);
        // the suction gas takes heat from the tube, less when liquid comes back
        let dry = |wetted: f64| (1.0 - (wetted - 1.0).max(0.0) / OVERFLOW).clamp(0.0, 1.0);
        let mut wetted = 1.0_f64;
        let mut passes = None;
        for _ in 0..3 {
            let suction_c = te + self.exchanger * dry(wetted) * (now.ambient_c + 3.0 - te);
            let (flow, power) = self.compressor(now, (te, head_kpa), suction_c);
            let flow = flow.max(1e-9);
            let work = (power - self.base_w).max(0.0) / flow / 1e3;
            let gas = low.vapour_kj_kg + low.vapour_kj_kg_k * (suction_c - te);
            let hot = (gas + 0.85 * work).max(high.vapour_kj_kg);
            // condenser: how much of it condenses all, and what the rest subcools
            let can_w = condenser * (tc - now.ambient_c).max(0.01);
            let asked_w = flow * 1e3 * (hot - high.liquid_kj_kg);
            let share = asked_w / can_w;
            let (out_c, vapour, liquid_share) = if share < 1.0 {
                let rest = 1.0 - share;
                let units = 0.5 * condenser * rest / (flow * 1e3 * high.liquid_kj_kg_k);
                let out = now.ambient_c + (tc - now.ambient_c) * (-units).exp();
                (out, 0.0, rest)
            } else {
                let latent = high.vapour_kj_kg - high.liquid_kj_kg;
                let left = (asked_w - can_w) / (flow * 1e3 * latent);
                (tc, left.min(1.0), 0.0)
            };
            let enters = high.liquid_kj_kg - high.liquid_kj_kg_k * (tc - out_c)
                + vapour * (high.vapour_kj_kg - high.liquid_kj_kg);
            let given = (gas - low.vapour_kj_kg).max(0.0);
            let gain = (low.vapour_kj_kg - enters + given).max(1.0);
            let evaporator = self.evaporator_w_k * now.evaporator;
            wetted = flow * 1e3 * gain / (evaporator * (cabinet_c - te).max(0.3));
            let capacity = flow * 1e3 * gain * (1.0 / wetted).min(1.0);
            passes = Some((flow, power, hot, out_c, vapour, liquid_share, capacity));
        }
        let (flow, power_w, hot, condenser_out_c, vapour_in_tube, liquid_share, capacity_w) =
            passes.unwrap_or((1e-9, 0.0, 0.0, tc, 1.0, 0.0, 0.0));
        let specific =
            vapour_in_tube / high.vapour_kg_m3 + (1.0 - vapour_in_tube) / high.liquid_kg_m3;
        let inlet = (1.0 / specific, tc - condenser_out_c, vapour_in_tube);
        let through = self.tube(now, head_kpa, low.kpa, inlet);
        let mixed = |s: crate::fluid::Saturation, liquid: f64| {
            liquid * s.liquid_kg_m3 + (1.0 - liquid) * s.vapour_kg_m3
        };
        let wet = wetted.min(1.0 + OVERFLOW);
        // with vapour at its end the condenser holds less liquid
        let liquid = LIQUID_IN_CONDENSER * (1.0 - vapour_in_tube).powi(2);
        let in_condenser = self.condenser_m3
            * (liquid_share * high.liquid_kg_m3 + (1.0 - liquid_share) * mixed(high, liquid));
        let in_evaporator = self.evaporator_m3
            * (wet.min(1.0) * mixed(low, LIQUID_IN_EVAPORATOR)
                + (1.0 - wet).max(0.0) * low.vapour_kg_m3
                + 0.5 * (wet - 1.0).max(0.0) * low.liquid_kg_m3);
        let elsewhere = self.shell_m3 * low.vapour_kg_m3 + self.in_oil_kg_bar * low.kpa / 100.0;
        let running = Running {
            evaporating_c: te,
            suction_kpa: low.kpa,
            condensing_c: tc,
            discharge_kpa: head_kpa,
            discharge_c: tc + (hot - high.vapour_kj_kg) / high.vapour_kj_kg_k,
            condenser_out_c,
            vapour_in_tube,
            wetted,
            power_w,
            capacity_w,
            charge_kg: in_condenser + in_evaporator + elsewhere,
            cabinet_c,
            duty: 1.0,
        };
        (running, through - flow)
    }

    /// With the cabinet held at a temperature and a given temperature of evaporation.
    pub(crate) fn at_evaporating(&self, now: &Condition, cabinet_c: f64, te: f64) -> Running {
        let coolest = now.ambient_c + 0.05;
        let (state, surplus) = self.state(now, cabinet_c, te, coolest);
        if surplus > 0.0 {
            // the tube passes more than is sucked whatever the head pressure: the condenser
            // cannot keep liquid
            return Running {
                charge_kg: 0.0,
                ..state
            };
        }
        let tc = rising(coolest, 88.0, 24, |tc| self.state(now, cabinet_c, te, tc).1);
        self.state(now, cabinet_c, te, tc).0
    }

    /// With the cabinet held at a temperature.
    fn at_cabinet(&self, now: &Condition, cabinet_c: f64) -> Running {
        let te = rising(-88.0, cabinet_c - 0.4, 22, |te| {
            self.at_evaporating(now, cabinet_c, te).charge_kg - now.charge_kg
        });
        self.at_evaporating(now, cabinet_c, te)
    }

    /// As it runs in its room for long.
    pub(crate) fn run(&self, now: &Condition) -> Running {
        let load =
            |cabinet_c: f64| self.cabinet_w_k * now.load * (now.ambient_c - cabinet_c).max(0.0);
        let kept = self.at_cabinet(now, self.set_c);
        if kept.capacity_w >= load(self.set_c) {
            let duty = load(self.set_c) / kept.capacity_w;
            return Running { duty, ..kept };
        }
        let warm = rising(self.set_c, now.ambient_c, 12, |c| {
            self.at_cabinet(now, c).capacity_w - load(c)
        });
        self.at_cabinet(now, warm)
    }

    /// Pressure of the appliance at rest, kPa, when everything has the temperature.
    pub(crate) fn at_rest_kpa(&self, charge_kg: f64, air_mol: f64, c: f64) -> f64 {
        let s = self.fluid.at(c);
        let volume = self.condenser_m3 + self.evaporator_m3 + self.shell_m3;
        let air = air_mol * GAS_J_MOL_K * (c + KELVIN) / volume / 1e3;
        // too little to stay liquid beside what the oil holds
        let as_vapour =
            |kpa: f64| volume * s.vapour_kg_m3 * kpa / s.kpa + self.in_oil_kg_bar * kpa / 100.0;
        let refrigerant = if as_vapour(s.kpa) <= charge_kg {
            s.kpa
        } else {
            s.kpa * charge_kg / as_vapour(s.kpa)
        };
        refrigerant + air
    }
}
