//! One document of one test or of several of the same job, one after the other.

use crate::{Draft, Notice, ReportError, page};

/// The sheets as one self-contained HTML page: no script, nothing loaded from outside.
///
/// # Errors
/// [`ReportError::Drawing`] when a picture on it cannot be drawn.
pub fn html(drafts: &[Draft<'_>]) -> Result<String, ReportError> {
    crate::html::page(drafts)
}

/// The sheets as PDF for printing and for keeping: tagged, its fonts inside, real text,
/// curves as lines. Each test begins a page.
///
/// Made for PDF/UA-1 and, when the start of the first test is known, PDF/A-2a.
///
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses the sheet.
pub fn pdf(drafts: &[Draft<'_>]) -> Result<Vec<u8>, ReportError> {
    let first = drafts.first();
    let all = |of: fn(&Draft<'_>) -> String, between| {
        let each: Vec<String> = drafts.iter().map(of).collect();
        each.join(between)
    };
    let described = crate::pdf::Described {
        what: "sheet",
        title: all(|d| d.contents.title.clone(), "; "),
        description: all(|d| d.contents.reason.clone(), " "),
        language: first.map_or("en", |d| d.contents.language),
        started_utc: first.and_then(|d| d.started_utc),
        made_by: first.map_or("", |d| d.made_by),
    };
    crate::pdf::write(described, &page::set(drafts)?)
}

/// A notice for a wall as PDF: tagged, its fonts inside, real text; made for PDF/UA-1 and,
/// when its day is known, PDF/A-2a.
///
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses it.
pub fn notice_pdf(notice: &Notice<'_>) -> Result<Vec<u8>, ReportError> {
    let described = crate::pdf::Described {
        what: "notice",
        title: notice.title.to_owned(),
        description: notice.as_of.to_owned(),
        language: notice.language,
        started_utc: notice.dated_utc,
        made_by: notice.made_by,
    };
    crate::pdf::write(described, &page::notice(notice))
}
