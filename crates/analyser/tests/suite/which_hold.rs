//! A stray stamp after a hold was long enough: which hold counts, and which is never
//! passed over.

use analyser::{Findings, Statement, Verdict};
use vacuum::{Entry, MarkKind};

use crate::{
    judged, reasons,
    scene::{Scene, mark, reading},
};

/// The hold of a scene: isolated after 900 s, for 900 s.
const SHUT_S: f64 = 900.0;

/// The scene with these marks put in, read up to a time.
fn stamped(scene: Scene, marks: &[(f64, MarkKind)], until_s: f64) -> Vec<Entry> {
    let mut entries = scene.entries();
    entries.extend(marks.iter().map(|(t, kind)| mark(*t, *kind)));
    entries.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    entries.retain(|e| e.elapsed_s() <= until_s);
    entries
}

fn broken_off(found: &Findings) -> usize {
    let said = found.findings.iter();
    said.filter(|f| matches!(f.statement, Statement::LaterHoldBrokenOff(_)))
        .count()
}

#[test]
fn a_stray_second_stamp_takes_nothing_from_a_hold_that_passed() {
    use MarkKind::PumpSideShut;
    for late_s in [1.0, 20.0, 120.0] {
        let stray = SHUT_S + 650.0;
        let entries = stamped(Scene::tight(1), &[(stray, PumpSideShut)], stray + late_s);
        let found = judged(&entries);
        assert_eq!(
            found.verdict,
            Verdict::Pass,
            "{late_s}: {:?}",
            found.reasons
        );
        assert_eq!(found.rounds.len(), 2);
        assert_eq!(found.judged, Some(0));
        let hold = found.judged_hold().expect("a hold");
        assert!((hold.duration_s - 650.0).abs() < 1.1, "{hold:?}");
        assert_eq!(broken_off(&found), 1, "and it is said");
    }
    // two of them
    let twice = [(1_550.0, PumpSideShut), (1_560.0, PumpSideShut)];
    let found = judged(&stamped(Scene::tight(1), &twice, 1_580.0));
    assert_eq!((found.verdict, found.judged), (Verdict::Pass, Some(0)));
    assert_eq!(broken_off(&found), 2);
}

/// The target was reached before the valve was shut, and a second stamp above the target
/// does not undo that.
#[test]
fn a_second_stamp_above_the_target_is_no_failure_of_the_system() {
    let criteria = vacuum::Criteria {
        target_micron: 500.0,
        hold_min: 4.0,
        ceiling_micron: 1_500.0,
        ..vacuum::Criteria::default()
    };
    // 40 micron/min over 10 min: from about 180 to about 580 micron
    let stray = (SHUT_S + 600.0, MarkKind::PumpSideShut);
    let entries = stamped(Scene::leaking(4, 40.0), &[stray], f64::INFINITY);
    let settings = analyser::Settings {
        criteria,
        ..analyser::Settings::default()
    };
    let found = crate::judge(&entries, &settings);
    assert!(
        found.rounds[1].hold.as_ref().and_then(|h| h.start_micron) > Some(500.0),
        "{:?}",
        found.rounds
    );
    assert!(
        !reasons(&found).contains(&"target_not_reached"),
        "{:?}",
        found.reasons
    );
}

#[test]
fn a_later_hold_that_failed_or_leaks_is_never_passed_over() {
    // the second hold is a system that leaks grossly: a hose came off
    let stray_s = SHUT_S + 650.0;
    let mut entries = stamped(
        Scene::tight(1),
        &[(stray_s, MarkKind::PumpSideShut)],
        stray_s,
    );
    for s in 1..=120 {
        let t = f64::from(s);
        entries.push(reading(stray_s + t, 350.0 + 40.0 * t));
    }
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::Fail, "{:?}", found.reasons);
    assert_eq!(found.judged, Some(1));
    // and one that is complete counts whatever was before it
    let fails_first = stamped(
        Scene::leaking(3, 200.0),
        &[(SHUT_S + 650.0, MarkKind::PumpSideShut)],
        SHUT_S + 670.0,
    );
    let found = judged(&fails_first);
    assert_eq!(found.verdict, Verdict::Fail, "a stray stamp mends nothing");
}

#[test]
fn a_hold_does_not_count_for_a_system_that_was_let_in_again() {
    let break_s = SHUT_S + 700.0;
    let mut entries = stamped(
        Scene::tight(1),
        &[(break_s, MarkKind::NitrogenBreak)],
        break_s,
    );
    for s in 1..60 {
        entries.push(reading(break_s + f64::from(s), 700_000.0));
    }
    entries.push(mark(break_s + 60.0, MarkKind::ValveOpened));
    for s in 60..400 {
        let t = f64::from(s);
        let micron = 300.0 + 700_000.0 * (-(t - 60.0) / 20.0).exp();
        entries.push(reading(break_s + t, micron));
    }
    entries.push(mark(break_s + 400.0, MarkKind::PumpSideShut));
    for s in 400..460 {
        entries.push(reading(break_s + f64::from(s), 300.0));
    }
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::NotProven, "{:?}", found.reasons);
    assert!(reasons(&found).contains(&"hold_too_short"));
    assert_eq!(broken_off(&found), 0);
}
