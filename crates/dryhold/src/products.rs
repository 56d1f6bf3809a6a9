//! Draws what is made from a record, with what was chosen on the command line.

use std::path::Path;

use run_review::{Judged, Made};
use seal_keys::SealKey;
use vacuum::SheetChoices;

use crate::{made_by::MADE_BY, options::sheet::SheetOptions, outcome::Failure};

/// Draws everything that is made from a record into `out`; `spoken` goes before the
/// choices of `options`, these before those of the job.
pub(crate) fn make_products(
    judged: &Judged,
    out: &Path,
    spoken: &SheetChoices,
    options: &SheetOptions,
    key: Option<&SealKey>,
) -> Result<Made, Failure> {
    let job = judged.header.as_ref().map(|h| &h.job);
    let choices = spoken.clone().or(&options.choices(job.map(|j| &j.sheet)));
    let logo = options.logo(&choices, judged.folder().as_deref());
    let chosen = (&choices, logo.as_ref());
    Ok(run_review::make_products(
        judged, out, chosen, MADE_BY, key,
    )?)
}
