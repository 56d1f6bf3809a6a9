//! `dryhold key`: shows, hands on, replaces, revokes and locks the key that seals.

mod change;
mod own;
mod prompt;

use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use clap::Args;
use run_record::put_file;
use seal_keys::{PublicKey, SealKey, statements_to_hand_on};

use crate::{
    dates::stamp,
    outcome::{Failure, Outcome, complain, say},
};

pub(crate) use own::{Asking, KeyChoice, NoKey, own_public_keys};

/// What to do with the key.
#[derive(Debug, Args)]
pub(crate) struct KeyArguments {
    #[command(flatten)]
    pub(crate) choice: KeyChoice,
    /// Writes the public key into a file to hand on, and beside it, as NAME.statement,
    /// what became of the keys before it
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Makes a new key in the place of this one, and a statement signed by both
    #[arg(long, conflicts_with_all = ["revoke", "set_passphrase", "remove_passphrase"])]
    pub(crate) replace: bool,
    /// States that the key with this fingerprint is not to be trusted any more; this
    /// cannot be taken back
    #[arg(long, value_name = "FINGERPRINT", conflicts_with_all = ["set_passphrase", "remove_passphrase"])]
    pub(crate) revoke: Option<String>,
    /// From when the revoked key is not to be trusted, as 2026-03-14 or
    /// 2026-03-14T09:15:00Z [default: from the beginning]
    #[arg(long, value_name = "DATE", requires = "revoke", value_parser = date)]
    pub(crate) since: Option<DateTime<Utc>>,
    /// Why the key is revoked, for whoever checks records
    #[arg(
        long,
        value_name = "TEXT",
        requires = "revoke",
        default_value = "",
        hide_default_value = true
    )]
    pub(crate) reason: String,
    /// Locks the private key with a passphrase, or with another one
    #[arg(long, conflicts_with = "remove_passphrase")]
    pub(crate) set_passphrase: bool,
    /// File with the new passphrase, instead of asking for it
    #[arg(long, value_name = "FILE", requires = "set_passphrase")]
    pub(crate) new_passphrase_file: Option<PathBuf>,
    /// Leaves the private key without a passphrase
    #[arg(long)]
    pub(crate) remove_passphrase: bool,
}

fn date(text: &str) -> Result<DateTime<Utc>, String> {
    seal_keys::moment(text).ok_or_else(|| "write it as 2026-03-14 or 2026-03-14T09:15:00Z".into())
}

/// Nothing is done without the passphrase.
const NEEDED: Asking = Asking::AtTheTerminal("Ctrl-C leaves");

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
    let file = arguments.choice.file()?;
    let public = match SealKey::public_half(&file) {
        Ok(Some(public)) => public,
        // locked by another program, or not there
        _ => arguments.choice.open(NEEDED)?.key.public(),
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
                since(stated.since_utc)
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

/// " since …", or nothing.
fn since(since_utc: Option<DateTime<Utc>>) -> String {
    since_utc.map_or_else(String::new, |since| format!(" since {}", stamp(since)))
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
