//! Findings in sentences: one place for the terminal, the curve and the sheet.
//!
//! Advice, never a command; figures with units; a passed hold never reads
//! "no leak" but says what it could not have seen.

mod advice;
mod beside;
mod data;
mod rise;

pub use advice::{CAUTIONS, cautions, next_step};
pub use beside::beside_sentences;
pub use data::{data_sentence, left_out_lines};
pub(crate) use rise::{
    cause_and_rate, detection_limit, level, limit_as_flow, limit_in_grams, more_to_tell_s,
    operating_loss, pace, rise_headline, straight_part, throughput, water_mg,
};
pub use rise::{detection_sentence, leak_sentence, rise_sentence, water_sentence};

use analyser::{Finding, Findings, Hold, IsolationBasis, Reason, Round, Stall, Verdict};

use crate::figures::{clock, duration, limit, micron, plain, significant};

/// The review that a technician reads in a terminal, line by line.
#[must_use]
pub fn summary_lines(findings: &Findings) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: {}",
        findings.verdict.label(),
        reason_sentence(findings)
    )];
    lines.push(format!(
        "Judged against: {} ({}).",
        criteria_sentence(findings),
        findings.criteria.source
    ));
    let several = findings.rounds.len() > 1;
    for (i, round) in findings.rounds.iter().enumerate() {
        let name = if several {
            format!("Round {}: ", i + 1)
        } else {
            String::new()
        };
        lines.extend(round_lines(round).into_iter().map(|l| format!("{name}{l}")));
    }
    if let Some(hold) = findings.judged_hold() {
        lines.push(rise_sentence(hold));
        lines.extend(leak_sentence(hold));
        lines.push(detection_sentence(hold, None));
        lines.extend(water_sentence(findings));
    }
    lines.extend(beside_sentences(findings));
    lines.push(data_sentence(findings));
    for finding in remarks(findings) {
        let at = finding
            .at_s
            .filter(|s| s.is_finite())
            .map(|s| format!("at {}: ", clock(s)))
            .unwrap_or_default();
        lines.push(sentence(&format!("note: {at}{}", finding.text)));
    }
    lines.push(format!("Next: {}", next_step(findings)));
    lines
}

/// Findings besides the stalls, which are told with their pull-down, and what
/// earlier rounds said about where their rise levelled off.
pub(crate) fn remarks(findings: &Findings) -> impl Iterator<Item = &Finding> {
    let all = &findings.findings;
    all.iter().enumerate().filter_map(|(i, finding)| {
        let of_a_round = matches!(finding.code, "bound_moisture" | "free_water");
        let superseded = of_a_round && all[i + 1..].iter().any(|f| f.code == finding.code);
        (!finding.code.starts_with("stall_") && !superseded).then_some(finding)
    })
}

fn round_lines(round: &Round) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(pulldown) = &round.pulldown {
        let lowest = pulldown
            .lowest_micron
            .map_or_else(|| "nothing measured".to_owned(), micron);
        let reached = pulldown.reached_target_s.map_or_else(
            || "target not reached".to_owned(),
            |s| format!("target reached after {}", duration(s - pulldown.start_s)),
        );
        lines.push(format!(
            "Pull-down of {}: lowest {lowest}, {reached}.",
            duration(pulldown.end_s - pulldown.start_s)
        ));
        lines.extend(pulldown.stalls.iter().map(stall_sentence));
    }
    if let Some(hold) = &round.hold {
        lines.push(hold_sentence(hold));
    }
    lines
}

/// Why the verdict is what it is, in one sentence with figures.
#[must_use]
pub fn reason_sentence(findings: &Findings) -> String {
    if findings.verdict == Verdict::Pass {
        return pass_sentence(findings);
    }
    let reasons: Vec<String> = findings
        .reasons
        .iter()
        .map(|reason| reason_phrase(*reason, findings))
        .collect();
    if reasons.is_empty() {
        return "No reason was recorded.".to_owned();
    }
    sentence(&reasons.join("; "))
}

fn pass_sentence(findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let Some(hold) = findings.judged_hold() else {
        return "The criteria are met.".to_owned();
    };
    let highest = hold
        .highest_micron
        .or(hold.end_micron)
        .map(|p| format!(", highest {}", micron(p)))
        .unwrap_or_default();
    format!(
        "Pulled down to the target of {}, then held for {} under the ceiling of {}{highest}.",
        limit(criteria.target_micron),
        duration(hold.duration_s),
        limit(criteria.ceiling_micron),
    )
}

/// A reason with the figures behind it, as a clause.
fn reason_phrase(reason: Reason, findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let hold = findings.judged_hold();
    match reason {
        // a figure that does not bear the reason out would only confuse
        Reason::TargetNotReached => lowest_micron(findings)
            .filter(|lowest| *lowest > criteria.target_micron)
            .map(|lowest| {
                format!(
                    "the pull-down did not reach the target of {}: lowest {}",
                    limit(criteria.target_micron),
                    micron(lowest)
                )
            }),
        Reason::HoldTooShort => hold
            .filter(|h| h.duration_s < criteria.hold_min * 60.0)
            .map(|h| {
                format!(
                    "the hold lasted {}, the criteria ask for {}",
                    duration(h.duration_s),
                    duration(criteria.hold_min * 60.0)
                )
            }),
        Reason::CeilingExceeded => hold
            .and_then(|h| h.highest_micron)
            .filter(|highest| *highest > criteria.ceiling_micron)
            .map(|highest| {
                let ceiling = limit(criteria.ceiling_micron);
                let start = hold.and_then(|h| h.start_micron);
                match start.filter(|p| *p > criteria.ceiling_micron && *p > 0.97 * highest) {
                    Some(start) => format!(
                        "the hold began at {}, already above the ceiling of {ceiling}",
                        micron(start)
                    ),
                    None => format!(
                        "the pressure rose to {} in the hold, above the ceiling of {ceiling}",
                        micron(highest)
                    ),
                }
            }),
        _ => None,
    }
    .unwrap_or_else(|| reason.sentence().to_owned())
}

/// Lowest pressure of the pull-down that the verdict speaks of.
pub(crate) fn lowest_micron(findings: &Findings) -> Option<f64> {
    judged_round(findings)?.pulldown.as_ref()?.lowest_micron
}

/// The last round with a hold, else the last round.
pub(crate) fn judged_round(findings: &Findings) -> Option<&Round> {
    let with_hold = findings.rounds.iter().rev().find(|r| r.hold.is_some());
    with_hold.or(findings.rounds.last())
}

/// "500 micron target, 10 min hold, 500 micron ceiling".
#[must_use]
pub fn criteria_sentence(findings: &Findings) -> String {
    let c = &findings.criteria;
    format!(
        "target {}, hold {} min, ceiling {}",
        limit(c.target_micron),
        plain(c.hold_min, 4),
        limit(c.ceiling_micron)
    )
}

/// What the hold did, with times and pressures.
#[must_use]
pub fn hold_sentence(hold: &Hold) -> String {
    let from_to = match (hold.start_micron, hold.end_micron) {
        (Some(start), Some(end)) => format!(", from {} to {}", micron(start), micron(end)),
        _ => String::new(),
    };
    let highest = hold
        .highest_micron
        .map(|p| format!(", highest {}", micron(p)))
        .unwrap_or_default();
    format!(
        "Hold of {}{from_to}{highest}; isolated at {} ({}).",
        duration(hold.duration_s),
        clock(hold.isolated_at_s),
        basis_phrase(hold.basis)
    )
}

/// How the instant of isolation is known.
#[must_use]
pub const fn basis_phrase(basis: IsolationBasis) -> &'static str {
    match basis {
        IsolationBasis::Mark => "from the mark",
        IsolationBasis::Given => "as given by the reviewer",
        IsolationBasis::Curve => "found in the curve",
        IsolationBasis::FromStart => "isolated from the start of the record",
    }
}

/// A stall: kind, time, level.
#[must_use]
pub fn stall_fact(stall: &Stall) -> String {
    format!(
        "Stall, {}, {} to {} near {}.",
        stall.kind.label(),
        clock(stall.start_s),
        clock(stall.end_s),
        stall_level(stall)
    )
}

/// The level of a stall: it hunts or creeps, so two digits are what it has.
pub(crate) fn stall_level(stall: &Stall) -> String {
    format!("{} micron", significant(stall.level_micron, 2))
}

/// A stall with its advice.
#[must_use]
pub fn stall_sentence(stall: &Stall) -> String {
    let advice = sentence(stall.kind.advice());
    format!("{} {advice}", stall_fact(stall))
}

/// Makes a clause a sentence: capital letter, full stop.
pub(crate) fn sentence(clause: &str) -> String {
    let mut chars = clause.chars();
    let first: String = chars
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    let mut out = format!("{first}{}", chars.as_str());
    if !out.ends_with(['.', '!', '?', '…']) {
        out.push('.');
    }
    out
}

/// Holds paper and record together: the record's digest, and how to compare it.
pub(crate) fn record_line(sha256: &str) -> String {
    let digest: Vec<char> = sha256
        .chars()
        .filter(char::is_ascii_hexdigit)
        .take(64)
        .collect();
    let groups: Vec<String> = digest
        .chunks(8)
        .map(|group| group.iter().collect())
        .collect();
    format!(
        "Digest of the record: {}. To check it: dryhold verify FOLDER.",
        groups.join(" ")
    )
}

#[cfg(test)]
mod tests;
