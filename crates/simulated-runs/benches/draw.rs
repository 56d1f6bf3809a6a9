//! How long runs take to draw and to simulate, truth included.

use simulated_runs::bench_case;

fn main() {
    divan::main();
}

/// A hundred runs of the random family of the plant.
#[divan::bench(sample_count = 5)]
fn family_of_100() -> usize {
    (0..100).map(|seed| bench_case(seed).entries.len()).sum()
}
