//! A mark that was taken back counts as if it had never been stamped, whether the
//! run is watched or read back.

use analyser::{Analyser, IsolationBasis, Settings};
use vacuum::{Entry, Mark, MarkKind, Pressure, Reading};

fn mark(elapsed_s: f64, kind: MarkKind) -> Mark {
    Mark {
        elapsed_s,
        kind,
        note: String::new(),
    }
}

/// A pull-down to 300 micron, shut for good at 900 s.
fn run(marks: &[Mark]) -> Vec<Entry> {
    let mut entries = Vec::new();
    let mut marks = marks.iter().peekable();
    for s in 0..1_800_u32 {
        let t = f64::from(s);
        while let Some(mark) = marks.next_if(|m| m.elapsed_s <= t) {
            entries.push(Entry::Mark(mark.clone()));
        }
        let wobble = f64::from(s * 7_919 % 101) / 50.0;
        let micron = 300.0 + 700_000.0 * (-t / 30.0).exp() + wobble;
        let pressure = Pressure::from_micron(micron).unwrap();
        entries.push(Entry::Reading(Reading::measured(t, pressure)));
    }
    entries
}

fn judged(entries: &[Entry]) -> analyser::Findings {
    let mut analyser = Analyser::new(Settings::default());
    for entry in entries {
        analyser.push(entry);
        // a live view looks all the time
        if entry.elapsed_s() % 60.0 == 0.0 {
            let _ = analyser.live();
        }
    }
    analyser.findings()
}

#[test]
fn a_mark_taken_back_is_as_if_never_stamped() {
    let wrong = mark(500.0, MarkKind::PumpSideShut);
    let right = mark(900.0, MarkKind::PumpSideShut);
    let with = judged(&run(&[
        wrong.clone(),
        wrong.withdrawal(510.0),
        right.clone(),
    ]));
    let without = judged(&run(std::slice::from_ref(&right)));
    let hold = with.judged_hold().expect("a hold");
    assert_eq!(hold.basis, IsolationBasis::Mark);
    assert!((hold.isolated_at_s - 900.0).abs() < 1e-9);
    assert_eq!(with.rounds.len(), without.rounds.len());
    assert_eq!(
        (with.verdict, &with.reasons),
        (without.verdict, &without.reasons)
    );
    // and it would have changed the answer
    let stamped = judged(&run(&[wrong, right]));
    assert!(stamped.rounds.len() > with.rounds.len());
}

#[test]
fn taking_the_wrong_order_back_takes_its_warning_back() {
    let stopped = mark(700.0, MarkKind::PumpStopped);
    let shut = mark(900.0, MarkKind::PumpSideShut);
    let warned = judged(&run(&[stopped.clone(), shut.clone()]));
    let back = judged(&run(&[stopped.clone(), stopped.withdrawal(703.0), shut]));
    let said = |f: &analyser::Findings| f.findings.iter().any(|f| f.code() == "pump_open_at_stop");
    assert!(said(&warned) && !said(&back));
}
