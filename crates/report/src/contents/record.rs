//! Timeline, findings, cautions, signatures, foot, digest.

use analyser::{Findings, IsolationBasis};
use vacuum::{Mark, MarkKind, SheetField};

use super::{Digest, Sentences, Signature, Timeline};
use crate::{Sheet, figures::clock, text::one_line, wording};

/// Longest words of an event.
const EVENT_CHARS: usize = 46;

/// Longest finding.
const LONGEST_NOTE: usize = 1500;

/// Marks, isolation, target: what happened when.
pub(super) fn timeline(sheet: &Sheet<'_>) -> Timeline {
    let rows = events(sheet)
        .into_iter()
        .map(|(at_s, words)| (clock(at_s), one_line(&words, EVENT_CHARS)));
    Timeline {
        title: "Timeline (h:mm:ss)",
        rows: rows.collect(),
    }
}

/// What stands below a timeline that was cut.
pub(crate) fn more_in_record(rows: usize) -> String {
    format!("{rows} more in the record")
}

/// What stands below findings that go on on the second page.
pub(crate) const OVERLEAF: &str = "More on page 2.";

/// What stands below findings that were cut.
pub(crate) fn more_findings(sentences: usize) -> String {
    format!("{sentences} more in findings.json.")
}

/// A heading on the second page whose beginning stands on the first.
pub(crate) fn continued(title: &str) -> String {
    format!("{title} (continued)")
}

/// Which page this is.
pub(crate) fn page_of(page: usize, pages: usize) -> String {
    format!("Page {page} of {pages}")
}

fn events(sheet: &Sheet<'_>) -> Vec<(f64, String)> {
    let mut events: Vec<(f64, String)> = Vec::new();
    for round in &sheet.findings.rounds {
        if let Some(at) = round.pulldown.as_ref().and_then(|p| p.reached_target_s) {
            events.push((at, "target reached".to_owned()));
        }
        for stall in round.pulldown.iter().flat_map(|p| &p.stalls) {
            events.push((stall.start_s, format!("stall: {}", stall.kind.label())));
        }
        if let Some(hold) = &round.hold {
            if hold.basis == IsolationBasis::Mark {
                // the mark itself stands in the list
                events.push((hold.end_s, "end of hold".to_owned()));
                continue;
            }
            let how = wording::basis_phrase(hold.basis);
            events.push((hold.isolated_at_s, format!("isolated ({how})")));
            events.push((hold.end_s, "end of hold".to_owned()));
        }
    }
    let marks = sheet.trace.marks().iter();
    events.extend(marks.map(|mark| (mark.elapsed_s, mark_words(sheet, mark, 60))));
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    events
}

/// A mark in words, with its remark when remarks are printed.
pub(crate) fn mark_words(sheet: &Sheet<'_>, mark: &Mark, max_chars: usize) -> String {
    let note = if sheet.prints(SheetField::Remarks) {
        one_line(&mark.note, max_chars)
    } else {
        String::new()
    };
    match (mark.kind, note.is_empty()) {
        (MarkKind::Note, false) => note,
        (kind, true) => kind.label().to_owned(),
        (kind, false) => format!("{}: {note}", kind.label()),
    }
}

/// Next step, findings, stalls.
pub(super) fn notes(findings: &Findings) -> Sentences {
    let mut items = vec![wording::sentence(&wording::next_step(findings))];
    items.extend(wording::remarks(findings).map(|f| {
        let at = f.at_s.filter(|s| s.is_finite());
        let at = at.map(|s| format!("{}: ", clock(s))).unwrap_or_default();
        wording::sentence(&format!("{at}{}", f.text))
    }));
    items.extend(wording::beside_sentences(findings));
    let pulldowns = findings.rounds.iter().filter_map(|r| r.pulldown.as_ref());
    let stalls = pulldowns.flat_map(|p| &p.stalls);
    items.extend(stalls.map(wording::stall_sentence));
    // what a reader of files or a gauge said may hold anything
    let items = items.iter().map(|s| one_line(s, LONGEST_NOTE)).collect();
    Sentences {
        title: "What usually comes next; findings",
        items,
    }
}

/// Cautions for this job.
pub(super) fn cautions(sheet: &Sheet<'_>) -> Sentences {
    Sentences {
        title: "Cautions",
        items: wording::cautions(sheet.job),
    }
}

/// Lines to sign on.
pub(super) fn signatures(sheet: &Sheet<'_>) -> Vec<Signature> {
    let known = |field, text: Option<&str>| {
        let text = text.filter(|_| sheet.prints(field));
        text.map(|t| one_line(t, 34)).unwrap_or_default()
    };
    let line = |known, label| Signature { known, label };
    let job = sheet.job;
    let name = job.and_then(|j| j.technician.as_deref());
    let licence = job.and_then(|j| j.licence.as_deref());
    vec![
        line(known(SheetField::Technician, name), "Technician"),
        line(
            known(SheetField::Licence, licence),
            "Licence or certificate no.",
        ),
        line(String::new(), "Signature"),
        line(String::new(), "Date"),
    ]
}

/// Who judged, and who decides.
pub(super) fn foot(sheet: &Sheet<'_>) -> String {
    let criteria = &sheet.findings.criteria;
    format!(
        "Judged by {} against “{}” ({}). “95 %: a to b” holds the true value in 19 of 20 cases. \
         A passed hold does not say that there is no leak, only what it could have shown. Local \
         codes and the maker's instructions decide.",
        one_line(sheet.made_by, 40),
        one_line(&criteria.name, 40),
        one_line(&criteria.source, 60),
    )
}

/// The digest of the record, and how to compare it.
pub(super) fn digest(sheet: &Sheet<'_>) -> Option<Digest> {
    let given = sheet.record_sha256?;
    let figures = given.chars().filter(char::is_ascii_hexdigit).take(64);
    Some(Digest {
        words: wording::record_line(given),
        figures: figures.collect(),
        code_alt: "The digest of the record as a code that a camera reads",
    })
}
