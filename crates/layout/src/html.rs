//! The sheet as one self-contained HTML page.
//!
//! Laid out so that it fits one page of A4 and of Letter whatever the job says:
//! every list and every typed text has a longest length, and says what it left
//! out. Nothing is loaded from outside and nothing runs. What is said comes from
//! [`contents`](crate::contents); here it only becomes markup.

mod blocks;

use std::fmt::Write as _;

use crate::{Draft, Form, ReportError, svg, text::escape};

const STYLE: &str = include_str!("html/sheet.css");

/// Makes the page: every test by itself, the title of the document that of all of them.
pub(crate) fn page(drafts: &[Draft<'_>]) -> Result<String, ReportError> {
    let titles: Vec<&str> = drafts.iter().map(|d| d.contents.title.as_str()).collect();
    let language = drafts.first().map_or("en", |d| d.contents.language);
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"{language}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n",
        escape(&titles.join("; ")),
    );
    for draft in drafts {
        // writing into a String cannot fail
        let _ = writeln!(out, "<main>\n{}\n</main>", sheet(draft)?);
        out.push_str(&blocks::overleaf(&draft.contents, draft.photo));
    }
    out.push_str("</body>\n</html>\n");
    Ok(out)
}

/// One test.
fn sheet(draft: &Draft<'_>) -> Result<String, ReportError> {
    let contents = &draft.contents;
    let curve = svg::write(&(draft.curve)(Form::OnSheet)?);
    let close_up = draft.close_up.as_ref().map(svg::write);
    let hold =
        close_up.unwrap_or_else(|| format!("<p class=\"none\">{}</p>", escape(&contents.no_hold)));
    let parts = [
        blocks::banner(contents),
        blocks::head(contents, draft.logo),
        blocks::verdict(contents),
        blocks::criteria(&contents.criteria),
        format!("<figure class=\"curve\">{curve}</figure>"),
        format!(
            "<div class=\"two\"><figure class=\"hold\">{hold}</figure>{}</div>",
            blocks::list("rise", &contents.measured)
        ),
        format!(
            "<div class=\"three\">{}{}{}</div>",
            blocks::list("system", &contents.system),
            blocks::list("instruments", &contents.instruments),
            blocks::timeline(&contents.timeline)
        ),
        format!(
            "<div class=\"two\">{}{}</div>",
            blocks::notes(&contents.notes),
            blocks::cautions(&contents.cautions)
        ),
        blocks::foot(contents),
    ];
    Ok(parts.join("\n"))
}
