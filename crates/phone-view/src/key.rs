//! The key of a page.

use std::{fmt, fs, io, path::Path};

use subtle::ConstantTimeEq;

/// Random bytes of a key: 128 bits.
const BYTES: usize = 16;

/// What lets a browser in: 128 random bits as 32 hexadecimal characters.
///
/// Its `Debug` does not show it.
#[derive(Clone)]
pub struct Key(String);

/// Why there is no key.
#[derive(Debug, thiserror::Error)]
pub enum KeyError {
    /// The system gives no random numbers.
    #[error("this system gives no random numbers for the page's key ({0})")]
    Random(String),
    /// The file holds something else.
    #[error(
        "{file} does not hold a page's key (32 hexadecimal characters); delete it, and a new \
         one is made"
    )]
    NotAKey {
        /// The file.
        file: String,
    },
    /// The file cannot be read or written.
    #[error("{file}: {source}")]
    File {
        /// The file.
        file: String,
        /// Why.
        source: io::Error,
    },
}

impl Key {
    /// A new one.
    ///
    /// # Errors
    /// Where the system gives no random numbers.
    pub fn new() -> Result<Self, KeyError> {
        let mut bytes = [0_u8; BYTES];
        getrandom::fill(&mut bytes).map_err(|e| KeyError::Random(e.to_string()))?;
        Ok(Self(bytes.iter().map(|b| format!("{b:02x}")).collect()))
    }

    /// The one in this file; made, readable for its owner only, where there is no file.
    ///
    /// # Errors
    /// Where the file cannot be read or made, or holds something else.
    pub fn kept_in(path: &Path) -> Result<Self, KeyError> {
        let file = path.display().to_string();
        match fs::read_to_string(path) {
            Ok(text) => {
                let text = text.trim();
                let sound = text.len() == 2 * BYTES
                    && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
                match sound {
                    true => Ok(Self(text.to_owned())),
                    false => Err(KeyError::NotAKey { file }),
                }
            }
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                let key = Self::new()?;
                keep(path, &key.0).map_err(|source| KeyError::File { file, source })?;
                Ok(key)
            }
            Err(source) => Err(KeyError::File { file, source }),
        }
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

fn keep(path: &Path, text: &str) -> io::Result<()> {
    use io::Write;
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    writeln!(file, "{text}")?;
    file.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_differ_and_only_the_right_one_fits() {
        let (key, other) = (Key::new().expect("random"), Key::new().expect("random"));
        assert_eq!(key.shown().len(), 32);
        assert_ne!(key.shown(), other.shown());
        assert!(key.is(key.shown()));
        let longer = format!("{}0", key.shown());
        for wrong in ["", other.shown(), &longer, &key.shown()[..31]] {
            assert!(!key.is(wrong), "{wrong}");
        }
        assert!(!format!("{key:?}").contains(key.shown()));
    }

    #[test]
    fn a_kept_key_stays_the_same_and_is_for_its_owner() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("page.key");
        let key = Key::kept_in(&path).expect("made");
        assert!(Key::kept_in(&path).expect("read").is(key.shown()));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(&path).expect("there").permissions().mode();
            assert_eq!(mode & 0o077, 0, "{mode:o}");
        }
        fs::write(&path, "1234").expect("written");
        let refused = Key::kept_in(&path).expect_err("too short");
        assert!(refused.to_string().contains("page.key"), "{refused}");
    }
}
