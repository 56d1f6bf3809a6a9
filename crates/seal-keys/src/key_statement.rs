//! What a shop states about its own key: that another one replaced it, or that it is not
//! to be trusted any more. Signed by that key itself.
//!
//! `FORMAT.md` describes the file to the byte. A file holds one statement behind the
//! other; one that does not verify says so and takes none of the others with it.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::{
    forms::{hex, hex_bytes, moment, stamp},
    public_key::PublicKey,
};

/// Name and version of the formats.
const REPLACED: &str = "dryhold.key-replaced/1";
const REVOKED: &str = "dryhold.key-revoked/1";

/// Stands before the signed bytes, so that a signature made for anything else with the
/// same key can never pass for a statement.
const DOMAIN: &[u8] = b"dryhold key statement 1\n";

/// Names of the signatures, in their order: of the old and of the new key; of the one key.
const BY_BOTH: [&str; 2] = ["signature_old", "signature_new"];
const BY_ONE: [&str; 1] = ["signature"];

const NO_END: &str = "it is cut off, or no statement";

/// Longest reason, characters.
const LONGEST_REASON: usize = 200;

/// A key was replaced by another; both have signed it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct KeyReplacement {
    /// The key that seals nothing from then on.
    pub old: PublicKey,
    /// The key that seals in its place.
    pub new: PublicKey,
    /// When, by the clock of the computer that stated it.
    pub stated_utc: DateTime<Utc>,
    /// Last entry of the register of the old key; `None` when it had none.
    pub register: Option<RegisterEnd>,
    /// Name and version of the program.
    pub software: String,
}

/// The last entry of a register when its key was replaced.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RegisterEnd {
    /// Which register.
    pub series: String,
    /// Number of its last entry.
    pub number: u64,
    /// Link of that entry, which the first of the new key repeats.
    pub link: String,
}

/// A key is not to be trusted any more; it has signed that itself.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct KeyRevocation {
    /// The key.
    pub key: PublicKey,
    /// From when it is not to be trusted; `None`: nothing that it has ever sealed.
    pub since_utc: Option<DateTime<Utc>>,
    /// Why, in one line; may be empty.
    pub reason: String,
    /// When it was stated, by the clock of the computer that did.
    pub stated_utc: DateTime<Utc>,
    /// Name and version of the program.
    pub software: String,
}

/// A statement whose signatures fit.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum KeyStatement {
    /// A key was replaced.
    Replaced(Box<KeyReplacement>),
    /// A key is not to be trusted any more.
    Revoked(Box<KeyRevocation>),
}

/// A statement that nobody can rely on.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct BadStatement {
    /// What is wrong with it.
    pub why: &'static str,
    /// Keys that are named in it.
    pub keys: Vec<PublicKey>,
    /// False when it could at most have said that a key was replaced.
    pub may_revoke: bool,
}

/// The statements of a text, one after the other, those that do not verify included.
/// Blank lines between them do not matter, nor whether lines end in LF or CRLF.
#[must_use]
pub fn read_statements(text: &str) -> Vec<Result<KeyStatement, BadStatement>> {
    let mut found = Vec::new();
    let mut block = String::new();
    for line in text.lines() {
        if block.is_empty() && line.trim().is_empty() {
            continue;
        }
        if line == "{" && !block.is_empty() {
            found.push(Err(bad(NO_END, &block)));
            block.clear();
        }
        block.push_str(line);
        block.push('\n');
        if line == "}" {
            found.push(read_one(&block));
            block.clear();
        }
    }
    if !block.is_empty() {
        found.push(Err(bad(NO_END, &block)));
    }
    found
}

/// Where the statements of a text begin, behind a key for instance.
#[must_use]
pub fn split_statements(text: &str) -> (&str, &str) {
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if line.trim_end() == "{" {
            break;
        }
        at += line.len();
    }
    text.split_at(at)
}

fn read_one(block: &str) -> Result<KeyStatement, BadStatement> {
    let broken = |why| bad(why, block);
    let not_one = || broken("it is not the text of a statement");
    let head: WireHead = serde_json::from_str(block).map_err(|_| not_one())?;
    match head.schema.as_str() {
        REPLACED => {
            let (signed, by) = cut(block, BY_BOTH).ok_or_else(not_one)?;
            let wire = serde_json::from_str::<WireReplaced>(&closed(signed)).ok();
            let stated = wire.and_then(WireReplaced::into_replacement);
            let stated = stated.ok_or_else(not_one)?;
            if stated.old == stated.new {
                return Err(broken("it replaces a key by itself"));
            }
            let text = [DOMAIN, signed.as_bytes()].concat();
            if !stated.old.has_signed(&text, &by[0]) {
                return Err(broken("the old key has not signed it"));
            }
            if !stated.new.has_signed(&text, &by[1]) {
                return Err(broken("the new key has not signed it"));
            }
            Ok(KeyStatement::Replaced(Box::new(stated)))
        }
        REVOKED => {
            let (signed, by) = cut(block, BY_ONE).ok_or_else(not_one)?;
            let wire = serde_json::from_str::<WireRevoked>(&closed(signed)).ok();
            let stated = wire.and_then(WireRevoked::into_revocation);
            let stated = stated.ok_or_else(not_one)?;
            let text = [DOMAIN, signed.as_bytes()].concat();
            if !stated.key.has_signed(&text, &by[0]) {
                return Err(broken("the key has not signed it"));
            }
            Ok(KeyStatement::Revoked(Box::new(stated)))
        }
        _ => Err(broken(
            "it is in a format that this version does not know; a later one may",
        )),
    }
}

fn bad(why: &'static str, text: &str) -> BadStatement {
    // what may be a key is one: a reader is warned rather than not
    let words = text.split('"').filter_map(PublicKey::from_hex);
    let mut keys: Vec<PublicKey> = Vec::new();
    for key in words {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    BadStatement {
        why,
        keys,
        may_revoke: !text.contains(REPLACED),
    }
}

/// The signed text, and the signatures behind it.
fn cut<'t, const N: usize>(block: &'t str, names: [&str; N]) -> Option<(&'t str, [[u8; 64]; N])> {
    let mut rest = block.strip_suffix("\n}\n")?;
    let mut signatures = [[0; 64]; N];
    for (i, name) in names.iter().enumerate().rev() {
        rest = rest.strip_suffix('"')?;
        let (before, signature) = rest.split_at_checked(rest.len().checked_sub(128)?)?;
        signatures[i] = hex_bytes(signature.as_bytes())?;
        rest = before.strip_suffix(&format!("  \"{name}\": \""))?;
        // the first ends the signed text, with its line end
        if i > 0 {
            rest = rest.strip_suffix(",\n")?;
        }
    }
    rest.ends_with(",\n").then_some((rest, signatures))
}

/// The signed text as JSON.
fn closed(signed: &str) -> String {
    format!("{}\n}}", signed.trim_end_matches(",\n"))
}

/// Signs bytes with a private key.
type Sign<'k> = &'k dyn Fn(&[u8]) -> [u8; 64];

/// The text of a statement, and its signatures, each made by one of these.
fn signed<const N: usize>(
    wire: &impl Serialize,
    names: [&str; N],
    sign: [Sign<'_>; N],
) -> Option<String> {
    let pretty = serde_json::to_string_pretty(wire).ok()?;
    let mut text = format!("{},\n", pretty.strip_suffix("\n}")?);
    let bytes = [DOMAIN, text.as_bytes()].concat();
    let lines = names.iter().zip(sign).map(|(name, sign)| {
        let signature = hex(&sign(&bytes));
        format!("  \"{name}\": \"{signature}\"")
    });
    text.push_str(&lines.collect::<Vec<_>>().join(",\n"));
    text.push_str("\n}\n");
    Some(text)
}

impl KeyReplacement {
    /// The text of the statement, signed by both keys.
    pub(crate) fn to_text(
        &self,
        by_old: impl Fn(&[u8]) -> [u8; 64],
        by_new: impl Fn(&[u8]) -> [u8; 64],
    ) -> Option<String> {
        let wire = WireReplaced {
            schema: REPLACED.into(),
            software: self.software.clone(),
            stated_utc: stamp(self.stated_utc),
            old_key: self.old.to_hex(),
            new_key: self.new.to_hex(),
            register: self.register.clone(),
        };
        signed(&wire, BY_BOTH, [&by_old, &by_new])
    }
}

impl KeyRevocation {
    /// The text of the statement, signed by the key itself.
    pub(crate) fn to_text(&self, by: impl Fn(&[u8]) -> [u8; 64]) -> Option<String> {
        let wire = WireRevoked {
            schema: REVOKED.into(),
            software: self.software.clone(),
            stated_utc: stamp(self.stated_utc),
            key: self.key.to_hex(),
            since_utc: self.since_utc.map(stamp),
            reason: self.reason.clone(),
        };
        signed(&wire, BY_ONE, [&by])
    }
}

#[derive(Deserialize)]
struct WireHead {
    schema: String,
}

#[derive(Serialize, Deserialize)]
struct WireReplaced {
    schema: String,
    software: String,
    stated_utc: String,
    old_key: String,
    new_key: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    register: Option<RegisterEnd>,
}

#[derive(Serialize, Deserialize)]
struct WireRevoked {
    schema: String,
    software: String,
    stated_utc: String,
    key: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    since_utc: Option<String>,
    reason: String,
}

impl WireReplaced {
    /// `None` when something in it cannot be.
    fn into_replacement(self) -> Option<KeyReplacement> {
        Some(KeyReplacement {
            old: PublicKey::from_hex(&self.old_key)?,
            new: PublicKey::from_hex(&self.new_key)?,
            stated_utc: moment(&self.stated_utc)?,
            register: match self.register {
                Some(end) if end.is_sound() => Some(end),
                Some(_) => return None,
                None => None,
            },
            software: self.software,
        })
    }
}

impl RegisterEnd {
    fn is_sound(&self) -> bool {
        self.number > 0
            && hex_bytes::<8>(self.series.as_bytes()).is_some()
            && hex_bytes::<32>(self.link.as_bytes()).is_some()
    }
}

impl WireRevoked {
    /// `None` when something in it cannot be.
    fn into_revocation(self) -> Option<KeyRevocation> {
        Some(KeyRevocation {
            key: PublicKey::from_hex(&self.key)?,
            since_utc: match self.since_utc {
                Some(text) => Some(moment(&text)?),
                None => None,
            },
            reason: one_line_reason(&self.reason),
            stated_utc: moment(&self.stated_utc)?,
            software: self.software,
        })
    }
}

/// A reason as it is said: one line of a bounded length.
pub(crate) fn one_line_reason(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let visible = |c: &char| !c.is_control();
    words
        .join(" ")
        .chars()
        .filter(visible)
        .take(LONGEST_REASON)
        .collect()
}

#[cfg(test)]
mod tests;
