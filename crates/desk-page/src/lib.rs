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
mod link;
mod options;
mod script_json;
mod texts;

use std::io::{self, Write};

use base64::{Engine as _, engine::general_purpose::STANDARD};
use desk::Row;
use sha2::{Digest, Sha256};

pub use options::{PageOptions, SheetOf, sheet_beside};

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

#[cfg(test)]
mod tests;
