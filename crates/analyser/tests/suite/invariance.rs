//! Changes that must alter the answer only as physics says.

use analyser::{Estimate, Findings, RiseKind, Settings, Verdict};
use vacuum::Criteria;

use crate::{
    hold, judge, judged,
    scene::{Scene, bent, thinned},
};

/// A tight, a leaking, a moist and a leaking moist system.
fn scenes(seed: u64) -> [Scene; 4] {
    [
        Scene::tight(seed),
        Scene::leaking(seed, 15.0),
        Scene::moist(seed, 200.0, 100.0),
        Scene {
            hold_s: 1_200.0,
            leak_micron_per_min: 12.0,
            ..Scene::moist(seed, 150.0, 120.0)
        },
    ]
}

fn kind(findings: &Findings) -> RiseKind {
    hold(findings).rise.kind
}

fn leak(findings: &Findings) -> Estimate {
    hold(findings).rise.leak_micron_per_min.unwrap()
}

/// Whether the kind names a leak; where it does not, the straight part is
/// whatever is left over, and only has to be small.
fn leaks(findings: &Findings) -> bool {
    matches!(kind(findings), RiseKind::Leak | RiseKind::LeakAndMoisture)
}

/// Leak rates equal but for `factor`, or both next to nothing beside the 10 to
/// 15 micron/min that leak here.
#[track_caller]
fn assert_same_leak(what: &str, found: &Findings, first: &Findings, factor: f64) {
    let (a, b) = (leak(first).scaled(factor), leak(found));
    if leaks(first) {
        assert_same(what, b, a);
    } else {
        assert!(
            a.value.abs() < 0.5 && b.value.abs() < 0.5,
            "{what}: {a:?} {b:?}"
        );
    }
}

/// Equal within half the width of the interval.
#[track_caller]
fn assert_same(what: &str, found: Estimate, wanted: Estimate) {
    let half = 0.5 * (wanted.high - wanted.low);
    assert!(
        (found.value - wanted.value).abs() <= half.max(0.06 * wanted.value.abs()),
        "{what}: {found:?} against {wanted:?}"
    );
}

fn scaled(e: Option<Estimate>, factor: f64) -> Option<Estimate> {
    e.map(|e| e.scaled(factor))
}

#[test]
fn half_speed_halves_leak_rates_and_doubles_time_constants() {
    for seed in 0..4 {
        for scene in scenes(seed) {
            let entries = scene.entries();
            let first = judged(&entries);
            let slow = judged(&bent(&entries, |t| 2.0 * t, |_, p| p));
            let what = format!("seed {seed}, {:?}", kind(&first));
            assert_eq!(kind(&slow), kind(&first), "{what}");
            let (a, b) = (hold(&first), hold(&slow));
            assert_eq!(b.isolated_at_s, 2.0 * a.isolated_at_s, "{what}");
            assert_same_leak(&what, &slow, &first, 0.5);
            if let Some(tau) = scaled(a.rise.tau_s, 2.0) {
                assert_same(&what, b.rise.tau_s.unwrap(), tau);
            }
        }
    }
}

#[test]
fn doubling_pressure_and_criteria_doubles_the_figures_and_keeps_the_verdict() {
    let doubled = Settings {
        criteria: Criteria {
            target_micron: 1_000.0,
            ceiling_micron: 1_000.0,
            ..Criteria::common_practice()
        },
        ..Settings::default()
    };
    for seed in 0..4 {
        for scene in scenes(seed) {
            let entries = scene.entries();
            let first = judged(&entries);
            let high = judge(&bent(&entries, |t| t, |_, p| 2.0 * p), &doubled);
            let what = format!("seed {seed}, {:?}", kind(&first));
            assert_eq!(kind(&high), kind(&first), "{what}");
            assert_eq!(high.verdict, first.verdict, "{what}");
            assert_eq!(high.reasons, first.reasons, "{what}");
            assert_same_leak(&what, &high, &first, 2.0);
            let (a, b) = (hold(&first), hold(&high));
            assert_eq!(b.settled_at_s, a.settled_at_s, "{what}");
            for (low, high) in [
                (a.start_micron, b.start_micron),
                (a.end_micron, b.end_micron),
                (a.highest_micron, b.highest_micron),
            ] {
                let (low, high) = (low.unwrap(), high.unwrap());
                assert!((high / low - 2.0).abs() < 1e-9, "{what}: {low} {high}");
            }
            if let Some(plateau) = scaled(a.rise.plateau_micron, 2.0) {
                assert_same(&what, b.rise.plateau_micron.unwrap(), plateau);
            }
        }
    }
}

#[test]
fn an_offset_changes_neither_kind_nor_rate() {
    for seed in 0..4 {
        for scene in scenes(seed) {
            let entries = scene.entries();
            let first = judged(&entries);
            let lifted = judged(&bent(&entries, |t| t, |_, p| p + 100.0));
            let what = format!("seed {seed}, {:?}", kind(&first));
            assert_eq!(kind(&lifted), kind(&first), "{what}");
            assert_same_leak(&what, &lifted, &first, 1.0);
        }
    }
}

#[test]
fn half_the_readings_keep_the_kind_and_the_rate() {
    for seed in 0..4 {
        for scene in scenes(seed) {
            let entries = scene.entries();
            let first = judged(&entries);
            for keep in [2, 5] {
                let thin = judged(&thinned(&entries, keep));
                let what = format!("seed {seed}, one in {keep}, {:?}", kind(&first));
                assert_eq!(kind(&thin), kind(&first), "{what}");
                assert_eq!(thin.verdict, first.verdict, "{what}");
                let (a, b) = (leak(&first), leak(&thin));
                assert!(
                    !leaks(&first) || a.low <= b.value && b.value <= a.high,
                    "{what}: {a:?} {b:?}"
                );
            }
        }
    }
}

/// When the clock of the run started does not matter.
#[test]
fn a_later_start_shifts_times_and_nothing_else() {
    for scene in scenes(3) {
        let entries = scene.entries();
        let first = judged(&entries);
        // whole seconds, exactly: blocks of readings stay the same
        let later = judged(&bent(&entries, |t| t + 7_200.0, |_, p| p));
        assert_eq!(kind(&later), kind(&first));
        assert_eq!(later.verdict, first.verdict);
        let (a, b) = (hold(&first), hold(&later));
        assert_eq!(b.isolated_at_s, a.isolated_at_s + 7_200.0);
        assert!((b.duration_s - a.duration_s).abs() < 1e-6);
        let (a, b) = (leak(&first), leak(&later));
        assert!(
            (a.value - b.value).abs() < 1e-6 * (1.0 + a.value.abs()),
            "{a:?} {b:?}"
        );
    }
}

/// A longer look at the same tight system never turns a pass into something else.
#[test]
fn a_pass_stays_a_pass_when_held_longer() {
    for seed in 0..4 {
        for hold_s in [700.0, 1_200.0, 3_600.0] {
            let scene = Scene {
                hold_s,
                ..Scene::tight(seed)
            };
            let found = judged(&scene.entries());
            assert_eq!(found.verdict, Verdict::Pass, "seed {seed}, {hold_s} s");
        }
    }
}
