//! `fault`: every invented appliance against what is wrong with it, its JSON, bad input, and
//! the hold that closes its question.

use std::{fmt::Write as _, fs, path::Path};

use serde_json::Value;

use crate::run::dryhold;

fn rehearsals() -> Vec<String> {
    let names = dryhold(["fault", "--rehearse", "list"]).expect(0);
    names.out.lines().map(str::to_owned).collect()
}

/// The invented appliances are written by hand and were not part of any tuning.
#[test]
fn every_invented_appliance_has_its_fault_in_front() {
    let names = rehearsals();
    assert_eq!(names.len(), 9);
    for name in names {
        let json = dryhold(["fault", "--rehearse", &name, "--json"])
            .expect(0)
            .json();
        assert_eq!(json["candidates"][0]["code"], json["truth"], "{name}");
    }
}

#[test]
fn the_json_has_its_documented_shape() {
    let json = dryhold(["fault", "--rehearse", "cold-store-after-service", "--json"]);
    let json = json.expect(0).json();
    assert_eq!(json["schema"], "dryhold.fault/1");
    let candidates = json["candidates"].as_array().expect("a list");
    assert_eq!(candidates.len(), 9);
    let support = |c: &Value| c["support"].as_f64().expect("a number");
    let sum: f64 = candidates.iter().map(support).sum();
    assert!((sum - 1.0).abs() < 0.001, "{sum}");
    assert!(
        candidates
            .windows(2)
            .all(|two| support(&two[0]) >= support(&two[1]))
    );
    assert!(
        candidates
            .iter()
            .all(|c| c["for"].is_array() && c["against"].is_array())
    );
    assert!(json["first_check"].is_array());
    let settle = &json["settle"][0];
    assert_eq!(settle["test"], "evacuation");
    // 20 g of R-600a in six months, 2.8 L: 0.44 to 6.1 micron/min
    let needs = &settle["needs_leak_micron_per_min"];
    let near = |value: &Value, is: f64| (value.as_f64().expect("a number") / is - 1.0).abs() < 0.02;
    assert!(
        near(&needs["low"], 0.44) && near(&needs["high"], 6.1),
        "{needs}"
    );
    assert!(
        settle["hold_min"]
            .as_f64()
            .is_some_and(|m| (10.0..30.0).contains(&m))
    );
    let alike = json["not_told_apart"].to_string();
    assert!(alike.contains("short_charge") && alike.contains("high_side_leak"));
    assert!(json["cautions"].to_string().contains("flammable"));
}

/// Options alone: gauges do not tell a short charge from a leak in the high side.
#[test]
fn options_say_what_a_file_says() {
    let signs = [
        "fault",
        "--refrigerant",
        "R-600a",
        "--cabinet",
        "freezer",
        "--ambient-c",
        "75F",
        "--suction",
        "-0.7 bar gauge",
        "--discharge",
        "3 bar gauge",
        "--condenser-out-c",
        "31",
        "--frost",
        "inlet-only",
        "--json",
    ];
    let json = dryhold(signs).expect(0).json();
    let support = |code: &str| {
        let all = json["candidates"].as_array().expect("a list").iter();
        let mut of = all.filter(|c| c["code"] == code);
        of.next().expect("every code")["support"].clone()
    };
    assert_eq!(support("short_charge"), support("high_side_leak"));
    assert_eq!(json["settle"][0]["needs_leak_micron_per_min"], Value::Null);
}

#[test]
fn what_cannot_be_used_is_asked_back() {
    let with = |more: &[&str]| {
        let needed = [
            "fault",
            "--refrigerant",
            "R-600a",
            "--cabinet",
            "freezer",
            "--ambient-c",
            "24",
        ];
        let ran = dryhold(needed.iter().chain(more).copied()).expect(2);
        ran.complaint().to_owned()
    };
    for (more, says) in [
        (&["--suction", "0.3 bar"][..], "0.3 bar gauge"),
        (
            &["--suction", "5 bar gauge", "--discharge", "1 bar gauge"],
            "mixed up",
        ),
        (&["--suction", "-3 bar gauge"], "below full vacuum"),
        (&["--nameplate-g", "-58"], "above 0"),
        (&["--frost", "thick"], "inlet-only"),
        (&["--draw", "90"], "90 W"),
        (&["--draw", "90 W", "--nameplate-draw", "1 A"], "same unit"),
        (&["--rest-pressure", "3 bar gauge"], "temperature"),
        (&["--last-service", "14.5.2026"], "2026-05-14"),
        (&["--last-service", "2099-01-01"], "after these readings"),
    ] {
        let complaint = with(more);
        assert!(complaint.contains(says), "{more:?}: {complaint}");
    }
    let ran = dryhold(["fault", "--refrigerant", "R-60a", "--cabinet", "freezer"]).expect(2);
    assert!(ran.complaint().contains("R-600a"), "{ran:?}");
    let ran = dryhold(["fault", "--refrigerant", "R-600a"]).expect(2);
    assert!(ran.complaint().contains("cabinet is missing"), "{ran:?}");
    let ran = dryhold(["fault", "--rehearse", "nobody"]).expect(2);
    assert!(ran.complaint().contains("slow-freezer"), "{ran:?}");
    dryhold(["fault"]).expect(2);
    dryhold(["fault", "/nowhere/at/all.toml"]).expect(1);
}

/// A hold of a system that gives off a little and leaks so much, micron/min: a reading every
/// two seconds, steps of 1 micron, and noise that a formula repeats.
fn hold(path: &Path, leak_micron_per_min: f64, minutes: u32) {
    let mut text = String::from("time (s),pressure (micron),mark\n");
    let noise = |t: u32| (f64::from(t.wrapping_mul(2_654_435_761) >> 16) / 65_536.0 - 0.5) * 1.6;
    for t in (0..900).step_by(2) {
        let p = 150.0 + 5e4 * (-f64::from(t) / 90.0).exp() + noise(t);
        writeln!(text, "{t},{p:.0},").expect("a string takes it");
    }
    text.push_str("900,150,pump_side_shut\n");
    for dt in (2..=60 * minutes).step_by(2) {
        let s = f64::from(dt);
        let p = 150.0 + 12.0 * (1.0 - (-s / 20.0).exp()) + leak_micron_per_min * s / 60.0;
        writeln!(text, "{},{:.0},", 900 + dt, p + noise(dt)).expect("a string takes it");
    }
    fs::write(path, text).expect("on disk");
}

#[test]
fn the_hold_closes_the_question() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name).display().to_string();
    let (file, json_file) = (at("fault.toml"), at("fault.json"));
    let name = "cold-store-after-service";
    let said = dryhold(["fault", "--rehearse", name, "--save", &file, "--json"]).expect(0);
    fs::write(&json_file, &said.out).expect("on disk");
    let planned = said.json()["settle"][0]["hold_min"]
        .as_f64()
        .expect("a plan") as u32;
    // nothing is written over
    dryhold(["fault", "--rehearse", name, "--save", &file]).expect(1);
    for (leak, minutes, says) in [
        // the hold that was planned is long enough
        (
            0.0,
            planned,
            "the charge was short, unless the leak was mended",
        ),
        (2.0, 30, "it was a leak"),
        (0.15, 60, "the charge was short as well"),
        (0.0, 5, "leaves it open"),
    ] {
        let record = at(&format!("hold-{leak}-{minutes}.csv"));
        hold(Path::new(&record), leak, minutes);
        for file in [&file, &json_file] {
            let ran = dryhold(["review", &record, "--fault", file]);
            assert!(ran.out.contains(says), "{leak} for {minutes} min: {ran:?}");
            let json = dryhold(["review", &record, "--fault", file, "--json"]).json();
            let findings = json["findings"].as_array().expect("a list");
            let closed = findings
                .iter()
                .find(|f| f["code"] == "leak_or_short_charge");
            let text = closed.expect("it is there")["text"]
                .as_str()
                .expect("words");
            assert!(text.contains(says), "{text}");
        }
    }
    let record = at("hold-0-5.csv");
    let german = dryhold(["review", &record, "--fault", &file, "--language", "de"]);
    assert!(german.out.contains("lässt offen"), "{german:?}");
    let none = at("nothing.toml");
    fs::write(
        &none,
        "refrigerant = \"R-600a\"\ncabinet = \"freezer\"\nambient_c = 24\n",
    )
    .expect("on disk");
    let ran = dryhold(["review", &record, "--fault", &none]);
    assert!(ran.err.contains("charge_found_g"), "{ran:?}");
}
