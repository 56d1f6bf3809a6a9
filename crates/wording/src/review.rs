//! The review of a run, line by line.

use findings::Findings;

use crate::{
    Voice,
    advice::next_step,
    beside::beside_sentences,
    clause::sentence,
    criteria::{criteria_sentence, criteria_source},
    data::data_sentence,
    finding::finding_words,
    judged::remarks,
    pass,
    reason::reason_sentence,
    rise::{detection_sentence, leak_sentence, rise_sentence, water_sentence},
    round::round_lines,
    say,
    weighed::weighed_lines,
};

/// The review that a technician reads in a terminal, line by line.
///
/// ```
/// let runs = invented_runs::runs();
/// let lines = wording::summary_lines(&wording::Voice::default(), &runs[0].findings);
/// assert!(lines[0].starts_with("PASS"));
/// assert!(lines.last().is_some_and(|line| line.starts_with("Next: ")));
/// ```
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
        let of_round = round_lines(voice, round).into_iter();
        if several {
            let name = say!(voice, "round", number = voice.count(i as u64 + 1));
            lines.extend(of_round.map(|l| say!(voice, "labelled", name = &name, text = l)));
        } else {
            lines.extend(of_round);
        }
    }
    if let Some(hold) = findings.judged_hold() {
        lines.push(rise_sentence(voice, hold));
        lines.extend(leak_sentence(voice, hold));
        lines.push(detection_sentence(voice, hold));
        lines.extend(water_sentence(voice, findings));
    }
    lines.extend(beside_sentences(voice, findings));
    let charge = findings.charge.iter();
    lines.extend(charge.flat_map(|charge| weighed_lines(voice, charge)));
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

/// One of [`crate::left_out_lines`] in a review.
#[must_use]
pub fn left_out_note(voice: &Voice, text: &str) -> String {
    say!(voice, "left-out-line", text = text)
}
