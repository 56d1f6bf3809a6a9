//! What to weigh out: the answer, its JSON form, and what is asked back.

use serde_json::Value;

use crate::run::{Ran, dryhold};

const HOSE: [&str; 2] = ["--hose", "4.8:0.9:liquid"];

fn charge(arguments: &[&str]) -> Ran {
    dryhold([&["charge"], arguments].concat())
}

fn isobutane(more: &[&str]) -> Ran {
    let common = [
        "--refrigerant",
        "R-600a",
        "--nameplate-g",
        "58",
        "--ambient-c",
        "20",
    ];
    charge(&[&common[..], more].concat())
}

#[track_caller]
fn near(found: &Value, expected: f64, tolerance: f64) {
    let found = found.as_f64().unwrap_or(f64::NAN);
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} instead of {expected}"
    );
}

/// The example of the contract; its numbers were computed with CoolProp 8.0.0 (R-600a at
/// 20 °C: 302.22 kPa, 556.86 and 7.913 kg/m³; 16.29 mL of liquid are 9.07 g).
#[test]
fn the_contract_of_the_json() {
    let said = isobutane(&[&HOSE[..], &["--json"]].concat())
        .expect(0)
        .json();
    assert_eq!(said["schema"], "dryhold.charge/1");
    assert_eq!(said["refrigerant"], "R-600a");
    assert_eq!(said["nameplate_g"], 58);
    near(&said["hoses"][0]["ml"], 16.29, 0.005);
    near(&said["hoses"][0]["g"], 9.07, 0.005);
    near(&said["left_in_hoses_g"], 9.07, 0.005);
    near(&said["share_of_charge"], 0.156, 0.0005);
    near(&said["weigh_out_g"], 67.07, 0.01);
    near(&said["density_kg_m3"]["liquid"], 556.86, 0.1);
    near(&said["density_kg_m3"]["vapour"], 7.913, 0.002);
    near(&said["saturation_kpa"], 302.22, 0.1);
    for list in ["cautions", "warnings"] {
        let list = said[list].as_array().expect(list);
        assert!(!list.is_empty() && list.iter().all(Value::is_string));
    }
    near(&said["short_charge"]["off_percent"], -15.6, 0.1);
    assert_eq!(said["order"][0]["code"], "prepare");
    assert_eq!(said["order"].as_array().map(Vec::len), Some(7));
}

#[test]
fn what_a_technician_reads() {
    let said = isobutane(&[&HOSE[..], &["--scale-step-g", "1"]].concat())
        .expect(0)
        .out;
    let second = said.lines().nth(1).unwrap();
    assert!(second.starts_with("Weigh out 67.1 g (2.37 oz)"), "{second}");
    // fire first where the cylinder is connected, and where the tube is closed
    let at = |text: &str| said.find(text).unwrap_or_else(|| panic!("{text}: {said}"));
    assert!(at("1. ") < at("R-600a is flammable") && at("R-600a is flammable") < at("2. "));
    assert!(said[at("7. ")..].contains("no flame"));
    assert!(at("Mind: Hoses keep 16 %") < at("Order of work"));
    let german = isobutane(&[&HOSE[..], &["--language", "de"]].concat())
        .expect(0)
        .out;
    assert!(
        german.contains("67,1 g (2,37 oz) aus der Flasche entnehmen"),
        "{german}"
    );
}

#[test]
fn ounces_and_degrees_fahrenheit_say_the_same() {
    let metric = isobutane(&[&HOSE[..], &["--json"]].concat()).json();
    let said = charge(&[
        "--refrigerant",
        "isobutane",
        "--nameplate",
        "2.0459 oz",
        "--ambient-c",
        "68F",
        "--hose",
        "0.189in:35.433in:liquid",
        "--json",
    ]);
    let ounces = said.expect(0).json();
    let weigh_out = metric["weigh_out_g"].as_f64().unwrap();
    near(&ounces["weigh_out_g"], weigh_out, 0.02);
}

#[test]
fn hoses_drawn_empty_and_a_charge_that_is_done() {
    let drawn = isobutane(&[&HOSE[..], &["--draw-in", "--json"]].concat()).json();
    near(&drawn["weigh_out_g"], 58.02, 0.01);
    assert_eq!(drawn["drawn_in"]["in_this_plan"], true);
    let standing = |g: &str| {
        let done = ["--scale-step-g", "0.1", "--weighed-out-g", g, "--json"];
        let said = isobutane(&[&HOSE[..], &done].concat()).json();
        said["in_system"]["standing"].as_str().unwrap().to_owned()
    };
    assert_eq!(standing("58"), "short");
    assert_eq!(standing("67.1"), "within");
    assert_eq!(standing("80"), "over");
}

#[test]
fn bad_input_is_asked_back_in_plain_words() {
    let with = |change: (&str, &str)| {
        let mut all = vec![
            ("--refrigerant", "R-600a"),
            ("--nameplate-g", "58"),
            ("--ambient-c", "20"),
            ("--hose", "4.8:0.9:liquid"),
        ];
        match all.iter_mut().find(|(option, _)| *option == change.0) {
            Some(place) => *place = change,
            None => all.push(change),
        }
        let all: Vec<&str> = all.into_iter().flat_map(|(o, v)| [o, v]).collect();
        charge(&all).expect(2)
    };
    for (change, words) in [
        (("--nameplate-g", "-58"), "a nameplate charge of -58 g"),
        (("--nameplate-g", "0"), "read it from the nameplate"),
        (("--nameplate-g", "1e300"), "up to 1000 kg"),
        (("--nameplate-g", "58 g"), "not a number"),
        (("--refrigerant", "R-60a"), "did you mean R-600a"),
        (
            ("--refrigerant", "R-408A"),
            "no densities and pressures of R-408A",
        ),
        (("--refrigerant", ""), "is not a refrigerant that is known"),
        (
            ("--hose", "0.19:0.9:liquid"),
            "did you mean 0.19 inch, which is 4.8 mm?",
        ),
        (("--hose", "4.8:36:liquid"), "was it in cm or inches?"),
        (("--hose", "-4.8:0.9:liquid"), "bore of -4.8 mm"),
        (("--hose", "4.8:0.9:full"), "full of liquid or of vapour"),
        (("--ambient-c", "70"), "write F behind it"),
        (("--ambient-c", "-50C"), "R-600a at -50.0 °C"),
        (("--scale-step-g", "-1"), "a scale step of -1 g"),
        (("--cylinder-bar-abs", "80"), "pressure of the cylinder"),
        (
            ("--low-side-bar-abs", "5"),
            "it condenses from 3.022 bar absolute on",
        ),
        (("--weighed-out-g", "nan"), "not a number"),
        (("--cylinder-ml", "-5"), "a cylinder of -5 mL"),
        (("--manifold-ml", "12"), "volume of the manifold in mL"),
    ] {
        let ran = with(change);
        assert!(ran.err.contains(words), "{words} in {}", ran.err);
        assert!(ran.out.is_empty() && ran.err.len() < 600, "{}", ran.err);
    }
}

#[test]
fn a_blend_goes_in_as_liquid_and_carbon_dioxide_has_no_liquid_in_a_hot_room() {
    let blend = [
        "--refrigerant",
        "R-404A",
        "--nameplate-g",
        "300",
        "--ambient-c",
        "20",
    ];
    let refused = charge(&[&blend[..], &["--hose", "4.8:0.9:vapour"]].concat()).expect(2);
    assert!(
        refused.complaint().contains("charge it as liquid"),
        "{}",
        refused.err
    );
    charge(&[&blend[..], &HOSE].concat()).expect(0);
    let hot = [
        "--refrigerant",
        "R-744",
        "--nameplate-g",
        "300",
        "--ambient-c",
        "35",
    ];
    let refused = charge(&[&hot[..], &HOSE].concat()).expect(2);
    assert!(
        refused.complaint().contains("critical temperature"),
        "{}",
        refused.err
    );
}
