//! `review --json` against the documented object: every key there, of the right
//! type, and `null` where nothing is known.

use serde_json::Value;

use crate::{
    curves::Curve,
    run::{dryhold, review, scratch},
};

/// What a value must be.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Text,
    Number,
    /// A number, or `null` where it is not known.
    Known,
    Count,
    List,
    Object,
}

use Kind::{Count, Known, List, Number, Object, Text};

/// The documented keys of each object, the path first. New keys may be added.
const SHAPE: &[(&str, &[(&str, Kind)])] = &[
    (
        "",
        &[
            ("schema", Text),
            ("made_by", Text),
            ("source", Text),
            ("verdict", Text),
            ("headline", Text),
            ("reasons", List),
            ("criteria", Object),
            ("rounds", List),
            ("findings", List),
            ("data", Object),
            ("beside", List),
        ],
    ),
    (
        "/criteria",
        &[
            ("target_micron", Number),
            ("hold_min", Number),
            ("ceiling_micron", Number),
        ],
    ),
    (
        "/data",
        &[
            ("rows", Count),
            ("used", Count),
            ("rejected", Count),
            ("gaps", List),
        ],
    ),
];

const PULLDOWN: &[(&str, Kind)] = &[
    ("start_s", Number),
    ("end_s", Number),
    ("reached_target_s", Known),
    ("lowest_micron", Known),
    ("stalls", List),
];

const STALL: &[(&str, Kind)] = &[
    ("kind", Text),
    ("start_s", Number),
    ("end_s", Number),
    ("level_micron", Number),
];

const HOLD: &[(&str, Kind)] = &[
    ("isolated_at_s", Number),
    ("settled_at_s", Number),
    ("end_s", Number),
    ("duration_s", Number),
    ("start_micron", Known),
    ("end_micron", Known),
    ("rise", Object),
];

const RISE: &[(&str, Kind)] = &[
    ("kind", Text),
    ("detection_limit_micron_per_min", Known),
    ("decide_after_s", Known),
];

fn check(at: &str, value: &Value, keys: &[(&str, Kind)]) {
    let object = value.as_object().unwrap_or_else(|| panic!("{at}: {value}"));
    for (key, kind) in keys {
        let value = object
            .get(*key)
            .unwrap_or_else(|| panic!("{at}/{key} is missing"));
        let fits = match kind {
            Text => value.is_string(),
            Number => value.is_number(),
            Known => value.is_number() || value.is_null(),
            Count => value.is_u64(),
            List => value.is_array(),
            Object => value.is_object(),
        };
        assert!(fits, "{at}/{key} = {value} is not {kind:?}");
    }
}

/// `null`, or a value inside its interval.
fn check_estimate(at: &str, value: &Value) {
    if value.is_null() {
        return;
    }
    check(
        at,
        value,
        &[("value", Number), ("low", Number), ("high", Number)],
    );
    let number = |key: &str| value[key].as_f64().expect("a number");
    assert!(number("low") <= number("value"), "{at}: {value}");
    assert!(number("value") <= number("high"), "{at}: {value}");
}

fn check_all(findings: &Value) {
    for (at, keys) in SHAPE {
        check(at, findings.pointer(at).unwrap_or(&Value::Null), keys);
    }
    assert_eq!(findings["schema"], "dryhold.findings/1");
    let verdict = findings["verdict"].as_str().expect("a verdict");
    assert!(["pass", "fail", "not_proven"].contains(&verdict));
    for reason in findings["reasons"].as_array().expect("reasons") {
        assert!(reason.is_string(), "{reason}");
    }
    for finding in findings["findings"].as_array().expect("findings") {
        check(
            "finding",
            finding,
            &[("code", Text), ("at_s", Known), ("text", Text)],
        );
    }
    for gap in findings["data"]["gaps"].as_array().expect("gaps") {
        check("gap", gap, &[("start_s", Number), ("end_s", Number)]);
    }
    for round in findings["rounds"].as_array().expect("rounds") {
        check_round(round);
    }
}

fn check_round(round: &Value) {
    let object = round.as_object().expect("a round");
    assert!(object.contains_key("pulldown") && object.contains_key("hold"));
    if !round["pulldown"].is_null() {
        check("pulldown", &round["pulldown"], PULLDOWN);
        for stall in round["pulldown"]["stalls"].as_array().expect("stalls") {
            check("stall", stall, STALL);
            let kind = stall["kind"].as_str().expect("a kind");
            assert!(["foaming", "boil_off", "ice", "floor", "choked"].contains(&kind));
        }
    }
    let hold = &round["hold"];
    if hold.is_null() {
        return;
    }
    check("hold", hold, HOLD);
    let rise = &hold["rise"];
    check("rise", rise, RISE);
    let kinds = ["none", "leak", "moisture", "leak_and_moisture", "unclear"];
    assert!(kinds.contains(&rise["kind"].as_str().expect("a kind")));
    for key in ["leak_micron_per_min", "plateau_micron", "tau_s"] {
        let present = rise.as_object().is_some_and(|r| r.contains_key(key));
        assert!(present, "{key} is missing");
        check_estimate(key, &rise[key]);
    }
    for key in ["detection_limit_g_per_year", "could_show_3_g_per_year"] {
        let present = hold.as_object().is_some_and(|h| h.contains_key(key));
        assert!(present, "{key} is missing");
    }
    if !hold["detection_limit_g_per_year"].is_null() {
        let range = &hold["detection_limit_g_per_year"];
        check(
            "detection_limit_g_per_year",
            range,
            &[("low", Number), ("high", Number)],
        );
        let could = hold["could_show_3_g_per_year"].as_str().expect("a word");
        assert!(["yes", "no", "depends_on_flow_law"].contains(&could));
    }
    let present = hold.as_object().is_some_and(|h| h.contains_key("leak"));
    assert!(present, "leak is missing");
    if !hold["leak"].is_null() {
        for key in ["pa_m3_per_s", "g_per_year"] {
            check_estimate(key, &hold["leak"][key]);
        }
    }
}

#[test]
fn every_kind_of_run_has_the_documented_shape() {
    let folder = scratch();
    for name in [
        "tight-and-dry",
        "small-leak",
        "leak-and-moisture",
        "foaming-oil",
        "boiling-water",
        "frozen-water",
        "pump-stopped-first",
        "triple-evacuation",
    ] {
        let path = folder.path().join(format!("{name}.csv"));
        std::fs::write(&path, Curve::of(name).marked()).expect("written");
        for options in [&[][..], &["--volume-l", "2.8", "--refrigerant", "R-600a"]] {
            let findings = review(&path, options).json();
            check_all(&findings);
            assert_eq!(findings["source"], *path.to_string_lossy(), "as given");
        }
    }
}

#[test]
fn what_is_not_known_is_null_and_never_zero() {
    let folder = scratch();
    let path = folder.path().join("leak.csv");
    std::fs::write(&path, Curve::of("small-leak").marked()).expect("written");
    let hold = |options: &[&str]| review(&path, options).json()["rounds"][0]["hold"].clone();

    let unknown = hold(&[]);
    assert!(unknown["leak"].is_null(), "no volume, no throughput");
    let with_volume = hold(&["--volume-l", "2.8"]);
    let throughput = &with_volume["leak"]["pa_m3_per_s"];
    assert!(throughput["value"].as_f64().is_some_and(|q| q > 0.0));
    assert!(with_volume["leak"]["g_per_year"].is_null(), "of what?");
    let named = hold(&["--volume-l", "2.8", "--refrigerant", "R-600a"]);
    assert!(
        named["leak"]["g_per_year"]["value"]
            .as_f64()
            .is_some_and(|g| g > 0.0)
    );

    // Q = V·dp/dt, by hand: 1 micron = 0.133322 Pa (NIST SP 811 appendix B, mmHg/1000)
    let slope = unknown["rise"]["leak_micron_per_min"]["value"]
        .as_f64()
        .expect("a slope");
    let by_hand = 2.8e-3 * slope * 0.133_322 / 60.0;
    let said = throughput["value"].as_f64().expect("a throughput");
    assert!(
        (said / by_hand - 1.0).abs() < 1e-3,
        "{said} is not {by_hand}"
    );
}

#[test]
fn a_target_never_reached_is_null() {
    let folder = scratch();
    let path = folder.path().join("high.csv");
    // pulls down to 2,000 micron and stays there, still on the pump
    let mut text = String::from("elapsed_s,pressure_micron\n");
    for i in 0..900 {
        let p = 2000.0 + 20_000.0 * (-f64::from(i) / 60.0).exp() + f64::from(i % 3);
        text.push_str(&format!("{i},{p:.1}\n"));
    }
    std::fs::write(&path, text).expect("written");
    let findings = review(&path, &[]).expect(11).json();
    check_all(&findings);
    let pulldown = &findings["rounds"][0]["pulldown"];
    assert!(pulldown["reached_target_s"].is_null(), "{pulldown}");
    assert!(
        pulldown["lowest_micron"]
            .as_f64()
            .is_some_and(|p| p >= 1999.0)
    );
    assert!(findings["rounds"][0]["hold"].is_null());
}

#[test]
fn criteria_are_those_given() {
    let folder = scratch();
    let path = folder.path().join("r.csv");
    std::fs::write(&path, Curve::of("tight-and-dry").marked()).expect("written");
    let default = review(&path, &[]).expect(0).json();
    assert_eq!(default["criteria"]["target_micron"], 500);
    assert_eq!(default["criteria"]["hold_min"], 10);
    assert_eq!(default["criteria"]["ceiling_micron"], 500);
    let given = [
        "--target-micron",
        "300",
        "--hold-min",
        "60",
        "--ceiling-micron",
        "450",
    ];
    let longer = review(&path, &given).expect(11).json();
    assert_eq!(longer["criteria"]["target_micron"], 300);
    assert_eq!(longer["criteria"]["hold_min"], 60);
    assert_eq!(longer["criteria"]["ceiling_micron"], 450);
    assert_eq!(longer["reasons"][0], "hold_too_short");
}

#[test]
fn a_relative_path_stays_as_given() {
    let folder = scratch();
    std::fs::create_dir(folder.path().join("a b")).expect("a folder");
    let path = folder.path().join("a b/r.csv");
    std::fs::write(path, Curve::of("gross-leak").plain()).expect("written");
    let given = "./a b/../a b/r.csv";
    let ran = crate::run::dryhold_in(folder.path(), ["review", "--json", given]).expect(10);
    assert_eq!(ran.json()["source"], given);
}

#[test]
fn several_paths_are_several_lines() {
    let folder = scratch();
    let mut arguments = vec!["review".to_owned(), "--json".to_owned()];
    for name in ["gross-leak", "tight-and-dry", "hold-cut-short"] {
        let path = folder.path().join(name);
        std::fs::write(&path, Curve::of(name).marked()).expect("written");
        arguments.push(path.display().to_string());
    }
    let lines = dryhold(&arguments).expect(10).json_lines();
    assert_eq!(lines.len(), 3);
    for (line, path) in lines.iter().zip(&arguments[2..]) {
        check_all(line);
        assert_eq!(line["source"], **path, "in the order given");
    }
}
