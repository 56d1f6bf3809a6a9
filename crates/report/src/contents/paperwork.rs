//! What belongs to the claim: numbers, customer, parts, masses, where the leak was.

use vacuum::{Job, SheetField};
use wording::{one_line, say};

use crate::sheet::About;
use layout::parts::{List, ListItem};

/// Longest number at the head of the about.
const NUMBER_CHARS: usize = 24;
/// Longest typed entry: two lines.
const ENTRY_CHARS: usize = 180;

/// The entries that were given; what was not is left out, for most jobs need none of them.
pub(super) fn list(about: &About<'_>) -> List {
    use SheetField as F;

    let voice = &about.voice();
    let text = |pick: fn(&Job) -> Option<&String>| about.job.and_then(pick).cloned();
    let grams = |pick: fn(&Job) -> Option<f64>| {
        let known = about
            .job
            .and_then(pick)
            .filter(|g| g.is_finite() && *g > 0.0);
        known.map(|g| format!("{} g", voice.plain(g, 4)))
    };
    let entries = [
        (
            F::WorkOrder,
            "entry-work-order",
            text(|j| j.work_order.as_ref()),
        ),
        (F::Claim, "entry-claim", text(|j| j.claim.as_ref())),
        (F::Customer, "entry-customer", text(|j| j.customer.as_ref())),
        (F::Site, "entry-site", text(|j| j.site.as_ref())),
        (
            F::Leak,
            "entry-leak-location",
            text(|j| j.leak_location.as_ref()),
        ),
        (
            F::Parts,
            "entry-parts-fitted",
            text(|j| j.parts_fitted.as_ref()),
        ),
        (
            F::Compressor,
            "entry-compressor-old",
            text(|j| j.compressor_serial_old.as_ref()),
        ),
        (
            F::Compressor,
            "entry-compressor-new",
            text(|j| j.compressor_serial_new.as_ref()),
        ),
        (F::Recovered, "entry-recovered", grams(|j| j.recovered_g)),
        (
            F::Charged,
            "entry-charged",
            grams(|j| j.charged_g).map(|mass| say!(voice, "weighed-as-typed", mass = mass)),
        ),
    ];
    let given = entries.into_iter().filter_map(|(field, id, value)| {
        let value = value.filter(|_| about.prints(field))?;
        let item = ListItem::typed(voice, say!(voice, id), Some(&value), ENTRY_CHARS);
        (!item.absent).then(|| item.long())
    });
    List {
        title: say!(voice, "paperwork-title"),
        entries: given.collect(),
    }
}

/// The numbers by which a warranty desk finds the sheet, behind that of the job.
pub(super) fn head(about: &About<'_>, job: String) -> String {
    let voice = &about.voice();
    let number = |field, pick: fn(&Job) -> Option<&String>| {
        let typed = about.job.and_then(pick).filter(|_| about.prints(field))?;
        Some(one_line(typed, NUMBER_CHARS)).filter(|line| !line.is_empty())
    };
    let claim = number(SheetField::Claim, |j| j.claim.as_ref());
    let order = number(SheetField::WorkOrder, |j| j.work_order.as_ref());
    let parts = [
        Some(job),
        claim.map(|claim| say!(voice, "sheet-claim", claim = claim)),
        order.map(|order| say!(voice, "sheet-work-order", order = order)),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
