//! Everything a sheet says, top to bottom, as plain text before any markup.
//!
//! `html` turns it into a page for a screen and [`page`](crate::page) sets it on paper.
//! Neither adds a word of its own but for what it had no room for. Typed text is one line
//! here, cut to a length that the page has room for.

use findings::Verdict;
use wording::say;

use crate::parts::{Digest, List, Sentences, Signature, Table, Timeline};

/// The whole sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Contents {
    /// Title of the document, for windows and readers.
    pub title: String,
    /// Language of every word here, ISO 639-1.
    pub language: &'static str,
    /// The bar over demonstration data.
    pub banner: Option<String>,
    /// What the logo is, for those who do not see it, where one is printed.
    pub logo: Option<String>,
    /// The shop, at the head.
    pub shop: Option<String>,
    /// Heading of the page.
    pub heading: String,
    /// Job, as it is called.
    pub job: String,
    /// When the run started.
    pub started: String,
    /// Run folder or file.
    pub source: String,
    /// For the look of the verdict; what it says is in words.
    pub verdict: Verdict,
    /// True for a pass by the rule that must not look like a plain one.
    pub reserved: bool,
    /// The verdict in few words.
    pub verdict_words: String,
    /// Its reason, one sentence.
    pub reason: String,
    /// Criteria against what was measured.
    pub criteria: Table,
    /// Every round, when there are several.
    pub rounds: Option<Table>,
    /// Said in the place of the small picture where there is none.
    pub no_hold: String,
    /// What was measured and what it means, beside the small picture.
    pub measured: List,
    /// The system as typed.
    pub system: List,
    /// Gauge, pump, hoses.
    pub instruments: List,
    /// What happened when.
    pub timeline: Timeline,
    /// Next step, findings, stalls.
    pub notes: Sentences,
    /// What can hurt.
    pub cautions: Sentences,
    /// What belongs to the claim, on the second page; without entries where nothing was given.
    pub paperwork: List,
    /// What the photo is, where one is printed.
    pub photo: Option<String>,
    /// Lines to sign on.
    pub signatures: Vec<Signature>,
    /// Who judged, and who decides.
    pub foot: String,
    /// Holds paper and record together.
    pub digest: Option<Digest>,
}

impl Contents {
    /// Which page this is.
    #[must_use]
    pub fn page_of(&self, page: usize, pages: usize) -> String {
        let voice = self.notes.voice;
        say!(voice, "page-of", page = page, pages = pages)
    }
}
