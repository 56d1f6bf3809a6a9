//! `log --test pressure-decay` and rehearsals of a pressure test: recorded, judged as the
//! record says, listed.

use node_line::{Barometer, Decimal, HighPressure, Line, Reference, Unit, Uptime, Value, encode};

use crate::run::{dryhold, log_of, only_run, scratch};

/// What the technician of the rehearsal does, recorded over a real pseudo-terminal, judged
/// as the record says, and listed.
#[test]
fn every_rehearsal_of_a_pressure_test_is_judged_as_it_was_simulated() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().to_str().expect("a path");
    for scenario in rehearsal::pressure_scenarios() {
        let name = scenario.name;
        let arguments = [
            "rehearse",
            "--scenario",
            name,
            "--speed",
            "max",
            "--out",
            out,
        ];
        let said = dryhold(arguments).out;
        let verdicts = ["PASS:", "FAIL:", "NOT PROVEN:"];
        let given = verdicts.iter().find(|v| said.contains(&format!("\n  {v}")));
        let given = given.unwrap_or_else(|| panic!("{name}: {said}"));
        let fitting = scenario.truth().fitting;
        let fits = |v: &rehearsal::Expected| {
            v.word().replace('_', " ").to_uppercase() == given.trim_end_matches(':')
        };
        assert!(fitting.iter().any(fits), "{name}: {given} {said}");
        assert!(!said.to_lowercase().contains("no leak"), "{name}: {said}");
    }
    let count = rehearsal::pressure_scenarios().len();
    let listed = dryhold(["list", out, "--json"]).out;
    assert_eq!(listed.lines().count(), count, "{listed}");
    assert!(listed.contains("\"verdict\":\"pass\""), "{listed}");
    // the record itself says what it is: nothing has to be said again
    let one = std::fs::read_dir(folder.path())
        .expect("runs")
        .filter_map(Result::ok)
        .map(|e| e.path())
        .find(|p| p.to_string_lossy().contains("INVENTED-P2"))
        .expect("the leak");
    let found = dryhold(["review", one.to_str().expect("a path"), "--json"]).json();
    assert_eq!(found["test"], "pressure-decay");
    assert_eq!(found["verdict"], "fail");
    assert_eq!(found["criteria"]["source"], "given in the job");
}

/// A gauge that counts from the air is read with the barometer that was said; without one
/// it is not guessed.
#[test]
fn a_gauge_that_counts_from_the_air_needs_the_barometer() {
    let folder = scratch();
    let capture = folder.path().join("gauge.capture");
    let lines: String = (0..40)
        .map(|i| format!("{:.3} bar gauge\r\n", 10.0 + 0.001 * f64::from(i % 3)))
        .collect();
    std::fs::write(&capture, lines).expect("written");
    let port = format!("file:{}", capture.display());
    let out = folder.path().join("runs");
    let out = out.to_str().expect("a path");
    let options = ["--test", "pressure-decay", "--volume-l", "2"];
    let barometer = ["--barometer-hpa", "950"];
    let said = dryhold(log_of(&port, out).iter().chain(&options).chain(&barometer));
    assert!(
        said.out.contains("40 readings recorded"),
        "{}{}",
        said.out,
        said.err
    );
    let run = std::fs::read_dir(out)
        .expect("runs")
        .filter_map(Result::ok)
        .next();
    let run = run.expect("a run").path();
    let job = std::fs::read_to_string(run.join("job.toml")).expect("a header");
    for key in [
        "kind = \"pressure-decay\"",
        "barometer_hpa = 950",
        "counts_from_air = true",
    ] {
        assert!(job.contains(key), "{job}");
    }
    let trace = std::fs::read_to_string(run.join("trace.csv")).expect("a trace");
    let first = trace.lines().nth(1).expect("a row").split(',').nth(3);
    let micron: f64 = first.expect("a pressure").parse().expect("a number");
    // 10 bar above 0.95 bar; a micron is 0.133322387415 Pa
    assert!(
        (micron * 0.133_322_387_415 - 1_095_000.0).abs() < 1.0,
        "{micron}"
    );
    let without = dryhold(log_of(&port, out).iter().chain(&options));
    assert!(without.out.contains("Nothing to review"), "{}", without.out);
    let said = format!("{}{}", without.out, without.err);
    assert!(said.contains("bar gauge"), "{said}");

    let dialect = folder.path().join("fixed.toml");
    let text = "name = \"fixed\"\n[line]\npattern = '^(?<value>[0-9.]+) '\n[value]\nunit = \"bar gauge\"\n";
    std::fs::write(&dialect, text).expect("written");
    let dialect = dialect.to_str().expect("a path");
    let fixed = ["log", "--port", &port, "--dialect", dialect, "--out", out];
    let refused = dryhold(fixed.iter().chain(&options));
    assert_ne!(refused.status, 0);
    assert!(refused.err.contains("--barometer-hpa"), "{}", refused.err);
    let said = dryhold(fixed.iter().chain(&options).chain(&barometer));
    assert!(
        said.out.contains("40 readings recorded"),
        "{}{}",
        said.out,
        said.err
    );
}

/// The high-pressure sensor of a gauge node, counted from the air, while its vacuum sensor
/// is above its range: recorded by the dialect that reads it, judged as a pressure test.
#[test]
fn the_high_pressure_of_a_gauge_node_is_recorded() {
    let folder = scratch();
    let capture = folder.path().join("node.capture");
    let line = |i: u16| {
        let hundredths_kpa = 100_000 + u32::from(i % 3);
        let line = Line {
            sequence: i,
            uptime: Uptime::from_milliseconds(u64::from(i) * 500).expect("in range"),
            value: Value::Over(Decimal::new(25_000, 0).expect("in range")),
            unit: Unit::Micron,
            temperature_tenths_c: Some(224),
            high: Some(HighPressure {
                value: Value::Measured(Decimal::new(hundredths_kpa, 2).expect("in range")),
                reference: Reference::Air,
            }),
            barometer: Barometer::new(9_500),
        };
        let mut room = [0; node_line::LONGEST];
        encode(&line, &mut room).expect("it fits").to_vec()
    };
    let lines: Vec<u8> = (0..40).flat_map(line).collect();
    std::fs::write(&capture, lines).expect("written");
    let port = format!("file:{}", capture.display());
    let name = ["--dialect", "node-pressure-line"];
    let options = ["--test", "pressure-decay", "--volume-l", "2"];
    // the node's own barometer counts, given or not, and whatever was given
    for given in [&[][..], &["--barometer-hpa", "1000"]] {
        let out = folder.path().join(format!("runs-{}", given.len()));
        let out = out.to_str().expect("a path");
        let log = ["log", "--port", &port, "--out", out];
        let said = dryhold(log.iter().chain(&name).chain(&options).chain(given));
        let both = format!("{}{}", said.out, said.err);
        assert!(said.out.contains("40 readings recorded"), "{both}");
        assert!(!both.contains("unreadable"), "{both}");
        let run = only_run(std::path::Path::new(out));
        let job = std::fs::read_to_string(run.join("job.toml")).expect("the job");
        assert!(job.contains("barometer_recorded = true"), "{job}");
        let trace = std::fs::read_to_string(run.join("trace.csv")).expect("a trace");
        let row: Vec<&str> = trace.lines().nth(1).expect("a row").split(',').collect();
        let micron: f64 = row[3].parse().expect("a number");
        // 10 bar above 0.95 bar; a micron is 0.133322387415 Pa
        assert!(
            (micron * 0.133_322_387_415 - 1_095_000.0).abs() < 1.0,
            "{micron}"
        );
        assert_eq!(row[4], "22.4", "{row:?}");
        let sheet = std::fs::read_to_string(run.join("sheet.html")).expect("a sheet");
        assert!(sheet.contains("measured beside the gauge"), "{sheet}");
    }
}
