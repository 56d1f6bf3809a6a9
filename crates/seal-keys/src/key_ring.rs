//! What whoever checks records knows of keys: which they were given, which keys replaced
//! those, and which are not to be trusted any more.
//!
//! A key is *known* when it was given, or when statements lead to it from one that was:
//! forwards, because the old key has signed that the new one replaced it, or backwards,
//! because the new key has signed that it replaced the old one. A key that was revoked
//! vouches for no other, whatever the date in its statement: a thief writes any date.

mod words;

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, TimeDelta, Utc};

use super::{
    key_statement::{BadStatement, KeyReplacement, KeyStatement},
    public_key::PublicKey,
    register::RegisterEntry,
    revoked_list::RevokedKey,
};

/// How far a statement may be ahead of the clock of whoever checks it.
const CLOCKS_DIFFER: TimeDelta = TimeDelta::days(1);

/// Bytes of a public key, in which keys are compared and ordered.
type Bytes = [u8; 32];

/// What is known of keys.
#[derive(Debug, Clone, Default)]
pub struct KeyRing {
    given: Vec<PublicKey>,
    /// By which statements a key is known, from a given one to it.
    known: BTreeMap<Bytes, Vec<KeyStep>>,
    /// When a key was replaced, by its earliest statement, and by which keys.
    replaced: BTreeMap<Bytes, Vec<KeyReplacement>>,
    /// By which statement a key replaced another; the first that is believed.
    replaces: BTreeMap<Bytes, KeyReplacement>,
    revoked: BTreeMap<String, RevokedKey>,
    doubtful: Vec<DoubtfulStatement>,
}

/// One statement on the way from a given key to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyStep {
    /// The statement.
    pub statement: KeyReplacement,
    /// True when it leads from the old key to the new one.
    pub forwards: bool,
}

/// A statement that is not believed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoubtfulStatement {
    /// The file it stands in.
    pub source: String,
    /// Why it is not believed.
    pub why: String,
    /// Keys that are named in it.
    pub keys: Vec<PublicKey>,
    /// True when it may have been the revocation of one of them.
    pub may_revoke: bool,
}

/// What a seal says that tells whether its key still counted when it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct SealFacts {
    /// When the record was sealed, by the clock of the computer that did.
    pub sealed_utc: DateTime<Utc>,
    /// When the files made from the record were sealed anew, if they were.
    pub products_utc: Option<DateTime<Utc>>,
    /// Its place in the register of the key.
    pub register: Option<RegisterEntry>,
}

/// What is known of the key of a seal.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct KeyStanding {
    /// True when keys were given, and this is none of them, nor known by statements.
    pub is_unknown: bool,
    /// Statements that lead from a given key to this one; empty where it was given.
    pub way: Vec<KeyStep>,
    /// Why its seal is not to be trusted.
    pub trouble: Option<KeyTrouble>,
    /// Statements on this key that are not believed.
    pub doubtful: Vec<DoubtfulStatement>,
}

impl KeyStanding {
    /// True when somebody says that the key is not to be trusted, or may have said so.
    #[must_use]
    pub fn is_revoked(&self) -> bool {
        matches!(
            self.trouble,
            Some(KeyTrouble::Revoked(_) | KeyTrouble::Doubtful(_))
        )
    }
}

/// Why a seal whose signature fits is not to be trusted.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum KeyTrouble {
    /// The key is not to be trusted any more.
    Revoked(RevokedKey),
    /// The seal is dated after the key was replaced.
    AfterReplacement {
        /// The statement.
        replaced: Box<KeyReplacement>,
        /// Date of the seal, or of the products it was made anew for.
        dated_utc: DateTime<Utc>,
    },
    /// The number in the register cannot be one of this key: it lies behind the last one
    /// before the key was replaced, or, for the new key, not behind it.
    NumberOutOfLine {
        /// The statement.
        replaced: Box<KeyReplacement>,
        /// The number in the seal.
        number: u64,
    },
    /// A statement names this key and does not verify. It may be the revocation of it.
    Doubtful(DoubtfulStatement),
}

/// What a key ring is made of: everything that whoever checks records was given.
#[derive(Debug, Clone, Default)]
pub struct KeyRingParts {
    /// Public keys.
    pub given: Vec<PublicKey>,
    /// Statements, each with the name of its file.
    pub statements: Vec<(String, Result<KeyStatement, BadStatement>)>,
    /// Entries of lists of keys that are not trusted.
    pub revoked: Vec<RevokedKey>,
}

impl KeyRing {
    /// Weighs what was given at a moment, by the clock of whoever checks.
    #[must_use]
    pub fn new(parts: KeyRingParts, now: DateTime<Utc>) -> Self {
        let mut ring = Self {
            given: parts.given,
            ..Self::default()
        };
        parts
            .revoked
            .into_iter()
            .for_each(|entry| ring.revoke(entry));
        let mut replacements: Vec<(String, KeyReplacement)> = Vec::new();
        for (source, statement) in parts.statements {
            match statement {
                Ok(KeyStatement::Revoked(stated)) => ring.revoke(RevokedKey {
                    fingerprint: stated.key.fingerprint(),
                    since_utc: stated.since_utc,
                    reason: stated.reason,
                    source: format!("the shop's own statement in {source}"),
                }),
                Ok(KeyStatement::Replaced(stated)) => {
                    // the same statement once more says nothing new
                    if !replacements.iter().any(|(_, known)| *known == *stated) {
                        replacements.push((source, *stated));
                    }
                }
                Err(bad) => ring.doubtful.push(DoubtfulStatement {
                    source,
                    why: bad.why.to_owned(),
                    keys: bad.keys,
                    may_revoke: bad.may_revoke,
                }),
            }
        }
        ring.weigh(replacements, now);
        ring
    }

    /// Of several revocations of a key the widest counts.
    fn revoke(&mut self, entry: RevokedKey) {
        let known = self.revoked.get(&entry.fingerprint);
        // none, which sorts first, is always
        if known.is_none_or(|known| entry.since_utc < known.since_utc) {
            self.revoked.insert(entry.fingerprint.clone(), entry);
        }
    }

    fn weigh(&mut self, mut all: Vec<(String, KeyReplacement)>, now: DateTime<Utc>) {
        all.sort_by_key(|(_, stated)| stated.stated_utc);
        for (_, stated) in &all {
            let of_old = self.replaced.entry(bytes(&stated.old)).or_default();
            of_old.push(stated.clone());
        }
        let mut believed: Vec<(String, KeyReplacement)> = Vec::new();
        for (source, stated) in all {
            match self.why_not(&stated, now) {
                Some(why) => self.doubt(source, &stated, why),
                None => believed.push((source, stated)),
            }
        }
        for (_, stated) in &believed {
            let first = self.replaces.entry(bytes(&stated.new));
            first.or_insert_with(|| stated.clone());
        }
        self.walk(&believed);
        for (source, stated) in believed {
            let reached = |key: &PublicKey| self.known.contains_key(&bytes(key));
            if self.is_revoked(&stated.old) && reached(&stated.old) && !reached(&stated.new) {
                let why = "the old key was revoked, and a revoked key vouches for no other: have \
                           the shop hand on the new key, and compare its fingerprint by telephone";
                self.doubt(source, &stated, why.to_owned());
            }
        }
    }

    fn doubt(&mut self, source: String, stated: &KeyReplacement, why: String) {
        self.doubtful.push(DoubtfulStatement {
            source,
            why,
            keys: vec![stated.new],
            may_revoke: false,
        });
    }

    /// What a replacement has against it, beside revocations.
    fn why_not(&self, stated: &KeyReplacement, now: DateTime<Utc>) -> Option<String> {
        if stated.stated_utc > now + CLOCKS_DIFFER {
            return Some(format!(
                "it is dated {}, which is still to come: compare the clocks",
                stated.stated_utc.format("%Y-%m-%d")
            ));
        }
        let of = |key: &PublicKey| self.replaced.get(&bytes(key));
        let others = of(&stated.old).into_iter().flatten();
        if let Some(other) = others.clone().find(|o| o.new != stated.new) {
            return Some(format!(
                "the key {} says that {} replaced it, and also that {} did: one of the two was \
                 not made by the shop",
                stated.old.fingerprint(),
                stated.new.fingerprint(),
                other.new.fingerprint()
            ));
        }
        if others.clone().any(|o| o.stated_utc < stated.stated_utc) {
            return Some("there is an earlier one by the same keys, and that one counts".into());
        }
        // a later key of the line that says it replaced this one's old key: a circle
        let mut seen = BTreeSet::new();
        let mut next = stated.new;
        while seen.insert(bytes(&next)) {
            if next == stated.old {
                return Some("the keys in it replace each other in a circle".into());
            }
            let Some(further) = of(&next).and_then(|all| all.first()) else {
                break;
            };
            next = further.new;
        }
        let made = self.replaced.values().flatten();
        let mut made = made.filter(|earlier| earlier.new == stated.old);
        if made.any(|earlier| earlier.stated_utc > stated.stated_utc) {
            return Some("it is dated before its old key came into use".into());
        }
        None
    }

    /// Follows the statements from the given keys.
    fn walk(&mut self, believed: &[(String, KeyReplacement)]) {
        let mut waiting: Vec<PublicKey> = self.given.clone();
        for key in &waiting {
            self.known.insert(bytes(key), Vec::new());
        }
        while let Some(key) = waiting.pop() {
            if self.is_revoked(&key) {
                continue;
            }
            let way = self.known.get(&bytes(&key)).cloned().unwrap_or_default();
            for (_, stated) in believed {
                let forwards = stated.old == key;
                let to = match forwards {
                    true => stated.new,
                    false if stated.new == key => stated.old,
                    false => continue,
                };
                if self.known.contains_key(&bytes(&to)) {
                    continue;
                }
                let mut further = way.clone();
                further.push(KeyStep {
                    statement: stated.clone(),
                    forwards,
                });
                self.known.insert(bytes(&to), further);
                waiting.push(to);
            }
        }
    }

    fn is_revoked(&self, key: &PublicKey) -> bool {
        self.revoked.contains_key(&key.fingerprint())
    }

    /// True when no key was given: then it does not matter whose a seal is.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.given.is_empty()
    }

    /// Whether a key is known; `None` when none was given.
    #[must_use]
    pub fn knows(&self, key: &PublicKey) -> Option<bool> {
        (!self.is_empty()).then(|| self.known.contains_key(&bytes(key)))
    }

    /// Statements that are not believed.
    #[must_use]
    pub fn doubtful(&self) -> &[DoubtfulStatement] {
        &self.doubtful
    }

    /// The first of the keys of one shop that this one follows, as the statements that
    /// are believed say, and the keys after it up to this one.
    #[must_use]
    pub fn line_of(&self, key: &PublicKey) -> Vec<PublicKey> {
        let mut line = vec![*key];
        let is_known = |key: &PublicKey| self.known.contains_key(&bytes(key));
        while let Some(stated) = line.last().and_then(|k| self.replaces.get(&bytes(k))) {
            // statements make no circles, and nobody hides behind an unknown key
            if !is_known(&stated.old) || !is_known(&stated.new) || line.contains(&stated.old) {
                break;
            }
            line.push(stated.old);
        }
        line.reverse();
        line
    }

    /// What is known of the key of a seal; of the key alone where the seal cannot be
    /// read.
    #[must_use]
    pub fn standing(&self, key: &PublicKey, seal: Option<&SealFacts>) -> KeyStanding {
        let is_unknown = self.knows(key) == Some(false);
        let on_this = self.doubtful.iter().filter(|d| d.keys.contains(key));
        KeyStanding {
            is_unknown,
            way: self.known.get(&bytes(key)).cloned().unwrap_or_default(),
            trouble: self.trouble(key, seal),
            doubtful: on_this.cloned().collect(),
        }
    }

    fn trouble(&self, key: &PublicKey, seal: Option<&SealFacts>) -> Option<KeyTrouble> {
        let dated_utc = seal.map(|s| s.products_utc.map_or(s.sealed_utc, |t| t.max(s.sealed_utc)));
        if let Some(entry) = self.revoked.get(&key.fingerprint()) {
            // a seal that cannot be read has no date
            let counts = entry.since_utc.zip(dated_utc);
            if counts.is_none_or(|(since, dated)| dated >= since) {
                return Some(KeyTrouble::Revoked(entry.clone()));
            }
        }
        if let Some(bad) = self
            .doubtful
            .iter()
            .find(|d| d.may_revoke && d.keys.contains(key))
        {
            return Some(KeyTrouble::Doubtful(bad.clone()));
        }
        let by_this = self.replaced.get(&bytes(key)).and_then(|all| all.first());
        if let Some((replaced, dated_utc)) = by_this.zip(dated_utc)
            && dated_utc > replaced.stated_utc
        {
            return Some(KeyTrouble::AfterReplacement {
                replaced: Box::new(replaced.clone()),
                dated_utc,
            });
        }
        let entry = seal?.register.as_ref()?;
        let out_of_line = |replaced: &KeyReplacement, fits: &dyn Fn(u64, &str) -> bool| {
            let end = replaced.register.as_ref()?;
            let is_out = end.series == entry.series && !fits(end.number, &end.link);
            is_out.then(|| KeyTrouble::NumberOutOfLine {
                replaced: Box::new(replaced.clone()),
                number: entry.number,
            })
        };
        let old = by_this.and_then(|replaced| {
            out_of_line(replaced, &|last, link| {
                entry.number < last || entry.number == last && entry.link == link
            })
        });
        old.or_else(|| {
            out_of_line(self.replaces.get(&bytes(key))?, &|last, link| {
                let is_next = last.checked_add(1) == Some(entry.number);
                entry.number > last && (!is_next || entry.before == link)
            })
        })
    }
}

fn bytes(key: &PublicKey) -> Bytes {
    key.0.to_bytes()
}

#[cfg(test)]
mod tests;
