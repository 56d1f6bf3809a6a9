//! The same curve as different programs would write it: one verdict, and
//! figures that agree.

use std::path::Path;

use serde_json::Value;
use vacuum::Pressure;

use crate::{
    curves::Curve,
    run::{Ran, review, scratch},
};

/// Milliseconds of the day at which the stamped tables begin.
const DAWN_MS: u64 = ((23 * 60 + 50) * 60) * 1000;

fn pressure(micron: f64) -> Pressure {
    Pressure::from_micron(micron).expect("a pressure")
}

fn comma(number: String) -> String {
    number.replace('.', ",")
}

/// Hours, minutes, seconds, milliseconds of a moment, and days before it.
fn clock(seconds: f64, start_ms: u64) -> (u64, u64, u64, u64, u64) {
    let ms = start_ms + (seconds * 1000.0).round() as u64;
    let day_ms = ms % 86_400_000;
    (
        ms / 86_400_000,
        day_ms / 3_600_000,
        day_ms / 60_000 % 60,
        day_ms / 1000 % 60,
        day_ms % 1000,
    )
}

/// RFC 3339 across midnight, two hours east.
fn rfc_3339(seconds: f64) -> String {
    let (days, h, m, s, ms) = clock(seconds, DAWN_MS);
    format!(
        "2026-03-{:02}T{h:02}:{m:02}:{s:02}.{ms:03}+02:00",
        14 + days
    )
}

/// `h:mm:ss.mmm` since the start.
fn span(seconds: f64) -> String {
    let (_, h, m, s, ms) = clock(seconds, 0);
    format!("{h}:{m:02}:{s:02}.{ms:03}")
}

/// The tables, each with the options it needs.
fn tables(curve: &Curve) -> Vec<(&'static str, String, &'static [&'static str])> {
    vec![
        ("plain.csv", curve.plain(), &[]),
        (
            "minutes-mbar.csv",
            curve.table("time (min);P (mbar)", |t, p| {
                let minutes = comma(format!("{:.6}", t / 60.0));
                let mbar = comma(format!("{:.6}", pressure(p).mbar()));
                format!("{minutes};{mbar}")
            }),
            &[],
        ),
        (
            "stamped-pascal.csv",
            curve.table("timestamp,pressure [Pa]", |t, p| {
                format!("{},{:.5}", rfc_3339(t), pressure(p).pa())
            }),
            &[],
        ),
        (
            "spans-torr.tsv",
            // another maker's order of columns, tabs, and Windows line ends
            curve
                .table("Channel\tPressure/Torr\tElapsed time", |t, p| {
                    format!("1\t{:.6}\t{}", pressure(p).torr(), span(t))
                })
                .replace('\n', "\r\n"),
            &[],
        ),
        (
            "no-unit.csv",
            curve.table("Time,Pressure", |t, p| {
                format!("{t:.3},{:.6}", pressure(p).torr())
            }),
            &["--time-unit", "s", "--pressure-unit", "Torr"],
        ),
        (
            "two-gauges.csv",
            curve.table("ms,upper (micron),lower (Pa)", |t, p| {
                format!("{:.0},{:.1},{:.5}", t * 1000.0, p * 3.0, pressure(p).pa())
            }),
            &[
                "--time-column",
                "1",
                "--time-unit",
                "ms",
                "--pressure-column",
                "lower (Pa)",
            ],
        ),
        (
            // a byte order mark, and a few lines before the header
            "preamble.csv",
            format!(
                "\u{feff}Bench recorder,invented\nSerial,0000\n\n{}",
                curve.table("Elapsed (s),Vacuum (micron)", |t, p| format!(
                    "{t:.3},{p:.1}"
                ))
            ),
            &[],
        ),
    ]
}

fn number(findings: &Value, pointer: &str) -> f64 {
    let value = findings.pointer(pointer).and_then(Value::as_f64);
    value.unwrap_or_else(|| panic!("{pointer} in {findings}"))
}

/// Figures that must agree, with how far they may differ (relative, absolute).
const FIGURES: &[(&str, f64, f64)] = &[
    ("/rounds/0/hold/isolated_at_s", 0.0, 0.1),
    ("/rounds/0/hold/duration_s", 0.0, 0.1),
    ("/rounds/0/hold/start_micron", 0.01, 0.2),
    ("/rounds/0/hold/end_micron", 0.001, 0.2),
    ("/rounds/0/pulldown/lowest_micron", 0.001, 0.2),
    ("/rounds/0/hold/rise/leak_micron_per_min/value", 0.02, 0.0),
    ("/data/used", 0.0, 0.0),
];

fn assert_agree(name: &str, one: &Value, other: &Value) {
    assert_eq!(one["verdict"], other["verdict"], "{name}");
    assert_eq!(one["reasons"], other["reasons"], "{name}");
    let kind = "/rounds/0/hold/rise/kind";
    assert_eq!(one.pointer(kind), other.pointer(kind), "{name}");
    for (figure, relative, absolute) in FIGURES {
        let (a, b) = (number(one, figure), number(other, figure));
        let allowed = (relative * a.abs()).max(*absolute);
        assert!((a - b).abs() <= allowed, "{name}: {figure} {a} and {b}");
    }
}

fn written(folder: &Path, name: &str, text: &str) -> std::path::PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, text).expect("written");
    path
}

#[test]
fn every_way_to_write_a_curve_gives_the_same_answer() {
    let folder = scratch();
    let curve = Curve::of("small-leak");
    let isolated = format!("{:.3}", curve.isolated_s());
    let mut first: Option<Value> = None;
    for (name, text, options) in tables(&curve) {
        let path = written(folder.path(), name, &text);
        let options = [options, &["--isolated-at", &isolated]].concat();
        let findings = review(&path, &options).expect(10).json();
        match &first {
            None => first = Some(findings),
            Some(first) => assert_agree(name, first, &findings),
        }
    }
    let hold = &first.expect("tables")["rounds"][0]["hold"];
    assert_eq!(hold["rise"]["kind"], "leak");
}

#[test]
fn a_mark_in_the_table_says_when_it_was_isolated() {
    let folder = scratch();
    let curve = Curve::of("small-leak");
    let marked = written(folder.path(), "marked.csv", &curve.marked());
    let plain = written(folder.path(), "plain.csv", &curve.plain());
    let isolated = format!("{:.3}", curve.isolated_s());
    let by_mark = review(&marked, &[]).expect(10).json();
    let by_option = review(&plain, &["--isolated-at", &isolated])
        .expect(10)
        .json();
    let by_curve = review(&plain, &[]).expect(10).json();
    assert_eq!(by_mark["rounds"][0]["hold"]["isolation"], "mark");
    assert_eq!(by_option["rounds"][0]["hold"]["isolation"], "given");
    assert_agree("given", &by_mark, &by_option);
    let found = number(&by_curve, "/rounds/0/hold/isolated_at_s");
    assert!((found - curve.isolated_s()).abs() < 5.0, "{found} s");
}

#[test]
fn a_missing_unit_is_asked_for_and_never_guessed() {
    let folder = scratch();
    let curve = Curve::of("tight-and-dry");
    let text = curve.table("elapsed_s,Pressure", |t, p| {
        format!("{t:.3},{:.6}", pressure(p).mbar())
    });
    let path = written(folder.path(), "unitless.csv", &text);
    let asked: Ran = review(&path, &[]).expect(2);
    let complaint = asked.complaint();
    assert!(complaint.contains("unitless.csv"), "{complaint}");
    assert!(complaint.contains("--pressure-unit"), "{complaint}");
    assert_eq!(asked.out, "", "no answer without a unit");

    let isolated = format!("{:.3}", curve.isolated_s());
    let told = ["--pressure-unit", "mbar", "--isolated-at", &isolated];
    review(&path, &told).expect(0);
    for unit in ["furlong", "", "inHg vacuum", "psig"] {
        let refused = review(&path, &["--pressure-unit", unit]).expect(2);
        assert!(
            refused.complaint().contains("--pressure-unit"),
            "{refused:?}"
        );
    }
}

#[test]
fn a_gauge_that_counts_from_the_barometer_is_refused() {
    let folder = scratch();
    let path = written(
        folder.path(),
        "inches.csv",
        "elapsed_s,vacuum (inHg)\n0,29.50\n1,29.60\n2,29.70\n",
    );
    let refused = review(&path, &[]);
    assert!([1, 2].contains(&refused.status), "{refused:?}");
    assert!(refused.complaint().contains("barometer"), "{refused:?}");
}

#[test]
fn over_range_rows_are_bounds_and_not_readings() {
    let folder = scratch();
    let curve = Curve::of("tight-and-dry");
    let mut text = String::from("elapsed_s,pressure_micron,state\n");
    for i in 0..30 {
        text.push_str(&format!("{i},,over\n"));
    }
    for (t, p) in &curve.readings {
        text.push_str(&format!("{:.3},{p:.1},ok\n", t + 30.0));
    }
    let path = written(folder.path(), "over.csv", &text);
    let isolated = format!("{:.3}", curve.isolated_s() + 30.0);
    let findings = review(&path, &["--isolated-at", &isolated])
        .expect(0)
        .json();
    let rows = curve.readings.len() as u64;
    assert_eq!(findings["data"]["rows"], rows + 30);
    assert_eq!(findings["data"]["used"], rows);
    assert_eq!(findings["data"]["rejected"], 30);
}
