//! What may be done with the key.

use std::path::PathBuf;

use chrono::{DateTime, Utc};
use clap::Args;
use custody::{Asking, stamp};

use crate::options::key::KeyOptions;

/// What to do with the key.
#[derive(Debug, Args)]
pub(crate) struct KeyArguments {
    #[command(flatten)]
    pub(crate) choice: KeyOptions,
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
pub(super) const NEEDED: Asking = Asking::AtTheTerminal("Ctrl-C leaves");

/// " since …", or nothing.
pub(super) fn since(since_utc: Option<DateTime<Utc>>) -> String {
    since_utc.map_or_else(String::new, |since| format!(" since {}", stamp(since)))
}
