//! One test, ready to be set.

use vacuum::Paper;

use crate::{Form, Logo, Photo, ReportError, contents::Contents, picture::Picture};

/// Draws the large picture of a sheet for the place where it will stand.
pub type DrawCurve<'a> = Box<dyn Fn(Form) -> Result<Picture, ReportError> + 'a>;

/// One test, ready to be set: what is said of it, and its pictures.
pub struct Draft<'a> {
    /// What is said.
    pub contents: Contents,
    /// Paper it is set for.
    pub paper: Paper,
    /// The shop's logo, where one is printed.
    pub logo: Option<&'a Logo>,
    /// A photo for a page of its own.
    pub photo: Option<&'a Photo>,
    /// The large picture over the width of the sheet.
    pub curve: DrawCurve<'a>,
    /// The small picture beside what was measured; without one
    /// [`Contents::no_hold`] stands there.
    pub close_up: Option<Picture>,
    /// When the test began, RFC 3339 in UTC, when known.
    pub started_utc: Option<&'a str>,
    /// Name and version of the judging program.
    pub made_by: &'a str,
}
