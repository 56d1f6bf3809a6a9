//! The key that seals: made once, kept private, shown by its fingerprint.

use std::{
    fmt,
    io::{self, Read},
    path::{Path, PathBuf},
};

use ed25519_dalek::{Signer, SigningKey, pkcs8::DecodePrivateKey};
use plain_file::{Links, Refused};
use zeroize::Zeroizing;

use super::{
    error::{KeyError, KeyProblem},
    key_statement::KeyStatement,
    locked,
    own_statements::{read_own, ready_file, replaced_by_key},
    passphrase::Passphrase,
    private_file::open_to_others,
    public_key::{LARGEST_KEY_FILE, PublicKey},
    register::{HeldRegister, Register, RegisterEntry},
};
use whole_file::{Put, folder_of, make_private_folder};

/// The private key of a shop: an Ed25519 key (RFC 8032) in a file of its own.
///
/// The file is PKCS #8 in PEM, as `openssl genpkey -algorithm ed25519` makes it.
/// It may be locked with a passphrase (PKCS #8 with PBES2). It belongs to its owner
/// alone: one that others may read is refused.
///
/// ```
/// use seal_keys::{Passphrase, SealKey, set_passphrase};
///
/// # let place = tempfile::tempdir()?;
/// let path = place.path().join("own/key.pem");
/// let (key, _) = SealKey::load_or_make(&path)?;
/// let mut passphrase = Passphrase::new();
/// b"invented".iter().for_each(|byte| assert!(passphrase.push(*byte)));
/// set_passphrase(&key, Some(&passphrase))?;
///
/// assert!(SealKey::load(&path).unwrap_err().is_key_locked());
/// assert_eq!(SealKey::unlock(&path, &passphrase)?.public(), key.public());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// Beside it lies its register of runs (`register.csv`): every run it seals gets the
/// next number there; and what became of the keys in that folder (`keys.statement`).
pub struct SealKey {
    pub(crate) key: SigningKey,
    file: PathBuf,
    register: Register,
}

impl SealKey {
    /// Reads a key that is not locked.
    ///
    /// # Errors
    /// When it is not there ([`KeyError::is_key_missing`]), is locked
    /// ([`KeyError::is_key_locked`]), is no key, or may be read by others.
    pub fn load(path: &Path) -> Result<Self, KeyError> {
        let text = read_key_file(path)?;
        if locked::is_locked(&text) {
            return Err(KeyError::new(path, KeyProblem::Locked));
        }
        let key = SigningKey::from_pkcs8_pem(&text);
        let key = key.map_err(|_| KeyError::new(path, KeyProblem::NotAKey))?;
        Ok(Self::at(path, key))
    }

    /// Reads a key that is locked with a passphrase; one that is not locked is read
    /// without it.
    ///
    /// # Errors
    /// As [`SealKey::load`]; when the passphrase is another one
    /// ([`KeyError::is_wrong_passphrase`]), or to unlock it would take gigabytes or
    /// minutes.
    pub fn unlock(path: &Path, passphrase: &Passphrase) -> Result<Self, KeyError> {
        let text = read_key_file(path)?;
        if !locked::is_locked(&text) {
            return Self::load(path);
        }
        let key = locked::unlock(&text, passphrase);
        let key = key.map_err(|problem| KeyError::new(path, problem))?;
        Ok(Self::at(path, key))
    }

    /// The public half of a private key in a file, without a passphrase. `None` where the
    /// key is locked and its public half does not stand behind it, because another
    /// program has locked it.
    ///
    /// # Errors
    /// As [`SealKey::load`].
    pub fn public_half(path: &Path) -> Result<Option<PublicKey>, KeyError> {
        match Self::load(path) {
            Err(e) if e.is_key_locked() => Ok(locked::public_half(&read_key_file(path)?)),
            found => found.map(|key| Some(key.public())),
        }
    }

    pub(crate) fn at(path: &Path, key: SigningKey) -> Self {
        let public = PublicKey(key.verifying_key());
        // statements that cannot be read are told of when the key is to seal
        let stated = read_own(path).unwrap_or_default();
        let before = replaced_by_key(&stated, &public);
        let before = before.iter().map(PublicKey::fingerprint).collect();
        Self {
            key,
            file: path.to_owned(),
            register: Register::beside(path, public.fingerprint(), before),
        }
    }

    /// Reads the key, or makes one there when there is none; says whether it
    /// was made.
    ///
    /// A new key is on the disk, in a file only its owner may read (mode 0600)
    /// in a folder only its owner may enter (mode 0700), before this returns.
    ///
    /// # Errors
    /// As [`SealKey::load`]; or when it cannot be made.
    pub fn load_or_make(path: &Path) -> Result<(Self, bool), KeyError> {
        match Self::load(path) {
            Err(e) if e.is_key_missing() => {}
            found => return found.map(|key| (key, false)),
        }
        let key = Self::at(path, random_key(path)?);
        match keep(path, &key.key, None) {
            Ok(()) => Ok((key, true)),
            // another program made it in the same moment: that one counts
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Ok((Self::load(path)?, false)),
            Err(e) => Err(KeyError::new(path, KeyProblem::NotKept(e))),
        }
    }

    /// Where it was read from.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// The public half, for whoever checks seals.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey(self.key.verifying_key())
    }

    /// Signs bytes (RFC 8032). They begin with a line that says what they are, so that
    /// a signature of one thing never passes for one of another.
    #[must_use]
    pub fn sign(&self, bytes: &[u8]) -> [u8; 64] {
        self.key.sign(bytes).to_bytes()
    }

    /// Keeps other programs from sealing with the keys of this folder meanwhile.
    pub(crate) fn hold_register(&self) -> io::Result<HeldRegister<'_>> {
        self.register.hold()
    }

    /// Gives a run its place in the register beside this key; `None` where that cannot
    /// be written. A seal without a place says so.
    ///
    /// # Errors
    /// When this key seals nothing any more.
    pub fn enter(&self, run: &str, record_sha256: &str) -> Result<Option<RegisterEntry>, KeyError> {
        let held = self.hold_register();
        // asked while it is held: a key is replaced in the same way
        self.check_in_use()?;
        Ok(held.and_then(|held| held.enter(run, record_sha256)).ok())
    }

    /// Whether this key still seals.
    ///
    /// # Errors
    /// When a statement beside it says that it was replaced or revoked
    /// ([`KeyError::is_key_out_of_use`]); when those cannot be read.
    pub fn check_in_use(&self) -> Result<(), KeyError> {
        let public = self.public();
        for stated in read_own(&self.file)? {
            let problem = match stated {
                KeyStatement::Replaced(r) if r.old == public && ready_file(&self.file).exists() => {
                    KeyProblem::ReplacementCutOff
                }
                KeyStatement::Replaced(r) if r.old == public => KeyProblem::Replaced {
                    by: r.new.fingerprint(),
                    on: r.stated_utc.format("%Y-%m-%d").to_string(),
                },
                KeyStatement::Revoked(r) if r.key == public => KeyProblem::Revoked {
                    on: r.stated_utc.format("%Y-%m-%d").to_string(),
                },
                _ => continue,
            };
            return Err(KeyError::new(&self.file, problem));
        }
        Ok(())
    }
}

/// A new key, from the random numbers of the system.
pub(crate) fn random_key(path: &Path) -> Result<SigningKey, KeyError> {
    let mut seed = Zeroizing::new([0; 32]);
    getrandom::fill(&mut *seed).map_err(|e| {
        let cause = e.to_string();
        KeyError::new(path, KeyProblem::NoRandom { cause })
    })?;
    Ok(SigningKey::from_bytes(&seed))
}

/// The text of a key file that is for its owner alone.
fn read_key_file(path: &Path) -> Result<Zeroizing<String>, KeyError> {
    let unreadable = |e: io::Error| {
        let problem = match e.kind() {
            io::ErrorKind::NotFound => KeyProblem::Missing,
            _ => KeyProblem::Unreadable(e),
        };
        KeyError::new(path, problem)
    };
    let file = plain_file::open(path, Links::Follow).map_err(unreadable)?;
    if let Some(mode) = open_to_others(&file).map_err(unreadable)? {
        return Err(KeyError::new(path, KeyProblem::Open { mode }));
    }
    // room for all from the first: a text that grows leaves copies in memory
    let mut text = Zeroizing::new(String::with_capacity(LARGEST_KEY_FILE as usize + 64));
    let read = file.take(LARGEST_KEY_FILE + 1).read_to_string(&mut text);
    match read {
        Ok(_) if text.len() as u64 > LARGEST_KEY_FILE => {
            let most_bytes = LARGEST_KEY_FILE;
            Err(unreadable(Refused::TooLarge { most_bytes }.into()))
        }
        Ok(_) => Ok(text),
        Err(e) if e.kind() == io::ErrorKind::InvalidData => {
            Err(KeyError::new(path, KeyProblem::NotAKey))
        }
        Err(e) => Err(unreadable(e)),
    }
}

/// Writes a key whole, never over another file.
pub(crate) fn keep(
    path: &Path,
    key: &SigningKey,
    passphrase: Option<&Passphrase>,
) -> io::Result<()> {
    make_private_folder(folder_of(path))?;
    write_key(path, key, passphrase, Put::NewPrivate)
}

/// Writes a key in place of the file that holds it now: at any moment one of the two is
/// there as a whole.
pub(crate) fn keep_in_place(
    path: &Path,
    key: &SigningKey,
    passphrase: Option<&Passphrase>,
) -> io::Result<()> {
    write_key(path, key, passphrase, Put::Private)
}

fn write_key(
    path: &Path,
    key: &SigningKey,
    passphrase: Option<&Passphrase>,
    put: Put,
) -> io::Result<()> {
    let text = locked::text_of(key, passphrase).map_err(|e| io::Error::other(e.to_string()))?;
    whole_file::write(path, text.as_bytes(), put)
}

impl fmt::Debug for SealKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // never the secret
        write!(f, "SealKey({})", self.public().fingerprint())
    }
}

#[cfg(test)]
mod tests;
