//! The keys of a page: one to look on, one to stamp marks too.

use std::fmt;

use subtle::ConstantTimeEq;

/// Random bytes of a key: 128 bits.
const BYTES: usize = 16;
/// Fewest different characters of the 32. Of random keys fewer than 1 in 10 million
/// have fewer (at most C(16,7)·(7/16)³² = 4·10⁻⁸); one that a person typed often has.
const FEWEST_DIFFERENT: usize = 8;

/// What a device that showed a key may do. The greater includes the smaller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Look on.
    View,
    /// Stamp marks and take them back, where the page offers that.
    Mark,
}

/// What lets a browser in: 128 random bits as 32 hexadecimal characters.
///
/// Its `Debug` does not show it.
#[derive(Clone)]
pub struct Key(String);

/// The two keys of a page. They always differ.
#[derive(Debug, Clone)]
pub struct Keys {
    view: Key,
    mark: Key,
}

/// Why there are no keys.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyError {
    /// The system gives no random numbers.
    #[error("this system gives no random numbers for the page's keys ({0})")]
    Random(String),
    /// The text is something else.
    #[error(
        "it does not hold the two keys of a page: a line `view` and a line `mark`, each with \
         32 hexadecimal characters"
    )]
    NotKeys,
    /// A key can be guessed.
    #[error(
        "the key behind `{0}` is weak: it must be 32 random hexadecimal characters, and this \
         one is shorter or repeats itself"
    )]
    Weak(&'static str),
    /// Whoever may look on could stamp.
    #[error("both keys are the same, so whoever may look on could stamp marks")]
    Same,
}

impl Key {
    /// A new one.
    fn random() -> Result<Self, KeyError> {
        let mut bytes = [0_u8; BYTES];
        getrandom::fill(&mut bytes).map_err(|e| KeyError::Random(e.to_string()))?;
        Ok(Self(hex(&bytes)))
    }

    fn parse(name: &'static str, text: &str) -> Result<Self, KeyError> {
        let is_hex = |b: u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
        if !text.bytes().all(is_hex) || text.len() > 2 * BYTES {
            return Err(KeyError::NotKeys);
        }
        let different: std::collections::BTreeSet<u8> = text.bytes().collect();
        if text.len() < 2 * BYTES || different.len() < FEWEST_DIFFERENT {
            return Err(KeyError::Weak(name));
        }
        Ok(Self(text.to_owned()))
    }

    /// True for this key; how long that takes does not depend on what is wrong.
    #[must_use]
    pub fn is(&self, given: &str) -> bool {
        self.0.as_bytes().ct_eq(given.as_bytes()).into()
    }

    /// Its characters, for the address that is shown to the person.
    #[must_use]
    pub fn shown(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Key(not shown)")
    }
}

impl Keys {
    /// New ones.
    ///
    /// # Errors
    /// Where the system gives no random numbers.
    pub fn random() -> Result<Self, KeyError> {
        Ok(Self {
            view: Key::random()?,
            mark: Key::random()?,
        })
    }

    /// Those in a text of the form [`Keys::to_text`] gives.
    ///
    /// # Errors
    /// Where the text is something else, or a key in it can be guessed.
    pub fn from_text(text: &str) -> Result<Self, KeyError> {
        let mut lines = text.lines().filter(|l| !l.trim().is_empty());
        let mut next = |name: &'static str| {
            let line = lines.next().ok_or(KeyError::NotKeys)?;
            let key = line.trim().strip_prefix(name);
            let key = key.filter(|k| k.is_empty() || k.starts_with(char::is_whitespace));
            Key::parse(name, key.ok_or(KeyError::NotKeys)?.trim())
        };
        let (view, mark) = (next("view")?, next("mark")?);
        if lines.next().is_some() {
            return Err(KeyError::NotKeys);
        }
        if view.is(&mark.0) {
            return Err(KeyError::Same);
        }
        Ok(Self { view, mark })
    }

    /// Both as text, to be kept where nobody else can read it.
    #[must_use]
    pub fn to_text(&self) -> String {
        format!("view {}\nmark {}\n", self.view.0, self.mark.0)
    }

    /// The key of this grade.
    #[must_use]
    pub fn of(&self, grade: Grade) -> &Key {
        match grade {
            Grade::View => &self.view,
            Grade::Mark => &self.mark,
        }
    }

    /// What this key opens. Both are looked at, whichever fits.
    pub(crate) fn grade_of(&self, given: &str) -> Option<Grade> {
        let (view, mark) = (self.view.is(given), self.mark.is(given));
        match (view, mark) {
            (_, true) => Some(Grade::Mark),
            (true, false) => Some(Grade::View),
            (false, false) => None,
        }
    }
}

/// Lower-case hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_differ_and_each_opens_its_own() {
        let (keys, other) = (Keys::random().expect("random"), Keys::random());
        let other = other.expect("random");
        let shown = |k: &Keys, grade| k.of(grade).shown().to_owned();
        let (view, mark) = (shown(&keys, Grade::View), shown(&keys, Grade::Mark));
        assert_eq!((view.len(), mark.len()), (32, 32));
        assert_ne!(view, mark);
        assert_eq!(keys.grade_of(&view), Some(Grade::View));
        assert_eq!(keys.grade_of(&mark), Some(Grade::Mark));
        let longer = format!("{view}0");
        for wrong in ["", &*shown(&other, Grade::Mark), &longer, &view[..31]] {
            assert_eq!(keys.grade_of(wrong), None, "{wrong}");
        }
        let told = format!("{keys:?}");
        assert!(!told.contains(&view) && !told.contains(&mark), "{told}");
    }

    #[test]
    fn kept_keys_are_read_back_and_weak_ones_refused() {
        let keys = Keys::random().expect("random");
        let again = Keys::from_text(&keys.to_text()).expect("as written");
        assert_eq!(again.to_text(), keys.to_text());
        let good = "0123456789abcdef0123456789abcdef";
        let other = "fedcba98765432100123456789abcdef";
        let read = |view: &str, mark: &str| {
            Keys::from_text(&format!("view {view}\r\n\r\nmark  {mark}\r\n")).map(|k| k.to_text())
        };
        assert!(read(good, other).is_ok());
        assert_eq!(read(good, good), Err(KeyError::Same));
        for weak in [
            "",
            "1234",
            &good[..31],
            &"0".repeat(32),
            &"12345670".repeat(4)[..31],
        ] {
            assert_eq!(read(weak, other), Err(KeyError::Weak("view")), "{weak}");
            assert_eq!(read(good, weak), Err(KeyError::Weak("mark")), "{weak}");
        }
        assert_eq!(read(&"ab".repeat(16), other), Err(KeyError::Weak("view")));
        let longer = format!("{good}0");
        for wrong in ["passphrase", &good.to_uppercase(), &longer, "ä"] {
            assert_eq!(read(wrong, other), Err(KeyError::NotKeys), "{wrong}");
        }
        for text in ["", good, "view", &format!("viewer {good}\nmark {other}")] {
            assert!(Keys::from_text(text).is_err(), "{text}");
        }
        let three = format!("{}view {good}\n", keys.to_text());
        assert_eq!(Keys::from_text(&three).map(|_| ()), Err(KeyError::NotKeys));
    }
}
