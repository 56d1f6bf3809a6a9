//! Cost of taking a reading in, and of drawing an hour at 10 Hz.

#[path = "../src/synthetic.rs"]
mod synthetic;

use divan::{Bencher, counter::ItemsCount};
use report::{Sheet, Trace};
use vacuum::{Entry, Pressure, Reading};

fn main() {
    divan::main();
}

/// One hour at 10 readings a second.
fn hour() -> Vec<Entry> {
    (0..36_000_u32)
        .filter_map(|i| {
            let t = f64::from(i) * 0.1;
            let wobble = 1.0 + 0.01 * (t * 7.0).sin();
            let micron = (180.0 + 760_000.0 * (-t / 150.0).exp()) * wobble;
            let pressure = Pressure::from_micron(micron).ok()?;
            Some(Entry::Reading(Reading::measured(t, pressure)))
        })
        .collect()
}

fn traced(entries: &[Entry]) -> Trace {
    let mut trace = Trace::default();
    for entry in entries {
        trace.push(entry);
    }
    trace
}

#[divan::bench]
fn push(bencher: Bencher) {
    let entries = hour();
    bencher
        .counter(ItemsCount::new(entries.len()))
        .bench(|| traced(&entries));
}

#[divan::bench(args = ["curve", "curve, two gauges", "sheet"])]
fn draw(bencher: Bencher, what: &str) {
    let runs = synthetic::runs();
    let run = runs.iter().find(|r| r.name == "both_1h");
    let Some(run) = run else { return };
    let trace = traced(&hour());
    let gauge = vacuum::GaugeIdentity::default();
    let second = traced(&synthetic::pump_side(run));
    let beside = [report::Companion {
        place: "pump side",
        gauge: &gauge,
        trace: &second,
    }];
    let sheet = Sheet {
        trace: &trace,
        findings: &run.findings,
        job: run.job.as_ref(),
        choices: None,
        gauge_dialect: None,
        source: "bench",
        started_utc: None,
        made_by: "dryhold",
        record_sha256: None,
        logo: None,
        beside: &[],
    };
    bencher.bench(|| match what {
        "curve" => report::curve_svg(&sheet).map(|s| s.len()),
        "curve, two gauges" => {
            let beside = &beside;
            report::curve_svg(&Sheet { beside, ..sheet }).map(|s| s.len())
        }
        _ => report::sheet_html(&sheet).map(|s| s.len()),
    });
}
