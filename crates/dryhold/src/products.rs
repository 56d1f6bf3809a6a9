//! Draws what is made from a record, with what was chosen on the command line.

use std::path::Path;

use console::complain;
use run_review::{JudgedTest, Made};
use seal_keys::SealKey;
use vacuum::SheetChoices;

use crate::{made_by::MADE_BY, options::sheet::SheetOptions, outcome::Failure};

/// Draws everything that is made from a record into `out`, with others of the same job in
/// its sheet; `spoken` goes before the choices of `options`, these before those of the job.
pub(crate) fn make_products(
    (judged, with): (&JudgedTest, &[JudgedTest]),
    out: &Path,
    spoken: &SheetChoices,
    options: &SheetOptions,
    key: Option<&SealKey>,
) -> Result<Made, Failure> {
    let origin = judged.origin();
    let job = origin.header.as_ref().map(|h| &h.job);
    let choices = spoken.clone().or(&options.choices(job.map(|j| &j.sheet)));
    let logo = options.logo(&choices, origin.folder().as_deref());
    // without its photo the sheet is made too
    let photo = origin.photo(&choices).unwrap_or_else(|(named, why)| {
        complain(format!("the photo {named} is not printed: {why}"));
        None
    });
    let chosen = (&choices, logo.as_ref(), photo.as_ref());
    Ok(run_review::make_products(
        (judged, with),
        out,
        chosen,
        MADE_BY,
        key,
    )?)
}
