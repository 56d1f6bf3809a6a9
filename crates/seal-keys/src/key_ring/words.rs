//! What is known of a key, in words.

use std::fmt;

use chrono::{DateTime, Utc};

use super::{DoubtfulStatement, KeyStanding, KeyTrouble};

/// Date and time as they are said of a seal: "2026-03-14 09:15:00 UTC".
fn stamp(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%d %H:%M:%S UTC").to_string()
}

impl KeyStanding {
    /// How statements lead from this key to one that was given, behind its fingerprint:
    /// "which replaced A on 2026-03-14 09:15:00 UTC". `None` where the key itself was
    /// given, or is not known.
    #[must_use]
    pub fn way_in_words(&self) -> Option<String> {
        let mut words: Vec<String> = Vec::new();
        for step in self.way.iter().rev() {
            let stated = &step.statement;
            let (old, new) = (stated.old.fingerprint(), stated.new.fingerprint());
            let on = stamp(stated.stated_utc);
            words.push(match (words.is_empty(), step.forwards) {
                (true, true) => format!("which replaced {old} on {on}"),
                (true, false) => format!("which {new} replaced on {on}"),
                (false, _) => format!("{new} replaced {old} on {on}"),
            });
        }
        (!words.is_empty()).then(|| words.join("; "))
    }
}

impl fmt::Display for KeyTrouble {
    /// A sentence without its full stop.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Revoked(entry) => {
                write!(f, "The key {} is not to be trusted", entry.fingerprint)?;
                if let Some(since) = entry.since_utc {
                    write!(f, " since {}", stamp(since))?;
                }
                if !entry.reason.is_empty() {
                    write!(f, ": {}", entry.reason)?;
                }
                write!(f, " ({})", entry.source)
            }
            Self::AfterReplacement {
                replaced,
                dated_utc,
            } => write!(
                f,
                "The key {} was replaced by {} on {}, and this seal is dated {}: whoever still \
                 holds the old key made it",
                replaced.old.fingerprint(),
                replaced.new.fingerprint(),
                stamp(replaced.stated_utc),
                stamp(*dated_utc)
            ),
            Self::NumberOutOfLine { replaced, number } => {
                let last = replaced.register.as_ref().map_or(0, |end| end.number);
                write!(
                    f,
                    "Number {number} in the register does not fit the statement that {} replaced \
                     {}: the old key ended with number {last}, and the new one goes on from it",
                    replaced.new.fingerprint(),
                    replaced.old.fingerprint()
                )
            }
            Self::Doubtful(statement) => write!(
                f,
                "A statement names this key and may revoke it, but does not verify: {statement}"
            ),
        }
    }
}

impl fmt::Display for DoubtfulStatement {
    /// File and reason.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.source, self.why)
    }
}
