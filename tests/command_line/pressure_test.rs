//! `review --test pressure-decay`: a pressure test with dry gas from a table.
//!
//! The tables are made here by the law of the ideal gas in a rigid vessel, p₂ = p₁·T₂/T₁,
//! and by the equation of 40 CFR 1065.644 for what leaks; the program reckons with a real
//! gas. Everything in them is invented.

use std::{fmt::Write as _, path::PathBuf};

use serde_json::Value;

use crate::run::{Ran, dryhold, scratch};

/// An invented vessel of 2 L at 11 bar.
struct Vessel {
    /// Hold, s.
    hold_s: u32,
    /// Room, °C over the hold: where it is at a share of it.
    room_c: fn(f64) -> f64,
    /// Loss, share of the gas in an hour.
    lost_per_hour: f64,
    /// A supply that holds the pressure.
    open: bool,
    /// Step of the gauge, bar.
    step_bar: f64,
}

const TIGHT: Vessel = Vessel {
    hold_s: 3_600,
    room_c: |share| 22.0 - 1.5 * share,
    lost_per_hour: 0.0,
    open: false,
    step_bar: 0.001,
};

impl Vessel {
    /// Rows of time, pressure (bar abs) and temperature, one a second.
    fn rows(&self) -> Vec<(f64, f64, f64)> {
        (0..=self.hold_s)
            .map(|s| {
                let share = f64::from(s) / f64::from(self.hold_s);
                let room_c = (self.room_c)(share);
                let kelvin = (room_c + 273.15) / ((self.room_c)(0.0) + 273.15);
                // a leak that slows down as the pressure falls
                let left = (-self.lost_per_hour * f64::from(s) / 3_600.0).exp();
                // heat of filling: 4 K that go in a minute
                let warm = 1.0 + 4.0 / 293.0 * (-f64::from(s) / 60.0).exp();
                let bar = if self.open {
                    11.0
                } else {
                    11.0 * kelvin * left * warm
                };
                // a little noise, the same every time
                let noise = ((f64::from(s) * 12.9898).sin() * 43_758.547).fract() * 0.001;
                let shown = ((bar + noise) / self.step_bar).round() * self.step_bar;
                (f64::from(s), shown, room_c)
            })
            .collect()
    }

    /// As a table with these columns.
    fn table(&self, header: &str, row: impl Fn(f64, f64, f64) -> String) -> String {
        let mut table = format!("{header}\n");
        for (s, bar, c) in self.rows() {
            let _ = writeln!(table, "{}", row(s, bar, c));
        }
        table
    }

    fn plain(&self) -> String {
        self.table("time (s),pressure (bar abs),temperature_c", |s, bar, c| {
            format!("{s},{bar:.4},{c:.2}")
        })
    }
}

fn review(text: &str, more: &[&str]) -> Ran {
    let folder = scratch();
    let path: PathBuf = folder.path().join("test.csv");
    std::fs::write(&path, text).expect("a table");
    let path = path.to_str().expect("a path");
    let arguments = ["review", path, "--test", "pressure-decay"];
    dryhold(arguments.iter().chain(more))
}

const ALLOWED: [&str; 6] = [
    "--volume-l",
    "2",
    "--shut-at",
    "0",
    "--allow-pa-m3-per-s",
    "0.01",
];

fn json(text: &str, more: &[&str]) -> Value {
    let done = review(text, &[&ALLOWED[..], &["--json"], more].concat());
    done.json()
}

fn reasons(found: &Value) -> Vec<&str> {
    let list = found["reasons"].as_array().expect("a list");
    list.iter().filter_map(Value::as_str).collect()
}

#[test]
fn a_tight_vessel_in_a_cooling_room_passes_and_says_what_it_could_have_seen() {
    let found = json(&TIGHT.plain(), &[]);
    assert_eq!(found["schema"], "dryhold.findings/1");
    assert_eq!(found["test"], "pressure-decay");
    assert_eq!(found["verdict"], "pass", "{found}");
    let decay = &found["decay"];
    let number = |v: &Value| v.as_f64().unwrap_or_else(|| panic!("{v} in {found}"));
    let loss = &decay["loss_pa_m3_per_s"];
    assert!(number(&loss["low"]) < 0.0 && number(&loss["high"]) > 0.0);
    assert!(number(&decay["upper_95_pa_m3_per_s"]) < 0.01);
    assert!(number(&decay["detection_limit_pa_m3_per_s"]) > 0.0);
    // cooled by 1.5 K: lower, and at the first temperature as high as it was
    assert!(number(&decay["end_bar_abs"]) < 10.96);
    assert!((number(&decay["corrected_end_bar_abs"]) - 11.0).abs() < 0.01);

    let said = review(&TIGHT.plain(), &ALLOWED);
    assert_eq!(said.status, 0, "{said:?}");
    assert!(said.out.contains("PASS"), "{said:?}");
    assert!(said.out.contains("Smallest leak detectable"), "{said:?}");
    assert!(!said.out.to_lowercase().contains("no leak\n"), "{said:?}");
}

/// 40 CFR 1065.644: ṅ = (V/R)·(p₂/T₂ − p₁/T₁)/Δt; as throughput at T this is V·Δp/Δt, here
/// 2 L · 11 bar · 5 % in an hour = 0.0306 Pa·m³/s.
#[test]
fn a_leak_fails_with_its_size() {
    let leaking = Vessel {
        lost_per_hour: 0.05,
        ..TIGHT
    };
    let found = json(&leaking.plain(), &[]);
    assert_eq!(found["verdict"], "fail", "{found}");
    assert_eq!(reasons(&found), ["leak_too_large"]);
    let loss = &found["decay"]["loss_pa_m3_per_s"];
    let (low, high) = (loss["low"].as_f64(), loss["high"].as_f64());
    let truth = 2e-3 * 11e5 * 0.05 / 3_600.0;
    assert!(low < Some(truth) && Some(truth) < high, "{found}");
    assert_eq!(review(&leaking.plain(), &ALLOWED).status, 10);
}

#[test]
fn a_supply_that_stays_open_proves_nothing() {
    let open = Vessel {
        open: true,
        ..TIGHT
    };
    let found = json(&open.plain(), &[]);
    assert_eq!(found["verdict"], "not_proven");
    assert_eq!(reasons(&found)[0], "supply_open", "{found}");
}

#[test]
fn without_a_thermometer_a_fall_is_not_blamed_on_a_leak_and_says_what_would_help() {
    let table = TIGHT.table("time (s),pressure (bar abs)", |s, bar, _| {
        format!("{s},{bar:.4}")
    });
    let found = json(&table, &[]);
    let strict = [
        "--volume-l",
        "2",
        "--shut-at",
        "0",
        "--allow-pa-m3-per-s",
        "0.002",
        "--json",
    ];
    let done = review(&table, &strict);
    let strictly = done.json();
    for found in [&found, &strictly] {
        assert_ne!(found["verdict"], "fail", "{found}");
    }
    assert_eq!(strictly["verdict"], "not_proven");
    assert!(reasons(&strictly).contains(&"temperature_missing"));
    assert!(
        strictly["decay"]["with_thermometer_min"].is_number(),
        "{strictly}"
    );
}

#[test]
fn a_short_hold_says_how_much_is_missing() {
    let short = Vessel {
        hold_s: 400,
        ..TIGHT
    };
    let found = json(&short.plain(), &[]);
    assert_eq!(found["verdict"], "not_proven");
    assert!(reasons(&found).contains(&"hold_too_short"), "{found}");
    assert!(found["decay"]["decides_in_min"].as_f64() > Some(8.0));
}

#[test]
fn a_coarse_gauge_is_named() {
    let coarse = Vessel {
        step_bar: 0.5,
        ..TIGHT
    };
    let strict = ["--volume-l", "2", "--shut-at", "0", "--json"];
    let limit = ["--allow-pa-m3-per-s", "0.005"];
    let found = review(&coarse.plain(), &[&strict[..], &limit].concat()).json();
    assert_eq!(found["verdict"], "not_proven", "{found}");
    assert!(reasons(&found).contains(&"gauge_too_coarse"), "{found}");
}

#[test]
fn a_gauge_that_counts_from_the_air_needs_the_barometer() {
    let gauge = |unit: &str, per_bar: f64| {
        TIGHT.table(
            &format!("time (s),pressure ({unit}),temperature_c"),
            |s, bar, c| format!("{s},{:.4},{c:.2}", (bar - 1.0) * per_bar),
        )
    };
    // psi of NIST SP 811; 1 bar = 100 kPa = 0.1 MPa
    for (unit, per_bar) in [
        ("bar gauge", 1.0),
        ("psi gauge", 14.503_773_8),
        ("kPa gauge", 100.0),
        ("MPa gauge", 0.1),
    ] {
        let table = gauge(unit, per_bar);
        let with = json(&table, &["--barometer-hpa", "1000"]);
        assert_eq!(with["verdict"], "pass", "{unit}: {with}");
        let start = with["decay"]["start_bar_abs"].as_f64().expect("a pressure");
        assert!((start - 11.1).abs() < 0.1, "{unit}: {start}");
        let without = json(&table, &[]);
        assert_eq!(without["verdict"], "not_proven", "{unit}");
        assert!(reasons(&without).contains(&"barometer_missing"), "{unit}");
    }
}

#[test]
fn a_unit_that_may_be_either_is_asked_back() {
    for unit in ["bar", "psi"] {
        let table = TIGHT.table(
            &format!("time (s),pressure ({unit}),temperature_c"),
            |s, bar, c| format!("{s},{bar:.4},{c:.2}"),
        );
        let done = review(&table, &ALLOWED);
        assert_eq!(done.status, 2, "{done:?}");
        assert!(done.err.contains("may count from"), "{done:?}");
    }
}

#[test]
fn marks_of_the_table_say_when() {
    let table = TIGHT.table(
        "time (s),pressure (bar abs),temperature_c,mark",
        |s, bar, c| {
            let mark = match s as u32 {
                300 => "supply_shut",
                3_400 => "vented",
                _ => "",
            };
            format!("{s},{bar:.4},{c:.2},{mark}")
        },
    );
    let done = review(
        &table,
        &["--volume-l", "2", "--allow-pa-m3-per-s", "0.01", "--json"],
    );
    let found = done.json();
    assert_eq!(found["decay"]["shut_at_s"], 300, "{found}");
    assert!(found["decay"]["end_s"].as_f64() <= Some(3_400.0));
}

#[test]
fn what_cannot_be_judged_is_said() {
    for (options, words) in [
        (&["--gas", "oxygen"][..], "not a gas for pressure tests"),
        (&["--test-profile", "flat"], "facilities flat correction"),
        (&["--allow-g-per-year", "3"], "needs --refrigerant"),
        (&["--barometer-hpa", "30"], "must lie in 500 to 1100 hPa"),
        (&["--shut-at", "99999"], "lies outside of the record"),
    ] {
        let done = review(&TIGHT.plain(), options);
        assert_ne!(done.status, 0, "{options:?}");
        assert!(done.err.contains(words), "{options:?}: {done:?}");
    }
    let found = json(&TIGHT.plain(), &["--nameplate-bar", "10"]);
    assert_eq!(reasons(&found), ["pressure_too_high"]);
    let found = json(&TIGHT.plain(), &["--test-pressure-bar", "16"]);
    assert_eq!(reasons(&found), ["pressure_too_low"]);
    let no_volume = review(&TIGHT.plain(), &["--shut-at", "0"]);
    assert_eq!(no_volume.status, 11, "{no_volume:?}");
    assert!(no_volume.out.contains("volume"), "{no_volume:?}");
}

/// 3 g a year of R-134a (EN 378-1, sealed system) out of a leak at 11 bar of nitrogen: by both
/// laws of flow less than an hour at this gauge can show.
#[test]
fn grams_a_year_are_a_range_over_both_laws() {
    let options = ["--volume-l", "2", "--refrigerant", "R-134a", "--json"];
    let done = review(
        &TIGHT.plain(),
        &[&options[..], &["--shut-at", "0"]].concat(),
    );
    let found = done.json();
    assert_eq!(found["criteria"]["name"], "sealed system");
    assert_eq!(found["verdict"], "not_proven");
    let grams = &found["decay"]["g_per_year"];
    assert!(grams["high"].as_f64() > Some(3.0), "{found}");
}

/// A hundred thousand rows: reading and judging.
#[test]
fn a_long_record_is_judged() {
    let long = Vessel {
        hold_s: 100_000,
        ..TIGHT
    };
    let found = json(&long.plain(), &[]);
    assert_eq!(found["data"]["readings"], 100_001);
    assert_eq!(found["verdict"], "pass", "{found}");
}

/// The example of the README: four invented tests.
#[test]
fn the_samples_are_judged_as_they_were_made() {
    let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    for (name, limit, verdict, reason) in [
        ("tight", "0.02", "pass", None),
        ("leak", "0.02", "fail", Some("leak_too_large")),
        ("supply-open", "0.02", "not_proven", Some("supply_open")),
        (
            "no-thermometer",
            "0.01",
            "not_proven",
            Some("temperature_missing"),
        ),
    ] {
        let path = samples
            .join("pressure-tests")
            .join(name)
            .with_extension("csv");
        let path = path.to_str().expect("a path");
        let options = ["--volume-l", "2.8", "--allow-pa-m3-per-s", limit, "--json"];
        let arguments = ["review", path, "--test", "pressure-decay"];
        let found = dryhold(arguments.iter().chain(&options)).json();
        assert_eq!(found["verdict"], verdict, "{name}: {found}");
        assert_eq!(reasons(&found).first().copied(), reason, "{name}: {found}");
        assert_eq!(found["decay"]["shut_at_s"], 90, "{name}");
        if name == "tight" {
            // 6 K of heat of filling that goes with 45 s and half a kelvin that goes with 10 min
            let settled = found["decay"]["settled_at_s"].as_f64();
            assert!(settled > Some(200.0) && settled < Some(2_500.0), "{found}");
        }
    }
}
