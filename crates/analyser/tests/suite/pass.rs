//! What a pass is worth.

use analyser::{Certainty, CouldShow, Findings, PassWorth, RiseKind, Settings, Verdict};
use vacuum::{AccessSides, Criteria, Refrigerant};

use crate::{hold, judge, scene::Scene};

fn household() -> Settings {
    Settings {
        volume_l: Some(2.8),
        refrigerant: Refrigerant::named("R-600a"),
        charge_g: Some(58.0),
        ..Settings::default()
    }
}

fn has_code(found: &Findings) -> bool {
    found.findings.iter().any(|f| f.code() == "pass_with_leak")
}

#[test]
fn a_leak_below_the_ceiling_passes_by_the_rule_and_is_said() {
    for seed in 1..6 {
        let entries = Scene {
            base_micron: 150.0,
            ..Scene::leaking(seed, 8.0)
        }
        .entries();
        let found = judge(&entries, &household());
        assert_eq!(found.verdict, Verdict::Pass, "{seed}");
        assert!(has_code(&found), "{seed}");
        let Some(PassWorth::WithLeak(leak)) = found.pass() else {
            panic!("{seed}: {:?}", found.pass());
        };
        let (low, high) = leak.micron_per_min.unwrap();
        assert!(low < 8.0 && high > 8.0, "{seed}: {low} {high}");
        let grams = leak.g_per_year.unwrap();
        // 8 micron/min in 2.8 L is 4.98e-5 Pa m³/s; laminar 19.4 and molecular 1.4 times
        // that comes out of R-600a at 20 °C (checks on memory), 1.329e-6 to the gram
        assert!(grams.0 < 53.0 && grams.1 > 720.0, "{seed}: {grams:?}");
        // without volume and refrigerant only the rate is known
        let bare = judge(&entries, &Settings::default());
        assert!(matches!(bare.pass(), Some(PassWorth::WithLeak(l)) if l.g_per_year.is_none()));
    }
}

#[test]
fn a_quiet_pass_is_no_pass_with_a_leak() {
    for seed in 1..6 {
        let found = judge(&Scene::tight(seed).entries(), &household());
        assert_eq!(found.verdict, Verdict::Pass);
        assert!(!has_code(&found));
        let rise = &hold(&found).rise;
        let stated = matches!(rise.certainty(), Certainty::Stated(_));
        match found.pass() {
            Some(PassWorth::Plain) => assert!(stated && rise.kind == RiseKind::None),
            Some(PassWorth::CauseNotCertain | PassWorth::CauseUnknown) => assert!(!stated),
            other => panic!("{seed}: {other:?}"),
        }
    }
}

#[test]
fn what_does_not_pass_has_no_worth_as_a_pass() {
    let found = judge(&Scene::leaking(1, 60.0).entries(), &household());
    assert_eq!(found.verdict, Verdict::Fail);
    assert!(found.pass().is_none() && !has_code(&found));
}

/// Gas behind the capillary tube looks like a leak, and is not blamed as one; but it is
/// no plain pass either.
#[test]
fn one_side_evacuated_is_not_blamed_as_a_leak() {
    let settings = Settings {
        access_sides: Some(AccessSides::One),
        ..household()
    };
    let entries = Scene {
        base_micron: 150.0,
        ..Scene::leaking(2, 8.0)
    }
    .entries();
    let found = judge(&entries, &settings);
    assert_eq!(found.verdict, Verdict::Pass);
    assert!(!has_code(&found));
    assert_eq!(found.pass(), Some(PassWorth::CauseUnknown));
}

/// Issue: a limit of 1.6 micron/min in 2.8 L of R-600a is 11 to 147 g a year of the
/// charged system (saturation pressure and viscosity: CoolProp 8.0.0; the two laws from
/// memory), not the 7.6 g that the flow of air weighs as refrigerant.
#[test]
fn the_detection_limit_in_grams_is_that_of_the_charged_system() {
    let found = judge(&Scene::tight(3).entries(), &household());
    let hold = hold(&found);
    let limit = hold.rise.detection_limit_micron_per_min.unwrap();
    let (low, high) = hold.smallest_leak.unwrap().g_per_year;
    let scaled = |grams: f64| grams * 1.6 / limit;
    assert!((scaled(low) - 11.0).abs() < 0.6, "{}", scaled(low));
    assert!((scaled(high) - 147.0).abs() < 2.0, "{}", scaled(high));
    let bare = judge(&Scene::tight(3).entries(), &Settings::default());
    assert!(crate::hold(&bare).smallest_leak.is_none());
}

/// 3 g a year is 0.033 to 0.46 micron/min in 2.8 L of R-600a (EN 378-1, second-hand;
/// both flow laws): a hold shows it by either law, by one, or by neither.
#[test]
fn whether_a_hold_could_have_shown_a_sealed_systems_leak() {
    let mut seen = Vec::new();
    for (hold_min, noise_micron) in [
        (10.0, 20.0),
        (10.0, 5.0),
        (10.0, 1.0),
        (60.0, 0.2),
        (600.0, 0.05),
    ] {
        let settings = Settings {
            criteria: Criteria {
                hold_min,
                ..Criteria::common_practice()
            },
            ..household()
        };
        let scene = Scene {
            hold_s: 60.0 * hold_min + 30.0,
            noise_micron,
            relative_noise: 0.0,
            interval_s: if hold_min > 100.0 { 10.0 } else { 1.0 },
            ..Scene::tight(4)
        };
        let found = judge(&scene.entries(), &settings);
        let limit = hold(&found).rise.detection_limit_micron_per_min.unwrap();
        let could = hold(&found).smallest_leak.unwrap().sealed_system;
        let expected = match limit {
            l if l < 0.033 * 0.97 => CouldShow::Yes,
            l if l > 0.46 * 1.03 => CouldShow::No,
            l if (0.033 * 1.03..0.46 * 0.97).contains(&l) => CouldShow::DependsOnFlowLaw,
            // too near a line for published figures of two digits
            _ => continue,
        };
        assert_eq!(could, expected, "{limit}");
        seen.push(could);
    }
    for could in [CouldShow::Yes, CouldShow::DependsOnFlowLaw, CouldShow::No] {
        assert!(seen.contains(&could), "{could:?} is not among {seen:?}");
    }
}
