//! The family of closed formulas: reproducible, in order, wide, and its truth honest.

use rehearsal::{Expected, ExpectedRise, ExpectedStall};
use simulated_runs::{Case, formula_case};
use vacuum::{Entry, Sensed};

fn cases() -> Vec<Case> {
    (0..400).map(formula_case).collect()
}

#[test]
fn the_same_seed_gives_the_same_run() {
    for seed in [0, 7, 123_456_789] {
        assert_eq!(formula_case(seed), formula_case(seed));
    }
    assert_ne!(formula_case(1).entries, formula_case(2).entries);
}

#[test]
fn time_only_goes_forward_and_every_run_has_readings() {
    for case in cases() {
        let times: Vec<f64> = case.entries.iter().map(Entry::elapsed_s).collect();
        assert!(times.windows(2).all(|w| w[0] <= w[1]), "seed {}", case.seed);
        assert!(times.len() > 20 && times[0] >= 0.0, "seed {}", case.seed);
        assert!(*times.last().unwrap() <= case.truth.end_s + 5.0);
    }
}

#[test]
fn causes_and_twists_are_balanced() {
    use ExpectedRise::{Leak, LeakAndMoisture, Moisture, None, Unclear};
    let cases = cases();
    let share = |f: &dyn Fn(&Case) -> bool| {
        cases.iter().filter(|c| f(c)).count() as f64 / cases.len() as f64
    };
    for rise in [None, Leak, Moisture, LeakAndMoisture, Unclear] {
        let found = share(&|c| c.truth.rise == Some(rise));
        assert!((0.12..0.30).contains(&found), "{rise:?} {found}");
    }
    for verdict in [Expected::Pass, Expected::Fail, Expected::NotProven] {
        assert!(share(&|c| c.truth.verdict == verdict) > 0.1, "{verdict:?}");
    }
    for kind in [
        ExpectedStall::Foaming,
        ExpectedStall::BoilOff,
        ExpectedStall::Floor,
        ExpectedStall::Choked,
    ] {
        let sure = |c: &Case| c.truth.stalls.iter().any(|s| s.kind == kind && s.certain);
        assert!(share(&sure) > 0.01, "{kind:?} {}", share(&sure));
    }
    let marked = share(&|c| c.hints.marks_present);
    assert!((0.35..0.65).contains(&marked), "{marked}");
    assert!(share(&|c| c.truth.pump_open_at_stop) > 0.01);
    assert!(share(&|c| c.truth.isolations_s.len() > 1) > 0.02);
    assert!(share(&|c| c.truth.isolation_s.is_some() && !c.truth.isolation_visible) > 0.05);
    let over = |e: &Entry| matches!(e, Entry::Reading(r) if matches!(r.sensed, Sensed::Over(_)));
    assert!(share(&|c| c.entries.iter().any(over)) > 0.2);
}

#[test]
fn more_than_one_answer_is_the_exception() {
    // acceptable sets that take everything would examine nothing
    let cases: Vec<Case> = cases()
        .into_iter()
        .filter(|c| c.truth.rise.is_some_and(|r| r != ExpectedRise::Unclear))
        .collect();
    let single = cases.iter().filter(|c| c.truth.rise_acceptable.len() == 1);
    let share = single.count() as f64 / cases.len() as f64;
    assert!(share > 0.5, "{share}");
    for case in &cases {
        let t = &case.truth;
        assert!(t.rise_acceptable.contains(&t.rise.unwrap()));
        let leaks = matches!(
            t.rise,
            Some(ExpectedRise::Leak | ExpectedRise::LeakAndMoisture)
        );
        // the dangerous confusions are never right
        let harmless = [ExpectedRise::None, ExpectedRise::Moisture];
        let told_none = harmless.iter().any(|k| t.rise_acceptable.contains(k));
        assert!(!(leaks && told_none), "seed {}: {t:?}", case.seed);
    }
}

#[test]
fn the_truth_is_in_the_readings() {
    // over the settled hold the readings rise by what the parts add up to
    let mut compared = 0;
    for case in cases() {
        let t = &case.truth;
        let (Some(settled), false) = (t.settled_s, t.pump_open_at_stop) else {
            continue;
        };
        let parts = t.leak_part_micron + t.volatile_part_micron + t.internal_part_micron;
        let mean = |from: f64, to: f64| {
            let inside: Vec<f64> = case
                .entries
                .iter()
                .filter_map(|e| match e {
                    Entry::Reading(r) if (from..to).contains(&r.elapsed_s) => r.pressure(),
                    _ => None,
                })
                .map(vacuum::Pressure::micron)
                .collect();
            (inside.len() > 2).then(|| inside.iter().sum::<f64>() / inside.len() as f64)
        };
        let (Some(first), Some(last)) = (
            mean(settled, settled + 20.0),
            mean(t.end_s - 20.0, t.end_s + 1.0),
        ) else {
            continue;
        };
        // within the range where gauges are straight, and without bursts
        if last > 9_000.0 || t.rise.is_none() {
            continue;
        }
        compared += 1;
        let allowed = 0.12 * parts.abs() + 0.15 * last + 6.0 * t.noise_micron;
        assert!(
            (last - first - parts).abs() < allowed,
            "seed {}: {first} to {last}, parts {parts}",
            case.seed
        );
    }
    assert!(compared > 200, "{compared}");
}
