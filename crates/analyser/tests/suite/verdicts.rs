//! Records with something wrong in them, and what must be said about it.

use analyser::{Findings, IsolationBasis, Phase, RiseKind, Settings, Statement, Verdict};
use vacuum::{Criteria, Entry, MarkKind, Pressure, Sensed};

use crate::{
    hold, judge, judged, reasons,
    scene::{Scene, blinded, mark, reading, sensed, thinned, without},
};

fn codes(findings: &Findings) -> Vec<&'static str> {
    findings
        .findings
        .iter()
        .map(analyser::Finding::code)
        .collect()
}

/// The marks of `entries` taken out and others put in, in order of time.
fn remarked(entries: &[Entry], marks: &[(f64, MarkKind)]) -> Vec<Entry> {
    let mut out: Vec<Entry> = entries
        .iter()
        .filter(|e| matches!(e, Entry::Reading(_)))
        .cloned()
        .collect();
    out.extend(marks.iter().map(|(t, kind)| mark(*t, *kind)));
    out.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    out
}

#[test]
fn a_minute_missing_in_the_hold_proves_nothing() {
    let entries = without(&Scene::tight(1).entries(), 1_300.0, 1_360.0);
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!(reasons(&found), ["gap_in_hold"]);
    let [gap] = found.data.gaps[..] else {
        panic!("one gap wanted: {:?}", found.data.gaps);
    };
    assert!((gap.start_s - 1_299.0).abs() < 1.01 && (gap.end_s - 1_360.0).abs() < 1.01);
}

#[test]
fn a_minute_missing_while_pumping_harms_nothing() {
    let entries = without(&Scene::tight(1).entries(), 400.0, 460.0);
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::Pass, "{:?}", found.reasons);
    assert_eq!(found.data.gaps.len(), 1);
}

#[test]
fn a_gauge_that_said_gap_is_a_gap() {
    let entries = blinded(&Scene::tight(1).entries(), 1_300.0, 1_360.0, Sensed::Gap);
    assert_eq!(reasons(&judged(&entries)), ["gap_in_hold"]);
}

#[test]
fn a_gauge_fault_in_the_hold_proves_nothing() {
    let entries = blinded(&Scene::tight(2).entries(), 1_300.0, 1_345.0, Sensed::Fault);
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!(reasons(&found), ["gauge_fault"]);
    assert_eq!(found.data.rejected, 45);
    assert_eq!(found.data.rows, found.data.used + found.data.rejected);
}

#[test]
fn over_range_after_isolation_breaks_the_ceiling() {
    let top = Pressure::from_micron(20_000.0).unwrap();
    for bound in [None, Some(top)] {
        // a gross leak: up and off the scale within two minutes
        let entries = Scene::leaking(3, 10_000.0).entries();
        let entries = blinded(&entries, 1_010.0, f64::INFINITY, Sensed::Over(bound));
        let found = judged(&entries);
        assert_eq!(found.verdict, Verdict::Fail, "{bound:?}");
        assert!(reasons(&found).contains(&"ceiling_exceeded"), "{bound:?}");
        // straight to off the scale: nothing that boils does that
        assert_eq!(hold(&found).rise.kind, RiseKind::Leak, "{bound:?}");
    }
}

/// From a flat hold straight off the scale, as when a hose is pulled: there is no
/// reading above the ceiling, only the gauge saying that it is above its range.
#[test]
fn a_range_left_at_once_breaks_the_ceiling_if_it_ends_above_it() {
    let flat = Scene::tight(3).entries();
    let from = |bound: Option<f64>| {
        let bound = bound.map(|b| Pressure::from_micron(b).unwrap());
        judged(&blinded(&flat, 1_500.0, f64::INFINITY, Sensed::Over(bound)))
    };
    for bound in [None, Some(20_000.0)] {
        let found = from(bound);
        assert_eq!(found.verdict, Verdict::Fail, "{bound:?}");
        assert_eq!(reasons(&found), ["ceiling_exceeded"], "{bound:?}");
    }
    // a gauge that ends below the ceiling cannot tell
    let found = from(Some(400.0));
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!(reasons(&found), ["gauge_fault"]);
}

#[test]
fn a_rise_through_the_ceiling_fails() {
    // 180 + 30·15 = 630 micron
    let found = judged(&Scene::leaking(4, 30.0).entries());
    assert_eq!(found.verdict, Verdict::Fail);
    assert_eq!(reasons(&found), ["ceiling_exceeded"]);
}

/// UFGS 15182 §3.3.3: pull to 300 micron, stand one hour, not above 500.
#[test]
fn the_published_one_hour_rule_decides_at_its_own_limits() {
    let rule = Settings {
        criteria: Criteria::facilities_one_hour(),
        // the rule asks for a room above 2 °C
        ambient_c: Some(20.0),
        ..Settings::default()
    };
    let rise_to = |end: f64, minutes: f64| {
        let scene = Scene {
            base_micron: 250.0,
            hold_s: 60.0 * minutes,
            relative_noise: 0.0002,
            ..Scene::leaking(5, (end - 250.0) / minutes)
        };
        judge(&scene.entries(), &rule)
    };
    assert_eq!(rise_to(499.0, 60.5).verdict, Verdict::Pass);
    assert_eq!(rise_to(502.0, 60.5).verdict, Verdict::Fail);
    let short = rise_to(400.0, 59.0);
    assert_eq!(short.verdict, Verdict::NotProven);
    assert_eq!(reasons(&short), ["hold_too_short"]);
}

#[test]
fn a_hold_cut_short_proves_nothing_and_says_how_much_was_missing() {
    let scene = Scene {
        hold_s: 420.0,
        ..Scene::tight(6)
    };
    let found = judged(&scene.entries());
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!(reasons(&found), ["hold_too_short"]);
    let missing = found.findings.iter().find_map(|f| match f.statement {
        Statement::HoldLonger(minutes) => Some(minutes),
        _ => None,
    });
    assert!((missing.unwrap() - 3.0).abs() < 0.05, "{missing:?}");
}

#[test]
fn a_target_that_was_not_reached_fails() {
    let scene = Scene {
        base_micron: 900.0,
        ..Scene::tight(7)
    };
    let found = judged(&scene.entries());
    assert_eq!(found.verdict, Verdict::Fail);
    assert!(reasons(&found).contains(&"target_not_reached"));
    let pulldown = found.rounds[0].pulldown.as_ref().unwrap();
    assert_eq!(pulldown.reached_target_s, None);
    assert!((pulldown.lowest_micron.unwrap() - 900.0).abs() < 20.0);
}

#[test]
fn the_pump_stopped_before_its_valve_was_shut() {
    use MarkKind::{PumpSideShut, PumpStopped};
    let entries = Scene::tight(8).entries();
    let wrong = judged(&remarked(
        &entries,
        &[(880.0, PumpStopped), (900.0, PumpSideShut)],
    ));
    assert_eq!(wrong.verdict, Verdict::NotProven);
    assert_eq!(reasons(&wrong), ["pump_open_at_stop"]);
    assert!(codes(&wrong).contains(&"pump_open_at_stop"));
    let right = judged(&remarked(
        &entries,
        &[(900.0, PumpSideShut), (905.0, PumpStopped)],
    ));
    assert_eq!(right.verdict, Verdict::Pass, "{:?}", right.reasons);
    // never a mark for the valve, and the rise begins as the pump stops
    let leak = Scene::leaking(8, 200.0).entries();
    let unshut = judged(&remarked(&leak, &[(900.0, PumpStopped)]));
    assert!(
        reasons(&unshut).contains(&"pump_open_at_stop"),
        "{:?}",
        unshut.reasons
    );
    assert_ne!(unshut.verdict, Verdict::Pass);
}

#[test]
fn a_valve_that_leaves_no_trace_and_no_mark_is_no_isolation() {
    for seed in 0..10 {
        let scene = Scene {
            marked: false,
            ..Scene::tight(seed)
        };
        let found = judged(&scene.entries());
        assert_eq!(found.verdict, Verdict::NotProven, "seed {seed}");
        assert_eq!(reasons(&found), ["no_isolation"], "seed {seed}");
        assert!(
            codes(&found).contains(&"isolation_mark_missing"),
            "seed {seed}"
        );
    }
}

#[test]
fn an_unmarked_isolation_is_found_in_the_curve() {
    for seed in 0..10 {
        for (leak, equalisation) in [
            (40.0, None),
            (0.0, Some((150.0, 5.0))),
            (15.0, Some((80.0, 8.0))),
        ] {
            let scene = Scene {
                marked: false,
                equalisation,
                ..Scene::leaking(seed, leak)
            };
            let found = judged(&scene.entries());
            let at = format!("seed {seed}, leak {leak}, jump {equalisation:?}");
            let hold = found
                .judged_hold()
                .unwrap_or_else(|| panic!("no hold: {at}"));
            assert_eq!(hold.basis, IsolationBasis::Curve, "{at}");
            let error = hold.isolated_at_s - 900.0;
            assert!(error.abs() <= 5.0, "{at}: {error} s off");
        }
    }
}

#[test]
fn the_reviewer_knows_best_when_it_was_isolated() {
    let scene = Scene {
        marked: false,
        ..Scene::tight(9)
    };
    let settings = Settings {
        isolated_at_s: Some(900.0),
        ..Settings::default()
    };
    let found = judge(&scene.entries(), &settings);
    assert_eq!(found.verdict, Verdict::Pass, "{:?}", found.reasons);
    assert_eq!(hold(&found).basis, IsolationBasis::Given);
    assert_eq!(hold(&found).isolated_at_s, 900.0);
}

#[test]
fn a_record_that_starts_isolated_has_no_pulldown() {
    let whole = Scene {
        hold_s: 1_200.0,
        ..Scene::leaking(10, 40.0)
    };
    let entries = without(&whole.entries(), 0.0, 900.0);
    let found = judged(&remarked(&entries, &[]));
    assert_eq!(hold(&found).basis, IsolationBasis::FromStart);
    assert_eq!(found.rounds.len(), 1);
    assert_eq!(found.rounds[0].pulldown, None);
    assert!(codes(&found).contains(&"starts_isolated"));
}

/// Three rounds with nitrogen let in between: each is judged by itself, the
/// verdict is that of the last.
#[test]
fn rounds_are_cut_at_every_nitrogen_break() {
    let leaks = [60.0, 20.0, 0.0];
    let mut entries = Vec::new();
    for (i, leak) in leaks.into_iter().enumerate() {
        let start = 2_000.0 * i as f64;
        if i > 0 {
            entries.push(mark(start - 100.0, MarkKind::NitrogenBreak));
            for s in 0..100 {
                entries.push(reading(start - 100.0 + f64::from(s), 700_000.0));
            }
            entries.push(mark(start - 0.5, MarkKind::ValveOpened));
        }
        let round = Scene::leaking(20 + i as u64, leak).entries();
        entries.extend(round.iter().map(|e| match e {
            Entry::Reading(r) => reading(r.elapsed_s + start, r.pressure().unwrap().micron()),
            Entry::Mark(m) => mark(m.elapsed_s + start, m.kind),
        }));
    }
    let found = judged(&entries);
    assert_eq!(found.rounds.len(), 3, "{:?}", found.rounds);
    for (i, (round, leak)) in found.rounds.iter().zip(leaks).enumerate() {
        let hold = round.hold.as_ref().unwrap();
        assert_eq!(hold.isolated_at_s, 900.0 + 2_000.0 * i as f64);
        assert!((hold.duration_s - 900.0).abs() < 105.0, "{i}: {hold:?}");
        let rate = hold.rise.leak_micron_per_min.unwrap().value;
        assert!((rate - leak).abs() < 0.05 * leak + 1.0, "{i}: {rate}");
        assert!(round.pulldown.is_some(), "{i}");
    }
    assert_eq!(found.verdict, Verdict::Pass, "{:?}", found.reasons);
}

#[test]
fn a_gauge_too_coarse_for_the_target_proves_nothing() {
    // a dial read to 0.01 inHg: steps of 254 micron (25.4 mm/in, exact)
    let scene = Scene {
        steps: crate::scene::Steps::Micron(254.0),
        base_micron: 260.0,
        ..Scene::tight(11)
    };
    let scene = Scene {
        relative_noise: 0.2,
        ..scene
    };
    let found = judged(&scene.entries());
    assert_ne!(found.verdict, Verdict::Pass);
    assert!(
        reasons(&found).contains(&"gauge_too_coarse"),
        "{:?}",
        found.reasons
    );
}

#[test]
fn nothing_at_all_is_not_proven() {
    let found = judged(&[]);
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!(reasons(&found), ["no_readings"]);
    let only_faults: Vec<Entry> = (0..100)
        .map(|s| sensed(f64::from(s), Sensed::Fault))
        .collect();
    let found = judged(&only_faults);
    assert_eq!(found.verdict, Verdict::NotProven);
    assert_eq!((found.data.rows, found.data.used), (100, 0));
}

#[test]
fn the_live_look_knows_its_phase() {
    let entries = Scene::tight(12).entries();
    let mut analyser = analyser::Analyser::new(Settings::default());
    assert_eq!(analyser.live().phase, Phase::Waiting);
    let mut phases = vec![Phase::Waiting];
    for entry in thinned(&entries, 5) {
        analyser.push(&entry);
        let live = analyser.live();
        if phases.last() != Some(&live.phase) {
            phases.push(live.phase);
        }
        if let (Some(held), Some(left)) = (live.held_s, live.hold_left_s) {
            assert!(held >= 600.0 || (held + left - 600.0).abs() < 1e-6);
        }
    }
    let wanted = [
        Phase::Waiting,
        Phase::PullDown,
        Phase::AtTarget,
        Phase::Hold,
    ];
    assert_eq!(phases, wanted);
    assert_eq!(analyser.live().hold_left_s, Some(0.0));
}
