//! How long one run takes to simulate, truth included.

use divan::{Bencher, black_box};
use rehearsal::{Scenario, Simulation};

fn main() {
    divan::main();
}

/// About an hour of simulated time at one reading a second.
#[divan::bench]
fn boiling_water(bencher: Bencher<'_, '_>) {
    let Some(scenario) = Scenario::named("boiling-water") else {
        return;
    };
    bencher.bench(|| Simulation::new(black_box(scenario), scenario.seed));
}

/// Foam forces short steps.
#[divan::bench]
fn foaming_oil(bencher: Bencher<'_, '_>) {
    let Some(scenario) = Scenario::named("foaming-oil") else {
        return;
    };
    bencher.bench(|| Simulation::new(black_box(scenario), scenario.seed));
}
