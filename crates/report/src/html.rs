//! The sheet as one self-contained HTML page.
//!
//! Laid out so that it fits one page of A4 and of Letter whatever the job says:
//! every list and every typed text has a longest length, and says what it left
//! out. Nothing is loaded from outside and nothing runs. What is said comes from
//! [`contents`](crate::contents); here it only becomes markup.

mod blocks;

use crate::{
    ReportError, Sheet, closeup,
    contents::Contents,
    curve::{self, Form},
    text::escape,
};

const STYLE: &str = include_str!("html/sheet.css");

/// Makes the page.
pub(crate) fn page(sheet: &Sheet<'_>) -> Result<String, ReportError> {
    let contents = Contents::of(sheet);
    let curve = curve::svg(sheet, Form::OnSheet)?;
    let hold = closeup::svg(sheet)?
        .unwrap_or_else(|| format!("<p class=\"none\">{}</p>", escape(&contents.no_hold)));
    let parts = [
        blocks::banner(&contents),
        blocks::head(&contents, sheet.logo),
        blocks::verdict(&contents),
        blocks::criteria(&contents.criteria),
        format!("<figure class=\"curve\">{curve}</figure>"),
        format!(
            "<div class=\"two\"><figure class=\"hold\">{hold}</figure>{}</div>",
            blocks::list("rise", &contents.rise)
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
        blocks::foot(&contents),
    ];
    Ok(format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{}\n</main>\n</body>\n</html>\n",
        contents.language,
        escape(&contents.title),
        parts.join("\n")
    ))
}

#[cfg(test)]
mod tests;
