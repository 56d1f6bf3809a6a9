//! Replaces, revokes and locks a key.

use chrono::Utc;
use console::{complain, say};
use custody::{
    Unlocked,
    prompt::{self, Keyboard, Typed},
};
use seal_keys::{KeyStatement, Passphrase, fingerprint, read_statements, statements_to_hand_on};

use super::arguments::{KeyArguments, NEEDED, since};
use crate::{made_by::MADE_BY, outcome::Failure};

/// Makes a new key in the place of the old one.
pub(super) fn replace(arguments: &KeyArguments) -> Result<(), Failure> {
    let Unlocked { key, passphrase } = arguments.choice.choice().open_existing(NEEDED)?;
    let made = seal_keys::replace_key(&key, passphrase.as_ref(), MADE_BY, Utc::now())?;
    say(format!(
        "The key {} was replaced. It seals nothing any more, and lies in {}",
        made.statement.old.fingerprint(),
        made.old_file.display()
    ));
    say("Keep it there: only with it can it be revoked later. On every other computer that sealed");
    say("with the old key put the new one in its place: what the old one seals now is refused.");
    let (statements, _) = statements_to_hand_on(key.file(), &made.key.public())?;
    let is_revoked = read_statements(&statements)
        .into_iter()
        .flatten()
        .any(|stated| matches!(stated, KeyStatement::Revoked(r) if r.key == made.statement.old));
    if is_revoked {
        complain(
            "the old key was revoked, so nobody takes the new one on its word: hand the new public \
             key on as you did the first, and have its fingerprint compared by telephone",
        );
    }
    Ok(())
}

/// States that a key is not to be trusted any more.
pub(super) fn revoke(arguments: &KeyArguments, which: &str) -> Result<(), Failure> {
    let wanted = fingerprint(which).ok_or_else(|| {
        Failure::usage(format!(
            "--revoke {which}: this is no fingerprint of a key: \"dryhold key\" shows it, in five \
             groups of four characters"
        ))
    })?;
    let choice = arguments.choice.choice();
    let file = choice.file()?;
    // one that was replaced lies aside, under its fingerprint
    let aside = file.with_extension(format!("replaced-{wanted}.pem"));
    let path = if aside.exists() { &aside } else { &file };
    let key = choice.open_at(path, NEEDED)?.key;
    if key.public().fingerprint() != wanted {
        return Err(Failure::usage(format!(
            "--revoke {which}: the key in {} is {}, and no other lies beside it. Only a key itself \
             can revoke itself: where it is lost, have every desk put its fingerprint on its list \
             (verify --revoked)",
            file.display(),
            key.public().fingerprint()
        )));
    }
    let (since_utc, reason) = (arguments.since, &arguments.reason);
    let stated = seal_keys::revoke_key(&key, since_utc, reason, MADE_BY, Utc::now())?;
    say(format!(
        "The key {wanted} is revoked: nothing it sealed{} is to be trusted.",
        since(stated.since_utc)
    ));
    say("Hand the statement on (--out FILE writes it), and telephone: a statement that is not");
    say("read stops nobody. A key in use is followed by a new one: dryhold key --replace");
    Ok(())
}

/// Locks the key with a passphrase.
pub(super) fn set_passphrase(arguments: &KeyArguments) -> Result<(), Failure> {
    let Unlocked { key, .. } = arguments.choice.choice().open(NEEDED)?;
    let new = match &arguments.new_passphrase_file {
        Some(file) => Passphrase::read(file)?,
        None => typed_twice()?,
    };
    seal_keys::set_passphrase(&key, Some(&new))?;
    say(format!(
        "The private key is locked now: {}",
        key.file().display()
    ));
    say("Without the passphrase nothing can be sealed with it, and nobody can recover it. A copy");
    say("of the open key may still lie on this disk or in a backup: where somebody may have read");
    say("one, replace the key (dryhold key --replace).");
    Ok(())
}

fn typed_twice() -> Result<Passphrase, Failure> {
    if !prompt::is_possible() {
        return Err(Failure::usage(
            "there is no terminal to type a passphrase at: give --new-passphrase-file FILE",
        ));
    }
    let mut keyboard = Keyboard::silent().map_err(Failure::other)?;
    let mut typed = |question: &str| match keyboard.ask(question) {
        Typed::Passphrase(typed) => Ok(typed),
        Typed::Left => Err(Failure::other("left; the key is as it was")),
    };
    loop {
        let first = typed("Type the new passphrase (nothing is shown), then Enter.")?;
        if first.is_empty() {
            complain("a passphrase has at least one character; --remove-passphrase takes it away");
            continue;
        }
        if typed("Type it once more.")?.is_same(&first) {
            return Ok(first);
        }
        complain("the two are not the same");
    }
}

/// Leaves the key without a passphrase.
pub(super) fn remove_passphrase(arguments: &KeyArguments) -> Result<(), Failure> {
    let Unlocked { key, .. } = arguments.choice.choice().open_existing(NEEDED)?;
    seal_keys::set_passphrase(&key, None)?;
    say(format!(
        "The private key is open now, for whoever can read {}",
        key.file().display()
    ));
    Ok(())
}
