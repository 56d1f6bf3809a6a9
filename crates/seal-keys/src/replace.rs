//! What an owner does with a key: replaces it, revokes it, locks it.
//!
//! What became of the keys of a folder stands in `keys.statement` beside them. A key that
//! was replaced stays there under another name: only it can revoke itself.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use super::{
    error::{KeyError, KeyProblem},
    key::{SealKey, keep, keep_in_place, random_key},
    key_statement::{KeyReplacement, KeyRevocation, KeyStatement, RegisterEnd, one_line_reason},
    own_statements::{add, read_own, ready_file},
    passphrase::Passphrase,
};
use chrono::{DateTime, SubsecRound, Utc};
use whole_file::{folder_of, sync_folder};

/// A key that took the place of another.
#[derive(Debug)]
#[non_exhaustive]
pub struct Replaced {
    /// The new key, in the file of the old one.
    pub key: SealKey,
    /// What both have signed.
    pub statement: KeyReplacement,
    /// Where the old key is now.
    pub old_file: PathBuf,
}

/// Replaces a key: makes a new one in its file, moves the old one aside, and writes the
/// statement that both have signed. The new key is locked with `passphrase`, if there is
/// one.
///
/// Where an earlier attempt was cut off, it is brought to its end: the new key that the
/// statement names is the one that lies ready.
///
/// ```
/// use chrono::Utc;
/// use seal_keys::{KeyRing, KeyRingParts, KeyStatement, SealKey, read_statements, replace_key};
///
/// # let place = tempfile::tempdir().unwrap();
/// let path = place.path().join("own/key.pem");
/// let (old, _) = SealKey::load_or_make(&path)?;
/// let made = replace_key(&old, None, "example", Utc::now())?;
/// assert!(old.check_in_use().unwrap_err().is_key_out_of_use());
///
/// // whoever knows the old key comes to know the new one
/// let (statements, _) = seal_keys::statements_to_hand_on(&path, &made.key.public())?;
/// let statements = read_statements(&statements).into_iter();
/// let ring = KeyRing::new(
///     KeyRingParts {
///         given: vec![old.public()],
///         statements: statements.map(|s| ("own".to_owned(), s)).collect(),
///         ..KeyRingParts::default()
///     },
///     Utc::now(),
/// );
/// assert_eq!(ring.knows(&made.key.public()), Some(true));
/// # Ok::<(), seal_keys::KeyError>(())
/// ```
///
/// # Errors
/// When the key was replaced before and the new one is not here; when the clock stands
/// before the statement that brought the key into use; when a file cannot be written.
/// Then the old key is still in its place.
pub fn replace_key(
    old: &SealKey,
    passphrase: Option<&Passphrase>,
    software: &str,
    now: DateTime<Utc>,
) -> Result<Replaced, KeyError> {
    let path = old.file();
    let problem = |problem| KeyError::new(path, problem);
    let not_kept = |e| problem(KeyProblem::NotKept(e));
    let held = old
        .hold_register()
        .map_err(|e| problem(KeyProblem::RegisterUnusable(e)))?;
    let ready = ready_file(path);
    let now = now.trunc_subsecs(3);
    let public = old.public();
    for stated in read_own(path)? {
        let KeyStatement::Replaced(stated) = stated else {
            continue;
        };
        if stated.old == public {
            return match ready_key(&ready, passphrase)?.filter(|k| k.public() == stated.new) {
                Some(_) => put_in_place(old, &ready, *stated, passphrase),
                None => old.check_in_use().and(Err(problem(KeyProblem::Missing))),
            };
        }
        if stated.new == public && stated.stated_utc > now {
            return Err(problem(KeyProblem::ClockBehind {
                on: stated.stated_utc.format("%Y-%m-%d %H:%M UTC").to_string(),
            }));
        }
    }
    // one that lies there belongs to no statement
    match fs::remove_file(&ready) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(not_kept(e)),
        _ => {}
    }
    keep(&ready, &random_key(path)?, passphrase).map_err(not_kept)?;
    let new = ready_key(&ready, passphrase)?.ok_or_else(|| problem(KeyProblem::Missing))?;
    let statement = KeyReplacement {
        old: public,
        new: new.public(),
        stated_utc: now,
        register: held.last().map(|last| RegisterEnd {
            series: last.series,
            number: last.number,
            link: last.link,
        }),
        software: software.to_owned(),
    };
    let text = statement.to_text(|text| old.sign(text), |text| new.sign(text));
    // from here on the old key seals nothing
    add(path, &text.ok_or_else(|| problem(KeyProblem::NotWritten))?)?;
    put_in_place(old, &ready, statement, passphrase)
}

/// The new key that lies ready, if one does.
fn ready_key(ready: &Path, passphrase: Option<&Passphrase>) -> Result<Option<SealKey>, KeyError> {
    let key = match passphrase {
        Some(passphrase) => SealKey::unlock(ready, passphrase),
        None => SealKey::load(ready),
    };
    match key {
        Err(e) if e.is_key_missing() => Ok(None),
        found => found.map(Some),
    }
}

/// Moves the old key aside and the new one into its place.
fn put_in_place(
    old: &SealKey,
    ready: &Path,
    statement: KeyReplacement,
    passphrase: Option<&Passphrase>,
) -> Result<Replaced, KeyError> {
    let path = old.file();
    let not_kept = |e| KeyError::new(path, KeyProblem::NotKept(e));
    let aside = format!("replaced-{}.pem", old.public().fingerprint());
    let old_file = path.with_extension(aside);
    // whatever locks it stays as it is
    let copied = match fs::hard_link(path, &old_file) {
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        Err(_) => keep(&old_file, &old.key, passphrase),
        linked => linked,
    };
    copied.map_err(not_kept)?;
    sync_folder(folder_of(path)).map_err(not_kept)?;
    fs::rename(ready, path).map_err(not_kept)?;
    sync_folder(folder_of(path)).map_err(not_kept)?;
    let key = match passphrase {
        Some(passphrase) => SealKey::unlock(path, passphrase)?,
        None => SealKey::load(path)?,
    };
    Ok(Replaced {
        key,
        statement,
        old_file,
    })
}

/// States that a key is not to be trusted any more: from a moment on, or nothing it has
/// ever sealed. It seals nothing afterwards. This cannot be taken back.
///
/// # Errors
/// When the statement cannot be written.
pub fn revoke_key(
    key: &SealKey,
    since_utc: Option<DateTime<Utc>>,
    reason: &str,
    software: &str,
    now: DateTime<Utc>,
) -> Result<KeyRevocation, KeyError> {
    let problem = |problem| KeyError::new(key.file(), problem);
    // nobody seals meanwhile; without a register the key is revoked all the same
    let _held = key.hold_register();
    let statement = KeyRevocation {
        key: key.public(),
        since_utc,
        reason: one_line_reason(reason),
        stated_utc: now,
        software: software.to_owned(),
    };
    let text = statement.to_text(|text| key.sign(text));
    add(
        key.file(),
        &text.ok_or_else(|| problem(KeyProblem::NotWritten))?,
    )?;
    Ok(statement)
}

/// Locks the file of a key with a passphrase, or takes the lock away.
///
/// The bytes of the file that was there may stay on the disk: a key that lay there open
/// and may have been copied is better replaced.
///
/// # Errors
/// When the file cannot be written; then it is as it was.
pub fn set_passphrase(key: &SealKey, passphrase: Option<&Passphrase>) -> Result<(), KeyError> {
    keep_in_place(key.file(), &key.key, passphrase)
        .map_err(|e| KeyError::new(key.file(), KeyProblem::NotKept(e)))
}
