//! `seal.json`: its bytes, what of them is signed, and reading it back.

use chrono::{DateTime, Utc};
use seal_keys::{
    PublicKey, RegisterEntry, SealFacts, SealKey,
    forms::{hex, hex_bytes, moment, stamp},
};
use serde::{Deserialize, Serialize};

use super::contents::{FileDigest, FileKind, is_plain_name};
use crate::link::{LINK_LEN, Link};

/// Name and version of the format.
const SCHEMA: &str = "dryhold.seal/1";

/// Stands before the signed bytes of the file, so that a signature made for
/// anything else with the same key can never pass for a seal.
const DOMAIN: &[u8] = b"dryhold seal 1\n";

/// What follows the signed bytes, before and behind the signature.
const BEFORE_SIGNATURE: &[u8] = b"  \"signature\": \"";
const BEHIND_SIGNATURE: &[u8] = b"\"\n}\n";

/// Characters of a link that a seal keeps of a row.
pub(crate) const KEPT: usize = 6;

/// A seal as it was signed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Seal {
    /// Name and version of the program that sealed.
    pub software: String,
    /// When the record was sealed, by the clock of the computer that did.
    pub sealed_utc: DateTime<Utc>,
    /// True when it was sealed at a later start and not when recording ended.
    pub later: bool,
    /// When the files made from the record were made and sealed anew, if they were.
    pub products_utc: Option<DateTime<Utc>>,
    /// Digest of the record as a whole; the sheet prints it.
    pub record_sha256: String,
    /// Its place in the register of the key; `None` where that could not be written, and
    /// in seals of before there was one.
    pub register: Option<RegisterEntry>,
    /// The key that signed.
    pub key: PublicKey,
    /// Every file it covers.
    pub(crate) files: Vec<SealedFile>,
    /// Every trace it covers.
    pub(crate) traces: Vec<SealedTrace>,
}

/// One file as it was sealed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SealedFile {
    pub(crate) name: String,
    pub(crate) kind: FileKind,
    pub(crate) digest: FileDigest,
}

/// The rows of one file of a trace as they were sealed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SealedTrace {
    pub(crate) name: String,
    /// Lines below the header, whole rows or not.
    pub(crate) lines: u64,
    /// Whole rows among them.
    pub(crate) rows: u64,
    /// Which line the last whole row is; 0 without one.
    pub(crate) last_line: u64,
    /// Stamp of the last whole row, as it stands there.
    pub(crate) last_utc: Option<String>,
    /// Link before the first row.
    pub(crate) seed: Link,
    /// Link of the last whole row; the seed without one.
    pub(crate) last_link: Link,
    /// A part of a link is kept of every so manieth line.
    pub(crate) every: u64,
    /// The first [`KEPT`] characters of those links, one after another;
    /// [`NO_ROW`] for a line that was no whole row.
    pub(crate) links: String,
}

/// Stands for the link of a line that was no whole row.
pub(crate) const NO_ROW: &str = "------";

impl SealedTrace {
    /// Of a file without a row.
    pub(crate) fn start(seed: Link) -> Self {
        Self {
            name: String::new(),
            lines: 0,
            rows: 0,
            last_line: 0,
            last_utc: None,
            seed,
            last_link: seed,
            every: 1,
            links: String::new(),
        }
    }

    /// What was kept of this line's link; lines below the header count from 1.
    pub(crate) fn kept(&self, line: u64) -> Option<&[u8]> {
        if line == self.last_line {
            return Some(&self.last_link.as_bytes()[..KEPT]);
        }
        let place = line.is_multiple_of(self.every).then(|| line / self.every)?;
        let start = usize::try_from(place).ok()?.checked_sub(1)? * KEPT;
        self.links.as_bytes().get(start..start + KEPT)
    }
}

impl Seal {
    /// Last stamp of the judged trace and its continuations.
    #[must_use]
    pub fn last_row_utc(&self) -> Option<DateTime<Utc>> {
        let judged = self.traces.iter().filter(|t| t.name.starts_with("trace."));
        let stamps = judged.filter_map(|t| t.last_utc.as_deref());
        stamps
            .filter_map(|t| DateTime::parse_from_rfc3339(t).ok())
            .map(|t| t.with_timezone(&Utc))
            .max()
    }

    /// What tells whether its key still counted when it was made.
    pub(crate) fn facts(&self) -> SealFacts {
        SealFacts {
            sealed_utc: self.sealed_utc,
            products_utc: self.products_utc,
            register: self.register.clone(),
        }
    }

    /// The bytes of `seal.json`, signed.
    pub(super) fn to_bytes(&self, key: &SealKey) -> Option<Vec<u8>> {
        let pretty = serde_json::to_string_pretty(&WireSeal::from(self)).ok()?;
        let mut bytes = pretty.strip_suffix("\n}")?.as_bytes().to_vec();
        bytes.extend_from_slice(b",\n");
        let signature = key.sign(&[DOMAIN, &bytes].concat());
        bytes.extend_from_slice(BEFORE_SIGNATURE);
        bytes.extend_from_slice(hex(&signature).as_bytes());
        bytes.extend_from_slice(BEHIND_SIGNATURE);
        Some(bytes)
    }
}

/// What the bytes of a `seal.json` turned out to be.
#[derive(Debug)]
pub(crate) enum Opened {
    /// Signed by the key it names, and understood.
    Signed(Box<Seal>),
    /// Signed by the key it names, in a format that this version does not know.
    Newer { schema: String, key: PublicKey },
    /// Not as any key left it.
    Broken { why: &'static str },
}

/// Reads a seal and checks its signature against the key it names.
///
/// Nothing is lenient here: every byte is either signed or fixed.
pub(crate) fn open(bytes: &[u8]) -> Opened {
    let Some((signed, signature)) = cut(bytes) else {
        return Opened::Broken {
            why: "it does not end in a signature as a seal does",
        };
    };
    let mut closed = signed[..signed.len() - 2].to_vec();
    closed.extend_from_slice(b"\n}");
    let Ok(head) = serde_json::from_slice::<WireHead>(&closed) else {
        return Opened::Broken {
            why: "it is not the text of a seal",
        };
    };
    let Some(key) = PublicKey::from_hex(&head.public_key) else {
        return Opened::Broken {
            why: "the public key in it is none",
        };
    };
    if !key.has_signed(&[DOMAIN, signed].concat(), &signature) {
        return Opened::Broken {
            why: "its signature does not fit its text",
        };
    }
    if head.schema != SCHEMA {
        let schema = head.schema.chars().filter(|c| !c.is_control()).take(40);
        return Opened::Newer {
            schema: schema.collect(),
            key,
        };
    }
    match serde_json::from_slice::<WireSeal>(&closed)
        .ok()
        .and_then(|wire| wire.into_seal(key))
    {
        Some(seal) => Opened::Signed(Box::new(seal)),
        None => Opened::Broken {
            why: "it is signed, but something is missing in it",
        },
    }
}

/// The signed bytes of the file, and the signature behind them.
fn cut(bytes: &[u8]) -> Option<(&[u8], [u8; 64])> {
    let rest = bytes.strip_suffix(BEHIND_SIGNATURE)?;
    let (rest, signature) = rest.split_at_checked(rest.len().checked_sub(128)?)?;
    let signed = rest.strip_suffix(BEFORE_SIGNATURE)?;
    (signed.ends_with(b",\n")).then_some(())?;
    Some((signed, hex_bytes(signature)?))
}

/// What has to be known before anything else is believed.
#[derive(Deserialize)]
struct WireHead {
    schema: String,
    public_key: String,
}

#[derive(Serialize, Deserialize)]
struct WireSeal {
    schema: String,
    software: String,
    sealed_utc: String,
    moment: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    products_utc: Option<String>,
    record_sha256: String,
    public_key: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    register: Option<WireRegister>,
    files: Vec<WireFile>,
    traces: Vec<WireTrace>,
}

#[derive(Serialize, Deserialize)]
struct WireRegister {
    series: String,
    number: u64,
    run: String,
    before: String,
    link: String,
}

#[derive(Serialize, Deserialize)]
struct WireFile {
    name: String,
    kind: String,
    bytes: u64,
    sha256: String,
}

#[derive(Serialize, Deserialize)]
struct WireTrace {
    name: String,
    lines: u64,
    rows: u64,
    last_line: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    last_utc: Option<String>,
    seed: String,
    last_link: String,
    every: u64,
    links: String,
}

const AT_THE_END: &str = "at the end of recording";
const LATER: &str = "later";

impl From<&Seal> for WireSeal {
    fn from(seal: &Seal) -> Self {
        Self {
            schema: SCHEMA.into(),
            software: seal.software.clone(),
            sealed_utc: stamp(seal.sealed_utc),
            moment: if seal.later { LATER } else { AT_THE_END }.into(),
            products_utc: seal.products_utc.map(stamp),
            record_sha256: seal.record_sha256.clone(),
            public_key: seal.key.to_hex(),
            register: seal.register.as_ref().map(WireRegister::from),
            files: seal.files.iter().map(WireFile::from).collect(),
            traces: seal.traces.iter().map(WireTrace::from).collect(),
        }
    }
}

impl From<&RegisterEntry> for WireRegister {
    fn from(entry: &RegisterEntry) -> Self {
        let entry = entry.clone();
        Self {
            series: entry.series,
            number: entry.number,
            run: entry.run,
            before: entry.before,
            link: entry.link,
        }
    }
}

impl From<&SealedFile> for WireFile {
    fn from(file: &SealedFile) -> Self {
        Self {
            name: file.name.clone(),
            kind: file.kind.word().into(),
            bytes: file.digest.bytes,
            sha256: file.digest.sha256.clone(),
        }
    }
}

impl From<&SealedTrace> for WireTrace {
    fn from(trace: &SealedTrace) -> Self {
        Self {
            name: trace.name.clone(),
            lines: trace.lines,
            rows: trace.rows,
            last_line: trace.last_line,
            last_utc: trace.last_utc.clone(),
            seed: trace.seed.to_string(),
            last_link: trace.last_link.to_string(),
            every: trace.every,
            links: trace.links.clone(),
        }
    }
}

impl WireSeal {
    /// `None` when something in it cannot be.
    fn into_seal(self, key: PublicKey) -> Option<Seal> {
        Some(Seal {
            software: self.software,
            sealed_utc: moment(&self.sealed_utc)?,
            later: match self.moment.as_str() {
                AT_THE_END => false,
                LATER => true,
                _ => return None,
            },
            products_utc: match self.products_utc {
                Some(text) => Some(moment(&text)?),
                None => None,
            },
            register: match self.register {
                Some(wire) => Some(wire.into_entry(&self.record_sha256)?),
                None => None,
            },
            record_sha256: self.record_sha256,
            key,
            files: self
                .files
                .into_iter()
                .map(WireFile::into_file)
                .collect::<Option<_>>()?,
            traces: self
                .traces
                .into_iter()
                .map(WireTrace::into_trace)
                .collect::<Option<_>>()?,
        })
    }
}

impl WireRegister {
    fn into_entry(self, record_sha256: &str) -> Option<RegisterEntry> {
        let entry = RegisterEntry {
            series: self.series,
            number: self.number,
            run: self.run,
            before: self.before,
            link: self.link,
        };
        entry.is_sound(record_sha256).then_some(entry)
    }
}

impl WireFile {
    fn into_file(self) -> Option<SealedFile> {
        // a seal may come from anybody: it names no file outside its folder
        is_plain_name(&self.name).then_some(())?;
        hex_bytes::<32>(self.sha256.as_bytes())?;
        Some(SealedFile {
            kind: FileKind::from_word(&self.kind)?,
            digest: FileDigest {
                bytes: self.bytes,
                sha256: self.sha256,
            },
            name: self.name,
        })
    }
}

impl WireTrace {
    fn into_trace(self) -> Option<SealedTrace> {
        is_plain_name(&self.name).then_some(())?;
        let kept = self.links.len() as u64;
        let whole = self
            .links
            .bytes()
            .all(|b| b.is_ascii_hexdigit() || b == b'-')
            && self.every > 0
            && kept == self.lines / self.every * KEPT as u64;
        whole.then_some(())?;
        let link = |text: &str| {
            (text.len() == LINK_LEN).then_some(())?;
            Link::from_text(text.as_bytes())
        };
        Some(SealedTrace {
            seed: link(&self.seed)?,
            last_link: link(&self.last_link)?,
            name: self.name,
            lines: self.lines,
            rows: self.rows,
            last_line: self.last_line,
            last_utc: self.last_utc,
            every: self.every,
            links: self.links,
        })
    }
}

#[cfg(test)]
mod tests;
