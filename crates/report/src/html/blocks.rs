//! Head, verdict, timeline, findings, cautions, signatures, foot.

use analyser::{Findings, IsolationBasis};
use vacuum::MarkKind;

use super::{sentence_list, typed};
use crate::{
    Sheet,
    curve::INVENTED,
    figures::{clock, utc},
    is_invented, source_name,
    text::{escape, one_line},
    wording,
};

/// Rows of the timeline that fit the page.
const TIMELINE_ROWS: usize = 11;

/// The bar over demonstration data.
pub(super) fn banner(sheet: &Sheet<'_>) -> String {
    if is_invented(sheet) {
        format!("<div class=\"banner\">{INVENTED}</div>")
    } else {
        String::new()
    }
}

/// Title and which run this is.
pub(super) fn head(sheet: &Sheet<'_>) -> String {
    let job = sheet.job.map_or_else(
        || "no job data".to_owned(),
        |job| format!("Job {}", typed(Some(&job.id), 40)),
    );
    let started = sheet.started_utc.map_or_else(
        || "start time not known".to_owned(),
        |s| format!("started {}", escape(&one_line(&utc(s), 40))),
    );
    format!(
        "<header class=\"head\"><h1>Evacuation and hold record</h1>\
         <div class=\"identity\"><b>{job}</b>, {started}<br/>{}</div></header>",
        escape(&one_line(source_name(sheet.source), 90))
    )
}

/// The verdict in large words with its reason.
pub(super) fn verdict(findings: &Findings) -> String {
    format!(
        "<div class=\"verdict {}\"><strong>{}</strong><p>{}</p></div>",
        findings.verdict.word(),
        findings.verdict.label(),
        escape(&one_line(&wording::reason_sentence(findings), 230))
    )
}

/// Marks, isolation, target: what happened when.
pub(super) fn timeline(sheet: &Sheet<'_>) -> String {
    let events = events(sheet);
    let mut out = String::from("<section class=\"timeline\"><h2>Timeline (h:mm:ss)</h2><ul>");
    let shown = if events.len() > TIMELINE_ROWS {
        TIMELINE_ROWS - 1
    } else {
        events.len()
    };
    for (at_s, words) in events.iter().take(shown) {
        out.push_str(&format!(
            "<li><span>{}</span><span>{}</span></li>",
            clock(*at_s),
            escape(&one_line(words, 46))
        ));
    }
    let more = events.len() - shown;
    if more > 0 {
        out.push_str(&format!(
            "<li><span></span><span>{more} more in the record</span></li>"
        ));
    }
    out.push_str("</ul></section>");
    out
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
    events.extend(sheet.trace.marks().iter().map(|mark| {
        let note = one_line(&mark.note, 60);
        let words = match (mark.kind, note.is_empty()) {
            (MarkKind::Note, false) => note,
            (kind, true) => kind.label().to_owned(),
            (kind, false) => format!("{}: {note}", kind.label()),
        };
        (mark.elapsed_s, words)
    }));
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    events
}

/// Next step, findings, stalls.
pub(super) fn notes(findings: &Findings) -> String {
    let mut sentences = vec![wording::sentence(&wording::next_step(findings))];
    sentences.extend(wording::remarks(findings).map(|f| {
        let at = f.at_s.filter(|s| s.is_finite());
        let at = at.map(|s| format!("{}: ", clock(s))).unwrap_or_default();
        wording::sentence(&format!("{at}{}", f.text))
    }));
    sentences.extend(wording::beside_sentences(findings));
    let pulldowns = findings.rounds.iter().filter_map(|r| r.pulldown.as_ref());
    let stalls = pulldowns.flat_map(|p| &p.stalls);
    sentences.extend(stalls.map(wording::stall_sentence));
    sentence_list(
        "notes",
        "What usually comes next; findings",
        &sentences,
        4,
        "findings.json",
    )
}

/// Cautions for this job.
pub(super) fn cautions(sheet: &Sheet<'_>) -> String {
    let cautions = wording::cautions(sheet.job);
    sentence_list("cautions", "Cautions", &cautions, cautions.len(), "")
}

/// Lines to sign on.
pub(super) fn signatures(sheet: &Sheet<'_>) -> String {
    let name = |text: Option<&str>| {
        let line = text.map(|t| one_line(t, 34)).unwrap_or_default();
        escape(&line)
    };
    format!(
        "<div class=\"sign\"><div><b>{}</b>Technician</div><div><b>{}</b>Licence or \
         certificate no.</div><div>Signature</div><div>Date</div></div>",
        name(sheet.job.and_then(|j| j.technician.as_deref())),
        name(sheet.job.and_then(|j| j.licence.as_deref())),
    )
}

/// Who judged, and who decides.
pub(super) fn foot(sheet: &Sheet<'_>) -> String {
    let criteria = &sheet.findings.criteria;
    format!(
        "<footer class=\"foot\">Judged by {} against “{}” ({}). “95 %: a to b” holds the true \
         value in 19 of 20 cases. A passed hold does not say that there is no leak, only what it could have shown. Local codes and \
         the maker's instructions decide.{}</footer>",
        escape(&one_line(sheet.made_by, 40)),
        escape(&one_line(&criteria.name, 40)),
        escape(&one_line(&criteria.source, 60)),
        sheet.record_sha256.map_or_else(String::new, |digest| {
            format!(" {}", escape(&wording::record_line(digest)))
        }),
    )
}
