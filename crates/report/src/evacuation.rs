//! The sheet of an evacuation, ready to be set.

use layout::{Draft, ReportError};

use crate::{Sheet, closeup, contents, curve};

/// What is said of an evacuation, and its pictures.
pub(crate) fn draft(sheet: Sheet<'_>) -> Result<Draft<'_>, ReportError> {
    Ok(Draft {
        contents: contents::of(&sheet),
        paper: sheet.about().paper(),
        logo: sheet.logo,
        photo: sheet.photo,
        curve: Box::new(move |form| curve::picture(&sheet, form)),
        close_up: closeup::picture(&sheet)?,
        started_utc: sheet.started_utc,
        made_by: sheet.made_by,
    })
}
