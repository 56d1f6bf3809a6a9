//! Cost of taking a reading in, and of drawing an hour at 10 Hz.

use divan::{Bencher, counter::ItemsCount};
use report::{PngSize, Sheet, Trace};
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
    entries.iter().collect()
}

#[divan::bench]
fn push(bencher: Bencher) {
    let entries = hour();
    bencher
        .counter(ItemsCount::new(entries.len()))
        .bench(|| traced(&entries));
}

#[divan::bench(args = ["curve", "curve, two gauges", "sheet", "sheet.pdf", "curve.png", "curve-small.png"])]
fn draw(bencher: Bencher, what: &str) {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "both_1h");
    let Some(run) = run else { return };
    let trace = traced(&hour());
    let gauge = vacuum::GaugeIdentity::default();
    let second = traced(&invented_runs::pump_side(run));
    let beside = [report::Companion {
        place: "pump side",
        gauge: &gauge,
        trace: &second,
    }];
    let sheet = Sheet {
        job: run.job.as_ref(),
        ..Sheet::new(&trace, &run.findings, "bench", "dryhold")
    };
    bencher.bench(|| match what {
        "curve" => report::curve_svg(&sheet).map(|s| s.len()),
        "curve, two gauges" => {
            let beside = &beside;
            report::curve_svg(&Sheet { beside, ..sheet }).map(|s| s.len())
        }
        "sheet.pdf" => report::sheet_pdf(&sheet).map(|p| p.len()),
        "curve.png" => report::curve_png(&sheet, PngSize::Print).map(|p| p.len()),
        "curve-small.png" => report::curve_png(&sheet, PngSize::Message).map(|p| p.len()),
        _ => report::sheet_html(&sheet).map(|s| s.len()),
    });
}

/// An hour at ten readings a second, judged and set on paper: 200 ms at most.
#[divan::bench]
fn judged_and_set(bencher: Bencher) {
    let entries = hour();
    bencher.bench(|| {
        let mut analyser = analyser::Analyser::new(analyser::Settings::default());
        let mut trace = Trace::default();
        for entry in &entries {
            analyser.push(entry);
            trace.push(entry);
        }
        report::sheet_pdf(&Sheet {
            trace: &trace,
            findings: &analyser.findings(),
            job: None,
            given: report::GivenAtReview::NOTHING,
            choices: None,
            gauge_dialect: None,
            source: "bench",
            started_utc: Some("2026-03-14T09:15:00Z"),
            made_by: "dryhold",
            record_sha256: None,
            logo: None,
            photo: None,
            beside: &[],
            rig: None,
        })
        .map(|pdf| pdf.len())
    });
}
