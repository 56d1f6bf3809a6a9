//! What the sheet is put together from: tables, lists, sentences.

use wording::{Voice, one_line, say};

/// A table of four columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What the table is.
    pub title: String,
    /// Names of the columns.
    pub head: [String; 4],
    /// The first cell names the row.
    pub rows: Vec<[String; 4]>,
}

/// Entries under a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct List {
    /// Heading.
    pub title: String,
    /// Entries, in order.
    pub entries: Vec<ListItem>,
}

/// Name and value.
#[derive(Debug, Clone, PartialEq)]
pub struct ListItem {
    /// Its name.
    pub name: String,
    /// Its value, which says so when it is not given.
    pub value: String,
    /// True when nobody gave a value.
    pub absent: bool,
    /// True when it may run over two lines.
    pub long: bool,
}

impl ListItem {
    /// A value that the program has, on one line.
    pub fn new(name: String, value: String) -> Self {
        Self {
            name,
            value,
            absent: false,
            long: false,
        }
    }

    /// Typed text: one line, cut; "not given" when absent.
    pub fn typed(voice: &Voice, name: String, text: Option<&str>, max_chars: usize) -> Self {
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
    pub fn long(mut self) -> Self {
        self.long = true;
        self
    }
}

/// Events under a heading, in order of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Heading.
    pub title: String,
    /// Moment and words.
    pub rows: Vec<(String, String)>,
    /// In which words what was left out is said.
    pub voice: Voice,
}

impl Timeline {
    /// What stands below one that was cut by so many rows.
    pub fn more(&self, rows: usize) -> String {
        say!(
            self.voice,
            "more-in-record",
            rows = self.voice.count(rows as u64)
        )
    }

    /// The heading where it goes on on the second page.
    pub fn continued(&self) -> String {
        say!(self.voice, "continued", title = &self.title)
    }
}

/// Sentences under a heading, the weightiest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentences {
    /// Heading.
    pub title: String,
    /// The sentences, whole.
    pub items: Vec<String>,
    /// In which words what was left out is said.
    pub voice: Voice,
}

impl Sentences {
    /// What stands below findings that were cut by so many sentences.
    pub fn more(&self, sentences: usize) -> String {
        let sentences = self.voice.count(sentences as u64);
        say!(self.voice, "more-findings", sentences = sentences)
    }

    /// What stands below findings that go on on another page of the document.
    pub fn overleaf(&self, page: usize) -> String {
        say!(self.voice, "overleaf", page = page)
    }

    /// The heading where they go on on the second page.
    pub fn continued(&self) -> String {
        say!(self.voice, "continued", title = &self.title)
    }
}

/// A line to write on.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// What is known already, or empty.
    pub known: String,
    /// What the line is for.
    pub label: String,
}

/// The digest of the record.
#[derive(Debug, Clone, PartialEq)]
pub struct Digest {
    /// In words, with the figures in groups, and how to check it.
    pub words: String,
    /// The hexadecimal figures alone, for a code that a camera reads.
    pub figures: String,
    /// What that code is, for those who do not see it.
    pub code_alt: String,
}
