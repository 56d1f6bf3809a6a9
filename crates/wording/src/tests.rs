use findings::{Estimate, Finding, Hold, Reason, RiseKind, Statement};
use vacuum::{DayClock, Job, Language, PressureUnit, Zone};

use super::*;

mod confidence;
mod yardsticks;

const ENGLISH: Voice = Voice {
    language: Language::English,
    unit: PressureUnit::Micron,
    zone: Zone::Utc,
    clock: DayClock::Hours24,
};

fn lines(name: &str) -> Vec<String> {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    summary_lines(&ENGLISH, &run.findings)
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
    for run in invented_runs::runs() {
        let lines = summary_lines(&ENGLISH, &run.findings);
        assert!(
            lines[0].starts_with(&verdict_words(&ENGLISH, run.findings.verdict)),
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
            "Straight rise: leak, 24.0 micron/min (95 %: 22.1 to 25.9)",
            "search for the leak under pressure, with dry nitrogen through a regulator and bubbles",
        ],
    );
    has(
        "moisture_1h",
        &[
            "Rise that levels off: moisture or another volatile, at 1,110 micron",
            "gentle heat",
            "filter-drier",
        ],
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
    assert!(all.contains("could not have shown a leak below 0.21 micron/min"));
    assert!(!all.to_lowercase().contains("no leak"));
}

#[test]
fn a_pass_with_a_leak_is_said_in_one_breath() {
    let headline_of = |name: &str| {
        let runs = invented_runs::runs();
        let run = runs.iter().find(|r| r.name == name).unwrap();
        headline(&ENGLISH, &run.findings)
    };
    for (name, said) in [
        ("pass_1h", "PASS"),
        ("pass_tends", "PASS"),
        ("leak_1h", "FAIL"),
        (
            "pass_leak",
            "PASS by the rule; a leak is indicated: 52 to 860 g/year",
        ),
        (
            "pass_leak_in_micron",
            "PASS by the rule; a leak is indicated: 9.2 to 11 micron/min",
        ),
        (
            "pass_leak_unclear",
            "PASS by the rule; a leak is indicated: at most 860 g/year",
        ),
        ("pass_leak_no_size", "PASS by the rule; a leak is indicated"),
        (
            "pass_unclear",
            "PASS by the rule; what the rise comes from is not known",
        ),
        (
            "pass_one_side",
            "PASS by the rule; what the rise comes from is not known",
        ),
    ] {
        assert_eq!(headline_of(name), said, "{name}");
    }
    has(
        "pass_leak",
        &[
            "PASS by the rule; a leak is indicated: 52 to 860 g/year. Pulled down to the target",
            "Next: the criteria are met, but a leak is indicated: it is worth finding before",
        ],
    );
    has("pass_one_side", &["or a leak; evacuate from both sides"]);
    has("pass_unclear", &["a leak is not ruled out: hold longer"]);
    has(
        "pass_tends",
        &[
            "is not certain, and a longer hold would tell",
            "ice at −33 °C stands at 212 micron too",
        ],
    );
}

#[test]
fn below_nine_in_ten_a_cause_is_a_tendency_without_a_figure() {
    has(
        "leak_tends",
        &[
            "Tends to a leak; not certain yet; straight part 24.0 micron/min",
            "Air drawn in, if it is a leak",
            "Next: as it looks, and that is not certain: search for the leak under pressure",
        ],
    );
    has(
        "moisture_tends",
        &["Tends to moisture; not certain yet; what bends over levels off at 1,110 micron"],
    );
    for run in invented_runs::runs() {
        let said = summary_lines(&ENGLISH, &run.findings).join("\n");
        let stated = run
            .findings
            .judged_hold()
            .is_some_and(|h| certainty::is_stated(&h.rise));
        assert_eq!(
            said.contains("right in more than 95 of 100"),
            stated,
            "{}",
            run.name
        );
        assert!(
            !said.contains("100 %") && !said.contains("99"),
            "{}: {said}",
            run.name
        );
    }
}

#[test]
fn the_running_answer_is_a_tendency_or_has_its_odds() {
    let answer = |kind, confidence| {
        let mut hold = hold_of(kind);
        hold.rise.confidence = confidence;
        running_answer(&ENGLISH, &hold.rise, Some(600.0))
    };
    for (kind, confidence, said) in [
        (
            RiseKind::Leak,
            Some(0.9996),
            "straight rise: leak, right in over 95 of 100",
        ),
        (
            RiseKind::Leak,
            Some(0.93),
            "straight rise: leak, right in over 90 of 100",
        ),
        (
            RiseKind::Leak,
            Some(0.899),
            "tends to a leak; not certain yet",
        ),
        (RiseKind::Leak, None, "tends to a leak; not certain yet"),
        (
            RiseKind::Moisture,
            Some(1.0),
            "levels off: moisture, right in over 95 of 100",
        ),
        (
            RiseKind::Moisture,
            Some(0.2),
            "tends to moisture; not certain yet",
        ),
        (RiseKind::None, Some(0.97), "no rise beyond gauge noise"),
        (
            RiseKind::None,
            Some(0.5),
            "no rise seen so far; not certain yet",
        ),
        (
            RiseKind::Unclear,
            Some(0.5),
            "cause not clear, 21 min more to tell",
        ),
    ] {
        assert_eq!(answer(kind, confidence), said);
    }
}

#[test]
fn ice_is_said_with_what_to_do() {
    has(
        "ice",
        &[
            "NOT PROVEN: The hold stands where ice at the coldest part",
            "the hold stands at 472 micron, where ice at the coldest part (−25 °C, 475 micron) may stand",
            "349 to 1,270 micron",
            "the room is at 1 °C",
            "thaw the evaporator",
        ],
    );
}

#[test]
fn advice_never_commands() {
    let orders = ["you must", "always ", "never charge"];
    for run in invented_runs::runs() {
        let next = next_step(&ENGLISH, &run.findings).to_lowercase();
        assert!(orders.iter().all(|o| !next.contains(o)), "{next}");
    }
}

#[test]
fn detection_limit_as_throughput_agrees_with_the_published_conversion() {
    let runs = invented_runs::runs();
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
    hold.smallest_leak = Some(findings::SmallestLeak {
        g_per_year: (370.4, 7_100.0),
        sealed_system: findings::CouldShow::No,
    });
    assert_eq!(
        detection_sentence(&ENGLISH, &hold),
        "This hold could not have shown a leak below 10 micron/min, through which the charged \
         system may lose 370 to 7,100 g/year: a smaller leak is not ruled out. A leak of \
         3 g/year (sealed system, EN 378-1, quoted second-hand) would not have shown."
    );
    assert_eq!(
        limit_in_grams(&ENGLISH, &hold, Some(&job)).as_deref(),
        Some("370 to 7,100 g/year of R-134a")
    );
    hold.smallest_leak = None;
    assert_eq!(
        detection_sentence(&ENGLISH, &hold),
        "This hold could not have shown a leak below 10 micron/min: a smaller leak is not ruled \
         out."
    );
    assert_eq!(
        limit_as_flow(&ENGLISH, 10.0, &job).unwrap(),
        "1.1 × 10⁻⁴ Pa·m³/s in 5 L"
    );
}

fn hold_of(kind: RiseKind) -> Hold {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "both_1h").unwrap();
    let mut hold = run.findings.judged_hold().unwrap().clone();
    hold.rise.kind = kind;
    hold.rise.decide_after_s = Some(1860.0);
    hold
}

#[test]
fn only_a_leak_gets_a_leak_rate() {
    for kind in [RiseKind::None, RiseKind::Moisture] {
        let hold = hold_of(kind);
        assert!(
            straight_part(&ENGLISH, &hold).is_none() && leak_sentence(&ENGLISH, &hold).is_none()
        );
    }
    for kind in [RiseKind::Leak, RiseKind::LeakAndMoisture] {
        let rate = straight_part(&ENGLISH, &hold_of(kind)).unwrap();
        assert!(rate.starts_with("9.00 micron/min (95 %"), "{rate}");
    }
}

#[test]
fn an_unclear_rise_gets_an_upper_end_never_a_negative_leak() {
    let mut hold = hold_of(RiseKind::Unclear);
    let around_zero = Estimate {
        value: -3.0,
        low: -42.0,
        high: 88.0,
    };
    hold.rise.leak_micron_per_min = Some(around_zero);
    hold.leak = hold.leak.map(|_| findings::LeakThroughput {
        pa_m3_per_s: around_zero.scaled(1e-6),
        g_per_year: Some(around_zero),
    });
    let said = rise_sentence(&ENGLISH, &hold) + &leak_sentence(&ENGLISH, &hold).unwrap();
    assert!(said.contains("at most 88 micron/min"), "{said}");
    assert!(said.contains("at most 88 g/year"), "{said}");
    assert!(!said.contains('−'), "{said}");
}

#[test]
fn what_the_charged_system_loses_is_a_range_in_fitting_units() {
    for (years, said) in [
        ((0.002, 0.035), "in 18 h to 13 days"),
        ((2.5e-5, 5.5e-4), "in 13 min to 5 h"),
        ((0.05, 5.0), "in 18 days to 5 years"),
        ((1.0, 5.0), "in 1 to 5 years"),
        ((0.2, 1.5), "in 2 to 18 months"),
        ((1.2, 30.0), "in 1 to 30 years"),
    ] {
        let mut hold = hold_of(RiseKind::Leak);
        hold.operating_loss = Some(findings::OperatingLoss {
            low_side_pa: None,
            g_per_year: (170.0, 3_000.0),
            years_to_lose_a_tenth: Some(years),
        });
        let sentence = leak_sentence(&ENGLISH, &hold).unwrap();
        assert!(sentence.contains("170 to 3,000 g/year"), "{sentence}");
        assert!(sentence.contains(said), "{sentence}");
    }
}

#[test]
fn longer_holds_are_only_asked_for_when_longer() {
    let mut hold = hold_of(RiseKind::Unclear);
    assert!(rise_sentence(&ENGLISH, &hold).contains("31 min in all (11 min more)"));
    hold.duration_s = 1900.0;
    assert!(!rise_sentence(&ENGLISH, &hold).contains("in all"));
}

#[test]
fn air_is_not_weighed_as_water() {
    let runs = invented_runs::runs();
    let run = |name: &str| &runs.iter().find(|r| r.name == name).unwrap().findings;
    assert!(water_sentence(&ENGLISH, run("leak_1h")).is_none());
    assert!(water_sentence(&ENGLISH, run("order_wrong")).is_none());
    assert!(
        water_sentence(&ENGLISH, run("moisture_1h"))
            .unwrap()
            .contains("at most 0.23 mg")
    );
}

#[test]
fn advice_follows_the_gravest_cause() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "leak_1h").unwrap();
    let mut findings = run.findings.clone();
    assert!(next_step(&ENGLISH, &findings).contains("under pressure"));
    findings.findings.push(Finding {
        at_s: None,
        statement: Statement::OneSideEvacuated,
    });
    assert!(next_step(&ENGLISH, &findings).contains("evacuate from both sides"));
    findings.reasons.push(Reason::PumpOpenAtStop);
    assert!(next_step(&ENGLISH, &findings).contains("shut the pump-side valve first"));
}

#[test]
fn where_a_rise_levels_off_is_told_once() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "three_rounds").unwrap();
    let mut findings = run.findings.clone();
    let ambient = findings::Ambient {
        c: 20.0,
        assumed: true,
        saturation_micron: 17_500.0,
    };
    let level = Estimate {
        value: 900.0,
        low: 800.0,
        high: 1_000.0,
    };
    let bound = Statement::BoundMoisture { level, ambient };
    let falls = Statement::PressureFalls {
        from_micron: 300.0,
        to_micron: 200.0,
    };
    let stalls = invented_runs::runs();
    let stalls = stalls.iter().find(|r| r.name == "stalls").unwrap();
    let pulldown = stalls.findings.rounds[0].pulldown.as_ref().unwrap();
    findings.findings = vec![
        Finding::at(1.0, bound.clone()),
        Finding::at(2.0, Statement::Stalled(pulldown.stalls[0])),
        Finding::at(3.0, falls.clone()),
        Finding::at(4.0, falls),
        Finding::at(5.0, bound),
    ];
    let told: Vec<f64> = remarks(&findings).filter_map(|f| f.at_s).collect();
    assert_eq!(told, [3.0, 4.0, 5.0]);
}

#[test]
fn a_hold_that_begins_too_high_did_not_rise() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "leak_1h").unwrap();
    let mut findings = run.findings.clone();
    let hold = findings.rounds[0].hold.as_mut().unwrap();
    (hold.start_micron, hold.highest_micron) = (Some(15_300.0), Some(15_400.0));
    assert_eq!(
        reason_sentence(&ENGLISH, &findings),
        "The hold began at 15,300 micron, already above the ceiling of 500 micron."
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
            cautions(&ENGLISH, Some(&with(name)), &[])[0].contains("is flammable"),
            "{name}"
        );
    }
    assert!(
        cautions(&ENGLISH, Some(&with("R-134a")), &[])
            .iter()
            .all(|c| !c.contains("flammable"))
    );
    assert!(cautions(&ENGLISH, None, &[])[0].contains("treat it as flammable"));
}

/// Safety groups: ISO 817 (R-717 is B2L, R-123 B1, R-744 A1); 57.3 bar is carbon
/// dioxide's saturation pressure at 20 °C (reference library CoolProp 8.0.0).
#[test]
fn toxic_and_high_pressure_refrigerants_have_their_cautions() {
    let said = |name: &str| {
        let job = Job {
            refrigerant: Some(name.into()),
            ..Job::default()
        };
        cautions(&ENGLISH, Some(&job), &[])
    };
    let toxic = "R-717 is toxic (safety group B2L): ventilate, keep breathing protection at hand, \
                 and leave the room if you smell it.";
    // it burns too, and that is said first
    assert!(said("R717")[0].contains("is flammable"));
    assert!(
        said("R717").iter().any(|c| c == toxic),
        "{:?}",
        said("R717")
    );
    assert!(
        said("R-123")
            .iter()
            .any(|c| c.contains("(safety group B1)"))
    );
    assert_eq!(
        said("R744")[0],
        "R-744 stands at 57 bar at 20 °C: valve the gauge off before any is let in, and use \
         hoses rated for it."
    );
    for name in ["R-134a", "R-600a", "R-290", "R-32", "R-410A"] {
        let all = said(name).join("\n");
        assert!(!all.contains("toxic") && !all.contains(" bar "), "{all}");
    }
}

/// The terminal takes the names from `vacuum`, pictures and sheet from the catalogue.
#[test]
fn english_names_of_marks_are_those_of_the_vocabulary() {
    for kind in vacuum::MarkKind::ALL {
        assert_eq!(mark_kind_words(&ENGLISH, kind), kind.label());
    }
}
