//! Curve and sheet of a pressure test with dry gas.

mod contents;
mod criteria;
mod curve;
mod loss;
mod measured;
mod over;
mod panels;
mod series;
mod sheet;
mod trace;

use layout::{Draft, ReportError};

#[cfg(test)]
pub(crate) use curve::layout;
pub(crate) use curve::picture;
#[cfg(test)]
pub(crate) use loss::layout as loss_layout;
pub use sheet::{Barometer, TestSheet};
pub use trace::TestTrace;

/// What is said of a pressure test, and its pictures.
pub(crate) fn draft(sheet: TestSheet<'_>) -> Result<Draft<'_>, ReportError> {
    let about = sheet.about;
    Ok(Draft {
        contents: contents::of(&sheet),
        paper: about.paper(),
        logo: about.logo,
        photo: about.photo,
        curve: Box::new(move |form| curve::picture(&sheet, form)),
        close_up: loss::picture(&sheet)?,
        started_utc: about.started_utc,
        made_by: about.made_by,
    })
}
