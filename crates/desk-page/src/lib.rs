//! The table of a desk as one HTML page: opened from the file system, fetching nothing.
//!
//! All rows stand in the page as JSON; a script of its own draws those that are in sight. A
//! `Content-Security-Policy` lets the browser run that script and nothing else, whatever
//! somebody typed into a record. Text of records is only ever set as text.
//!
//! ```
//! let options = desk_page::PageOptions {
//!     title: "Claims of November",
//!     made_by: "dryhold 0.1.0",
//!     made_at: None,
//!     partial: None,
//!     without_personal_data: true,
//!     folder: std::path::Path::new("desk"),
//!     sheet: Some(&desk_page::sheet_beside),
//! };
//! let mut page = Vec::new();
//! desk_page::write(&mut page, &[], &options)?;
//! assert!(page.starts_with(b"<!DOCTYPE html>"));
//! # Ok::<(), std::io::Error>(())
//! ```
//!
//! # What it never does
//! Judge, read a record, or change a row.

mod curve;
mod data;
mod flag_words;
mod link;
mod script_json;
mod texts;

use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

use base64::{Engine as _, engine::general_purpose::STANDARD};
use desk::{Row, RowKind};
use sha2::{Digest, Sha256};

const FRAME: &str = include_str!("page/page.html");
const STYLE: &str = include_str!("page/page.css");
const SCRIPTS: [&str; 6] = [
    include_str!("page/curve.js"),
    include_str!("page/fields.js"),
    include_str!("page/details.js"),
    include_str!("page/table.js"),
    include_str!("page/filter.js"),
    include_str!("page/start.js"),
];

/// Finds the sheet of a row, if there is one.
pub type SheetOf<'a> = &'a dyn Fn(&Row) -> Option<PathBuf>;

/// What a page says beside its rows.
#[derive(Clone, Copy)]
pub struct PageOptions<'a> {
    /// Title, as text.
    pub title: &'a str,
    /// Program and version that judged the rows.
    pub made_by: &'a str,
    /// When, RFC 3339. Without it the same rows give the same bytes.
    pub made_at: Option<&'a str>,
    /// Why rows are missing, as one sentence; `None` when the table is complete.
    pub partial: Option<&'a str>,
    /// Technicians and customers are left out, and the page says so.
    pub without_personal_data: bool,
    /// The folder that the page will lie in: links are relative to it.
    pub folder: &'a Path,
    /// Where the sheet of a row lies, seen from the same place as `folder`. Without it, and
    /// where it gives `None`, a row has no link.
    pub sheet: Option<SheetOf<'a>>,
}

/// Writes the page.
///
/// # Errors
/// Those of `out`.
pub fn write(out: &mut impl Write, rows: &[Row], options: &PageOptions<'_>) -> io::Result<()> {
    // a scope of its own
    let script = format!("\"use strict\";(()=>{{\n{}}})();\n", SCRIPTS.concat());
    let hash = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; \
         form-action 'none'",
        hash(&script),
        hash(STYLE)
    );
    let mut rest = FRAME;
    // in the order in which they stand in the frame
    for (place, text) in [
        ("POLICY", policy.as_str()),
        ("TITLE", &escaped(options.title)),
        ("STYLE", STYLE),
    ] {
        rest = put_at(out, rest, place, text)?;
    }
    rest = put_at(out, rest, "DATA", "")?;
    data::write(&mut *out, rows, options)?;
    rest = put_at(out, rest, "SCRIPT", &script)?;
    out.write_all(rest.as_bytes())
}

/// Writes the frame up to a place, and what belongs there; gives what comes after it.
fn put_at<'f>(
    out: &mut impl Write,
    frame: &'f str,
    place: &str,
    text: &str,
) -> io::Result<&'f str> {
    let marker = format!("/*{place}*/");
    let (before, after) = frame
        .split_once(&marker)
        .ok_or_else(|| io::Error::other(format!("the frame of the page has no {marker}")))?;
    out.write_all(before.as_bytes())?;
    out.write_all(text.as_bytes())?;
    Ok(after)
}

/// Text as HTML.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
    out
}

/// The sheet in the run folder of a row: `sheet.html`, else `sheet.pdf`, if it is there. For
/// [`PageOptions::sheet`].
#[must_use]
pub fn sheet_beside(row: &Row) -> Option<PathBuf> {
    if row.kind != RowKind::Run {
        return None;
    }
    let folder = Path::new(&row.path);
    let sheets = ["sheet.html", "sheet.pdf"].map(|name| folder.join(name));
    sheets.into_iter().find(|sheet| sheet.is_file())
}

#[cfg(test)]
mod tests;
