//! What a page says beside its rows, and where sheets lie.

use std::path::{Path, PathBuf};

use desk::{Row, RowKind};

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
