//! A scale beside the gauge: nothing of what it says is lost, the weigh-in is judged, shown
//! and on the sheet, and a mass that was typed says that it was.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use serde_json::Value;

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    run::{dryhold, only_run, scratch},
};

/// Rows of the scale: elapsed time, mass and state.
fn scale_rows(run: &Path) -> Vec<(f64, Option<f64>, String)> {
    let text = std::fs::read_to_string(run.join("scale.csv")).expect("rows of the scale");
    let cells = |line: &str| -> (f64, Option<f64>, String) {
        let cells: Vec<&str> = line.split(',').collect();
        let elapsed_s = cells[1].parse().expect("a time");
        (elapsed_s, cells[3].parse().ok(), cells[5].to_owned())
    };
    text.lines().skip(1).map(cells).collect()
}

fn charge_of(run: &Path) -> Value {
    let ran = dryhold(["review", &run.to_string_lossy(), "--json"]);
    let found: Value = serde_json::from_str(ran.out.trim()).expect("JSON");
    found["charge"].clone()
}

fn rehearsed(name: &str) -> (tempfile::TempDir, PathBuf, String) {
    let folder = scratch();
    let out = folder.path().join("runs");
    let below = out.to_string_lossy().into_owned();
    let said = [
        "rehearse",
        "--scenario",
        name,
        "--out",
        &below,
        "--speed",
        "300",
    ];
    let ran = dryhold(said).expect(0);
    let run = only_run(&out);
    (folder, run, ran.out)
}

#[test]
fn a_scale_at_ten_lines_a_second_loses_none_and_its_weigh_in_is_judged() {
    let folder = scratch();
    let own = |name: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir(&path).expect("a folder");
        Gauge::plugged_in(&path)
    };
    let (mut gauge, mut scale) = (own("gauge"), own("scale"));
    let job = folder.path().join("job.toml");
    let text = "[job]\nid = \"INVENTED-9\"\ninvented = true\nrefrigerant = \"R-600a\"\ncharge = \"58 g\"\n";
    std::fs::write(&job, text).expect("a job file");
    let out = folder.path().join("runs");
    let (job, port) = (
        job.to_string_lossy(),
        scale.path().to_string_lossy().into_owned(),
    );
    let mut logger = Logger::start(
        gauge.path(),
        &out,
        &[
            "--job",
            &job,
            "--scale-port",
            &port,
            "--scale-dialect",
            "weight-word-line",
            "--left-in-hoses-g",
            "0.1",
            "--view",
            "spoken",
        ],
    );
    gauge.await_reader();
    scale.await_reader();
    // the cylinder stands still, gets 58.2 g lighter, stands still again
    let mut said = Vec::new();
    for tenth in 0..160_u32 {
        let second = f64::from(tenth) / 10.0;
        let gone = 58.2 * ((second - 5.0) / 5.0).clamp(0.0, 1.0);
        let moves = (5.0..10.3).contains(&second);
        let word = if moves { "settling" } else { "steady" };
        let shown = ((4_812.6 - gone) * 10.0).round() / 10.0;
        scale.say(&format!("#{shown:.1} g {word}\r\n"));
        said.push(shown);
        gauge.say_micron(310.0);
        match tenth {
            30 => {
                logger.type_line(b"w");
                // no hold has passed: it is asked about first
                logger.wait_for("No hold has passed");
                logger.type_line(b"yes");
            }
            110 => logger.type_line(b"x"),
            115 => logger.type_line(b"a"),
            155 => logger.type_line(b"z"),
            _ => std::thread::sleep(Duration::from_millis(95)),
        }
    }
    scale.drain();
    let run = only_run(&out);
    wait_until("every row of the scale", || {
        scale_rows(&run).len() >= said.len()
    });
    logger.wait_for("weigh-in ends");
    let (ran, _) = logger.stop();
    let ran = ran.expect(0);
    let rows = scale_rows(&run);
    let masses: Vec<f64> = rows.iter().filter_map(|(_, mass, _)| *mass).collect();
    assert_eq!(masses, said, "nothing is lost, nothing is twice");
    assert!(rows.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    assert!(rows.iter().any(|(.., word)| word == "moving"));

    assert!(ran.out.contains("Charged: 58.1 ± 0.1"), "{}", ran.out);
    assert!(ran.out.contains("Left in hoses: 0.1 g"), "{}", ran.out);
    let charge = charge_of(&run);
    assert_eq!(charge["basis"], "weighed");
    let charged = &charge["charged_g"];
    let ends = (
        charged["low"].as_f64().expect("g"),
        charged["high"].as_f64().expect("g"),
    );
    assert!(
        ends.0 < 58.1 && 58.1 < ends.1 && ends.1 - ends.0 < 1.0,
        "{charge}"
    );
    let acts: Vec<&str> = charge["acts"]
        .as_array()
        .expect("acts")
        .iter()
        .filter_map(|act| act["act"].as_str())
        .collect();
    let wanted = [
        "weigh_in_begins",
        "cylinder_shut",
        "charging_valve_shut",
        "weigh_in_ends",
    ];
    assert_eq!(acts, wanted);
    assert_eq!(charge["notices"][0]["code"], "no_hold_passed");

    // the record holds together, and a mass that is edited shows
    dryhold(["verify", &run.to_string_lossy()]).expect(0);
    let path = run.join("scale.csv");
    let text = std::fs::read_to_string(&path).expect("rows");
    std::fs::write(&path, text.replacen(",4754.4,", ",4754.9,", 1)).expect("written");
    let ran = dryhold(["verify", &run.to_string_lossy()]);
    assert_ne!(ran.status, 0, "{}", ran.out);
}

#[test]
fn a_rehearsed_weigh_in_follows_a_hold_that_passes() {
    let (_folder, run, said) = rehearsed("charge-weighed-in");
    assert!(said.contains("PASS"), "{said}");
    let charge = charge_of(&run);
    // 58.3 g left the cylinder, 0.1 g stays in the hoses
    let charged = &charge["charged_g"];
    let ends = (
        charged["low"].as_f64().expect("g"),
        charged["high"].as_f64().expect("g"),
    );
    assert!(ends.0 <= 58.2 && 58.2 <= ends.1, "{charge}");
    assert_eq!(
        charge["notices"].as_array().map(Vec::len),
        Some(0),
        "{charge}"
    );
    assert_eq!(charge["acts"].as_array().map(Vec::len), Some(6));
    let sheet = std::fs::read_to_string(run.join("sheet.html")).expect("a sheet");
    for words in ["58.2 ± 0.1", "Left in hoses: 0.1 g", "cylinder valve shut"] {
        assert!(sheet.contains(words), "{words}");
    }
    // made anew from the record, in the other languages too
    let run = run.to_string_lossy().into_owned();
    for (language, words) in [
        ("de", "Eingefüllt: 58,2 ± 0,1"),
        ("fr", "Chargé"),
        ("es", "Cargado: 58,2 ± 0,1"),
    ] {
        let out = scratch();
        let to = out.path().to_string_lossy().into_owned();
        dryhold(["report", &run, "--out", &to, "--language", language]).expect(0);
        let sheet = std::fs::read_to_string(out.path().join("sheet.html")).expect("a sheet");
        assert!(sheet.contains(words), "{language}: {words}");
    }
}

#[test]
fn too_much_and_a_touched_cylinder_are_said() {
    let (_folder, run, said) = rehearsed("charge-overshoot");
    assert!(said.contains("more than the nameplate charge"), "{said}");
    let charge = charge_of(&run);
    assert_eq!(charge["notices"][0]["code"], "overshoot", "{charge}");
    let (_folder, run, said) = rehearsed("charge-cylinder-touched");
    assert!(said.contains("the cylinder was touched"), "{said}");
    let charge = charge_of(&run);
    assert_eq!(charge["charged_g"], Value::Null, "{charge}");
}

#[test]
fn what_does_not_fit_is_asked_back() {
    for (options, words) in [
        (&["--scale-port", "/dev/null"][..], "--scale-dialect"),
        (
            &[
                "--scale-port",
                "/dev/null",
                "--scale-dialect",
                "number-unit-line",
            ][..],
            "weight-word-line",
        ),
        (&["--scale-dialect", "weight-word-line"][..], "--scale-port"),
        (
            &[
                "--scale-port",
                "x",
                "--scale-dialect",
                "weight-word-line",
                "--left-in-hoses-g",
                "-1",
            ][..],
            "0 to 5000 g",
        ),
        (
            &[
                "--scale-port",
                "file:x",
                "--scale-dialect",
                "weight-word-line",
            ][..],
            "--scale-port are both",
        ),
    ] {
        let log = ["log", "--port", "file:x", "--dialect", "number-unit-line"];
        let ran = dryhold([&log, options].concat()).expect(2);
        assert!(ran.err.contains(words), "{words}: {}", ran.err);
    }
}

#[test]
fn a_mass_that_was_typed_says_so() {
    let folder = scratch();
    let job = folder.path().join("job.toml");
    let text =
        "[job]\nid = \"INVENTED-9\"\ninvented = true\ncharge = \"58 g\"\ncharged = \"57.5 g\"\n";
    std::fs::write(&job, text).expect("a job file");
    let capture = folder.path().join("gauge.capture");
    std::fs::write(&capture, "812.0 micron\r\n640.5 micron\r\n").expect("a capture");
    let out = folder.path().join("runs");
    let port = format!("file:{}", capture.display());
    let (job, below) = (job.to_string_lossy(), out.to_string_lossy());
    let log = [
        "log",
        "--port",
        &port,
        "--dialect",
        "number-unit-line",
        "--job",
        &job,
    ];
    dryhold([&log, &["--out", &below][..]].concat()).expect(0);
    let run = only_run(&out);
    let ran = dryhold(["review", &run.to_string_lossy()]);
    assert!(ran.out.contains("57.5 g of 58 g, as typed"), "{}", ran.out);
    assert_eq!(charge_of(&run)["basis"], "typed");
}
