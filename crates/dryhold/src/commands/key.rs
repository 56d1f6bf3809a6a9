//! `dryhold key`: shows, hands on, replaces, revokes and locks the key that seals.

mod arguments;
mod change;

use std::path::Path;

use console::{complain, say};
use custody::stamp;
use run_record::put_file;
use seal_keys::{PublicKey, SealKey, statements_to_hand_on};

use crate::outcome::{Failure, Outcome};

use arguments::NEEDED;

pub(crate) use arguments::KeyArguments;

/// Shows the public half of a key, or does with the key what was asked for.
pub(crate) fn run(arguments: &KeyArguments) -> Result<Outcome, Failure> {
    if arguments.replace {
        change::replace(arguments)?;
    } else if let Some(fingerprint) = &arguments.revoke {
        change::revoke(arguments, fingerprint)?;
    } else if arguments.set_passphrase {
        change::set_passphrase(arguments)?;
    } else if arguments.remove_passphrase {
        change::remove_passphrase(arguments)?;
    }
    show(arguments)
}

/// Shows the public half; makes the key when there is none yet.
fn show(arguments: &KeyArguments) -> Result<Outcome, Failure> {
    let file = arguments.choice.choice().file()?;
    let public = match SealKey::public_half(&file) {
        Ok(Some(public)) => public,
        // locked by another program, or not there
        _ => arguments.choice.choice().open(NEEDED)?.key.public(),
    };
    say(format!("Public key:  {}", public.to_hex()));
    say(format!("Fingerprint: {}", public.fingerprint()));
    let (statements, before) = statements_to_hand_on(&file, &public)?;
    for statement in seal_keys::read_statements(&statements)
        .into_iter()
        .flatten()
    {
        say(match statement {
            seal_keys::KeyStatement::Replaced(stated) => format!(
                "It follows:  {} replaced {} on {}",
                stated.new.fingerprint(),
                stated.old.fingerprint(),
                stamp(stated.stated_utc)
            ),
            seal_keys::KeyStatement::Revoked(stated) => format!(
                "REVOKED:     {} on {}; nothing it sealed{} is to be trusted",
                stated.key.fingerprint(),
                stamp(stated.stated_utc),
                arguments::since(stated.since_utc)
            ),
            _ => continue,
        });
    }
    if let Some(out) = &arguments.out {
        hand_on(out, &public, &statements)?;
    }
    say("Hand the public key to whoever checks your records (verify --public-key), and tell them");
    say(match before.is_empty() {
        true => "the fingerprint by another way, by telephone for instance.",
        false => {
            "the fingerprint by telephone. Whoever has an older key of yours needs the statement only."
        }
    });
    say("The private key stays with you:");
    say(format!("  {}", file.display()));
    Ok(Outcome::Done)
}

/// Writes the public key, and the statements beside it where there are any.
fn hand_on(out: &Path, public: &PublicKey, statements: &str) -> Result<(), Failure> {
    let cannot = |why: String| Failure::other(format!("{}: {why}", out.display()));
    let text = public
        .to_pem()
        .ok_or_else(|| cannot("the key cannot be put into words".into()))?;
    write(out, &text)?;
    if statements.is_empty() {
        return Ok(());
    }
    let beside = out.with_extension("statement");
    if beside == out {
        complain(cannot(
            "name it .pem, so that the statement has a place beside it".into(),
        ));
        return Ok(());
    }
    write(&beside, statements)
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let folder = path.parent().filter(|folder| *folder != Path::new(""));
    let name = path
        .file_name()
        .ok_or_else(|| Failure::other(format!("{}: name a file", path.display())))?;
    put_file(
        folder.unwrap_or(Path::new(".")),
        &name.to_string_lossy(),
        text.as_bytes(),
    )?;
    say(format!("Written to {}", path.display()));
    Ok(())
}
