//! What the sheet is put together from: tables, lists, sentences.

use wording::{Voice, one_line, say};

/// A table of four columns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    /// What the table is.
    pub(crate) title: String,
    /// Names of the columns.
    pub(crate) head: [String; 4],
    /// The first cell names the row.
    pub(crate) rows: Vec<[String; 4]>,
}

/// Entries under a heading.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct List {
    /// Heading.
    pub(crate) title: String,
    /// Entries, in order.
    pub(crate) entries: Vec<ListItem>,
}

/// Name and value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ListItem {
    /// Its name.
    pub(crate) name: String,
    /// Its value, which says so when it is not given.
    pub(crate) value: String,
    /// True when nobody gave a value.
    pub(crate) absent: bool,
    /// True when it may run over two lines.
    pub(crate) long: bool,
}

impl ListItem {
    /// A value that the program has, on one line.
    pub(super) fn new(name: String, value: String) -> Self {
        Self {
            name,
            value,
            absent: false,
            long: false,
        }
    }

    /// Typed text: one line, cut; "not given" when absent.
    pub(super) fn typed(voice: &Voice, name: String, text: Option<&str>, max_chars: usize) -> Self {
        let line = text.map(|t| one_line(t, max_chars)).unwrap_or_default();
        let absent = line.is_empty();
        let value = if absent {
            say!(voice, "not-given")
        } else {
            line
        };
        Self {
            absent,
            ..Self::new(name, value)
        }
    }

    /// The same, with room for two lines.
    pub(super) fn long(mut self) -> Self {
        self.long = true;
        self
    }
}

/// Events under a heading, in order of time.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timeline {
    /// Heading.
    pub(crate) title: String,
    /// Moment and words.
    pub(crate) rows: Vec<(String, String)>,
    pub(super) voice: Voice,
}

impl Timeline {
    /// What stands below one that was cut by so many rows.
    pub(crate) fn more(&self, rows: usize) -> String {
        say!(
            self.voice,
            "more-in-record",
            rows = self.voice.count(rows as u64)
        )
    }

    /// The heading where it goes on on the second page.
    pub(crate) fn continued(&self) -> String {
        say!(self.voice, "continued", title = &self.title)
    }
}

/// Sentences under a heading, the weightiest first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sentences {
    /// Heading.
    pub(crate) title: String,
    /// The sentences, whole.
    pub(crate) items: Vec<String>,
    pub(super) voice: Voice,
}

impl Sentences {
    /// What stands below findings that were cut by so many sentences.
    pub(crate) fn more(&self, sentences: usize) -> String {
        let sentences = self.voice.count(sentences as u64);
        say!(self.voice, "more-findings", sentences = sentences)
    }

    /// What stands below findings that go on on the second page.
    pub(crate) fn overleaf(&self) -> String {
        say!(self.voice, "overleaf")
    }

    /// The heading where they go on on the second page.
    pub(crate) fn continued(&self) -> String {
        say!(self.voice, "continued", title = &self.title)
    }
}

/// A line to write on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Signature {
    /// What is known already, or empty.
    pub(crate) known: String,
    /// What the line is for.
    pub(crate) label: String,
}

/// The digest of the record.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Digest {
    /// In words, with the figures in groups, and how to check it.
    pub(crate) words: String,
    /// The hexadecimal figures alone, for a code that a camera reads.
    pub(crate) figures: String,
    /// What that code is, for those who do not see it.
    pub(crate) code_alt: String,
}
