//! Everything the sheet of an evacuation says, top to bottom, as plain text before any markup.
//!
//! Built once from a [`Sheet`]; the crate [`layout`] sets it. Typed text is one
//! line here, cut to a length that the page has room for; entries that the
//! [choices](vacuum::SheetChoices) leave out are not in it. The words are those of
//! the sheet's [`Voice`].

mod criteria;
mod paperwork;
pub(crate) mod record;
mod rise;
mod rounds;
pub(crate) mod system;

use findings::Verdict;
use layout::{
    contents::Contents,
    parts::{List, ListItem, Sentences, Table, Timeline},
};
use vacuum::SheetField;
use wording::{one_line, say};

use crate::{
    Sheet,
    sheet::{About, is_invented, source_name},
};

/// What a sheet says of its own test.
pub(crate) struct Own {
    pub(crate) title: String,
    pub(crate) heading: String,
    pub(crate) verdict: Verdict,
    pub(crate) reserved: bool,
    pub(crate) verdict_words: String,
    pub(crate) reason: String,
    pub(crate) criteria: Table,
    pub(crate) rounds: Option<Table>,
    pub(crate) no_hold: String,
    pub(crate) measured: List,
    pub(crate) system: List,
    pub(crate) instruments: List,
    pub(crate) timeline: Timeline,
    pub(crate) notes: Sentences,
    pub(crate) cautions: Sentences,
    pub(crate) foot: String,
}

/// Collects what the sheet of an evacuation says.
pub(crate) fn of(sheet: &Sheet<'_>) -> Contents {
    let findings = sheet.findings;
    let voice = &sheet.voice();
    let about = &sheet.about();
    let reason = wording::reason_sentence(voice, findings);
    let reason = match wording::reserve(voice, findings) {
        None => reason,
        Some(reserve) => format!("{} {reason}", wording::sentence(&reserve)),
    };
    let own = Own {
        title: say!(
            voice,
            "sheet-title",
            verdict = wording::headline(voice, findings),
            source = one_line(source_name(sheet.source), 60)
        ),
        heading: say!(voice, "sheet-heading"),
        verdict: findings.verdict,
        reserved: wording::is_reserved(findings),
        verdict_words: wording::short_headline(voice, findings),
        reason,
        criteria: criteria::table(voice, findings),
        rounds: rounds::table(voice, findings),
        no_hold: say!(voice, "sheet-no-hold"),
        measured: rise::list(sheet),
        system: system::system(about, true),
        instruments: system::instruments(about, system::of_evacuation(about, findings)),
        timeline: record::timeline(sheet),
        notes: record::notes(sheet),
        cautions: record::cautions(sheet),
        foot: record::foot(sheet),
    };
    with(about, own)
}

/// The whole sheet of a test: what it says of its own, and what every sheet says.
pub(crate) fn with(about: &About<'_>, own: Own) -> Contents {
    let voice = &about.voice();
    Contents {
        title: own.title,
        language: voice.language.code(),
        banner: is_invented(about).then(|| say!(voice, "invented")),
        logo: about
            .logo
            .filter(|_| about.prints(SheetField::Logo))
            .map(|_| say!(voice, "logo-alt")),
        shop: shop(about),
        heading: own.heading,
        job: about.job.map_or_else(
            || say!(voice, "sheet-no-job"),
            |job| {
                let id = ListItem::typed(voice, String::new(), Some(&job.id), 40).value;
                let job = say!(voice, "sheet-job", job = id);
                paperwork::head(about, job)
            },
        ),
        started: about.started_utc.map_or_else(
            || say!(voice, "sheet-start-unknown"),
            |s| {
                let time = one_line(&voice.time_of_day(s), 40);
                say!(voice, "sheet-started", time = time)
            },
        ),
        source: one_line(source_name(about.source), 90),
        verdict: own.verdict,
        reserved: own.reserved,
        verdict_words: own.verdict_words,
        reason: one_line(&own.reason, 340),
        criteria: own.criteria,
        rounds: own.rounds,
        no_hold: own.no_hold,
        measured: own.measured,
        system: own.system,
        instruments: own.instruments,
        timeline: own.timeline,
        notes: own.notes,
        cautions: own.cautions,
        paperwork: paperwork::list(about),
        photo: about
            .photo
            .filter(|_| about.prints(SheetField::Photo))
            .map(|_| say!(voice, "photo-alt")),
        signatures: record::signatures(about),
        foot: own.foot,
        digest: record::digest(about),
    }
}

/// The shop's name for the head of the sheet.
fn shop(about: &About<'_>) -> Option<String> {
    let shop = about.job?.shop.as_deref();
    let line = one_line(shop.filter(|_| about.prints(SheetField::Shop))?, 60);
    (!line.is_empty()).then_some(line)
}

#[cfg(test)]
mod tests;
