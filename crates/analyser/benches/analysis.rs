//! What a reading, a review and a look cost.

use analyser::{Analyser, Settings};
use divan::{Bencher, counter::ItemsCount};
use vacuum::{Mark, MarkKind, Pressure, Reading};

fn main() {
    divan::main();
}

/// `count` readings at ten a second: pull-down, then a hold with a leak; the
/// valve is shut after a third.
fn readings(count: u32) -> Vec<Reading> {
    let shut_s = f64::from(count) / 30.0;
    (0..count)
        .filter_map(|i| {
            let t = f64::from(i) * 0.1;
            let noise = (f64::from(i) * 0.618_033_988_749_895).fract() - 0.5;
            let rise = 0.1 * (t - shut_s).max(0.0);
            let micron = 180.0 + 750_000.0 * (-t / 40.0).exp() + rise + noise;
            Some(Reading::measured(t, Pressure::from_micron(micron).ok()?))
        })
        .collect()
}

fn fed(readings: &[Reading], marked: bool) -> Analyser {
    let mut analyser = Analyser::new(Settings::default());
    for (i, reading) in readings.iter().enumerate() {
        if marked && i == readings.len() / 3 {
            analyser.push_mark(&Mark {
                elapsed_s: reading.elapsed_s,
                kind: MarkKind::PumpSideShut,
                note: String::new(),
            });
        }
        analyser.push_reading(reading);
    }
    analyser
}

/// Time per reading, early and after the memory has begun to merge.
#[divan::bench(args = [36_000, 1_000_000])]
fn push(bencher: Bencher<'_, '_>, count: u32) {
    let readings = readings(count);
    bencher
        .counter(ItemsCount::new(readings.len()))
        .bench(|| fed(divan::black_box(&readings), true));
}

/// Findings of one hour at ten readings a second, by mark and from the curve.
#[divan::bench(args = [true, false])]
fn findings_of_an_hour(bencher: Bencher<'_, '_>, marked: bool) {
    let analyser = fed(&readings(36_000), marked);
    bencher.bench(|| divan::black_box(&analyser).findings());
}

/// A live look, as a screen asks for once a second: ten minutes and one hour in.
#[divan::bench(args = [6_000, 36_000])]
fn live(bencher: Bencher<'_, '_>, count: u32) {
    let analyser = fed(&readings(count), true);
    bencher.bench(|| divan::black_box(&analyser).live());
}

/// A live look while still pumping, one hour in.
#[divan::bench]
fn live_while_pumping(bencher: Bencher<'_, '_>) {
    let all = readings(108_000);
    let analyser = fed(&all[..36_000], false);
    bencher.bench(|| divan::black_box(&analyser).live());
}

/// Reading back an hour: everything from the first reading to the findings.
#[divan::bench]
fn review_an_hour(bencher: Bencher<'_, '_>) {
    let readings = readings(36_000);
    bencher.bench(|| fed(divan::black_box(&readings), true).findings());
}
