//! The register of a key: which runs it has sealed, numbered without a gap.
//!
//! A seal shows that a run was not changed. It cannot show that there was no other
//! run, with another outcome, which was thrown away. So every run that a key seals
//! gets the next number in a register beside the key, and number and link go into the
//! seal. Each entry holds the link of the one before: whoever sees several runs of a
//! shop sees which numbers are missing, and that the register was not written anew.

use std::{
    fs::{File, OpenOptions},
    io::{self, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use csv::{ReaderBuilder, StringRecord, WriterBuilder};
use plain_file::Links;
use sha2::{Digest, Sha256};

use super::forms::{hex, hex_bytes};
use whole_file::{folder_of, sync_folder};

/// File name of the register, beside the key.
pub(crate) const REGISTER_NAME: &str = "register.csv";

/// Stands before what a link is the digest of.
const DOMAIN: &str = "dryhold register 1";

/// The columns of the file.
const COLUMNS: [&str; 7] = [
    "key",
    "series",
    "number",
    "run",
    "record_sha256",
    "before",
    "link",
];

/// Largest register that is read, bytes: some 200,000 runs.
const LARGEST: u64 = 64 << 20;

/// The place of a run in the register of the key that sealed it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegisterEntry {
    /// Which register of this key: 16 hexadecimal characters, drawn when it was begun. A
    /// register that was lost is begun anew under another one.
    pub series: String,
    /// Its number, counted from 1.
    pub number: u64,
    /// Name of the run folder when it was sealed.
    pub run: String,
    /// Link of the entry before; 64 times 0 for the first.
    pub before: String,
    /// Its own link, which the next entry repeats.
    pub link: String,
}

impl RegisterEntry {
    /// The entry behind `before`, or the first of a new series.
    fn next(series: &str, before: Option<&Self>, run: &str, record_sha256: &str) -> Self {
        let mut entry = Self {
            series: series.to_owned(),
            number: before.map_or(1, |e| e.number + 1),
            run: run.to_owned(),
            before: before.map_or_else(|| "0".repeat(64), |e| e.link.clone()),
            link: String::new(),
        };
        entry.link = entry.link_for(record_sha256);
        entry
    }

    /// The SHA-256 of the domain, series, number, name, record's digest and link
    /// before, a line each.
    fn link_for(&self, record_sha256: &str) -> String {
        let Self {
            series,
            number,
            run,
            before,
            ..
        } = self;
        let text = format!("{DOMAIN}\n{series}\n{number}\n{run}\n{record_sha256}\n{before}\n");
        hex(&Sha256::digest(text))
    }

    /// True when every part has its form, and the link is that of this record.
    #[must_use]
    pub fn is_sound(&self, record_sha256: &str) -> bool {
        self.number > 0
            && hex_bytes::<8>(self.series.as_bytes()).is_some()
            && hex_bytes::<32>(self.before.as_bytes()).is_some()
            && !self.run.contains(char::is_control)
            && self.link == self.link_for(record_sha256)
    }

    /// True when this entry stands behind the other in one register.
    #[must_use]
    pub fn follows(&self, other: &Self) -> bool {
        self.series == other.series
            && Some(self.number) == other.number.checked_add(1)
            && self.before == other.link
    }
}

/// The register beside a key.
#[derive(Debug, Clone)]
pub(crate) struct Register {
    path: PathBuf,
    /// Fingerprint of the key: several keys may lie in one folder.
    key: String,
    /// Fingerprints of the keys that it replaced, one after the other: its register goes
    /// on with theirs.
    replaced: Vec<String>,
}

/// The register, while no other program may add to it.
pub(crate) struct HeldRegister<'r> {
    register: &'r Register,
    file: File,
    is_new: bool,
    text: String,
}

impl Register {
    pub(crate) fn beside(key_file: &Path, key: String, replaced: Vec<String>) -> Self {
        Self {
            path: key_file.with_file_name(REGISTER_NAME),
            key,
            replaced,
        }
    }

    /// Keeps other programs out: two that seal at once must not take the same number.
    pub(crate) fn hold(&self) -> io::Result<HeldRegister<'_>> {
        let (mut file, is_new) = self.open()?;
        file.lock()?;
        let text = self.whole_rows(&mut file)?;
        Ok(HeldRegister {
            register: self,
            file,
            is_new,
            text,
        })
    }

    /// The file, made if there is none; it is for its owner alone, as the key is.
    fn open(&self) -> io::Result<(File, bool)> {
        let mut options = OpenOptions::new();
        options.read(true).append(true);
        let is_new = match plain_file::open(&self.path, Links::Follow) {
            Ok(_) => false,
            Err(e) if e.kind() == io::ErrorKind::NotFound => true,
            Err(e) => return Err(e),
        };
        #[cfg(unix)]
        {
            use std::os::unix::fs::OpenOptionsExt;
            options.mode(0o600);
        }
        let file = options.create(is_new).open(&self.path)?;
        Ok((file, is_new))
    }

    /// The text of the file. What a power cut left of an entry behind it goes: no seal
    /// was made of that one.
    fn whole_rows(&self, file: &mut File) -> io::Result<String> {
        let mut text = Vec::new();
        file.take(LARGEST + 1).read_to_end(&mut text)?;
        if text.len() as u64 > LARGEST {
            let most_bytes = LARGEST;
            return Err(plain_file::Refused::TooLarge { most_bytes }.into());
        }
        let whole = text
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |at| at + 1);
        if whole < text.len() {
            text.truncate(whole);
            file.set_len(whole as u64)?;
            file.seek(SeekFrom::End(0))?;
        }
        String::from_utf8(text).map_err(|_| plain_file::Refused::NotText.into())
    }

    /// The entries of the last series of this key and of those it replaced, each with its
    /// record's digest; none where they do not follow from each other.
    fn entries(&self, text: &str) -> Vec<Known> {
        let mut reader = ReaderBuilder::new()
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut entries: Vec<Known> = Vec::new();
        let mut broken = false;
        for row in reader.records() {
            let Some(known) = row.ok().and_then(|row| self.known(&row)) else {
                continue;
            };
            let entry = &known.entry;
            let is_sound = entry.is_sound(&known.record_sha256);
            let begins = entry.number == 1 && entry.before.bytes().all(|b| b == b'0');
            if begins && is_sound {
                (entries, broken) = (vec![known], false);
                continue;
            }
            let follows = entries
                .last()
                .is_some_and(|last| entry.follows(&last.entry));
            match is_sound && follows && !broken {
                true => entries.push(known),
                false => (entries, broken) = (Vec::new(), true),
            }
        }
        entries
    }

    /// An entry of this key or of one it replaced; `None` for a row of another.
    fn known(&self, row: &StringRecord) -> Option<Known> {
        let mut cells = row.iter();
        let mut next = || cells.next().map(str::to_owned);
        let key = next()?;
        (key == self.key || self.replaced.contains(&key)).then_some(())?;
        let (series, number, run) = (next()?, next()?, next()?);
        let record_sha256 = next()?;
        let entry = RegisterEntry {
            series,
            number: number.parse().unwrap_or(0),
            run,
            before: next()?,
            link: next()?,
        };
        Some(Known {
            is_own: key == self.key,
            entry,
            record_sha256,
        })
    }

    fn row(&self, entry: &RegisterEntry, record_sha256: &str) -> io::Result<Vec<u8>> {
        let mut writer = WriterBuilder::new().from_writer(Vec::new());
        writer.write_record([
            &self.key,
            &entry.series,
            &entry.number.to_string(),
            &entry.run,
            record_sha256,
            &entry.before,
            &entry.link,
        ])?;
        writer
            .into_inner()
            .map_err(|e| io::Error::other(e.to_string()))
    }
}

/// A row of the file.
struct Known {
    entry: RegisterEntry,
    record_sha256: String,
    /// Made by this key, not by one that it replaced.
    is_own: bool,
}

impl HeldRegister<'_> {
    /// The entry of a run: the one it has by this key, or a new one at the end, which is
    /// on the disk before this returns. Where the register is missing, or does not follow
    /// from its beginning, a new series begins, which every later seal shows.
    pub(crate) fn enter(mut self, run: &str, record_sha256: &str) -> io::Result<RegisterEntry> {
        let known = self.register.entries(&self.text);
        // an entry of a key that was replaced is no place for a seal of this one
        if let Some(same) = known
            .iter()
            .find(|k| k.is_own && k.entry.run == run && k.record_sha256 == record_sha256)
        {
            return Ok(same.entry.clone());
        }
        let last = known.last().map(|last| &last.entry);
        let series = match last {
            Some(last) => last.series.clone(),
            None => new_series()?,
        };
        let entry = RegisterEntry::next(&series, last, run, record_sha256);
        let mut rows = Vec::new();
        if self.text.is_empty() {
            rows = COLUMNS.join(",").into_bytes();
            rows.push(b'\n');
        }
        rows.extend(self.register.row(&entry, record_sha256)?);
        self.file.write_all(&rows)?;
        self.file.sync_all()?;
        if self.is_new {
            sync_folder(folder_of(&self.register.path))?;
        }
        Ok(entry)
    }

    /// The last entry.
    pub(crate) fn last(&self) -> Option<RegisterEntry> {
        let known = self.register.entries(&self.text);
        known.into_iter().next_back().map(|last| last.entry)
    }
}

fn new_series() -> io::Result<String> {
    let mut bytes = [0; 8];
    getrandom::fill(&mut bytes).map_err(|e| io::Error::other(e.to_string()))?;
    Ok(hex(&bytes))
}
