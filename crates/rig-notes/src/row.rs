//! Rows as bytes.

use std::path::Path;

use chrono::{DateTime, Utc};
use rig_history::{Note, NoteKind};
use run_record::Link;
use seal_keys::{
    PublicKey, SealKey,
    forms::{hex, hex_bytes, moment, stamp},
};

use crate::{
    error::{NotesError, Problem},
    found::{Found, FoundNote},
};

pub(crate) const HEADER: &[u8] = b"seq,utc,name,kind,text,link,key,signature";
/// What the chain begins with.
const SEED: &[u8] = b"dryhold rig notes 1";
/// What a signature is of, before the row.
const SIGNED: &[u8] = b"dryhold rig note 1\n";
/// Longest name and text, characters.
const LONGEST_NAME: usize = 100;
const LONGEST_TEXT: usize = 500;

/// The link before the first row.
pub(crate) fn seed() -> Link {
    Link::seed(HEADER, SEED)
}

/// Refuses what would not be read back.
pub(crate) fn check(note: &Note) -> Result<(), NotesError> {
    let no = |why| Err(NotesError::NoNote { why });
    let controls = |text: &str| text.chars().any(char::is_control);
    if note.name.trim().is_empty() {
        return no("give the name of the pump, hose set or gauge, as the jobs have it");
    }
    if controls(&note.name) || controls(&note.text) {
        return no("name and text are one line without control characters");
    }
    if note.name.chars().count() > LONGEST_NAME || note.text.chars().count() > LONGEST_TEXT {
        return no("a name has 100 characters at most, a text 500");
    }
    if utc(note.at_s).is_none() {
        return no("its time is none");
    }
    Ok(())
}

fn utc(at_s: f64) -> Option<DateTime<Utc>> {
    // seconds of a date are far from what a double cannot hold
    at_s.is_finite()
        .then(|| DateTime::from_timestamp(at_s.floor() as i64, 0))
        .flatten()
}

/// A row without its line end.
pub(crate) fn written(note: &Note, seq: u64, last: &Link, key: Option<&SealKey>) -> Vec<u8> {
    let when = utc(note.at_s).map(stamp).unwrap_or_default();
    let fields = [
        seq.to_string(),
        when,
        note.name.trim().to_owned(),
        note.kind.word().to_owned(),
        note.text.trim().to_owned(),
    ];
    let mut row = fields.map(|f| quoted(&f)).join(",").into_bytes();
    let link = last.next(&row);
    row.push(b',');
    row.extend_from_slice(link.as_bytes());
    let (by, signature) = match key {
        Some(key) => (
            key.public().to_hex(),
            hex(&key.sign(&[SIGNED, &row].concat())),
        ),
        None => Default::default(),
    };
    row.extend_from_slice(format!(",{by},{signature}").as_bytes());
    row
}

/// A field as RFC 4180 has it.
fn quoted(field: &str) -> String {
    match field.contains([',', '"']) {
        true => format!("\"{}\"", field.replace('"', "\"\"")),
        false => field.to_owned(),
    }
}

/// What a file holds, and where its chain ends.
pub(crate) struct Read {
    pub(crate) found: Found,
    pub(crate) last: Link,
    pub(crate) seq: u64,
}

pub(crate) fn read_all(path: &Path, bytes: &[u8]) -> Result<Read, NotesError> {
    let mut lines = bytes.split(|b| *b == b'\n').enumerate();
    let header = lines.next().map(|(_, line)| trimmed(line));
    if header != Some(HEADER) {
        let path = path.to_owned();
        return Err(NotesError::NotNotes { path });
    }
    let mut read = Read {
        found: Found::default(),
        last: seed(),
        seq: 0,
    };
    let ends = bytes.iter().filter(|b| **b == b'\n').count();
    for (at, line) in lines {
        let line_number = at + 1;
        let row = trimmed(line);
        if row.is_empty() {
            continue;
        }
        if at == ends {
            let torn = Problem::Torn { line: line_number };
            read.found.problems.push(torn);
            continue;
        }
        read.take(line_number, row);
    }
    Ok(read)
}

fn trimmed(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}

impl Read {
    fn take(&mut self, line: usize, row: &[u8]) {
        let Some(parts) = Parts::of(row) else {
            self.found.problems.push(Problem::NoNote { line });
            return;
        };
        if self.last.next(parts.body) != parts.link || parts.seq != self.seq + 1 {
            self.found.problems.push(Problem::NotLinked { line });
        }
        (self.last, self.seq) = (parts.link, parts.seq);
        let signed_by = match parts.signature {
            None => None,
            Some((key, signature)) => {
                let good = key.has_signed(&[SIGNED, parts.linked].concat(), &signature);
                if !good {
                    self.found.problems.push(Problem::WrongSignature { line });
                }
                good.then_some(key)
            }
        };
        let note = parts.note;
        self.found.notes.push(FoundNote { note, signed_by });
    }
}

/// A row taken apart.
struct Parts<'a> {
    seq: u64,
    note: Note,
    /// Up to, but without, the comma before the link.
    body: &'a [u8],
    /// Up to and with the link.
    linked: &'a [u8],
    link: Link,
    signature: Option<(PublicKey, [u8; 64])>,
}

impl<'a> Parts<'a> {
    fn of(row: &'a [u8]) -> Option<Self> {
        // the last three fields hold no commas
        let mut ends = row.rsplitn(4, |b| *b == b',');
        let (signature, key, link, body) = (ends.next()?, ends.next()?, ends.next()?, ends.next()?);
        let linked = &row[..body.len() + 1 + link.len()];
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(body);
        let fields = reader.records().next()?.ok()?;
        if fields.len() != 5 {
            return None;
        }
        let note = Note {
            at_s: moment(&fields[1])?.timestamp() as f64,
            name: fields[2].to_owned(),
            kind: NoteKind::from_word(&fields[3])?,
            text: fields[4].to_owned(),
        };
        check(&note).ok()?;
        let signature = match (key, signature) {
            (b"", b"") => None,
            _ => Some((
                PublicKey::from_hex(std::str::from_utf8(key).ok()?)?,
                hex_bytes::<64>(signature)?,
            )),
        };
        Some(Self {
            seq: fields[0].parse().ok()?,
            note,
            body,
            linked,
            link: Link::from_text(link)?,
            signature,
        })
    }
}
