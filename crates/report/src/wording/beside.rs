//! What other gauges and channels showed, in a sentence each.

use analyser::{BesideFindings, Findings, Pair};

use super::sentence;
use crate::{
    figures::{micron, significant},
    text::one_line,
};

/// One sentence for each gauge or channel recorded beside the judged one.
#[must_use]
pub fn beside_sentences(findings: &Findings) -> Vec<String> {
    findings.beside.iter().map(beside_sentence).collect()
}

fn beside_sentence(beside: &BesideFindings) -> String {
    let place = sentence(&one_line(&beside.place, 40));
    let place = place.trim_end_matches('.');
    let Some(lowest) = beside.lowest_micron else {
        return format!("{place}: nothing measured.");
    };
    let mut parts = vec![format!("{place}: lowest {}", micron(lowest))];
    parts.extend(beside.at_target.map(|p| compared(p, "at target")));
    parts.extend(beside.at_isolation.map(|p| compared(p, "at isolation")));
    if beside.hold.is_some_and(|h| h.same_volume == Some(true)) {
        parts.push("in the hold one volume with the judged gauge".to_owned());
    }
    parts.join("; ") + "."
}

/// Its level at an instant, and how far the judged gauge stood from it.
fn compared(pair: Pair, when: &str) -> String {
    let ratio = pair.ratio();
    let apart = if (0.9..1.1).contains(&ratio) {
        "the judged gauge within 10 % of it".to_owned()
    } else if ratio > 1.0 {
        format!("the judged gauge {} times above", significant(ratio, 2))
    } else {
        format!("the judged gauge at {} of it", significant(ratio, 2))
    };
    format!("{} {when} ({apart})", micron(pair.beside_micron))
}
