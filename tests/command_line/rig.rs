//! A rig whose oil gets tired, over many records: `rig`, `rig note`, and what the review of
//! its newest blank-off test says.

use std::path::Path;

use chrono::{DateTime, TimeDelta, Utc};
use run_record::{RunHeader, RunWriter};
use serde_json::Value;
use simulated_runs::blank_off_ending_at;
use vacuum::{
    Criteria, Entry, GaugeIdentity, Job, Mark, MarkKind, Pressure, Reading, TestKind, TestPlan,
};

use crate::run::command;

/// Ends of the pump at the five tests, micron: the last is twice the first.
const ENDS: [f64; 5] = [40.0, 48.0, 57.0, 68.0, 80.0];
/// Pumping on systems between two tests, s: what the records say.
const ON_SYSTEMS_S: f64 = 9_000.0;

fn header(kind: TestKind, oil: &str) -> RunHeader {
    RunHeader {
        job: Job {
            id: "shop".into(),
            invented: true,
            pump: Some("pump 1".into()),
            hose: Some("hoses 1".into()),
            oil: Some(oil.into()),
            gauge: GaugeIdentity {
                serial: Some("INVENTED-1".into()),
                calibration_due: Some("2026-02-01".into()),
                ..GaugeIdentity::default()
            },
            ..Job::default()
        },
        criteria: (kind == TestKind::BlankOff).then(Criteria::rig_half_hour),
        test: TestPlan::of(kind),
        software: "a test".into(),
        ..RunHeader::default()
    }
}

fn record(out: &Path, header: &RunHeader, began: DateTime<Utc>, entries: &[Entry]) -> String {
    let mut writer = RunWriter::create(out, header, began).expect("a fresh folder");
    let ms = |s: f64| TimeDelta::milliseconds((s * 1e3) as i64);
    for entry in entries {
        let at = began + ms(entry.elapsed_s());
        writer.append(entry, at).expect("rows in order");
    }
    let finished = writer.finish().expect("on disk");
    finished.folder.display().to_string()
}

/// Two and a half hours on a system: a reading a minute, the pump stopped at a time that is
/// no whole minute, and the record goes on after it.
fn evacuation() -> Vec<Entry> {
    let mark = |elapsed_s, kind| {
        Entry::Mark(Mark {
            elapsed_s,
            kind,
            note: String::new(),
        })
    };
    let reading = |minute: i32| {
        let t = f64::from(minute) * 60.0;
        let micron = 300.0 + 9_000.0 * (-t / 900.0).exp();
        Entry::Reading(Reading::measured(
            t,
            Pressure::from_micron(micron).expect("a pressure"),
        ))
    };
    let mut entries = vec![mark(0.5, MarkKind::ValveOpened)];
    entries.extend((1..=150).map(reading));
    entries.push(mark(0.5 + ON_SYSTEMS_S, MarkKind::PumpStopped));
    entries.extend((151..=160).map(reading));
    entries
}

/// The five tests with work between them: the folder of the newest, and how long the pump ran
/// until it began and in it, h. Nothing says that the pump was stopped in a test: it ran to
/// the last row.
fn shop(out: &Path) -> (String, f64, f64) {
    let mut began: DateTime<Utc> = "2026-03-01T08:00:00Z".parse().expect("a moment");
    let (mut newest, mut before_s, mut in_newest_s) = (String::new(), 0.0, 0.0);
    for (i, end) in ENDS.into_iter().enumerate() {
        let case = blank_off_ending_at(2 * i as u64, end);
        in_newest_s = case.entries.last().map_or(0.0, Entry::elapsed_s);
        newest = record(out, &header(TestKind::BlankOff, ""), began, &case.entries);
        began += TimeDelta::days(1);
        if i + 1 < ENDS.len() {
            let work = header(TestKind::Evacuation, "mineral");
            record(out, &work, began, &evacuation());
            began += TimeDelta::days(1);
            before_s += in_newest_s + ON_SYSTEMS_S;
        }
    }
    (newest, before_s / 3_600.0, in_newest_s / 3_600.0)
}

fn json(arguments: &[&str]) -> Value {
    let out = command().args(arguments).output().expect("it runs");
    serde_json::from_slice(&out.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

#[test]
fn tired_oil_is_found_over_five_tests_and_forgotten_with_fresh_oil() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("runs");
    std::fs::create_dir(&out).unwrap();
    let (newest, before_h, in_newest_h) = shop(&out);
    let out = out.display().to_string();

    let said = json(&["rig", &out, "--json"]);
    let pump = &said["pumps"][0];
    assert_eq!(pump["name"], "pump 1");
    // exact, but for the six digits of JSON
    let is = |found: &Value, hours: f64| {
        let found = found.as_f64().unwrap();
        assert!((found - hours).abs() < 1e-4, "{found} {hours}");
    };
    is(&pump["oil_hours"], before_h + in_newest_h);
    let trend = &pump["history"]["floor_trend_micron_per_10h"];
    assert!(trend["low"].as_f64().unwrap() > 0.0, "{trend}");
    let grew = pump["history"]["floor_grew_factor"].as_f64().unwrap();
    assert!((1.7..2.4).contains(&grew), "{grew}");
    let codes = |said: &Value| -> Vec<String> {
        let all = said["warnings"].as_array().unwrap();
        all.iter()
            .map(|w| w["code"].as_str().unwrap().to_owned())
            .collect()
    };
    let before = codes(&said);
    assert!(before.contains(&"oil_tired".to_owned()), "{before:?}");
    assert!(
        before.contains(&"calibration_overdue".to_owned()),
        "{before:?}"
    );

    let found = json(&["review", &newest, "--json"]);
    assert_eq!(found["test"], "blank-off");
    let of = &found["blank_off"];
    assert_eq!(
        (&of["pump"], &of["rig"]),
        (&"pump 1".into(), &"hoses 1".into())
    );
    assert_eq!(of["history"]["runs"], 4);
    let reasons = found["reasons"].to_string();
    assert!(reasons.contains("worse_than_before"), "{found}");
    is(&of["oil_hours"], before_h);

    let noted = command()
        .args([
            "rig",
            "note",
            "Pump 1",
            "oil-change",
            "fresh",
            "--folder",
            &out,
        ])
        .output()
        .unwrap();
    assert!(noted.status.success(), "{noted:?}");
    let after = json(&["rig", &out, "--json"]);
    assert_eq!(after["pumps"][0]["oil_hours"], 0.0);
    assert_eq!(after["pumps"][0]["notes"][0]["kind"], "oil-change");
    let after = codes(&after);
    assert!(!after.contains(&"oil_tired".to_owned()), "{after:?}");

    // a system with ester oil comes next
    let job = folder.path().join("next.toml");
    std::fs::write(&job, "[job]\nid = \"next\"\noil = \"POE\"\n").unwrap();
    let page = folder.path().join("rig.html");
    let pdf = folder.path().join("rig.pdf").display().to_string();
    let (job, page) = (job.display().to_string(), page.display().to_string());
    let next = json(&[
        "rig", &out, "--job", &job, "--json", "--html", &page, "--pdf", &pdf, "--paper", "letter",
    ]);
    assert!(std::fs::read(pdf).unwrap().starts_with(b"%PDF-"));
    let next = codes(&next);
    assert!(next.contains(&"oil_carried_over".to_owned()), "{next:?}");
    // and recording says so before it begins
    let named = folder.path().join("named.toml");
    let text = "[job]\nid = \"next\"\noil = \"POE\"\npump = \"pump 1\"\n";
    std::fs::write(&named, text).unwrap();
    let capture = folder.path().join("gauge.capture");
    std::fs::write(&capture, "512.3 micron\r\n".repeat(20)).unwrap();
    let logged = command()
        .args(["log", "--dialect", "number-unit-line", "--port"])
        .arg(format!("file:{}", capture.display()))
        .args(["--job", &named.display().to_string(), "--out", &out])
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&logged.stderr).into_owned();
    assert!(
        told.contains("pump 1: last on a system with mineral oil"),
        "{told}"
    );
    let page = std::fs::read_to_string(page).unwrap();
    assert!(page.contains("INVENTED") && page.contains("pump 1") && !page.contains("<script"));
}

#[test]
fn floors_of_rigs_in_order_are_within_three_per_cent() {
    for seed in [1, 3, 5] {
        let case = blank_off_ending_at(seed, 35.0 + 20.0 * seed as f64);
        let folder = tempfile::tempdir().unwrap();
        let began = "2026-03-01T08:00:00Z".parse().unwrap();
        let run = record(
            folder.path(),
            &header(TestKind::BlankOff, ""),
            began,
            &case.entries,
        );
        let found = json(&["review", &run, "--json"]);
        let floor = &found["blank_off"]["floor_micron"];
        let off = floor["value"].as_f64().unwrap() / case.floor_micron - 1.0;
        assert!(off.abs() < 0.03, "{off} {found}");
    }
}

#[test]
fn what_is_no_note_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let runs = folder.path().display().to_string();
    for arguments in [
        ["rig", "note", "pump 1", "oil", "--folder", &runs],
        ["rig", "note", "", "remark", "--folder", &runs],
        [
            "rig",
            "note",
            "pump 1",
            "remark",
            "--folder",
            "/no/such/folder",
        ],
    ] {
        let out = command().args(arguments).output().unwrap();
        assert!(!out.status.success(), "{arguments:?}");
    }
    assert!(!folder.path().join("rig-notes.csv").exists());
}

/// Down to a floor in ten minutes, shut off, and a straight rise for half an hour; a gauge of
/// a tenth of a micron that flickers.
fn pulled_and_held(floor: f64, micron_per_min: f64) -> Vec<Entry> {
    let mut entries = Vec::new();
    for second in 0..2_400_i32 {
        let t = f64::from(second);
        if second == 600 {
            entries.push(Entry::Mark(Mark {
                elapsed_s: t,
                kind: MarkKind::PumpSideShut,
                note: String::new(),
            }));
        }
        let pumped = floor + 700_000.0 * (-t.min(600.0) / 25.0).exp();
        let flicker = f64::from(second * 7_919 % 11 - 5) * 0.06;
        let micron = pumped + micron_per_min * (t - 600.0).max(0.0) / 60.0 + flicker;
        let shown = (micron * 10.0).round() / 10.0;
        let pressure = Pressure::from_micron(shown).expect("a pressure");
        entries.push(Entry::Reading(Reading::measured(t, pressure)));
    }
    entries
}

#[test]
fn the_rigs_own_leak_is_taken_off_that_of_the_hold() {
    let folder = tempfile::tempdir().unwrap();
    let day = |day: u32| -> DateTime<Utc> {
        format!("2026-03-0{day}T08:00:00Z")
            .parse()
            .expect("a moment")
    };
    let with_volume = |kind, volume_l: Option<f64>| {
        let mut header = header(kind, "POE");
        header.job.volume_l = volume_l;
        header
    };
    // 6 micron/min in 0.2 L are 0.4 micron/min in 3.0 L
    let alone = with_volume(TestKind::BlankOff, Some(0.2));
    record(folder.path(), &alone, day(1), &pulled_and_held(40.0, 6.0));
    let system = with_volume(TestKind::Evacuation, Some(2.8));
    let leaky = record(folder.path(), &system, day(2), &pulled_and_held(200.0, 3.1));
    let found = json(&["review", &leaky, "--json"]);
    let rig = &found["rig"];
    let near = |found: &Value, wanted: f64, by: f64| {
        let found = found.as_f64().unwrap_or(f64::NAN);
        assert!((found - wanted).abs() < by, "{found} {wanted}: {rig}");
    };
    near(&rig["rig_micron_per_min"]["value"], 0.4, 0.05);
    near(&rig["system_micron_per_min"]["value"], 2.7, 0.2);
    assert_eq!(
        (&rig["volumes_known"], &rig["explains_all"]),
        (&true.into(), &false.into())
    );
    let said = command().args(["review", &leaky]).output().unwrap();
    let said = String::from_utf8_lossy(&said.stdout).into_owned();
    assert!(said.contains("is the rig's own"), "{said}");
    let drawn = command().args(["report", &leaky]).output().unwrap();
    assert!(drawn.status.success(), "{drawn:?}");
    let sheet = std::fs::read_to_string(format!("{leaky}/sheet.html")).unwrap();
    let sheet = sheet
        .replace('\n', " ")
        .replace("&#39;", "'")
        .replace("&#x27;", "'");
    assert!(sheet.contains("is the rig's own"), "{sheet}");

    let tight = record(folder.path(), &system, day(3), &pulled_and_held(200.0, 0.4));
    let found = json(&["review", &tight, "--json"]);
    assert_eq!(found["rig"]["explains_all"], true, "{}", found["rig"]);

    // without its volume only the most is known
    let unknown = with_volume(TestKind::Evacuation, None);
    let unknown = record(
        folder.path(),
        &unknown,
        day(4),
        &pulled_and_held(200.0, 3.1),
    );
    let found = json(&["review", &unknown, "--json"]);
    assert_eq!(found["rig"]["volumes_known"], false, "{}", found["rig"]);
    assert_eq!(found["rig"]["rig_micron_per_min"]["low"], 0.0);
}

#[test]
fn rehearsals_of_a_rig_get_the_verdict_that_they_deserve() {
    for (name, verdict, reason) in [
        ("rig-in-order", "pass", None),
        ("rig-tired-oil", "fail", Some("floor_too_high")),
        ("rig-leaking-hose", "fail", Some("rig_leaks")),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().display().to_string();
        let played = command()
            .args([
                "rehearse",
                "--scenario",
                name,
                "--speed",
                "max",
                "--out",
                &out,
            ])
            .output()
            .unwrap();
        assert!(played.status.success(), "{name}: {played:?}");
        let mut runs = std::fs::read_dir(folder.path()).unwrap();
        let run = runs.next().unwrap().unwrap().path().display().to_string();
        let found = json(&["review", &run, "--json"]);
        assert_eq!(found["test"], "blank-off");
        assert_eq!(found["verdict"], verdict, "{name}: {found}");
        let reasons = found["reasons"].as_array().unwrap();
        let said = reason.is_none_or(|reason| reasons.iter().any(|r| r == reason));
        assert!(said, "{name}: {found}");
        let sheet = std::fs::read_to_string(format!("{run}/sheet.html")).unwrap();
        assert!(sheet.contains("Blank-off test record"), "{name}");
        let pdf = std::fs::read(format!("{run}/sheet.pdf")).unwrap();
        assert!(pdf.starts_with(b"%PDF-"), "{name}");
        let checked = command().args(["verify", &run]).output().unwrap();
        assert!(checked.status.success(), "{name}: {checked:?}");
    }
}
