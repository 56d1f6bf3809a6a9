//! The analyser against what is known of made-up runs, and against itself.
//!
//! - `slopes`: what white noise does to a slope and to the detection limit.
//! - `certainty`: what may never be said with certainty.
//! - `honesty`: what is claimed against what could be known.
//! - `physics`: throughput, water vapour, temperature, the side not evacuated.
//! - `rise_kinds`: made-up holds of every kind.
//! - `ice`: levels that frozen water keeps.
//! - `pass`: what a pass is worth, and what a detection limit means in grams.
//! - `invariance`: scaling, offset, thinning.
//! - `isolation`: unmarked isolations, gauges and accidents of many kinds.
//! - `chunks`: streaming against batch.
//! - `verdicts`: records with something wrong in them.
//! - `false_passes`: every way that is known to get a pass that is not earned.
//! - `further`: what criteria ask for besides target, hold and ceiling.
//! - `junk`: anything at all; findings stay finite, nothing panics.
//!
//! All curves here are invented.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

mod certainty;
mod chunks;
mod early_answer;
mod false_passes;
mod further;
mod honesty;
mod ice;
mod invariance;
mod isolation;
mod junk;
mod pass;
mod physics;
mod rise_kinds;
mod scene;
mod slopes;
mod verdicts;
mod which_hold;
mod withdrawn;

use analyser::{Analyser, Findings, Hold, Settings};
use vacuum::Entry;

/// Judges `entries` in one go.
fn judge(entries: &[Entry], settings: &Settings) -> Findings {
    let mut analyser = Analyser::new(settings.clone());
    for entry in entries {
        analyser.push(entry);
    }
    analyser.findings()
}

/// Judges `entries` against common practice: 500 micron, 10 minutes.
fn judged(entries: &[Entry]) -> Findings {
    judge(entries, &Settings::default())
}

fn hold(findings: &Findings) -> &Hold {
    findings
        .judged_hold()
        .unwrap_or_else(|| panic!("no hold in {findings:?}"))
}

/// Reason words, for comparison with a list.
fn reasons(findings: &Findings) -> Vec<&'static str> {
    findings.reasons.iter().map(|r| r.word()).collect()
}

#[track_caller]
fn assert_near(what: &str, value: f64, wanted: f64, relative: f64) {
    let error = ((value - wanted) / wanted).abs();
    assert!(
        error <= relative,
        "{what}: {value} against {wanted}, relative error {error:.1e}, allowed {relative:.0e}"
    );
}
