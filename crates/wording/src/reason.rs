//! Why the verdict is what it is.

use findings::{Findings, Hold, Reason, Verdict};
use vacuum::Criteria;

use crate::{Voice, clause::sentence, further, judged::lowest_micron, labels::reason_words, say};

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
    let time = voice.held(hold.duration_s);
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
            highest = voice.pressure_beside(highest, criteria.ceiling_micron)
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
                    lowest = voice.pressure_beside(lowest, criteria.target_micron)
                )
            }),
        Reason::HoldTooShort => hold
            .filter(|h| h.duration_s < criteria.hold_min * 60.0)
            .map(|h| {
                say!(
                    voice,
                    "reason-lasted",
                    lasted = voice.held(h.duration_s),
                    asked = voice.duration(criteria.hold_min * 60.0)
                )
            }),
        Reason::CeilingExceeded => hold.and_then(|h| too_high(voice, h, criteria)),
        reason => further::behind(findings, reason).map(|criterion| {
            let words = further::further_words(voice, criterion);
            say!(
                voice,
                "reason-besides",
                reason = reason_words(voice, reason),
                measured = words.measured,
                required = words.required
            )
        }),
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
            start = voice.pressure_beside(start, limit),
            ceiling = ceiling
        ),
        None => say!(
            voice,
            "reason-rose-above",
            highest = voice.pressure_beside(highest, limit),
            ceiling = ceiling
        ),
    })
}
