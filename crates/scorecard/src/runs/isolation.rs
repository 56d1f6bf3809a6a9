//! Where isolation was found in the curve, and whether its window holds the truth.
//!
//! Only runs without a mark. *Near* is within 5 s or three readings, counted where the
//! instant can be told at all; a window counts wherever one was said, and its width
//! with it, for a wide window buys nothing.

use std::collections::BTreeMap;

use analyser::{Findings, IsolationBasis};

use super::{quantile, share};
use crate::print::say;

/// What is true of one run.
pub(crate) struct Truth {
    /// When the valve was shut, s.
    pub(crate) at_s: f64,
    /// Time between readings, s.
    pub(crate) interval_s: f64,
    /// The instant can be told to within reach.
    pub(crate) visible: bool,
}

#[derive(Default)]
struct Row {
    visible: u32,
    near: u32,
    windows: u32,
    held: u32,
    errors_s: Vec<f64>,
    widths_s: Vec<f64>,
}

/// Counts by family and by reading interval.
#[derive(Default)]
pub(crate) struct Isolations {
    all: Row,
    rows: BTreeMap<String, Row>,
}

impl Isolations {
    /// Takes one run; true when it was near, or nobody could be.
    pub(crate) fn count(&mut self, family: &str, truth: &Truth, findings: &Findings) -> bool {
        let hold = findings.judged_hold();
        let error_s = hold.map(|h| (h.isolated_at_s - truth.at_s).abs());
        let near = error_s.is_some_and(|e| e <= (3.0 * truth.interval_s).max(5.0));
        let window = hold
            .filter(|h| h.basis == IsolationBasis::Curve)
            .map(|h| h.isolated_window_s);
        let every = match truth.interval_s {
            s if s < 0.4 => "readings every 0.1 to 0.2 s",
            s if s < 1.5 => "readings every 0.5 to 1 s",
            s if s < 4.0 => "readings every 2 to 3 s",
            s if s < 12.0 => "readings every 5 to 10 s",
            _ => "readings every 15 to 60 s",
        };
        let count = |row: &mut Row| {
            if truth.visible {
                row.visible += 1;
                row.near += u32::from(near);
                row.errors_s.extend(error_s);
            }
            if let Some(window) = window {
                row.windows += 1;
                row.held += u32::from(window.holds(truth.at_s));
                row.widths_s.push(window.length_s());
            }
        };
        count(&mut self.all);
        for key in [family, every] {
            count(self.rows.entry(key.to_owned()).or_default());
        }
        near || !truth.visible
    }

    /// Prints the table.
    pub(crate) fn print(&mut self) {
        let all = &mut self.all;
        say(&format!(
            "isolation within 3 readings or 5 s: {}",
            share(all.near, all.visible)
        ));
        say(&format!(
            "isolation error     median {:.1} s, 90 % {:.1} s",
            quantile(&mut all.errors_s, 0.5),
            quantile(&mut all.errors_s, 0.9)
        ));
        say("isolation: near, window holds the truth, its width (median, 90 %)");
        line("all", all);
        for (key, row) in &mut self.rows {
            line(key, row);
        }
    }
}

fn line(key: &str, row: &mut Row) {
    say(&format!(
        "  {key:<28} {:<18} {:<18} {:>5.1} s {:>6.1} s",
        share(row.near, row.visible),
        share(row.held, row.windows),
        quantile(&mut row.widths_s, 0.5),
        quantile(&mut row.widths_s, 0.9)
    ));
}
