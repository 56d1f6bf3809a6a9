//! Everything the sheet says, top to bottom, as plain text before any markup.
//!
//! Built once from a [`Sheet`]; `html` turns it into a page for a screen and
//! `page` sets it on paper. Neither adds a word of its own. Typed text is one
//! line here, cut to a length that the page has room for; entries that the
//! [choices](vacuum::SheetChoices) leave out are not in it.

mod criteria;
mod record;
mod rise;
mod rounds;
mod system;

use analyser::Verdict;
use vacuum::SheetField;

use crate::{Sheet, figures::utc, is_invented, source_name, text::one_line, wording};

pub(crate) use record::{OVERLEAF, continued, mark_words, more_findings, more_in_record, page_of};

/// What demonstration data are called, everywhere.
pub(crate) const INVENTED: &str = "INVENTED DEMONSTRATION DATA: no evidence of any repair";

/// What is printed for what nobody typed.
pub(crate) const NOT_GIVEN: &str = "not given";

/// The whole sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Contents {
    /// Title of the document, for windows and readers.
    pub(crate) title: String,
    /// Language of every word here, ISO 639-1.
    pub(crate) language: &'static str,
    /// The bar over demonstration data.
    pub(crate) banner: Option<&'static str>,
    /// What the logo is, for those who do not see it, where one is printed.
    pub(crate) logo: Option<&'static str>,
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
    /// The verdict in one or two words.
    pub(crate) verdict_words: String,
    /// Its reason, one sentence.
    pub(crate) reason: String,
    /// Criteria against what was measured.
    pub(crate) criteria: Table,
    /// Every round, when there are several.
    pub(crate) rounds: Option<Table>,
    /// Said in the place of the close-up when there was no hold.
    pub(crate) no_hold: &'static str,
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

/// A table of four columns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    /// What the table is.
    pub(crate) title: &'static str,
    /// Names of the columns.
    pub(crate) head: [&'static str; 4],
    /// The first cell names the row.
    pub(crate) rows: Vec<[String; 4]>,
}

/// Entries under a heading.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct List {
    /// Heading.
    pub(crate) title: &'static str,
    /// Entries, in order.
    pub(crate) entries: Vec<Entry>,
}

/// Name and value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Entry {
    /// Its name.
    pub(crate) name: &'static str,
    /// Its value, which says so when it is not given.
    pub(crate) value: String,
    /// True when nobody gave a value.
    pub(crate) absent: bool,
    /// True when it may run over two lines.
    pub(crate) long: bool,
}

impl Entry {
    /// A value that the program has, on one line.
    fn new(name: &'static str, value: impl Into<String>) -> Self {
        Self {
            name,
            value: value.into(),
            absent: false,
            long: false,
        }
    }

    /// Typed text: one line, cut; "not given" when absent.
    fn typed(name: &'static str, text: Option<&str>, max_chars: usize) -> Self {
        let line = text.map(|t| one_line(t, max_chars)).unwrap_or_default();
        let absent = line.is_empty();
        let value = if absent { NOT_GIVEN.to_owned() } else { line };
        Self {
            absent,
            ..Self::new(name, value)
        }
    }

    /// The same, with room for two lines.
    fn long(mut self) -> Self {
        self.long = true;
        self
    }
}

/// Events under a heading, in order of time.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timeline {
    /// Heading.
    pub(crate) title: &'static str,
    /// Moment and words.
    pub(crate) rows: Vec<(String, String)>,
}

/// Sentences under a heading, the weightiest first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sentences {
    /// Heading.
    pub(crate) title: &'static str,
    /// The sentences, whole.
    pub(crate) items: Vec<String>,
}

/// A line to write on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Signature {
    /// What is known already, or empty.
    pub(crate) known: String,
    /// What the line is for.
    pub(crate) label: &'static str,
}

/// The digest of the record.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Digest {
    /// In words, with the figures in groups, and how to check it.
    pub(crate) words: String,
    /// The hexadecimal figures alone, for a code that a camera reads.
    pub(crate) figures: String,
    /// What that code is, for those who do not see it.
    pub(crate) code_alt: &'static str,
}

impl Contents {
    /// Collects what this sheet says.
    pub(crate) fn of(sheet: &Sheet<'_>) -> Self {
        let findings = sheet.findings;
        Self {
            title: format!(
                "Evacuation record: {}, {}",
                findings.verdict.label(),
                one_line(source_name(sheet.source), 60)
            ),
            language: "en",
            banner: is_invented(sheet).then_some(INVENTED),
            logo: sheet
                .logo
                .filter(|_| sheet.prints(SheetField::Logo))
                .map(|_| "Logo of the shop"),
            shop: shop(sheet),
            heading: "Evacuation and hold record".to_owned(),
            job: sheet.job.map_or_else(
                || "no job data".to_owned(),
                |job| format!("Job {}", Entry::typed("", Some(&job.id), 40).value),
            ),
            started: sheet.started_utc.map_or_else(
                || "start time not known".to_owned(),
                |s| format!("started {}", one_line(&utc(s), 40)),
            ),
            source: one_line(source_name(sheet.source), 90),
            verdict: findings.verdict,
            verdict_words: findings.verdict.label().to_owned(),
            reason: one_line(&wording::reason_sentence(findings), 230),
            criteria: criteria::table(findings),
            rounds: rounds::table(findings),
            no_hold: "No hold was found in this record: there is nothing to show here.",
            rise: rise::list(sheet),
            system: system::system(sheet),
            instruments: system::instruments(sheet),
            timeline: record::timeline(sheet),
            notes: record::notes(findings),
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
