//! The system, its hoses and its pump, stepped through time.
//!
//! Each node is a volume of mixed gas at one temperature; amounts are counted in
//! Pa·L at 20 °C so that they are conserved when the temperature moves. One step
//! is implicit Euler: first the total pressures (which set the bulk flow through
//! every line), then each gas by itself, carried upwind and spreading down its
//! own gradient. Implicit because a 50 mL manifold between two hoses settles a
//! thousand times faster than a drier gives up water.

use vacuum::ZERO_CELSIUS_K;

use crate::{
    gas::{AIR, GASES, GasData, HIGH, INLET, LOW, Link, MANIFOLD, NODES, REFERENCE_K},
    pump::{Pull, Pump},
    rng::Rng,
    sources::{Held, Leak, Linear, Pool},
};

type Row = [f64; NODES];

/// How warm the room and the system are over time.
#[derive(Debug, Clone, Copy)]
pub struct Climate {
    /// Temperature of the room at the start, °C.
    pub start_c: f64,
    /// Steady change, °C per hour.
    pub drift_c_per_h: f64,
    /// Half of the difference between the warmest and the coldest of a period, °C.
    pub swing_c: f64,
    /// Period of it, s.
    pub swing_period_s: f64,
    /// How much warmer the system was made before the record, K.
    pub heated_k: f64,
    /// Time constant with which it cools, s.
    pub cooling_s: f64,
}

impl Climate {
    pub(crate) fn at(&self, time_s: f64) -> f64 {
        self.start_c
            + self.drift_c_per_h * time_s / 3600.0
            + self.swing_c * (std::f64::consts::TAU * time_s / self.swing_period_s).sin()
            + self.heated_k * (-time_s / self.cooling_s).exp()
    }
}

/// Everything physical, at one moment.
#[derive(Debug, Clone)]
pub struct World {
    pub(crate) time_s: f64,
    pub(crate) volume_l: Row,
    /// Amounts, Pa·L at 20 °C.
    pub(crate) amount: [Row; GASES],
    pub(crate) links: Vec<Link>,
    /// Index in `links` of the pump-side valve.
    pub(crate) pump_valve: usize,
    pub(crate) pump: Pump,
    pub(crate) leaks: Vec<Leak>,
    pub(crate) held: Vec<Held>,
    pub(crate) pools: Vec<Pool>,
    /// Temperature of the room and of the system.
    pub climate: Climate,
    pub(crate) gases: GasData,
    /// Dry nitrogen let in at the manifold, Pa·L/s.
    pub(crate) nitrogen_pa_l_per_s: f64,
    pub(crate) rng: Rng,
    dt_s: f64,
}

/// Smallest and largest step, s.
const STEP_S: (f64, f64) = (0.004, 1.0);
/// Steps while oil foams are no longer than this, s.
const FOAM_STEP_S: f64 = 0.12;

impl World {
    /// A world at rest; `amount` empty.
    pub(crate) fn new(
        volume_l: Row,
        links: Vec<Link>,
        pump_valve: usize,
        pump: Pump,
        climate: Climate,
        gases: GasData,
        rng: Rng,
    ) -> Self {
        Self {
            time_s: 0.0,
            volume_l,
            amount: [[0.0; NODES]; GASES],
            links,
            pump_valve,
            pump,
            leaks: Vec::new(),
            held: Vec::new(),
            pools: Vec::new(),
            climate,
            gases,
            nitrogen_pa_l_per_s: 0.0,
            rng,
            dt_s: STEP_S.0,
        }
    }

    /// Fills every node with one gas.
    pub(crate) fn fill(&mut self, gas: usize, pa: f64) {
        let theta = self.theta(self.time_s);
        for node in 0..NODES {
            self.amount[gas][node] = pa * self.volume_l[node] / theta;
        }
    }

    fn theta(&self, time_s: f64) -> f64 {
        (self.climate.at(time_s) + ZERO_CELSIUS_K) / REFERENCE_K
    }

    /// Partial pressure, Pa.
    pub(crate) fn partial(&self, gas: usize, node: usize) -> f64 {
        self.amount[gas][node] * self.theta(self.time_s) / self.volume_l[node]
    }

    /// Total pressure, Pa.
    pub(crate) fn total(&self, node: usize) -> f64 {
        (0..GASES).map(|g| self.partial(g, node)).sum()
    }

    /// Amount of gas in the nodes, Pa·L at 20 °C.
    #[cfg(test)]
    pub(crate) fn gas_amount(&self) -> f64 {
        self.amount.iter().flatten().sum()
    }

    /// Lets air back through the pump when it stands, L/s against atmosphere.
    pub fn leak_back_through_pump(&mut self, l_per_s: f64) {
        self.pump.backflow_l_per_s = l_per_s;
    }

    /// Volume that stays with the gauge once the pump is valved off, L.
    #[must_use]
    pub fn system_volume_l(&self) -> f64 {
        self.volume_l[HIGH] + self.volume_l[LOW] + self.volume_l[MANIFOLD]
    }

    /// Opening of the pump-side valve.
    pub(crate) fn opening(&self) -> f64 {
        self.links[self.pump_valve].opening
    }

    /// Turns the pump-side valve and starts again with short steps.
    pub(crate) fn turn_valve(&mut self, opening: f64) {
        self.links[self.pump_valve].opening = opening;
        self.disturb();
    }

    /// Something changed suddenly: short steps again.
    pub(crate) fn disturb(&mut self) {
        self.dt_s = STEP_S.0;
    }

    /// True while oil gas sets the inlet pressure.
    pub(crate) fn is_foaming(&self) -> bool {
        self.pump.is_foaming(self.total(INLET), self.opening())
    }

    /// One step of at most `most_s`; returns its length, s.
    ///
    /// The step is chosen so that no large node changes by more than about 2 %.
    pub(crate) fn step(&mut self, most_s: f64) -> f64 {
        let limit = if self.pump.foam.is_some() && self.pump.running && self.opening() > 0.0 {
            FOAM_STEP_S
        } else {
            STEP_S.1
        };
        let mut dt = self.dt_s.min(limit).min(most_s);
        let before = self.pressures(self.theta(self.time_s + dt));
        let inlet = (0..GASES).map(|g| before[g][INLET]).sum();
        let opening = self.opening();
        let pull = self.pump.pull(inlet, opening, dt, &mut self.rng);
        loop {
            let before = self.pressures(self.theta(self.time_s + dt));
            let (after, change) = self.solve(&before, &pull, dt);
            if change > 0.04 && dt > STEP_S.0 {
                dt = (dt * 0.5).max(STEP_S.0);
                continue;
            }
            self.accept(&after, &pull, dt);
            if change < 0.015 {
                self.dt_s = (dt.max(self.dt_s.min(limit) * 0.5) * 1.25).min(STEP_S.1);
            } else {
                self.dt_s = if change > 0.025 { dt * 0.8 } else { dt };
            }
            return dt;
        }
    }

    fn pressures(&self, theta: f64) -> [Row; GASES] {
        let mut out = [[0.0; NODES]; GASES];
        for (row, amount) in out.iter_mut().zip(&self.amount) {
            for node in 0..NODES {
                row[node] = amount[node] * theta / self.volume_l[node];
            }
        }
        out
    }

    /// Sources of every gas at every node for a step.
    fn sources(&self, before: &[Row; GASES], dt: f64) -> [[Linear; NODES]; GASES] {
        let mut out = [[Linear::default(); NODES]; GASES];
        let mut add = |gas: usize, node: usize, l: Linear| {
            out[gas][node].gain += l.gain;
            out[gas][node].uptake += l.uptake;
        };
        let ambient = self.climate.at(self.time_s + dt);
        for leak in &self.leaks {
            let inside: f64 = (0..GASES).map(|g| before[g][leak.node]).sum();
            let gain = leak.inflow(inside);
            add(AIR, leak.node, Linear { gain, uptake: 0.0 });
        }
        let warming = ambient - self.climate.start_c;
        for held in &self.held {
            add(held.gas, held.node, held.linear(dt, warming));
        }
        for pool in &self.pools {
            let air = before[AIR][pool.node];
            add(Pool::GAS, pool.node, pool.linear(dt, ambient, air));
        }
        add(
            AIR,
            MANIFOLD,
            Linear {
                gain: self.nitrogen_pa_l_per_s,
                uptake: 0.0,
            },
        );
        out
    }

    /// Pressures after a step, and the largest relative change of a node.
    fn solve(&self, before: &[Row; GASES], pull: &Pull, dt: f64) -> ([Row; GASES], f64) {
        let sources = self.sources(before, dt);
        let total = sum_of(before);
        let lines = self.conductances(before, &total);
        let level = self.solve_total(before, &total, &lines, &sources, pull, dt);
        let after = std::array::from_fn(|gas| {
            self.solve_gas(gas, &before[gas], &level, &lines, &sources[gas], pull, dt)
        });
        let new_total = sum_of(&after);
        let change = [(HIGH, 1.0), (LOW, 1.0), (MANIFOLD, 0.15)]
            .into_iter()
            .map(|(n, weight)| weight * (new_total[n] - total[n]).abs() / total[n].max(0.5))
            .fold(0.0, f64::max);
        (after, change)
    }

    /// What each line lets through at the start of the step, for the mixture
    /// upstream of it; nothing through a shut valve.
    fn conductances(&self, before: &[Row; GASES], total: &Row) -> [Through; LINES] {
        let mut out = [Through::default(); LINES];
        for (through, link) in out.iter_mut().zip(&self.links) {
            if link.opening <= 0.0 {
                continue;
            }
            let (a, b) = (total[link.from], total[link.to]);
            let up = if a >= b { link.from } else { link.to };
            let fractions = std::array::from_fn(|gas| share(before, total, gas, up));
            let c = link.line.conductance(0.5 * (a + b), &fractions);
            let lightness: f64 = (0..GASES)
                .map(|g| fractions[g] * self.gases.lightness(g))
                .sum();
            *through = Through {
                bulk: c.bulk * link.opening,
                molecular: c.molecular * link.opening,
                lightness,
            };
        }
        out
    }

    fn solve_total(
        &self,
        before: &[Row; GASES],
        total: &Row,
        lines: &[Through; LINES],
        sources: &[[Linear; NODES]; GASES],
        pull: &Pull,
        dt: f64,
    ) -> Row {
        let mut matrix = [[0.0; NODES]; NODES];
        let mut right = [0.0; NODES];
        for (link, c) in self.links.iter().zip(lines) {
            let conductance = c.bulk + c.molecular * c.lightness;
            join(&mut matrix, link.from, link.to, conductance);
        }
        for node in 0..NODES {
            let inertia = self.volume_l[node] / dt;
            matrix[node][node] += inertia;
            right[node] += inertia * total[node];
            for (gas, from) in sources.iter().enumerate() {
                right[node] += from[node].gain;
                matrix[node][node] += from[node].uptake * share(before, total, gas, node);
            }
        }
        matrix[INLET][INLET] += pull.speed;
        right[INLET] += pull.speed * pull.back_pa.iter().sum::<f64>();
        eliminate(matrix, right)
    }

    #[expect(clippy::too_many_arguments, reason = "the parts of one linear system")]
    fn solve_gas(
        &self,
        gas: usize,
        before: &Row,
        level: &Row,
        lines: &[Through; LINES],
        sources: &[Linear; NODES],
        pull: &Pull,
        dt: f64,
    ) -> Row {
        let mut matrix = [[0.0; NODES]; NODES];
        let mut right = [0.0; NODES];
        let lightness = self.gases.lightness(gas);
        for (link, c) in self.links.iter().zip(lines) {
            join(&mut matrix, link.from, link.to, c.molecular * lightness);
            let flow = c.bulk * (level[link.from] - level[link.to]);
            let (up, down) = if flow >= 0.0 {
                (link.from, link.to)
            } else {
                (link.to, link.from)
            };
            if level[up] > 0.0 {
                let carried = flow.abs() / level[up];
                matrix[up][up] += carried;
                matrix[down][up] -= carried;
            }
        }
        for node in 0..NODES {
            let inertia = self.volume_l[node] / dt;
            matrix[node][node] += inertia + sources[node].uptake;
            right[node] += inertia * before[node] + sources[node].gain;
        }
        matrix[INLET][INLET] += pull.speed;
        right[INLET] += pull.speed * pull.back_pa[gas];
        eliminate(matrix, right)
    }

    fn accept(&mut self, after: &[Row; GASES], pull: &Pull, dt: f64) {
        let theta = self.theta(self.time_s + dt);
        let ambient = self.climate.at(self.time_s + dt);
        let warming = ambient - self.climate.start_c;
        for held in &mut self.held {
            let l = held.linear(dt, warming);
            let given = (l.gain - l.uptake * after[held.gas][held.node]) * dt / theta;
            held.content = (held.content - given).max(0.0);
        }
        for pool in &mut self.pools {
            // the air pressure at the start of the step, as in `sources`
            let air = self.amount[AIR][pool.node] * theta / self.volume_l[pool.node];
            let l = pool.linear(dt, ambient, air);
            let given = (l.gain - l.uptake * after[Pool::GAS][pool.node]) * dt / theta;
            pool.settle(given, dt, ambient);
        }
        let mut pumped = [0.0; GASES];
        for gas in 0..GASES {
            pumped[gas] = pull.speed * (after[gas][INLET] - pull.back_pa[gas]) * dt / theta;
            let new = after[gas].iter().zip(self.volume_l);
            for (amount, (pressure, volume_l)) in self.amount[gas].iter_mut().zip(new) {
                *amount = pressure.max(0.0) * volume_l / theta;
            }
        }
        let opening = self.opening();
        self.pump.book(&pumped, opening, dt);
        self.time_s += dt;
    }
}

/// Most lines a world can have: capillary, two hoses, pump hose.
const LINES: usize = 4;

/// What a line lets through over a step.
#[derive(Debug, Clone, Copy, Default)]
struct Through {
    /// Volume of mixture, L/s.
    bulk: f64,
    /// Volume of air in molecular flow, L/s.
    molecular: f64,
    /// How much quicker than air the mixture moves in molecular flow.
    lightness: f64,
}

fn sum_of(partial: &[Row; GASES]) -> Row {
    std::array::from_fn(|node| partial.iter().map(|row| row[node]).sum())
}

/// Mole fraction of a gas at a node; an empty node counts as air.
fn share(partial: &[Row; GASES], total: &Row, gas: usize, node: usize) -> f64 {
    if total[node] > 0.0 {
        partial[gas][node] / total[node]
    } else if gas == AIR {
        1.0
    } else {
        0.0
    }
}

fn join(matrix: &mut [[f64; NODES]; NODES], a: usize, b: usize, conductance: f64) {
    matrix[a][a] += conductance;
    matrix[b][b] += conductance;
    matrix[a][b] -= conductance;
    matrix[b][a] -= conductance;
}

/// Gaussian elimination without pivoting: every matrix here is diagonally
/// dominant by columns or rows (inertia plus outflow), so it is stable.
fn eliminate(mut matrix: [[f64; NODES]; NODES], mut right: Row) -> Row {
    for pivot in 0..NODES {
        for row in pivot + 1..NODES {
            if matrix[row][pivot] == 0.0 {
                continue;
            }
            let factor = matrix[row][pivot] / matrix[pivot][pivot];
            let above = matrix[pivot];
            for (entry, over) in matrix[row].iter_mut().zip(above).skip(pivot) {
                *entry -= factor * over;
            }
            right[row] -= factor * right[pivot];
        }
    }
    let mut out = [0.0; NODES];
    for row in (0..NODES).rev() {
        let mut value = right[row];
        for column in row + 1..NODES {
            value -= matrix[row][column] * out[column];
        }
        out[row] = value / matrix[row][row];
    }
    out
}
