use serde_json::Value;

use super::findings_json;

/// The documented shape of `review --json`, word for word.
const DOCUMENTED: &str = r#"
{"schema":"dryhold.findings/1","source":"…","verdict":"pass|fail|not_proven",
 "reasons":["target_not_reached","hold_too_short","ceiling_exceeded","no_isolation","gap_in_hold","gauge_fault","pump_open_at_stop", "…"],
 "criteria":{"target_micron":500,"hold_min":10,"ceiling_micron":500},
 "rounds":[{
   "pulldown":{"start_s":0,"end_s":1800,"reached_target_s":1500,"lowest_micron":180,
     "stalls":[{"kind":"foaming|boil_off|ice|floor|choked","start_s":300,"end_s":520,"level_micron":9000}]},
   "hold":{"isolated_at_s":1800,"isolated_window_s":{"low":1798,"high":1803},"settled_at_s":1830,"end_s":2500,"duration_s":700,
     "start_micron":210,"end_micron":260,
     "rise":{"kind":"none|leak|moisture|leak_and_moisture|unclear",
       "leak_micron_per_min":{"value":1.2,"low":1.0,"high":1.4},
       "plateau_micron":{"value":900,"low":850,"high":980}, "tau_s":{"value":300,"low":250,"high":380},
       "detection_limit_micron_per_min":0.2,
       "decide_after_s":null},
     "leak":{"pa_m3_per_s":{"value":0,"low":0,"high":0},"g_per_year":{"value":0,"low":0,"high":0}}}}],
 "judged_round":1,
 "findings":[{"code":"…","at_s":0,"text":"…"}],
 "data":{"rows":25000,"used":24990,"rejected":10,"gaps":[]}}"#;

fn json(name: &str) -> Value {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let line = findings_json(&run.findings, "a \"source\"\n");
    assert!(!line.contains('\n'), "one line");
    serde_json::from_str(&line).unwrap()
}

/// Every documented key exists, with the same kind of value.
fn same_shape(path: &str, documented: &Value, ours: &Value) {
    match (documented, ours) {
        (Value::Object(wanted), Value::Object(got)) => {
            for (key, value) in wanted {
                let inner = got
                    .get(key)
                    .unwrap_or_else(|| panic!("{path}.{key} is missing"));
                same_shape(&format!("{path}.{key}"), value, inner);
            }
        }
        (Value::Array(wanted), Value::Array(got)) => {
            if let (Some(wanted), Some(got)) = (wanted.first(), got.first()) {
                same_shape(&format!("{path}[0]"), wanted, got);
            }
        }
        // null stands for what may be absent; a number may be an absent one too
        (Value::Null, Value::Number(_) | Value::Null) => {}
        (Value::Number(_), Value::Number(_)) | (Value::String(_), Value::String(_)) => {}
        (wanted, got) => panic!("{path}: documented {wanted}, got {got}"),
    }
}

#[test]
fn shape_is_the_documented_one() {
    let documented: Value = serde_json::from_str(DOCUMENTED).unwrap();
    let mut both = json("both_1h");
    same_shape("", &documented, &both);
    // stalls and findings are there in another run
    let stalls = json("stalls");
    same_shape(
        ".stalls",
        &documented["rounds"][0]["pulldown"]["stalls"],
        &stalls["rounds"][0]["pulldown"]["stalls"],
    );
    same_shape(".findings", &documented["findings"], &stalls["findings"]);
    assert_eq!(both["schema"], "dryhold.findings/1");
    assert_eq!(both["source"], "a \"source\"\n");
    assert_eq!(both["reasons"][0], "ceiling_exceeded");
    assert_eq!(
        both["rounds"][0]["hold"]["rise"]["kind"],
        "leak_and_moisture"
    );
    assert_eq!(both["rounds"][0]["hold"]["isolation"], "mark");
    both["rounds"][0]["hold"]["rise"]["kind"].take();
    let broken = std::panic::catch_unwind(|| same_shape("", &documented, &both));
    assert!(broken.is_err(), "the comparison itself can fail");
}

#[test]
fn gauges_beside_the_judged_one_are_an_array() {
    use findings::{AuxiliaryFindings, Pair};
    let runs = invented_runs::runs();
    let mut findings = runs[0].findings.clone();
    let line = findings_json(&findings, "s");
    let none: Value = serde_json::from_str(&line).unwrap();
    assert_eq!(none["beside"], Value::Array(Vec::new()));
    let pair = |far_micron, auxiliary_micron| {
        Some(Pair {
            at_s: 1_500.0,
            far_micron,
            auxiliary_micron,
        })
    };
    findings.auxiliary.push(AuxiliaryFindings {
        name: "pump-side".into(),
        place: "pump side".into(),
        rows: 10,
        used: 9,
        lowest_micron: Some(45.0),
        reached_target_s: None,
        at_target: pair(500.0, 50.0),
        at_isolation: None,
        furthest_apart: pair(9_000.0, 90.0),
        hold: None,
    });
    let some: Value = serde_json::from_str(&findings_json(&findings, "s")).unwrap();
    let beside = &some["beside"][0];
    assert_eq!(beside["name"], "pump-side");
    assert_eq!(beside["lowest_micron"], 45);
    assert_eq!(beside["at_target_micron"], 50);
    assert_eq!(beside["ratio"]["at_target"], 10);
    assert_eq!(beside["ratio"]["largest"], 100);
    assert!(beside["ratio"]["at_isolation"].is_null() && beside["hold"].is_null());
    assert!(beside["reached_target_s"].is_null());
    let lines = wording::summary_lines(&wording::Voice::default(), &findings).join("\n");
    let wanted =
        "Pump side: lowest 45 micron; 50 micron at target (the judged gauge 10 times above).";
    assert!(lines.contains(wanted), "{lines}");
}

#[test]
fn absent_is_null_and_never_zero() {
    let pass = json("pass_1h");
    let hold = &pass["rounds"][0]["hold"];
    assert!(hold["leak"].is_null() && hold["rise"]["leak_micron_per_min"].is_null());
    assert!(hold["rise"]["decide_after_s"].is_null());
    assert!(json("isolated_from_start")["rounds"][0]["pulldown"].is_null());
    assert!(json("no_hold")["rounds"][0]["hold"].is_null());
    let empty = json("empty");
    assert_eq!(empty["rounds"], Value::Array(Vec::new()));
    assert!(
        json("hostile_text")["findings"][0]["at_s"].is_null(),
        "NaN becomes null"
    );
}

#[test]
fn numbers_carry_the_digits_they_deserve() {
    use super::{Number, Seconds};
    let text = |n: f64| serde_json::to_string(&Number(n)).unwrap();
    assert_eq!(text(500.0), "500");
    assert_eq!(text(0.1 + 0.2), "0.3");
    assert_eq!(text(1234.5678), "1234.57");
    assert_eq!(text(-0.0), "0");
    assert_eq!(text(f64::NAN), "null");
    assert_eq!(text(f64::INFINITY), "null");
    let times = |n: f64| serde_json::to_string(&Seconds(n)).unwrap();
    assert_eq!(times(35_999.987_654), "35999.988");
    assert_eq!(times(1_700_000_000.25), "1700000000.25");
}

#[test]
fn an_isolation_found_in_the_curve_has_its_window_in_figures_and_words() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "pass_1h").unwrap();
    let mut findings = run.findings.clone();
    let at_s = findings.judged_hold().unwrap().isolated_at_s;
    let hold = findings.rounds.last_mut().unwrap().hold.as_mut().unwrap();
    hold.isolated_window_s = findings::TimeRange {
        low_s: at_s - 3.2,
        high_s: at_s + 128.75,
    };
    findings.findings = vec![findings::Finding::at(
        at_s,
        findings::Statement::IsolationFromCurve {
            earlier_s: 3.2,
            later_s: 128.75,
        },
    )];
    let json: Value = serde_json::from_str(&findings_json(&findings, "s")).unwrap();
    let window = &json["rounds"][0]["hold"]["isolated_window_s"];
    assert_eq!(window["low"].as_f64(), Some(at_s - 3.2));
    assert_eq!(window["high"].as_f64(), Some(at_s + 128.75));
    let text = json["findings"][0]["text"].as_str().unwrap();
    assert!(text.contains("up to 4 s earlier or 3 min later"), "{text}");
}
