//! Findings in sentences: one place for the terminal, the curve and the sheet.
//!
//! The words are in the catalogue, one message a sentence and
//! language; here it is decided which are said and what goes into them. Advice, never
//! a command; figures with units; a passed hold never reads "no leak" but says what it
//! could not have seen.

mod advice;
mod beside;
mod certainty;
mod clause;
mod data;
mod judged;
mod labels;
mod pass;
mod rise;
mod said;

pub use advice::{cautions, next_step, refrigerant_cautions};
pub use beside::beside_sentences;
pub use certainty::{cause_words, running_answer, will_not_pass_words};
pub(crate) use clause::sentence;
pub use data::{data_sentence, left_out_lines};
pub(crate) use judged::{judged_round, remarks};
pub(crate) use labels::place_words;
pub use labels::{
    basis_phrase, mark_kind_words, phase_words, reason_words, rise_words, stall_advice,
    stall_words, verdict_words,
};
pub use pass::{headline, short_headline};
pub(crate) use pass::{is_reserved, reserve};
pub(crate) use rise::{
    cause_and_rate, detection_limit, level, limit_as_flow, limit_in_grams, more_to_tell_s,
    operating_loss, pace, rise_headline, sealed_words, sight_sentence, straight_part, throughput,
    water_mg,
};
pub use rise::{detection_sentence, leak_sentence, rise_sentence, water_sentence};
pub use said::finding_words;

use findings::{Findings, Hold, Pulldown, Reason, Round, Stall, Verdict};
use vacuum::Criteria;

use crate::{Voice, catalogue::say};
use judged::lowest_micron;

/// The review that a technician reads in a terminal, line by line.
#[must_use]
pub fn summary_lines(voice: &Voice, findings: &Findings) -> Vec<String> {
    let reason = reason_sentence(voice, findings);
    let mut lines = vec![pass::first_line(voice, findings, &reason)];
    lines.push(say!(
        voice,
        "judged-against",
        criteria = criteria_sentence(voice, findings),
        source = criteria_source(voice, &findings.criteria)
    ));
    let several = findings.rounds.len() > 1;
    for (i, round) in findings.rounds.iter().enumerate() {
        let told = round_lines(voice, round).into_iter();
        if several {
            let name = say!(voice, "round", number = voice.count(i as u64 + 1));
            lines.extend(told.map(|l| say!(voice, "labelled", name = &name, text = l)));
        } else {
            lines.extend(told);
        }
    }
    if let Some(hold) = findings.judged_hold() {
        lines.push(rise_sentence(voice, hold));
        lines.extend(leak_sentence(voice, hold));
        lines.push(detection_sentence(voice, hold));
        lines.extend(water_sentence(voice, findings));
    }
    lines.extend(beside_sentences(voice, findings));
    lines.push(data_sentence(voice, findings));
    lines.extend(remarks(findings).map(|finding| {
        let text = finding_words(voice, finding);
        let at_s = finding.at_s.filter(|s| s.is_finite());
        sentence(&match at_s {
            None => say!(voice, "note-line", text = text),
            Some(at_s) => say!(
                voice,
                "note-line-at",
                moment = voice.moment(at_s),
                text = text
            ),
        })
    }));
    lines.push(say!(voice, "next-line", text = next_step(voice, findings)));
    lines
}

/// The lowest pressure of a pull-down, and whether it reached the target.
pub(crate) fn pulldown_words(voice: &Voice, pulldown: &Pulldown) -> (String, String) {
    let lowest = pulldown.lowest_micron.map_or_else(
        || say!(voice, "nothing-measured"),
        |lowest| voice.pressure(lowest),
    );
    let reached = pulldown.reached_target_s.map_or_else(
        || say!(voice, "target-not-reached"),
        |s| {
            let time = voice.duration(s - pulldown.start_s);
            say!(voice, "target-reached-after", time = time)
        },
    );
    (lowest, reached)
}

/// From which pressure to which a hold went.
pub(crate) fn from_to(voice: &Voice, hold: &Hold) -> Option<String> {
    let (from, to) = hold.start_micron.zip(hold.end_micron)?;
    let (from, to) = (voice.pressure(from), voice.pressure(to));
    Some(say!(voice, "from-to", from = from, to = to))
}

fn round_lines(voice: &Voice, round: &Round) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(pulldown) = &round.pulldown {
        let (lowest, reached) = pulldown_words(voice, pulldown);
        lines.push(say!(
            voice,
            "pulldown-line",
            time = voice.duration(pulldown.end_s - pulldown.start_s),
            lowest = lowest,
            reached = reached
        ));
        let stalls = pulldown.stalls.iter();
        lines.extend(stalls.map(|stall| stall_sentence(voice, stall)));
    }
    lines.extend(round.hold.as_ref().map(|hold| hold_sentence(voice, hold)));
    lines
}

/// Why the verdict is what it is, in one sentence with figures.
#[must_use]
pub fn reason_sentence(voice: &Voice, findings: &Findings) -> String {
    let reason = plain_reason(voice, findings);
    if !findings.criteria.is_softer_than_common_practice() {
        return reason;
    }
    // first, so that no shortening takes it away
    let common = Criteria::common_practice();
    say!(
        voice,
        "softer-than-common",
        target = voice.limit(common.target_micron),
        minutes = voice.plain(common.hold_min, 4),
        text = reason
    )
}

fn plain_reason(voice: &Voice, findings: &Findings) -> String {
    if findings.verdict == Verdict::Pass {
        return pass_sentence(voice, findings);
    }
    let reasons: Vec<String> = findings
        .reasons
        .iter()
        .map(|reason| reason_phrase(voice, *reason, findings))
        .collect();
    if reasons.is_empty() {
        return say!(voice, "no-reason");
    }
    sentence(&reasons.join(&say!(voice, "clause-break")))
}

fn pass_sentence(voice: &Voice, findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let Some(hold) = findings.judged_hold() else {
        return say!(voice, "pass-without-hold");
    };
    let target = voice.limit(criteria.target_micron);
    let time = voice.duration(hold.duration_s);
    let ceiling = voice.limit(criteria.ceiling_micron);
    match hold.highest_micron.or(hold.end_micron) {
        None => say!(
            voice,
            "pass-reason",
            target = target,
            time = time,
            ceiling = ceiling
        ),
        Some(highest) => say!(
            voice,
            "pass-reason-highest",
            target = target,
            time = time,
            ceiling = ceiling,
            highest = voice.pressure(highest)
        ),
    }
}

/// A reason with the figures behind it, as a clause.
fn reason_phrase(voice: &Voice, reason: Reason, findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let hold = findings.judged_hold();
    match reason {
        // a figure that does not bear the reason out would only confuse
        Reason::TargetNotReached => lowest_micron(findings)
            .filter(|lowest| *lowest > criteria.target_micron)
            .map(|lowest| {
                say!(
                    voice,
                    "reason-lowest",
                    target = voice.limit(criteria.target_micron),
                    lowest = voice.pressure(lowest)
                )
            }),
        Reason::HoldTooShort => hold
            .filter(|h| h.duration_s < criteria.hold_min * 60.0)
            .map(|h| {
                say!(
                    voice,
                    "reason-lasted",
                    lasted = voice.duration(h.duration_s),
                    asked = voice.duration(criteria.hold_min * 60.0)
                )
            }),
        Reason::CeilingExceeded => hold.and_then(|h| too_high(voice, h, criteria)),
        _ => None,
    }
    .unwrap_or_else(|| reason_words(voice, reason))
}

fn too_high(voice: &Voice, hold: &Hold, criteria: &Criteria) -> Option<String> {
    let limit = criteria.ceiling_micron;
    let highest = hold.highest_micron.filter(|highest| *highest > limit)?;
    let ceiling = voice.limit(limit);
    let start = hold.start_micron;
    Some(match start.filter(|p| *p > limit && *p > 0.97 * highest) {
        Some(start) => say!(
            voice,
            "reason-began-above",
            start = voice.pressure(start),
            ceiling = ceiling
        ),
        None => say!(
            voice,
            "reason-rose-above",
            highest = voice.pressure(highest),
            ceiling = ceiling
        ),
    })
}

/// "target 500 micron, hold 10 min, ceiling 500 micron".
#[must_use]
pub fn criteria_sentence(voice: &Voice, findings: &Findings) -> String {
    let c = &findings.criteria;
    say!(
        voice,
        "criteria",
        target = voice.limit(c.target_micron),
        minutes = voice.plain(c.hold_min, 4),
        ceiling = voice.limit(c.ceiling_micron)
    )
}

/// What the program writes for criteria given as options.
const GIVEN: (&str, &str) = ("as given", "given on the command line");

/// The name of the criteria, as somebody wrote it, but what the program itself wrote
/// in the language of the sheet.
pub(crate) fn criteria_name(voice: &Voice, criteria: &Criteria) -> String {
    match criteria.name.as_str() {
        name if name == Criteria::common_practice().name => say!(voice, "criteria-common"),
        name if name == GIVEN.0 => say!(voice, "criteria-given"),
        name => name.to_owned(),
    }
}

/// Where the criteria come from, likewise.
pub(crate) fn criteria_source(voice: &Voice, criteria: &Criteria) -> String {
    match criteria.source.as_str() {
        source if source == Criteria::common_practice().source => {
            say!(voice, "criteria-common-source")
        }
        source if source == GIVEN.1 => say!(voice, "criteria-given-source"),
        source => source.to_owned(),
    }
}

/// What the hold did, with times and pressures.
#[must_use]
pub fn hold_sentence(voice: &Voice, hold: &Hold) -> String {
    let mut figures = vec![voice.duration(hold.duration_s)];
    figures.extend(from_to(voice, hold));
    if let Some(highest) = hold.highest_micron {
        figures.push(say!(voice, "highest", pressure = voice.pressure(highest)));
    }
    say!(
        voice,
        "hold-line",
        figures = figures.join(", "),
        moment = voice.moment(hold.isolated_at_s),
        basis = basis_phrase(voice, hold.basis)
    )
}

/// A stall: kind, time, level.
#[must_use]
pub fn stall_fact(voice: &Voice, stall: &Stall) -> String {
    say!(
        voice,
        "stall-line",
        kind = stall_words(voice, stall.kind),
        from = voice.moment(stall.start_s),
        to = voice.moment(stall.end_s),
        level = stall_level(voice, stall)
    )
}

/// The level of a stall: it hunts or creeps, so two digits are what it has.
pub(crate) fn stall_level(voice: &Voice, stall: &Stall) -> String {
    voice.rough_pressure(stall.level_micron)
}

/// A stall with its advice.
#[must_use]
pub fn stall_sentence(voice: &Voice, stall: &Stall) -> String {
    let advice = sentence(&stall_advice(voice, stall.kind));
    format!("{} {advice}", stall_fact(voice, stall))
}

/// What a technician did, with what was typed about it.
pub(crate) fn mark_words(voice: &Voice, kind: vacuum::MarkKind, note: &str) -> String {
    match (kind, note.is_empty()) {
        (vacuum::MarkKind::Note, false) => note.to_owned(),
        (kind, true) => mark_kind_words(voice, kind),
        (kind, false) => {
            let kind = mark_kind_words(voice, kind);
            say!(voice, "labelled", name = kind, text = note)
        }
    }
}

/// A remark of the reader about a record, in the reader's English.
#[must_use]
pub fn note_line(voice: &Voice, text: &str) -> String {
    say!(voice, "note-line", text = text)
}

/// What is left of the end of a record that was cut off.
#[must_use]
pub fn record_note(voice: &Voice, text: &str) -> String {
    say!(voice, "record-line", text = text)
}

/// One of [`left_out_lines`] in a review.
#[must_use]
pub fn left_out_note(voice: &Voice, text: &str) -> String {
    say!(voice, "left-out-line", text = text)
}

/// Holds paper and record together: the record's digest, and how to compare it.
pub(crate) fn record_line(voice: &Voice, sha256: &str) -> String {
    let digest: Vec<char> = sha256
        .chars()
        .filter(char::is_ascii_hexdigit)
        .take(64)
        .collect();
    let groups: Vec<String> = digest
        .chunks(8)
        .map(|group| group.iter().collect())
        .collect();
    say!(voice, "digest", digest = groups.join(" "))
}

#[cfg(test)]
mod tests;
