//! Timeline, findings, cautions, signatures, foot, digest.

use findings::{ChargeBasis, IsolationBasis};
use vacuum::{Mark, SheetField};
use wording::{Voice, one_line, say};

use crate::{Sheet, sheet::About};
use layout::parts::{Digest, Sentences, Signature, Timeline};

/// Longest words of an event.
const EVENT_CHARS: usize = 46;

/// Longest finding.
const LONGEST_NOTE: usize = 1500;

/// Marks, isolation, target: what happened when.
pub(super) fn timeline(sheet: &Sheet<'_>) -> Timeline {
    let voice = sheet.voice();
    in_order(voice, events(sheet, &voice))
}

/// Events in the order of time.
pub(crate) fn in_order(voice: Voice, mut events: Vec<(f64, String)>) -> Timeline {
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rows = events
        .into_iter()
        .map(|(at_s, words)| (voice.moment(at_s), one_line(&words, EVENT_CHARS)));
    Timeline {
        title: say!(voice, "timeline-title"),
        rows: rows.collect(),
        voice,
    }
}

fn events(sheet: &Sheet<'_>, voice: &Voice) -> Vec<(f64, String)> {
    let mut events: Vec<(f64, String)> = Vec::new();
    for round in &sheet.findings.rounds {
        if let Some(at) = round.pulldown.as_ref().and_then(|p| p.reached_target_s) {
            events.push((at, say!(voice, "target-reached")));
        }
        for stall in round.pulldown.iter().flat_map(|p| &p.stalls) {
            let kind = wording::stall_words(voice, stall.kind);
            events.push((stall.start_s, say!(voice, "event-stall", kind = kind)));
        }
        if let Some(hold) = &round.hold {
            // where isolation is a mark, the mark itself stands in the list
            if hold.basis != IsolationBasis::Mark {
                let how = wording::basis_phrase(voice, hold.basis);
                let isolated = say!(voice, "event-isolated", basis = how);
                events.push((hold.isolated_at_s, isolated));
            }
            events.push((hold.end_s, say!(voice, "event-end-of-hold")));
        }
    }
    let marks = sheet.trace.marks().iter();
    events.extend(marks.map(|mark| (mark.elapsed_s, mark_event(&sheet.about(), mark))));
    events
}

/// A mark as an event: where it came from a device of its own, with its name.
pub(crate) fn mark_event(about: &About<'_>, mark: &Mark) -> String {
    let voice = &about.voice();
    let words = mark_words(about, mark, 60);
    // the device stands in the note: left out with it
    let device = mark.device().filter(|_| about.prints(SheetField::Remarks));
    match device {
        Some(device) => say!(voice, "mark-from-device", words = words, device = device),
        None => words,
    }
}

/// A mark in words, with its remark when remarks are printed.
pub(crate) fn mark_words(about: &About<'_>, mark: &Mark, max_chars: usize) -> String {
    let note = if about.prints(SheetField::Remarks) {
        one_line(mark.words(), max_chars)
    } else {
        String::new()
    };
    wording::mark_words(&about.voice(), mark.kind, &note)
}

/// Next step, findings, stalls.
pub(super) fn notes(sheet: &Sheet<'_>) -> Sentences {
    let (voice, findings) = (&sheet.voice(), sheet.findings);
    let mut items = vec![wording::sentence(&wording::next_step(voice, findings))];
    items.extend(wording::remarks(findings).map(|finding| {
        let text = wording::finding_words(voice, finding);
        let at_s = finding.at_s.filter(|s| s.is_finite());
        wording::sentence(&match at_s {
            None => text,
            Some(at_s) => say!(voice, "labelled", name = voice.moment(at_s), text = text),
        })
    }));
    let rig = sheet.rig.into_iter();
    items.extend(rig.flat_map(|share| wording::rig_share_lines(voice, share)));
    items.extend(wording::beside_sentences(voice, findings));
    // a typed mass stands among what belongs to the claim
    let weighed = findings
        .charge
        .iter()
        .filter(|c| c.basis == ChargeBasis::Weighed);
    items.extend(weighed.flat_map(|charge| wording::weighed_lines(voice, charge)));
    let pulldowns = findings.rounds.iter().filter_map(|r| r.pulldown.as_ref());
    let stalls = pulldowns.flat_map(|p| &p.stalls);
    items.extend(stalls.map(|stall| wording::stall_sentence(voice, stall)));
    note_list(voice, &items)
}

/// Sentences under the heading of the notes.
pub(crate) fn note_list(voice: &Voice, items: &[String]) -> Sentences {
    // what a reader of files or a gauge said may hold anything
    let items = items.iter().map(|s| one_line(s, LONGEST_NOTE)).collect();
    Sentences {
        title: say!(voice, "notes-title"),
        items,
        voice: *voice,
    }
}

/// Cautions for this job.
pub(super) fn cautions(sheet: &Sheet<'_>) -> Sentences {
    let voice = sheet.voice();
    let job = sheet.about().job_as_judged();
    let next = wording::next_acts(sheet.findings);
    caution_list(voice, wording::cautions(&voice, job.as_ref(), &next))
}

/// Sentences under the heading of the cautions.
pub(crate) fn caution_list(voice: Voice, items: Vec<String>) -> Sentences {
    Sentences {
        title: say!(voice, "cautions-title"),
        items,
        voice,
    }
}

/// Lines to sign on.
pub(super) fn signatures(about: &About<'_>) -> Vec<Signature> {
    let voice = about.voice();
    let known = |field, text: Option<&str>| {
        let text = text.filter(|_| about.prints(field));
        text.map(|t| one_line(t, 34)).unwrap_or_default()
    };
    let line = |known, id| Signature {
        known,
        label: say!(voice, id),
    };
    let job = about.job;
    let name = job.and_then(|j| j.technician.as_deref());
    let licence = job.and_then(|j| j.licence.as_deref());
    vec![
        line(known(SheetField::Technician, name), "sign-technician"),
        line(known(SheetField::Licence, licence), "sign-licence"),
        line(String::new(), "sign-signature"),
        line(String::new(), "sign-date"),
    ]
}

/// Who judged, and who decides.
pub(super) fn foot(sheet: &Sheet<'_>) -> String {
    let voice = &sheet.voice();
    let criteria = &sheet.findings.criteria;
    let name = one_line(&wording::criteria_name(voice, criteria), 40);
    let source = one_line(&wording::criteria_source(voice, criteria), 60);
    foot_of(&sheet.about(), (&name, &source))
}

/// The same of a rule with its source.
pub(crate) fn foot_of(about: &About<'_>, (name, source): (&str, &str)) -> String {
    say!(
        about.voice(),
        "foot",
        program = one_line(about.made_by, 40),
        criteria = name,
        source = source
    )
}

/// The digest of the record, and how to compare it.
pub(super) fn digest(about: &About<'_>) -> Option<Digest> {
    let voice = &about.voice();
    let given = about.record_sha256?;
    let figures = given.chars().filter(char::is_ascii_hexdigit).take(64);
    Some(Digest {
        words: wording::record_line(voice, given),
        figures: figures.collect(),
        code_alt: say!(voice, "code-alt"),
    })
}
