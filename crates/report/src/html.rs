//! The sheet as one self-contained HTML page.
//!
//! Laid out so that it fits one page of A4 and of Letter whatever the job says:
//! every list and every typed text has a longest length, and says what it left
//! out. Nothing is loaded from outside and nothing runs.

mod blocks;
mod tables;

use crate::{
    ReportError, Sheet, curve, hold_svg, paint, source_name, text::escape, text::one_line,
};

const STYLE: &str = include_str!("html/sheet.css");

/// Makes the page.
pub(crate) fn page(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    let curve = paint::svg(&curve::picture(sheet, curve::Form::OnSheet), "curve")?;
    let hold = hold_svg(sheet)?.unwrap_or_else(|| {
        "<p class=\"none\">No hold was found in this record: there is nothing to show here.</p>"
            .to_owned()
    });
    let title = format!(
        "Evacuation record: {}, {}",
        sheet.findings.verdict.label(),
        one_line(source_name(sheet.source), 60)
    );
    let parts = [
        blocks::banner(sheet),
        blocks::head(sheet),
        blocks::verdict(sheet.findings),
        tables::criteria(sheet.findings),
        format!("<figure class=\"curve\">{curve}</figure>"),
        format!(
            "<div class=\"two\"><figure class=\"hold\">{hold}</figure>{}</div>",
            tables::rise(sheet)
        ),
        format!(
            "<div class=\"three\">{}{}{}</div>",
            tables::system(sheet),
            tables::instruments(sheet),
            blocks::timeline(sheet)
        ),
        format!(
            "<div class=\"two\">{}{}</div>",
            blocks::notes(sheet.findings),
            blocks::cautions(sheet)
        ),
        blocks::signatures(sheet),
        blocks::foot(sheet),
    ];
    Ok(format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{}\n</main>\n</body>\n</html>\n",
        escape(&title),
        parts.join("\n")
    ))
}

/// What the sheet prints for what nobody typed.
const NOT_GIVEN: &str = "not given";

/// Typed text for the sheet: one line, cut, escaped; "not given" when absent.
fn typed(text: Option<&str>, max_chars: usize) -> String {
    let line = text.map(|t| one_line(t, max_chars)).unwrap_or_default();
    if line.is_empty() {
        format!("<span class=\"absent\">{NOT_GIVEN}</span>")
    } else {
        escape(&line)
    }
}

/// Entries that may run over two lines.
const LONG: [&str; 4] = ["Repair", "Pump", "Hoses", "Second gauge"];

/// Rows of name and value; values are markup already.
///
/// Long ones get two lines, others one: the height of the list is known.
fn definition_list(class: &str, title: &str, rows: &[(&str, String)]) -> String {
    let mut out = format!("<section class=\"{class}\"><h2>{}</h2><dl>", escape(title));
    for (name, value) in rows {
        let long = if LONG.contains(name) {
            " class=\"long\""
        } else {
            ""
        };
        out.push_str(&format!("<dt>{}</dt><dd{long}>{value}</dd>", escape(name)));
    }
    out.push_str("</dl></section>");
    out
}

/// A list of sentences, cut to `most` with a last line saying how many more.
fn sentence_list(
    class: &str,
    title: &str,
    sentences: &[String],
    most: usize,
    elsewhere: &str,
) -> String {
    // few sentences may be longer, so that the list is never higher
    let (room, most_chars) = if sentences.len() <= 3 {
        (" class=\"roomy\"", 205)
    } else {
        ("", 150)
    };
    let title = escape(title);
    let mut out = format!("<section class=\"{class}\"><h2>{title}</h2><ul{room}>");
    for (i, sentence) in sentences.iter().take(most).enumerate() {
        let most_chars = if i == 0 { 270 } else { most_chars };
        let line = escape(&one_line(sentence, most_chars));
        out.push_str(&format!("<li>{line}</li>"));
    }
    if let Some(more) = sentences.len().checked_sub(most).filter(|m| *m > 0) {
        out.push_str(&format!("<li>{more} more in {elsewhere}.</li>"));
    }
    out.push_str("</ul></section>");
    out
}

#[cfg(test)]
mod tests;
