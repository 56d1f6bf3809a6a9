//! A wide family of randomised runs, for measuring an analyser.

mod draw;
mod family;

use rehearsal::{Expected, Simulation, Truth, rng::Rng};
use vacuum::{AccessSides, Entry};

/// What the technician could tell besides the readings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Hints {
    /// True when the run carries marks.
    pub marks_present: bool,
    /// Isolation as remembered, s (for `--isolated-at`).
    pub isolated_at_s: Option<f64>,
    /// Room temperature, °C.
    pub ambient_c: Option<f64>,
    /// Internal volume with hoses, L.
    pub volume_l: Option<f64>,
    /// Refrigerant.
    pub refrigerant: Option<&'static str>,
    /// Sides evacuated.
    pub access_sides: Option<AccessSides>,
    /// True when the readings carry a temperature.
    pub temperature_column: bool,
}

/// One run of the family.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Its seed.
    pub seed: u64,
    /// Family it was drawn from, for tables.
    pub family: &'static str,
    /// The draw in words.
    pub description: String,
    /// Readings and marks in order.
    pub entries: Vec<Entry>,
    /// What really happened.
    pub truth: Truth,
    /// What the technician could tell.
    pub hints: Hints,
}

/// Draws and plays the run of `seed`.
///
/// System, hoses, pump, gauge, cause and conduct are all drawn; seeds may be
/// taken in any order and always give the same run.
#[must_use]
pub fn bench_case(seed: u64) -> Case {
    let mut rng = Rng::new(seed, 2);
    let draw = family::draw(&mut rng, None);
    let marks = draw.rig.marks;
    let isolated_from_start = draw.started_isolated;
    let thermometer = draw.rig.gauge.thermometer;
    let volume_l = draw.rig.world.system_volume_l();
    let ambient_c = draw.rig.world.climate.start_c;
    let one_sided = draw.rig.one_sided;
    let simulation = Simulation::of_rig(draw.rig, seed);
    let mut truth = simulation.truth().clone();
    let tells = !marks && rng.chance(0.12);
    let hints = Hints {
        marks_present: marks,
        isolated_at_s: truth.isolation_s.filter(|_| tells).map(f64::round),
        ambient_c: rng.chance(0.6).then(|| (ambient_c * 2.0).round() / 2.0),
        volume_l: rng
            .chance(0.6)
            .then(|| (volume_l * rng.range(0.9, 1.1) * 10.0).round() / 10.0),
        refrigerant: rng.chance(0.7).then_some(draw.refrigerant),
        access_sides: if one_sided {
            rng.chance(0.8).then_some(AccessSides::One)
        } else {
            rng.chance(0.5).then_some(AccessSides::Both)
        },
        temperature_column: thermometer,
    };
    if !marks && hints.isolated_at_s.is_none() {
        without_marks(&mut truth, isolated_from_start);
    }
    Case {
        seed,
        family: draw.family,
        description: draw.description,
        entries: simulation.map(|e| e.entry()).collect(),
        truth,
        hints,
    }
}

/// Draws and plays the run of `seed` once more, for the `again`th time: another appliance of
/// the same model, the same rig, gauge and habits, on another day. Innocent runs are hardly
/// more alike.
#[must_use]
pub fn alike_case(seed: u64, again: u64) -> Case {
    let mut day = Rng::new(seed ^ again.wrapping_mul(0x9e37_79b9_7f4a_7c15), 78);
    let drawn = family::draw(&mut Rng::new(seed, 2), Some(&mut day));
    let marks_present = drawn.rig.marks;
    let simulation = Simulation::of_rig(drawn.rig, day.next_seed());
    let truth = simulation.truth().clone();
    Case {
        seed,
        family: drawn.family,
        description: drawn.description,
        entries: simulation.map(|e| e.entry()).collect(),
        truth,
        hints: Hints {
            marks_present,
            ..Hints::default()
        },
    }
}

/// Takes into account that neither a mark nor a hint tells of the isolation.
fn without_marks(truth: &mut Truth, started_isolated: bool) {
    let hidden = !truth.isolation_visible || started_isolated;
    if hidden && !truth.verdict_acceptable.contains(&Expected::NotProven) {
        truth.verdict_acceptable.push(Expected::NotProven);
    }
}
