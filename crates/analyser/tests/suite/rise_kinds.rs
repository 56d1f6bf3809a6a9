//! Made-up holds whose cause is known.

use analyser::{Findings, RiseKind, Settings, Verdict};
use vacuum::Criteria;

use crate::{
    hold, judge, judged, reasons,
    scene::{Scene, Steps},
};

fn kind(findings: &Findings) -> RiseKind {
    hold(findings).rise.kind
}

/// Judged so that a steep rise is not cut short by anything but the gauge.
fn high_ceiling() -> Settings {
    Settings {
        criteria: Criteria {
            ceiling_micron: 20_000.0,
            ..Criteria::common_practice()
        },
        ..Settings::default()
    }
}

#[test]
fn flat_noise_is_no_rise_and_passes() {
    for seed in 0..30 {
        let found = judged(&Scene::tight(seed).entries());
        assert_eq!(kind(&found), RiseKind::None, "seed {seed}");
        assert_eq!(found.verdict, Verdict::Pass, "seed {seed}");
        assert!(found.reasons.is_empty());
        // it says what it could not have seen
        let limit = hold(&found).rise.detection_limit_micron_per_min.unwrap();
        assert!(limit > 0.0 && limit < 2.0, "seed {seed}: {limit}");
    }
}

#[test]
fn equalisation_alone_is_no_rise() {
    for seed in 0..10 {
        let scene = Scene {
            equalisation: Some((120.0, 5.0)),
            ..Scene::tight(seed)
        };
        let found = judged(&scene.entries());
        assert_eq!(kind(&found), RiseKind::None, "seed {seed}");
        let hold = hold(&found);
        let settled = hold.settled_at_s - hold.isolated_at_s;
        assert!((10.0..200.0).contains(&settled), "seed {seed}: {settled}");
    }
}

#[test]
fn a_straight_leak_of_any_size_is_a_leak_with_the_truth_in_its_interval() {
    let (mut covered, mut all) = (0, 0);
    for leak in [3.0, 8.0, 20.0, 60.0, 150.0, 400.0] {
        for seed in 0..8 {
            let found = judge(&Scene::leaking(seed, leak).entries(), &high_ceiling());
            assert_eq!(
                kind(&found),
                RiseKind::Leak,
                "{leak} micron/min, seed {seed}"
            );
            let estimate = hold(&found).rise.leak_micron_per_min.unwrap();
            let error = (estimate.value / leak - 1.0).abs();
            assert!(error < 0.06, "{leak} micron/min, seed {seed}: {estimate:?}");
            covered += u32::from(estimate.low <= leak && leak <= estimate.high);
            all += 1;
        }
    }
    assert!(
        f64::from(covered) >= 0.93 * f64::from(all),
        "95 % intervals cover {covered} of {all}"
    );
}

#[test]
fn a_leak_beside_a_jump_keeps_its_rate() {
    for seed in 0..8 {
        let scene = Scene {
            equalisation: Some((90.0, 6.0)),
            ..Scene::leaking(seed, 12.0)
        };
        let found = judged(&scene.entries());
        assert_eq!(kind(&found), RiseKind::Leak, "seed {seed}");
        let rate = hold(&found).rise.leak_micron_per_min.unwrap();
        assert!(
            (rate.value / 12.0 - 1.0).abs() < 0.08,
            "seed {seed}: {rate:?}"
        );
    }
}

#[test]
fn a_quick_plateau_is_moisture_with_its_level_and_time_constant() {
    for (height, tau) in [(150.0, 90.0), (250.0, 120.0), (800.0, 150.0)] {
        for seed in 0..6 {
            let found = judged(&Scene::moist(seed, height, tau).entries());
            let at = format!("{height} micron, τ {tau} s, seed {seed}");
            assert_eq!(kind(&found), RiseKind::Moisture, "{at}");
            let rise = &hold(&found).rise;
            let plateau = rise.plateau_micron.unwrap();
            assert!(
                (plateau.value / (180.0 + height) - 1.0).abs() < 0.03,
                "{at}: {plateau:?}"
            );
            let tau_found = rise.tau_s.unwrap();
            assert!(
                (tau_found.value / tau - 1.0).abs() < 0.2,
                "{at}: {tau_found:?}"
            );
        }
    }
}

#[test]
fn a_bend_with_a_straight_tail_is_both() {
    for seed in 0..8 {
        let scene = Scene {
            leak_micron_per_min: 12.0,
            hold_s: 1_200.0,
            ..Scene::moist(seed, 200.0, 120.0)
        };
        let found = judged(&scene.entries());
        assert_eq!(kind(&found), RiseKind::LeakAndMoisture, "seed {seed}");
        let leak = hold(&found).rise.leak_micron_per_min.unwrap();
        assert!(
            (leak.value / 12.0 - 1.0).abs() < 0.25,
            "seed {seed}: {leak:?}"
        );
    }
}

/// τ beyond the hold, up to the eight holds that the method looks for: never "none",
/// and never plainly a leak for certain. What is slower still is straight to every
/// gauge (method, section 15).
#[test]
fn a_time_constant_beyond_the_hold_is_never_a_certain_leak() {
    for tau in [2_000.0, 5_000.0] {
        for seed in 0..6 {
            let found = judged(&Scene::slow_moisture(seed, tau).entries());
            let rise = &hold(&found).rise;
            let at = format!("τ {tau} s, seed {seed}: {rise:?}");
            assert_ne!(rise.kind, RiseKind::None, "{at}");
            let sure = rise.confidence.is_none_or(|c| c > 0.9);
            assert!(rise.kind != RiseKind::Leak || !sure, "{at}");
        }
    }
}

#[test]
fn a_five_micron_step_does_not_hide_a_leak_or_make_one() {
    for seed in 0..8 {
        let stepped = |scene: Scene| Scene {
            steps: Steps::Micron(5.0),
            noise_micron: 1.0,
            relative_noise: 0.001,
            ..scene
        };
        let tight = judged(&stepped(Scene::tight(seed)).entries());
        assert_eq!(kind(&tight), RiseKind::None, "seed {seed}");
        assert_eq!(tight.verdict, Verdict::Pass, "seed {seed}");
        let leak = judged(&stepped(Scene::leaking(seed, 10.0)).entries());
        assert_eq!(kind(&leak), RiseKind::Leak, "seed {seed}");
        assert_eq!(leak.data.resolution_micron, Some(5.0), "seed {seed}");
        let rate = hold(&leak).rise.leak_micron_per_min.unwrap();
        assert!(
            rate.low <= 10.0 && 10.0 <= rate.high,
            "seed {seed}: {rate:?}"
        );
    }
}

#[test]
fn a_two_digit_gauge_still_shows_a_leak() {
    for seed in 0..8 {
        let stepped = |scene: Scene| Scene {
            steps: Steps::Digits(2),
            relative_noise: 0.01,
            ..scene
        };
        let leak = judged(&stepped(Scene::leaking(seed, 20.0)).entries());
        assert_eq!(kind(&leak), RiseKind::Leak, "seed {seed}");
        let rate = hold(&leak).rise.leak_micron_per_min.unwrap();
        assert!(
            (rate.value / 20.0 - 1.0).abs() < 0.1,
            "seed {seed}: {rate:?}"
        );
        let tight = judged(&stepped(Scene::tight(seed)).entries());
        assert_eq!(kind(&tight), RiseKind::None, "seed {seed}");
        // ten micron steps at 180 micron are fine enough for 500
        assert_eq!(reasons(&tight), [""; 0], "seed {seed}");
    }
}
