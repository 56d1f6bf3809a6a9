//! Passes that are not earned; the table is `analyser::false_passes`.
//!
//! Every record here is the sound one below with one thing wrong, so that nothing
//! else can be the reason.

mod context;
mod gauge;
mod limits;

use analyser::{Finding, Findings, Reason, Settings, ShowsTooLittle, Statement, Verdict};
use vacuum::{
    AccessSides, Criteria, Entry, Mark, MarkKind, Pressure, PressureUnit, RecordUnit, Sensed,
    UnitBasis,
};

use crate::{
    judge, judged, reasons,
    scene::{Scene, mark, reading, sensed},
};

/// When the pump-side valve is shut, s.
const SHUT_S: f64 = 900.0;
/// When a hold of ten minutes is over, s.
const ENOUGH_S: f64 = SHUT_S + 600.0;

/// What a gauge with steps of 1 micron shows in the pull-down: down to 200 micron.
fn pulling(t: f64) -> f64 {
    (200.0 + 756_000.0 * (-t / 22.0).exp() + 4_000.0 * (-t / 90.0).exp()).round()
}

/// Flickers in its last digit, as a sound gauge does.
fn flickering(t: f64, micron: f64) -> f64 {
    let odd = [0.0, 1.0, 0.0, 0.0, -1.0, 1.0, 0.0, -1.0, 0.0, 0.0, 1.0];
    micron + odd[(t.round() as usize * 7) % odd.len()]
}

fn sound(t: f64) -> f64 {
    flickering(t, 212.0)
}

/// One reading a second until `end_s`: `pull` up to the valve, then `hold`.
fn record(end_s: f64, pull: impl Fn(f64) -> f64, hold: impl Fn(f64) -> f64) -> Vec<Entry> {
    let mut out = Vec::new();
    for s in 0..=end_s.round() as u32 {
        let t = f64::from(s);
        if t == SHUT_S {
            out.push(mark(SHUT_S, MarkKind::PumpSideShut));
            out.push(mark(SHUT_S + 0.5, MarkKind::PumpStopped));
        }
        out.push(reading(t, if t <= SHUT_S { pull(t) } else { hold(t) }));
    }
    out.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    out
}

fn held(hold: impl Fn(f64) -> f64) -> Findings {
    judged(&record(ENOUGH_S + 60.0, pulling, hold))
}

fn noted(t: f64, note: &str) -> Entry {
    Entry::Mark(Mark {
        elapsed_s: t,
        kind: MarkKind::Note,
        note: note.into(),
    })
}

fn with(entries: &[Entry], more: &[Entry]) -> Vec<Entry> {
    let mut out = [entries, more].concat();
    out.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    out
}

#[track_caller]
fn passes(found: &Findings) {
    assert_eq!(reasons(found), [""; 0]);
    assert_eq!(found.verdict, Verdict::Pass);
}

#[track_caller]
fn not_proven(found: &Findings, reason: &str) {
    assert_eq!(reasons(found), [reason]);
    assert_eq!(found.verdict, Verdict::NotProven);
    assert!(!found.findings.is_empty(), "it is said why");
}

#[track_caller]
fn fails(found: &Findings, reason: &str) {
    assert_eq!(reasons(found), [reason]);
    assert_eq!(found.verdict, Verdict::Fail);
}

fn too_little(found: &Findings) -> ShowsTooLittle {
    let said = found.findings.iter().find_map(|f| match f.statement {
        Statement::GaugeTooCoarse(why) => Some(why),
        _ => None,
    });
    said.unwrap_or_else(|| panic!("nothing said of the gauge: {:?}", found.findings))
}

fn said(found: &Findings, code: &str) -> bool {
    found.findings.iter().map(Finding::code).any(|c| c == code)
}

#[test]
fn the_sound_record_passes() {
    let found = held(sound);
    passes(&found);
    assert!(!said(&found, "criteria_softer") && !said(&found, "unit_assumed"));
}
