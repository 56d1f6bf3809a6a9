use super::*;
use crate::synthetic;

fn lines(name: &str) -> Vec<String> {
    let runs = synthetic::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    summary_lines(&run.findings)
}

fn has(name: &str, wanted: &[&str]) {
    let all = lines(name).join("\n");
    for text in wanted {
        assert!(
            all.contains(text),
            "{name}: \"{text}\" is missing in\n{all}"
        );
    }
}

#[test]
fn the_review_leads_with_the_verdict_and_ends_with_advice() {
    for run in synthetic::runs() {
        let lines = summary_lines(&run.findings);
        assert!(
            lines[0].starts_with(run.findings.verdict.label()),
            "{}",
            run.name
        );
        assert!(lines.last().unwrap().starts_with("Next: "), "{}", run.name);
        let all = lines.join("\n");
        assert!(
            !all.contains("NaN") && !all.contains("inf "),
            "{}: {all}",
            run.name
        );
    }
}

#[test]
fn causes_come_with_figures_and_with_what_usually_helps() {
    has(
        "leak_1h",
        &[
            "FAIL: The pressure rose to 690 micron in the hold, above the ceiling of 500 micron.",
            "Straight rise: leak. Straight part 24.0 micron/min (95 %: 22.1 to 25.9)",
            "pressure test with dry nitrogen through a regulator",
        ],
    );
    has(
        "moisture_1h",
        &["Levels off at", "gentle heat", "filter-drier"],
    );
    has("both_1h", &["find the leak first"]);
    has(
        "stalls",
        &[
            "pump oil foaming, 0:04:10 to 0:08:40 near 90,000 micron",
            "iquid water is boiling",
            "keep holding 11 min more (31 min in all)",
        ],
    );
    has("gap_in_hold", &["Readings are missing", "1 gap of 4.8 min"]);
    has("order_wrong", &["shut the pump-side valve first"]);
    has("no_hold", &["mark the moment the pump-side valve is shut"]);
    has("empty", &["no measurement to judge", "check the gauge"]);
}

#[test]
fn a_pass_says_what_it_could_not_have_seen() {
    let all = lines("pass_1h").join("\n");
    assert!(all.starts_with("PASS: Pulled down to the target of 500 micron"));
    assert!(all.contains("could not have shown a straight rise below 0.21 micron/min"));
    assert!(!all.to_lowercase().contains("no leak"));
}

#[test]
fn advice_never_commands() {
    let orders = ["you must", "always ", "never charge"];
    for run in synthetic::runs() {
        let next = next_step(&run.findings).to_lowercase();
        assert!(orders.iter().all(|o| !next.contains(o)), "{next}");
    }
}

#[test]
fn detection_limit_as_throughput_agrees_with_the_published_conversion() {
    let runs = synthetic::runs();
    let hold = runs[0].findings.judged_hold().unwrap();
    let mut hold = hold.clone();
    // 1 micron = 0.133 322 4 Pa (NIST SP 811 B.8): 10 micron/min in 5 L is
    // 10 × 0.1333224 / 60 × 0.005 = 1.111e-4 Pa·m³/s
    hold.rise.detection_limit_micron_per_min = Some(10.0);
    let job = Job {
        volume_l: Some(5.0),
        refrigerant: Some("R134a".into()),
        ..Job::default()
    };
    let sentence = detection_sentence(&hold, Some(&job));
    // 1 g/year of R-134a at 20 °C is 7.570e-7 Pa·m³/s (ideal gas, M 102.03):
    // 1.111e-4 / 7.570e-7 = 146.8
    assert!(
        sentence.contains("1.1 × 10⁻⁴ Pa·m³/s in 5 L, 150 g/year of R-134a"),
        "{sentence}"
    );
}

#[test]
fn flammable_refrigerants_are_named_first() {
    let with = |name: &str| Job {
        refrigerant: Some(name.into()),
        ..Job::default()
    };
    for name in ["R600a", "R-290", "r32", "R-1234yf"] {
        assert!(
            cautions(Some(&with(name)))[0].contains("is flammable"),
            "{name}"
        );
    }
    assert!(
        cautions(Some(&with("R-134a")))
            .iter()
            .all(|c| !c.contains("flammable"))
    );
    assert!(cautions(None)[0].contains("treat it as flammable"));
}
