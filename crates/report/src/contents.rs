//! Everything the sheet says, top to bottom, as plain text before any markup.
//!
//! Built once from a [`Sheet`]; `html` turns it into a page for a screen and
//! `page` sets it on paper. Neither adds a word of its own. Typed text is one
//! line here, cut to a length that the page has room for; entries that the
//! [choices](vacuum::SheetChoices) leave out are not in it. The words are those of
//! the sheet's [`Voice`].

mod criteria;
mod parts;
mod record;
mod rise;
mod rounds;
mod system;

use findings::Verdict;
use vacuum::SheetField;
use wording::{one_line, say};

use crate::{
    Sheet,
    sheet::{is_invented, source_name},
};

pub(crate) use parts::{Digest, List, ListItem, Sentences, Signature, Table, Timeline};
pub(crate) use record::mark_words;

/// The whole sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Contents {
    /// Title of the document, for windows and readers.
    pub(crate) title: String,
    /// Language of every word here, ISO 639-1.
    pub(crate) language: &'static str,
    /// The bar over demonstration data.
    pub(crate) banner: Option<String>,
    /// What the logo is, for those who do not see it, where one is printed.
    pub(crate) logo: Option<String>,
    /// The shop, at the head.
    pub(crate) shop: Option<String>,
    /// Heading of the page.
    pub(crate) heading: String,
    /// Job, as it is called.
    pub(crate) job: String,
    /// When the run started.
    pub(crate) started: String,
    /// Run folder or file.
    pub(crate) source: String,
    /// For the look of the verdict; what it says is in words.
    pub(crate) verdict: Verdict,
    /// True for a pass by the rule that must not look like a plain one.
    pub(crate) reserved: bool,
    /// The verdict in few words.
    pub(crate) verdict_words: String,
    /// Its reason, one sentence.
    pub(crate) reason: String,
    /// Criteria against what was measured.
    pub(crate) criteria: Table,
    /// Every round, when there are several.
    pub(crate) rounds: Option<Table>,
    /// Said in the place of the close-up when there was no hold.
    pub(crate) no_hold: String,
    /// The rise of the judged hold, as a leak and as water.
    pub(crate) rise: List,
    /// The system as typed.
    pub(crate) system: List,
    /// Gauge, pump, hoses.
    pub(crate) instruments: List,
    /// What happened when.
    pub(crate) timeline: Timeline,
    /// Next step, findings, stalls.
    pub(crate) notes: Sentences,
    /// What can hurt.
    pub(crate) cautions: Sentences,
    /// Lines to sign on.
    pub(crate) signatures: Vec<Signature>,
    /// Who judged, and who decides.
    pub(crate) foot: String,
    /// Holds paper and record together.
    pub(crate) digest: Option<Digest>,
}

impl Contents {
    /// Which page this is.
    pub(crate) fn page_of(&self, page: usize, pages: usize) -> String {
        let voice = self.notes.voice;
        say!(voice, "page-of", page = page, pages = pages)
    }

    /// Collects what this sheet says.
    pub(crate) fn of(sheet: &Sheet<'_>) -> Self {
        let findings = sheet.findings;
        let voice = &sheet.voice();
        let reason = wording::reason_sentence(voice, findings);
        let reason = match wording::reserve(voice, findings) {
            None => reason,
            Some(reserve) => format!("{} {reason}", wording::sentence(&reserve)),
        };
        Self {
            title: say!(
                voice,
                "sheet-title",
                verdict = wording::headline(voice, findings),
                source = one_line(source_name(sheet.source), 60)
            ),
            language: voice.language.code(),
            banner: is_invented(sheet).then(|| say!(voice, "invented")),
            logo: sheet
                .logo
                .filter(|_| sheet.prints(SheetField::Logo))
                .map(|_| say!(voice, "logo-alt")),
            shop: shop(sheet),
            heading: say!(voice, "sheet-heading"),
            job: sheet.job.map_or_else(
                || say!(voice, "sheet-no-job"),
                |job| {
                    let id = ListItem::typed(voice, String::new(), Some(&job.id), 40).value;
                    say!(voice, "sheet-job", job = id)
                },
            ),
            started: sheet.started_utc.map_or_else(
                || say!(voice, "sheet-start-unknown"),
                |s| {
                    let time = one_line(&voice.time_of_day(s), 40);
                    say!(voice, "sheet-started", time = time)
                },
            ),
            source: one_line(source_name(sheet.source), 90),
            verdict: findings.verdict,
            reserved: wording::is_reserved(findings),
            verdict_words: wording::short_headline(voice, findings),
            reason: one_line(&reason, 340),
            criteria: criteria::table(voice, findings),
            rounds: rounds::table(voice, findings),
            no_hold: say!(voice, "sheet-no-hold"),
            rise: rise::list(sheet),
            system: system::system(sheet),
            instruments: system::instruments(sheet),
            timeline: record::timeline(sheet),
            notes: record::notes(voice, findings),
            cautions: record::cautions(sheet),
            signatures: record::signatures(sheet),
            foot: record::foot(sheet),
            digest: record::digest(sheet),
        }
    }
}

/// The shop's name for the head of the sheet.
fn shop(sheet: &Sheet<'_>) -> Option<String> {
    let shop = sheet.job?.shop.as_deref();
    let line = one_line(shop.filter(|_| sheet.prints(SheetField::Shop))?, 60);
    (!line.is_empty()).then_some(line)
}

#[cfg(test)]
mod tests;
