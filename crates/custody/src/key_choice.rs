//! Which private key seals, and how it is unlocked.

use std::path::{Path, PathBuf};

use console::{complain, say};
use etcetera::BaseStrategy;
use seal_keys::{KeyError, Passphrase, PublicKey, SealKey, statements_to_hand_on};

use crate::{
    error::CustodyError,
    prompt::{self, Keyboard, Typed},
};

/// The file of a person's own key below the folder where programs keep data.
const KEY_FILE: &str = "dryhold/seal-key.pem";
/// Names the file with the passphrase where no option does.
const PASSPHRASE_FILE: &str = "DRYHOLD_PASSPHRASE_FILE";
/// Times that a mistyped passphrase may be typed again.
const TRIES: u32 = 3;

/// The key to seal with.
#[derive(Debug, Clone, Default)]
pub struct KeyChoice {
    /// Private key to use, instead of your own
    pub key: Option<PathBuf>,
    /// File with the passphrase that the private key is locked with: one line, readable
    /// for its owner only; else the environment variable DRYHOLD_PASSPHRASE_FILE names
    /// it, else it is asked for
    pub passphrase_file: Option<PathBuf>,
}

/// Whether somebody may be asked for a passphrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asking {
    /// Whoever sits at the terminal, if anybody does. What Enter alone does is said.
    AtTheTerminal(&'static str),
    /// Nobody.
    Nobody,
}

/// Why there is no key to seal with.
#[derive(Debug)]
pub enum NoKey {
    /// It is locked and what unlocks it is not there, or it was replaced or revoked.
    SealsNothing(CustodyError),
    /// Whoever was asked for the passphrase wants to leave.
    Left(CustodyError),
    /// Anything else.
    Other(CustodyError),
}

impl From<NoKey> for CustodyError {
    fn from(why: NoKey) -> Self {
        match why {
            NoKey::SealsNothing(failure) | NoKey::Left(failure) | NoKey::Other(failure) => failure,
        }
    }
}

impl From<KeyError> for NoKey {
    fn from(error: KeyError) -> Self {
        let seals_nothing =
            error.is_key_locked() || error.is_wrong_passphrase() || error.is_key_out_of_use();
        match seals_nothing {
            true => Self::SealsNothing(error.into()),
            false => Self::Other(error.into()),
        }
    }
}

/// A key, and what it is locked with.
pub struct Unlocked {
    /// The key.
    pub key: SealKey,
    /// What it was locked with; `None` where it was not locked.
    pub passphrase: Option<Passphrase>,
}

impl KeyChoice {
    /// Where the key is.
    pub fn file(&self) -> Result<PathBuf, CustodyError> {
        match &self.key {
            Some(path) => Ok(path.clone()),
            None => own_key_path(),
        }
    }

    /// The key that was named, or one's own, which is made on first use.
    pub fn open(&self, asking: Asking) -> Result<Unlocked, NoKey> {
        if self.key.is_none() {
            let path = own_key_path().map_err(NoKey::Other)?;
            match SealKey::load_or_make(&path) {
                Ok((_, true)) => say(format!(
                    "A key to seal records with was made: {}",
                    path.display()
                )),
                Ok((_, false)) => {}
                Err(e) if e.is_key_locked() => {}
                Err(e) => return Err(e.into()),
            }
        }
        self.open_existing(asking)
    }

    /// The same, but none is made.
    pub fn open_existing(&self, asking: Asking) -> Result<Unlocked, NoKey> {
        let path = self.file().map_err(NoKey::Other)?;
        self.open_at(&path, asking)
    }

    /// The key in this file, unlocked in the way that was chosen.
    pub fn open_at(&self, path: &Path, asking: Asking) -> Result<Unlocked, NoKey> {
        match SealKey::load(path) {
            Ok(key) => {
                return Ok(Unlocked {
                    key,
                    passphrase: None,
                });
            }
            Err(e) if e.is_key_locked() => {}
            Err(e) => return Err(e.into()),
        }
        let with = |passphrase| {
            let key = SealKey::unlock(path, &passphrase)?;
            Ok::<_, KeyError>(Unlocked {
                key,
                passphrase: Some(passphrase),
            })
        };
        let file = match &self.passphrase_file {
            Some(file) => Some(file.clone()),
            None => std::env::var_os(PASSPHRASE_FILE)
                .filter(|name| !name.is_empty())
                .map(PathBuf::from),
        };
        if let Some(file) = file {
            let passphrase = Passphrase::read(&file);
            let passphrase = passphrase.map_err(|e| NoKey::SealsNothing(e.into()))?;
            return with(passphrase).map_err(|e| match e.is_wrong_passphrase() {
                true => NoKey::SealsNothing(CustodyError::other(format!(
                    "{e}: it stands in {}",
                    file.display()
                ))),
                false => e.into(),
            });
        }
        let at_the_terminal = match asking {
            Asking::AtTheTerminal(enter_alone) if prompt::is_possible() => enter_alone,
            _ => {
                return SealKey::load(path)
                    .map_err(NoKey::from)
                    .and(Err(changed(path)));
            }
        };
        let keyboard = Keyboard::silent();
        let mut keyboard = keyboard.map_err(|e| NoKey::SealsNothing(CustodyError::other(e)))?;
        for tries in 1.. {
            let question = format!(
                "The private key {} is locked. Type its passphrase (nothing is shown), then \
                 Enter; {at_the_terminal}.",
                path.display()
            );
            match keyboard.ask(&question) {
                Typed::Left => {
                    let why = "left without a passphrase; nothing was done";
                    return Err(NoKey::Left(CustodyError::other(why)));
                }
                Typed::Passphrase(typed) if typed.is_empty() => break,
                Typed::Passphrase(typed) => match with(typed) {
                    Err(e) if e.is_wrong_passphrase() && tries < TRIES => {
                        complain(CustodyError::from(e));
                    }
                    found => return found.map_err(NoKey::from),
                },
            }
        }
        let why = format!("{}: no passphrase was typed for it", path.display());
        Err(NoKey::SealsNothing(CustodyError::other(why)))
    }
}

/// Another program opened the lock of the key in the same moment.
fn changed(path: &Path) -> NoKey {
    NoKey::Other(CustodyError::other(format!(
        "{}: the key has just been changed by another program: try again",
        path.display()
    )))
}

/// Where a person's own key is.
fn own_key_path() -> Result<PathBuf, CustodyError> {
    let strategy = etcetera::choose_base_strategy().map_err(|_| {
        CustodyError::other(
            "no home folder is known, so there is no place for a key: give --key FILE",
        )
    })?;
    Ok(strategy.data_dir().join(KEY_FILE))
}

/// The public half of one's own key, if there is one, and those of the keys it replaced.
/// Nobody is asked for a passphrase.
pub fn own_public_keys() -> Vec<PublicKey> {
    let Ok(path) = own_key_path() else {
        return Vec::new();
    };
    let Ok(Some(key)) = SealKey::public_half(&path) else {
        return Vec::new();
    };
    let before = statements_to_hand_on(&path, &key).map(|(_, before)| before);
    let mut keys = vec![key];
    keys.extend(before.unwrap_or_default());
    keys
}
