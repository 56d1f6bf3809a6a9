//! Curve and sheet of a blank-off test: pump, hoses and gauge alone.

mod contents;
mod criteria;
mod sheet;

use layout::{Draft, Form, ReportError, header::Head, picture::Picture, plot::Plot};
use wording::{one_line, say};

pub use sheet::BlankOffSheet;
use sheet::drawn;

use crate::{
    Sheet, closeup,
    curve::{self, Titled},
    sheet::{identity, is_invented, source_name},
};

/// What is said of a blank-off test, and its pictures.
pub(crate) fn draft(sheet: BlankOffSheet<'_>) -> Result<Draft<'_>, ReportError> {
    let about = sheet.about;
    let drawn = drawn(sheet.findings);
    Ok(Draft {
        contents: contents::of(&sheet),
        paper: about.paper(),
        logo: about.logo,
        photo: about.photo,
        close_up: closeup::picture(&Sheet::of(sheet.trace, &drawn, about))?,
        curve: Box::new(move |form| picture(&sheet, form)),
        started_utc: about.started_utc,
        made_by: about.made_by,
    })
}

/// The curve.
pub(crate) fn picture(sheet: &BlankOffSheet<'_>, form: Form) -> Result<Picture, ReportError> {
    laid(sheet, form).map(|(_, picture)| picture)
}

/// The plot and the curve. It is drawn as that of an evacuation is, for it is one of pump and
/// hoses.
pub(crate) fn laid(sheet: &BlankOffSheet<'_>, form: Form) -> Result<(Plot, Picture), ReportError> {
    let drawn = drawn(sheet.findings);
    let voice = &sheet.about.voice();
    let title = say!(
        voice,
        "rig-curve-title",
        source = one_line(source_name(sheet.about.source), 80),
        verdict = wording::verdict_words(voice, sheet.findings.verdict)
    );
    let head = head(sheet);
    let as_vacuum = Sheet::of(sheet.trace, &drawn, sheet.about);
    curve::titled(&as_vacuum, form, Titled { head, title })
}

/// What stands above a curve that stands alone.
fn head(sheet: &BlankOffSheet<'_>) -> Head {
    let voice = &sheet.about.voice();
    let found = sheet.findings;
    let rise = found.rise.as_ref();
    Head {
        voice: *voice,
        invented: is_invented(&sheet.about),
        verdict: found.verdict,
        reserved: false,
        verdict_words: wording::verdict_words(voice, found.verdict),
        reserve: None,
        reason: sheet.reason(),
        details: rise.map_or_else(
            || vec![say!(voice, "rig-sheet-none")],
            |rise| {
                vec![
                    wording::rise_headline(voice, &rise.hold),
                    wording::sight_sentence(voice, &rise.hold),
                ]
            },
        ),
        identity: identity(&sheet.about),
    }
}
