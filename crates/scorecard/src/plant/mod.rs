//! Simulated holds, each with a twin: the same system, gauge and noise with the leak
//! and without it, so that no family gives the answer away.
//!
//! The systems are invented. Their physics are balances integrated in time
//! ([`source`]); the judge's formulas appear nowhere here.

mod family;
mod gauge;
mod source;
mod system;

use gauge::Gauge;
use system::Plant;

use crate::draw::Draw;

/// A hold as it was simulated.
#[derive(Debug, Clone)]
pub(crate) struct SimulatedHold {
    pub(crate) family: &'static str,
    /// Readings: time from isolation in s, micron; `None` is a flagged over range.
    pub(crate) readings: Vec<(f64, Option<f64>)>,
    /// Recorded temperature of the system, °C, reading by reading; empty: none.
    pub(crate) temperature_c: Vec<f64>,
    /// Inflow of air, micron/min; 0: tight.
    pub(crate) leak_micron_per_min: f64,
    /// Vapour given off since the start, micron, by time in s.
    pub(crate) vapour: Vec<(f64, f64)>,
    /// Noise of a reading at the start, micron, rounding included.
    pub(crate) noise_micron: f64,
    /// Length, s.
    pub(crate) length_s: f64,
    /// True when the gauge ran to its top.
    pub(crate) ran_over: bool,
    /// Smallest leak that a hold of this length could show if nothing but air came in,
    /// times length to the power 3/2, micron·√s; and what a step hides, micron.
    pub(crate) limit: (f64, f64),
}

/// Simulates the hold of `seed`, with its leak or without.
pub(crate) fn simulate(seed: u64, leaky: bool) -> SimulatedHold {
    let mut draw = Draw::new(seed, 1);
    let plant = family::draw(seed, &mut draw);
    let mut gauge = Gauge::draw(&mut draw);
    if plant.length_s / gauge.interval_s < 60.0 {
        gauge.interval_s = 1.0;
    }
    // without the leak first: its size goes by what else happens
    let dry = run(&plant, &gauge, 0.0);
    let noise = gauge.noise_micron(plant.air_micron + plant.vapour_micron);
    let leak = if leaky {
        leak_rate(&plant, &gauge, &dry, noise)
    } else {
        0.0
    };
    let curve = if leaky {
        run(&plant, &gauge, leak)
    } else {
        dry
    };
    let shown: Vec<(f64, f64)> = curve.iter().map(|q| (q.t, q.p)).collect();
    let readings = gauge.read(&shown, &mut Draw::new(seed, 2 + u64::from(leaky)));
    let start = curve[0].vapour;
    let temperature_c = if plant.thermometer {
        let mut noise = Draw::new(seed, 4);
        let each = readings.iter();
        each.map(|(t, _)| 21.0 + plant.room.warmer_k(*t) + 0.02 * noise.normal())
            .collect()
    } else {
        Vec::new()
    };
    let ran_over = shown.iter().any(|(_, p)| *p >= gauge.top_micron);
    SimulatedHold {
        family: plant.family,
        readings,
        temperature_c,
        leak_micron_per_min: 60.0 * leak,
        vapour: curve.iter().map(|q| (q.t, q.vapour - start)).collect(),
        noise_micron: noise,
        length_s: plant.length_s,
        ran_over,
        limit: limit(&plant, &gauge, noise),
    }
}

/// Inflow, micron/s.
fn leak_rate(plant: &Plant, gauge: &Gauge, dry: &[Instant], noise: f64) -> f64 {
    if plant.leak_share < 0.0 {
        return -plant.leak_share / 60.0;
    }
    let least = least_visible(limit(plant, gauge, noise), plant.length_s);
    let vapour = dry
        .iter()
        .map(|q| q.vapour)
        .fold(f64::NEG_INFINITY, f64::max)
        - dry[0].vapour;
    (plant.leak_share * vapour.max(10.0 * noise)).max(1.2 * least) / plant.length_s
}

/// See [`SimulatedHold::limit`]: 3.29 standard deviations of a straight line through the
/// readings, as many of them as are independent.
fn limit(plant: &Plant, gauge: &Gauge, noise: f64) -> (f64, f64) {
    let r = gauge.correlation.powf(gauge.interval_s.max(0.1));
    let independent_per_s = (1.0 - r) / (1.0 + r) / gauge.interval_s;
    let step = gauge.step_micron(plant.air_micron);
    (3.29 * noise * (12.0 / independent_per_s).sqrt(), step)
}

/// Smallest straight rise that a hold of `length_s` could show, micron over the hold.
pub(crate) fn least_visible((noise, step): (f64, f64), length_s: f64) -> f64 {
    (noise / length_s.sqrt()).max(step)
}

/// One instant of the simulation.
#[derive(Debug, Clone, Copy)]
struct Instant {
    t: f64,
    p: f64,
    vapour: f64,
}

fn run(plant: &Plant, gauge: &Gauge, leak_per_s: f64) -> Vec<Instant> {
    let mut sources = plant.sources.clone();
    let (mut air, mut vapour) = (plant.air_micron, plant.vapour_micron);
    let base_dt = gauge.interval_s.min(1.0);
    let mut out = Vec::with_capacity((plant.length_s / base_dt) as usize + 1);
    let (height, tau) = plant.settling;
    let mut t = 0.0;
    while t <= plant.length_s {
        let warmer = plant.room.warmer_k(t);
        let gas = (air + vapour) * (1.0 + warmer / 294.15);
        let p = gas - height * (-t / tau).exp();
        out.push(Instant {
            t,
            p: p.max(0.5),
            vapour,
        });
        // the atmosphere drives less the fuller the system is
        air += leak_per_s * base_dt * (1.0 - (air / 760_000.0).min(1.0));
        for source in &mut sources {
            vapour += source.step(vapour, base_dt, warmer);
        }
        vapour = vapour.max(0.0);
        t += base_dt;
    }
    out
}
