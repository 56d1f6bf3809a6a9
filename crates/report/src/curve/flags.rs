//! Marks and isolations as flags over the plot.

use findings::IsolationBasis as Basis;
use vacuum::MarkKind;
use wording::say;

use crate::{Sheet, contents::record::mark_words};
use layout::{labels::Flag, scale::Axis};

/// Marks and isolations as flags.
pub(super) fn of(sheet: &Sheet<'_>, time: &Axis, x_of: impl Fn(f64) -> f64) -> Vec<Flag> {
    let voice = &sheet.voice();
    let holds: Vec<_> = sheet
        .findings
        .rounds
        .iter()
        .filter_map(|r| r.hold.as_ref())
        .collect();
    // the mark that isolation was taken from says it already
    let is_isolation = |at_s: f64| {
        holds
            .iter()
            .any(|h| h.basis == Basis::Mark && (h.isolated_at_s - at_s).abs() < 0.5)
    };
    let mut out: Vec<Flag> = Vec::new();
    for (i, hold) in holds.iter().enumerate() {
        let id = match hold.basis {
            // several holds are named, so that each is found in the table
            Basis::Mark if holds.len() > 1 => "mark-pump-side-shut",
            Basis::Mark => "curve-shut-isolated",
            Basis::Given => "curve-isolated-given",
            Basis::Curve => "curve-isolated-curve",
            Basis::FromStart => "curve-isolated-start",
        };
        let words = if holds.len() > 1 {
            let name = say!(voice, "curve-hold-number", number = i + 1);
            say!(voice, "labelled", name = name, text = say!(voice, id))
        } else {
            say!(voice, id)
        };
        out.push(Flag::new(x_of(hold.isolated_at_s), words, true));
    }
    for mark in sheet.trace.marks() {
        let is_named = mark.kind == MarkKind::PumpSideShut && is_isolation(mark.elapsed_s);
        if !time.holds(mark.elapsed_s) || is_named {
            continue;
        }
        out.push(Flag::new(
            x_of(mark.elapsed_s),
            mark_words(&sheet.about(), mark, 28),
            false,
        ));
    }
    out
}
