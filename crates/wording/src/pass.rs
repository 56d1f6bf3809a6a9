//! A pass and what it is worth, in one breath. Which pass it is, [`Findings::pass`]
//! decides for every view; the go-ahead to charge is in one message, said of one kind of
//! pass only.

use findings::{Findings, LeakIndicated, PassWorth, RiseKind, Verdict};
use vacuum::Criteria;

use super::{
    clause::sentence,
    judged::is_one_sided,
    labels::verdict_words,
    rise::{at_most_words, grams_words, more_to_tell_s},
};
use crate::{Voice, say};

/// The verdict with what stands against reading more into it: "PASS", "PASS by the rule;
/// a leak is indicated: 52 to 860 g/year", "PASS; by criteria softer than common practice
/// (500 micron, 10 min)".
#[must_use]
pub fn headline(voice: &Voice, findings: &Findings) -> String {
    let headline = with_reserve(voice, findings);
    let soft = findings.criteria.is_softer_than_common_practice();
    if !(soft && findings.verdict == Verdict::Pass) {
        return headline;
    }
    let common = Criteria::common_practice();
    let softer = say!(
        voice,
        "pass-softer",
        target = voice.limit(common.target_micron),
        minutes = voice.plain(common.hold_min, 4)
    );
    [headline, softer].join(&say!(voice, "clause-break"))
}

fn with_reserve(voice: &Voice, findings: &Findings) -> String {
    let verdict = short_headline(voice, findings);
    match reserve(voice, findings) {
        None => verdict,
        Some(reserve) => [verdict, reserve].join(&say!(voice, "clause-break")),
    }
}

/// The verdict in few words, for a box: "PASS", "PASS by the rule".
#[must_use]
pub fn short_headline(voice: &Voice, findings: &Findings) -> String {
    match findings.pass() {
        Some(PassWorth::WithLeak(_) | PassWorth::CauseUnknown) => say!(voice, "verdict-pass-rule"),
        _ => verdict_words(voice, findings.verdict),
    }
}

/// True where the pass must look different from a plain one.
#[must_use]
pub fn is_reserved(findings: &Findings) -> bool {
    let pass = findings.pass();
    matches!(pass, Some(PassWorth::WithLeak(_) | PassWorth::CauseUnknown))
}

/// What stands beside a pass by the rule, a clause.
#[must_use]
pub fn reserve(voice: &Voice, findings: &Findings) -> Option<String> {
    match findings.pass()? {
        PassWorth::WithLeak(leak) => Some(leak_indicated(voice, leak)),
        PassWorth::CauseUnknown => Some(say!(voice, "pass-cause-unknown")),
        PassWorth::Plain | PassWorth::CauseNotCertain => None,
    }
}

/// A leak in a hold that passes, with its size where it is known.
pub(super) fn leak_indicated(voice: &Voice, leak: LeakIndicated) -> String {
    let grams = leak.g_per_year.map(|ends| grams_words(voice, ends));
    let rate = || {
        let (low, high) = leak.micron_per_min?;
        Some(if low > 0.0 {
            voice.rates(low, high)
        } else {
            at_most_words(voice, &voice.rate(high, 2))
        })
    };
    match grams.or_else(rate) {
        Some(size) => say!(voice, "pass-leak-size", size = size),
        None => say!(voice, "pass-leak"),
    }
}

/// What usually comes after a pass.
pub(super) fn next_step(voice: &Voice, findings: &Findings) -> String {
    let hold = findings.judged_hold();
    match findings.pass() {
        Some(PassWorth::WithLeak(_)) => say!(voice, "next-pass-leak"),
        Some(PassWorth::Plain) => {
            let met = say!(voice, "next-pass");
            match hold.map(|h| h.rise.kind) {
                Some(RiseKind::Moisture) => format!("{met} {}", say!(voice, "next-pass-moisture")),
                _ => met,
            }
        }
        Some(PassWorth::CauseNotCertain) => say!(voice, "next-pass-uncertain"),
        Some(PassWorth::CauseUnknown) | None => unknown(voice, findings),
    }
}

fn unknown(voice: &Voice, findings: &Findings) -> String {
    if is_one_sided(findings) {
        return say!(voice, "next-pass-one-side");
    }
    let unknown = say!(voice, "next-pass-unknown");
    let hold = findings.judged_hold();
    match hold.and_then(|hold| Some(hold.duration_s + more_to_tell_s(hold)?)) {
        None => unknown,
        Some(all_s) => {
            let decide = say!(voice, "next-decide", all = voice.to_go(all_s));
            format!("{unknown} {decide}")
        }
    }
}

/// The verdict and its reason, the first line of a review.
pub(super) fn first_line(voice: &Voice, findings: &Findings, reason: &str) -> String {
    match findings.verdict {
        Verdict::Pass if is_reserved(findings) => {
            format!("{} {reason}", sentence(&with_reserve(voice, findings)))
        }
        _ => say!(
            voice,
            "labelled",
            name = verdict_words(voice, findings.verdict),
            text = reason
        ),
    }
}
