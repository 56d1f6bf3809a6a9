//! The parts of the sheet as markup.

use base64::{Engine, engine::general_purpose::STANDARD as BASE64};
use wording::one_line;

use crate::{
    Logo, Photo,
    contents::Contents,
    page::{QUIET, modules},
    parts::{Digest, List, ListItem, Sentences, Signature, Table, Timeline},
    text::escape,
};

/// Rows of the timeline that fit the page.
const TIMELINE_ROWS: usize = 11;
/// Sentences under the findings that fit the page.
const NOTES: usize = 4;

/// The bar over demonstration data.
pub(super) fn banner(contents: &Contents) -> String {
    let bar = |words| format!("<div class=\"banner\">{}</div>", escape(words));
    contents.banner.as_deref().map(bar).unwrap_or_default()
}

/// Shop, heading and which run this is.
pub(super) fn head(contents: &Contents, logo: Option<&Logo>) -> String {
    let logo = logo.zip(contents.logo.as_deref()).and_then(|(logo, alt)| {
        let png = BASE64.encode(logo.png().ok()?);
        let alt = escape(alt);
        Some(format!(
            "<img class=\"logo\" alt=\"{alt}\" src=\"data:image/png;base64,{png}\"/>"
        ))
    });
    let logo = logo.unwrap_or_default();
    let shop = contents.shop.as_deref().map_or_else(String::new, |shop| {
        format!("<div class=\"shop\">{}</div>", escape(shop))
    });
    format!(
        "<header class=\"head\">{logo}<div class=\"name\">{shop}<h1>{}</h1></div>\
         <div class=\"identity\"><b>{}</b>, {}<br/>{}</div></header>",
        escape(&contents.heading),
        escape(&contents.job),
        escape(&contents.started),
        escape(&contents.source)
    )
}

/// The verdict in large words with its reason.
pub(super) fn verdict(contents: &Contents) -> String {
    format!(
        "<div class=\"verdict {}{}\"><strong>{}</strong><p>{}</p></div>",
        contents.verdict.word(),
        if contents.reserved { " reserved" } else { "" },
        escape(&contents.verdict_words),
        escape(&contents.reason)
    )
}

/// Criteria and what was measured against each, side by side.
pub(super) fn criteria(table: &Table) -> String {
    let mut out = String::from("<table class=\"criteria\"><tr>");
    for name in &table.head {
        out.push_str(&format!("<th>{}</th>", escape(name)));
    }
    out.push_str("</tr>");
    // the name of the column beside each cell, for screens too narrow for columns
    let [_, asked_head, measured_head, met_head] = table.head.each_ref().map(|h| escape(h));
    for [name, asked, measured, met] in &table.rows {
        out.push_str(&format!(
            "<tr><td>{}</td><td data-name=\"{asked_head}\">{}</td>\
             <td data-name=\"{measured_head}\">{}</td>\
             <td class=\"met\" data-name=\"{met_head}\">{}</td></tr>",
            escape(name),
            escape(asked),
            escape(measured),
            escape(met)
        ));
    }
    out.push_str("</table>");
    out
}

/// Names and values; long ones get two lines, others one: the height of the
/// list is known.
pub(super) fn list(class: &str, list: &List) -> String {
    let mut out = format!(
        "<section class=\"{class}\"><h2>{}</h2><dl>",
        escape(&list.title)
    );
    for entry in &list.entries {
        let long = if entry.long { " class=\"long\"" } else { "" };
        out.push_str(&format!(
            "<dt>{}</dt><dd{long}>{}</dd>",
            escape(&entry.name),
            value(entry)
        ));
    }
    out.push_str("</dl></section>");
    out
}

fn value(entry: &ListItem) -> String {
    let words = escape(&entry.value);
    if entry.absent {
        format!("<span class=\"absent\">{words}</span>")
    } else {
        words
    }
}

/// What belongs to the claim, and the photo; on paper a page of its own. Empty where there
/// is nothing of it.
pub(super) fn overleaf(contents: &Contents, photo: Option<&Photo>) -> String {
    let claim = match contents.paperwork.entries.is_empty() {
        true => String::new(),
        false => list("paperwork", &contents.paperwork),
    };
    let photo = photo.zip(contents.photo.as_deref()).and_then(|(photo, words)| {
        let jpeg = BASE64.encode(photo.jpeg().ok()?);
        let words = escape(words);
        Some(format!(
            "<figure class=\"photo\"><img alt=\"{words}\" src=\"data:image/jpeg;base64,{jpeg}\"/>\
             <figcaption>{words}</figcaption></figure>"
        ))
    });
    let photo = photo.unwrap_or_default();
    match claim.is_empty() && photo.is_empty() {
        true => String::new(),
        false => format!(
            "<div class=\"overleaf\"><p><b>{}</b>, {}</p>{claim}{photo}</div>\n",
            escape(&contents.job),
            escape(&contents.source)
        ),
    }
}

/// What happened when; the first rows of it.
pub(super) fn timeline(timeline: &Timeline) -> String {
    let mut out = format!(
        "<section class=\"timeline\"><h2>{}</h2><ul>",
        escape(&timeline.title)
    );
    let all = timeline.rows.len();
    let shown = if all > TIMELINE_ROWS {
        TIMELINE_ROWS - 1
    } else {
        all
    };
    let mut row = |at: &str, words: &str| {
        out.push_str(&format!(
            "<li><span>{}</span><span>{}</span></li>",
            escape(at),
            escape(words)
        ));
    };
    for (at, words) in timeline.rows.iter().take(shown) {
        row(at, words);
    }
    if shown < all {
        row("", &timeline.more(all - shown));
    }
    out.push_str("</ul></section>");
    out
}

/// Next step, findings, stalls.
pub(super) fn notes(notes: &Sentences) -> String {
    sentence_list("notes", notes, NOTES, None)
}

/// Cautions for this job.
pub(super) fn cautions(cautions: &Sentences) -> String {
    // none is left out, and none is cut
    sentence_list("cautions", cautions, cautions.items.len(), Some(LONGEST))
}

/// Longest sentence of a list.
const LONGEST: usize = 300;

/// A list of sentences, cut to `most` with a last line saying how many more; each in so
/// many characters, or as many as there is room for.
fn sentence_list(
    class: &str,
    sentences: &Sentences,
    most: usize,
    longest: Option<usize>,
) -> String {
    // few sentences may be longer, so that the list is never higher
    let (room, most_chars) = if sentences.items.len() <= 3 {
        (" class=\"roomy\"", 205)
    } else {
        ("", 150)
    };
    let title = escape(&sentences.title);
    let mut out = format!("<section class=\"{class}\"><h2>{title}</h2><ul{room}>");
    for (i, sentence) in sentences.items.iter().take(most).enumerate() {
        let most_chars = longest.unwrap_or(if i == 0 { LONGEST } else { most_chars });
        let line = escape(&one_line(sentence, most_chars));
        out.push_str(&format!("<li>{line}</li>"));
    }
    let more = sentences.items.len().saturating_sub(most);
    if more > 0 {
        out.push_str(&format!("<li>{}</li>", escape(&sentences.more(more))));
    }
    out.push_str("</ul></section>");
    out
}

/// Lines to sign on.
fn signatures(signatures: &[Signature]) -> String {
    let mut out = String::from("<div class=\"sign\">");
    for Signature { known, label } in signatures {
        let known = if known.is_empty() {
            String::new()
        } else {
            format!("<b>{}</b>", escape(known))
        };
        out.push_str(&format!("<div>{known}{}</div>", escape(label)));
    }
    out.push_str("</div>");
    out
}

/// Lines to sign on, who judged, who decides, the digest and its code.
pub(super) fn foot(contents: &Contents) -> String {
    let digest = contents.digest.as_ref();
    let words = digest.map_or_else(String::new, |digest| format!(" {}", escape(&digest.words)));
    let code = digest.and_then(code).unwrap_or_default();
    format!(
        "<div class=\"end\"><div>{}<footer class=\"foot\">{}{words}</footer></div>{code}</div>",
        signatures(&contents.signatures),
        escape(&contents.foot)
    )
}

/// The digest as a code that a camera reads, its quiet zone included.
fn code(digest: &Digest) -> Option<String> {
    let (dark, side) = modules(&digest.figures)?;
    let across = side + 2 * QUIET;
    let mut path = String::new();
    for (row, modules) in dark.chunks(side).enumerate() {
        let mut from = 0;
        for run in modules.chunk_by(|a, b| a == b) {
            if run[0] {
                let (x, y, wide) = (from + QUIET, row + QUIET, run.len());
                path.push_str(&format!("M{x} {y}h{wide}v1h-{wide}z"));
            }
            from += run.len();
        }
    }
    Some(format!(
        "<svg class=\"code\" xmlns=\"http://www.w3.org/2000/svg\" \
         viewBox=\"0 0 {across} {across}\" role=\"img\" shape-rendering=\"crispEdges\">\
         <title>{}</title><path fill=\"#000000\" d=\"{path}\"/></svg>",
        escape(&digest.code_alt)
    ))
}
