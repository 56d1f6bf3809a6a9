//! A passphrase in memory: typed, or read from a file; cleared when it is dropped.

use std::{
    fmt,
    fs::File,
    io::{self, Read},
    path::Path,
};

use plain_file::Links;
use zeroize::Zeroizing;

use super::{
    error::{KeyError, KeyProblem},
    private_file::open_to_others,
};

/// Longest passphrase, bytes.
const LONGEST: usize = 1024;

/// Byte-order mark that some editors write first.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// What a private key is locked with, at most 1024 bytes. Its memory is overwritten when
/// it is dropped, and never moved before.
pub struct Passphrase(Zeroizing<Vec<u8>>);

impl Passphrase {
    /// An empty one, to be typed.
    #[must_use]
    pub fn new() -> Self {
        // room for all from the first: a vector that grows leaves copies behind
        Self(Zeroizing::new(Vec::with_capacity(LONGEST + 64)))
    }

    /// Adds a byte of what was typed. False where there is no room for it.
    pub fn push(&mut self, byte: u8) -> bool {
        let fits = self.0.len() < LONGEST;
        if fits {
            self.0.push(byte);
        }
        fits
    }

    /// Takes the last character away.
    pub fn pop(&mut self) {
        // bytes 10xxxxxx go on with a character (RFC 3629)
        while self.0.pop().is_some_and(|byte| byte & 0xc0 == 0x80) {}
    }

    /// True when nothing was typed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// True when both are the same.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        self.0 == other.0
    }

    /// Reads the one line of a file that belongs to its owner alone.
    ///
    /// # Errors
    /// When it cannot be read, may be read by others, is empty, too long or has a second
    /// line.
    pub fn read(path: &Path) -> Result<Self, KeyError> {
        let problem = |problem| KeyError::new(path, problem);
        let unreadable = |e| problem(KeyProblem::PassphraseUnreadable(e));
        let file = plain_file::open(path, Links::Follow).map_err(unreadable)?;
        if let Some(mode) = open_to_others(&file).map_err(unreadable)?
            && !is_of_the_system(&file, mode).map_err(unreadable)?
        {
            return Err(problem(KeyProblem::PassphraseOpen { mode }));
        }
        let mut read = Self::new();
        file.take(LONGEST as u64 + 6)
            .read_to_end(&mut read.0)
            .map_err(unreadable)?;
        if read.0.starts_with(MARK) {
            read.0.drain(..MARK.len());
        }
        for end in [b'\n', b'\r'] {
            if read.0.last() == Some(&end) {
                read.0.pop();
            }
        }
        let is_one_line = !read.0.contains(&b'\n');
        match is_one_line && !read.is_empty() && read.0.len() <= LONGEST {
            true => Ok(read),
            false => Err(problem(KeyProblem::NotAPassphrase)),
        }
    }

    pub(crate) fn as_bytes(&self) -> &[u8] {
        &self.0
    }
}

/// A file of the system that only its own group may read beside it. A service manager
/// hands on a secret in this form, with a list of who else may read it.
#[cfg(unix)]
fn is_of_the_system(file: &File, mode: u32) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let found = file.metadata()?;
    Ok(mode & 0o037 == 0 && (found.uid(), found.gid()) == (0, 0))
}

#[cfg(not(unix))]
fn is_of_the_system(_: &File, _: u32) -> io::Result<bool> {
    Ok(false)
}

impl Default for Passphrase {
    fn default() -> Self {
        Self::new()
    }
}

impl fmt::Debug for Passphrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Passphrase(…)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str) -> Passphrase {
        let mut passphrase = Passphrase::new();
        text.bytes()
            .for_each(|b| assert!(passphrase.push(b), "{text}"));
        passphrase
    }

    #[test]
    fn a_passphrase_is_typed_and_taken_back_by_characters() {
        let mut passphrase = typed("käße€");
        passphrase.pop();
        passphrase.pop();
        assert!(passphrase.is_same(&typed("käß")));
        (0..9).for_each(|_| passphrase.pop());
        assert!(passphrase.is_empty());
        assert_eq!(format!("{:?}", typed("secret")), "Passphrase(…)");
    }

    /// A vector that grows would leave copies in memory that nobody clears.
    #[test]
    fn its_memory_never_moves() {
        let mut passphrase = Passphrase::new();
        let place = passphrase.as_bytes().as_ptr();
        while passphrase.push(b'x') {}
        assert_eq!(passphrase.as_bytes().len(), LONGEST);
        assert_eq!(passphrase.as_bytes().as_ptr(), place);
    }

    #[cfg(unix)]
    #[test]
    fn a_file_holds_one_line_for_its_owner_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("passphrase");
        let put = |bytes: &[u8], mode| {
            std::fs::write(&path, bytes).unwrap();
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(mode)).unwrap();
            Passphrase::read(&path)
        };
        for text in [
            "two words",
            "two words\n",
            "two words\r\n",
            "\u{feff}two words",
        ] {
            assert!(
                put(text.as_bytes(), 0o600)
                    .unwrap()
                    .is_same(&typed("two words"))
            );
        }
        let longest = "x".repeat(LONGEST);
        assert!(
            put(longest.as_bytes(), 0o400)
                .unwrap()
                .is_same(&typed(&longest))
        );
        for wrong in [
            "",
            "\n",
            "one\ntwo",
            &"x".repeat(LONGEST + 1),
            &"x".repeat(9_999),
        ] {
            let refused = put(wrong.as_bytes(), 0o600).unwrap_err().to_string();
            assert!(refused.contains("one line"), "{refused}");
        }
        let refused = put(b"two words", 0o644).unwrap_err().to_string();
        assert!(refused.contains("chmod 600"), "{refused}");
        // of the group of the system, where the tests are run by it
        use std::os::unix::fs::MetadataExt;
        let metadata = std::fs::metadata(&path).unwrap();
        let is_system = (metadata.uid(), metadata.gid()) == (0, 0);
        assert_eq!(put(b"two words", 0o440).is_ok(), is_system);
        assert!(put(b"two words", 0o444).is_err() && put(b"two words", 0o460).is_err());
        let missing = Passphrase::read(&folder.path().join("none")).unwrap_err();
        assert!(missing.to_string().contains("passphrase"), "{missing}");
        assert!(Passphrase::read(Path::new("/dev/zero")).is_err());
    }
}
