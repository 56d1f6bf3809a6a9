//! Readings of a claim, and what somebody makes of those of another.

use rehearsal::rng::Rng;
use vacuum::{Entry, Pressure, Reading, Sensed};

use super::claim::Plant;

/// Rows of a claim at most: longer runs are read less often.
const MOST_ROWS: usize = 6_000;

/// A thinned copy keeps so many rows: with fewer nobody would pass it off as a record.
const LEAST_ROWS: usize = 100;

/// Where a gauge stands that shows no less, micron: above what every pump reaches.
const FLOOR_MICRON: f64 = 4_000.0;

/// Every so manieth reading of a long run; all of its marks.
pub(super) fn bounded(entries: Vec<Entry>) -> Vec<Entry> {
    thinned(&entries, entries.len().div_ceil(MOST_ROWS).max(1))
}

fn thinned(entries: &[Entry], every: usize) -> Vec<Entry> {
    let mut count = 0;
    let keeps = |entry: &&Entry| {
        count += 1;
        matches!(entry, Entry::Mark(_)) || count % every == 0
    };
    entries.iter().filter(keeps).cloned().collect()
}

/// The readings of a claim, as whoever plants something makes them.
pub(super) fn changed(plant: Plant, mut entries: Vec<Entry>, rng: &mut Rng) -> Vec<Entry> {
    match plant {
        Plant::CopyShifted => {
            let by_s = rng.range(2.0, 900.0).round();
            for entry in &mut entries {
                match entry {
                    Entry::Reading(reading) => reading.elapsed_s += by_s,
                    Entry::Mark(mark) => mark.elapsed_s += by_s,
                }
            }
            entries
        }
        Plant::CopyThinned => {
            let most = (entries.len() / LEAST_ROWS).max(1);
            thinned(&entries, rng.pick(&[2, 3, 4, 5]).min(most))
        }
        Plant::CopyResampled => resampled(&entries, rng.range(1.3, 3.0)),
        Plant::CopyScaled => {
            let (smaller, larger) = (rng.range(0.75, 0.98), rng.range(1.02, 1.3));
            let factor = rng.pick(&[smaller, larger]);
            each_pressure(&mut entries, |micron| {
                let scaled = micron * factor;
                if scaled < 1_000.0 {
                    scaled.round()
                } else {
                    (scaled / 10.0).round() * 10.0
                }
            });
            entries
        }
        Plant::FixedFloor => {
            each_pressure(&mut entries, |micron| micron.max(FLOOR_MICRON));
            entries
        }
        _ => entries,
    }
}

fn each_pressure(entries: &mut [Entry], to: impl Fn(f64) -> f64) {
    for entry in entries {
        let Entry::Reading(reading) = entry else {
            continue;
        };
        if let Sensed::Measured(pressure) = reading.sensed {
            let new = Pressure::from_micron(to(pressure.micron())).expect("a pressure");
            reading.sensed = Sensed::Measured(new);
        }
    }
}

/// Readings at other times, on straight lines between those that were there.
fn resampled(entries: &[Entry], wider: f64) -> Vec<Entry> {
    let readings: Vec<(f64, f64)> = entries
        .iter()
        .filter_map(|entry| match entry {
            Entry::Reading(r) => Some((r.elapsed_s, r.pressure()?.micron())),
            Entry::Mark(_) => None,
        })
        .collect();
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return entries.to_vec();
    };
    let every_s = wider * (last.0 - first.0) / readings.len() as f64;
    let mut out: Vec<Entry> = Vec::new();
    let mut at_s = first.0;
    for pair in readings.windows(2) {
        let [(from_s, from), (to_s, to)] = pair else {
            continue;
        };
        while at_s < *to_s {
            let share = ((at_s - from_s) / (to_s - from_s)).clamp(0.0, 1.0);
            let micron = (10.0 * (from + share * (to - from))).round() / 10.0;
            let pressure = Pressure::from_micron(micron).expect("a pressure");
            out.push(Entry::Reading(Reading::measured(at_s, pressure)));
            at_s += every_s;
        }
    }
    out.extend(
        entries
            .iter()
            .filter(|e| matches!(e, Entry::Mark(_)))
            .cloned(),
    );
    out.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    out
}
