//! Passes that are not earned, at the command line: units of files, options, the
//! manifold, criteria. The table is `analyser::false_passes`.

use std::path::{Path, PathBuf};

use crate::run::{dryhold, only_run, review, scratch};

/// When the pump-side valve is shut, s.
const SHUT_S: u32 = 900;

/// A sound run: down to 200 micron, held 11 minutes at 212 with the last digit moving.
fn sound(s: u32) -> f64 {
    let t = f64::from(s);
    if s > SHUT_S {
        return 212.0 + [0.0, 1.0, 0.0, -1.0, 0.0][(s as usize * 7) % 5];
    }
    (200.0 + 756_000.0 * (-t / 22.0).exp() + 4_000.0 * (-t / 90.0).exp()).round()
}

/// A table with marks. `micron` of each second is written by `cell`.
fn table(header: &str, cell: impl Fn(f64) -> String, note: Option<(u32, &str)>) -> String {
    let mut text = format!("elapsed_s,{header},mark,note\n");
    for s in 0..=SHUT_S + 660 {
        if s == SHUT_S {
            text.push_str(&format!("{s},,pump_side_shut,\n"));
        }
        if let Some((_, note)) = note.filter(|(at_s, _)| *at_s == s) {
            text.push_str(&format!("{s},,note,{note}\n"));
        }
        text.push_str(&format!("{s},{},,\n", cell(sound(s))));
    }
    text
}

fn micron() -> String {
    table("pressure_micron", |p| format!("{p}"), None)
}

fn written(folder: &Path, text: &str) -> PathBuf {
    let path = folder.join("invented.csv");
    std::fs::write(&path, text).expect("written");
    path
}

fn reasons(found: &serde_json::Value) -> Vec<String> {
    let all = found["reasons"].as_array().expect("a list");
    all.iter()
        .filter_map(|r| Some(r.as_str()?.to_owned()))
        .collect()
}

fn codes(found: &serde_json::Value) -> Vec<String> {
    let all = found["findings"].as_array().expect("a list");
    all.iter()
        .filter_map(|f| Some(f["code"].as_str()?.to_owned()))
        .collect()
}

#[test]
fn the_sound_table_passes() {
    let folder = scratch();
    let path = written(folder.path(), &micron());
    let found = review(&path, &[]).expect(0).json();
    assert_eq!(found["verdict"], "pass");
    assert_eq!(found["data"]["unit"]["basis"], "stated");
    assert_eq!(found["data"]["unit"]["symbol"], "micron");
    for code in [
        "unit_assumed",
        "unit_doubtful",
        "criteria_softer",
        "gauge_too_coarse",
    ] {
        assert!(!codes(&found).contains(&code.to_owned()), "{found}");
    }
}

/// Bare psi, bar and inches are asked back, with status 2, however they are written,
/// and whatever the numbers are.
#[test]
fn a_file_in_a_unit_of_both_kinds_is_asked_back() {
    let folder = scratch();
    for unit in ["psi", "inHg", "bar", "in", "kg/cm2", "PSI", "Bar"] {
        for header in [format!("pressure ({unit})"), format!("Pressure [{unit}]")] {
            let path = written(folder.path(), &table(&header, |_| "0.0".into(), None));
            let ran = review(&path, &[]).expect(2);
            assert!(
                ran.complaint().contains("may count from full vacuum"),
                "{ran:?}"
            );
            assert_eq!(ran.out, "", "no answer");
        }
    }
    for (unit, answer) in [("psi", "psia"), ("inHg", "inHg abs"), ("bar", "bar abs")] {
        let path = written(
            folder.path(),
            &table(&format!("p ({unit})"), |_| "0.0".into(), None),
        );
        let refused = review(&path, &["--pressure-unit", unit]).expect(2);
        assert!(
            refused.complaint().contains("may count from"),
            "{refused:?}"
        );
        assert!(refused.complaint().contains(answer), "{refused:?}");
        // even said to be absolute, zeros prove nothing
        let found = review(&path, &["--pressure-unit", answer])
            .expect(11)
            .json();
        assert!(
            reasons(&found).contains(&"gauge_too_coarse".to_owned()),
            "{found}"
        );
    }
    for unit in ["psig", "bar gauge", "inHg vac"] {
        let path = written(
            folder.path(),
            &table(&format!("p ({unit})"), |_| "0.0".into(), None),
        );
        let ran = review(&path, &["--pressure-unit", "micron"]).expect(2);
        assert!(ran.complaint().contains("counts from the air"), "{ran:?}");
    }
}

#[test]
fn zeros_and_values_that_never_move_are_no_pass_in_any_absolute_unit() {
    let folder = scratch();
    for unit in [
        "micron", "Torr", "Pa", "kPa", "mbar", "bar abs", "psia", "inHg abs", "atm",
    ] {
        for value in ["0.0", "0"] {
            let path = written(
                folder.path(),
                &table(&format!("p ({unit})"), |_| value.into(), None),
            );
            let found = review(&path, &[]).expect(11).json();
            assert!(
                reasons(&found).contains(&"gauge_too_coarse".to_owned()),
                "{unit}: {found}"
            );
        }
    }
    let path = written(folder.path(), &table("p (micron)", |_| "300".into(), None));
    review(&path, &[]).expect(11);
}

#[test]
fn the_wrong_unit_is_noticed_at_the_air_outside() {
    let folder = scratch();
    // a gauge in mbar at sea level, the system hardly evacuated: 250 mbar
    let mbar = |p: f64| format!("{:.1}", 250.0 + (p - 212.0) * 763.25 / 760_000.0);
    let starts = table("pressure_micron", mbar, None).replacen("0,1010.3", "0,1013.2", 1);
    let path = written(folder.path(), &starts);
    let ran = review(&path, &[]).expect(11);
    let found = ran.json();
    assert!(
        reasons(&found).contains(&"unit_doubtful".to_owned()),
        "{found}"
    );
    let said = dryhold([Path::new("review"), &path]).expect(11);
    assert!(said.out.contains("air outside in mbar"), "{}", said.out);
    assert!(said.out.contains("--unit-checked"), "{}", said.out);
    let path = written(folder.path(), &table("pressure", |p| format!("{p}"), None));
    review(&path, &["--pressure-unit", "micron"]).expect(0);
}

#[test]
fn an_assumed_unit_stands_on_the_sheet_and_in_the_review() {
    let folder = scratch();
    let path = written(folder.path(), &table("pressure", |p| format!("{p}"), None));
    let options = ["--pressure-unit", "micron"];
    let found = review(&path, &options).expect(0).json();
    assert_eq!(found["data"]["unit"]["basis"], "option");
    assert!(
        codes(&found).contains(&"unit_assumed".to_owned()),
        "{found}"
    );
    let out = folder.path().join("sheet");
    let path_text = path.to_string_lossy();
    let out_text = out.to_string_lossy();
    for (language, words) in [
        ("en", "assumed: given by --pressure-unit"),
        ("de", "angenommen: mit --pressure-unit"),
        ("es", "supuesta: dada con --pressure-unit"),
        ("fr", "donnée par --pressure-unit"),
    ] {
        let sheet = [
            "report",
            &path_text,
            "--out",
            &out_text,
            "--language",
            language,
        ];
        dryhold(sheet.iter().chain(&options)).expect(0);
        let html = std::fs::read_to_string(out.join("sheet.html")).expect("a sheet");
        assert!(html.contains(words), "{language}");
    }
}

#[test]
fn a_gauge_without_a_unit_is_said_while_recording_and_after() {
    let folder = scratch();
    let capture = folder.path().join("numbers.txt");
    let lines: String = (0..40).map(|i| format!("{}\n", 900 - i)).collect();
    std::fs::write(&capture, lines).expect("written");
    let out = folder.path().join("runs");
    let port = format!("file:{}", capture.display());
    let out_text = out.to_string_lossy();
    let ran = dryhold([
        "log",
        "--port",
        &port,
        "--dialect",
        "number-only-line",
        "--out",
        &out_text,
        "--no-seal",
    ]);
    assert!(ran.out.contains("Unit micron is assumed"), "{ran:?}");
    let run = only_run(&out);
    let job = std::fs::read_to_string(run.join("job.toml")).expect("a job");
    assert!(job.contains("assumed_unit = \"micron\""), "{job}");
    let found = review(&run, &[]).json();
    assert_eq!(found["data"]["unit"]["basis"], "dialect");
}

#[test]
fn an_isolation_outside_of_the_record_is_an_error() {
    let folder = scratch();
    let path = written(folder.path(), &micron());
    for at in ["1561", "5000", "1e9"] {
        let ran = review(&path, &["--isolated-at", at]).expect(2);
        assert!(
            ran.complaint().contains("lies outside of the record"),
            "{ran:?}"
        );
        assert!(ran.complaint().contains("0 s to 1560 s"), "{ran:?}");
    }
    review(&path, &["--isolated-at", "900"]).expect(0);
    // at the very end there is a hold, and it is too short
    let found = review(&path, &["--isolated-at", "1560"]).expect(11).json();
    assert!(
        reasons(&found).contains(&"hold_too_short".to_owned()),
        "{found}"
    );
    // a record that was cut: seconds count on
    let late: String = micron()
        .lines()
        .filter(|l| {
            !l.split(',')
                .next()
                .is_some_and(|t| t.parse::<u32>().is_ok_and(|t| t < 800))
        })
        .map(|l| format!("{l}\n"))
        .collect();
    let path = written(folder.path(), &late);
    let ran = review(&path, &["--isolated-at", "100"]).expect(2);
    assert!(
        ran.complaint().contains("lies outside of the record"),
        "{ran:?}"
    );
}

#[test]
fn a_manifold_that_was_shut_asks_for_an_open_gauge() {
    let folder = scratch();
    for note in ["manifold valves shut", "Manifold_shut"] {
        let text = table(
            "pressure_micron",
            |p| format!("{p}"),
            Some((SHUT_S + 20, note)),
        );
        let path = written(folder.path(), &text);
        for options in [&[][..], &["--gauge-open-to-system", "no"]] {
            let found = review(&path, options).expect(11).json();
            assert_eq!(reasons(&found), ["gauge_shut_off"]);
            assert!(codes(&found).contains(&"gauge_shut_off".to_owned()));
        }
        review(&path, &["--gauge-open-to-system", "yes"]).expect(0);
    }
}

#[test]
fn soft_criteria_stand_in_the_headline() {
    let folder = scratch();
    let path = written(folder.path(), &micron());
    let path_text = path.to_string_lossy();
    for option in [
        ["--target-micron", "1000"],
        ["--ceiling-micron", "800"],
        ["--hold-min", "5"],
    ] {
        let ran = dryhold(["review", &path_text].into_iter().chain(option)).expect(0);
        let headline = ran
            .out
            .lines()
            .find(|l| l.contains("PASS"))
            .expect("a verdict");
        assert!(
            headline.contains("softer than common practice (500 micron, 10 min)"),
            "{headline}"
        );
        let out = folder.path().join("sheet");
        let out_text = out.to_string_lossy();
        dryhold(
            ["report", &path_text, "--out", &out_text]
                .into_iter()
                .chain(option),
        )
        .expect(0);
        let html = std::fs::read_to_string(out.join("sheet.html")).expect("a sheet");
        assert!(html.contains("softer than common practice"), "{option:?}");
    }
    let ran = dryhold(["review", &path_text]).expect(0);
    assert!(!ran.out.contains("softer"), "{}", ran.out);
}
