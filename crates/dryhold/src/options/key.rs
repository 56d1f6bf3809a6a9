//! The key to seal with.

use std::path::PathBuf;

use clap::Args;
use custody::KeyChoice;

/// The key to seal with.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct KeyOptions {
    /// Private key to use, instead of your own
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
    /// File with the passphrase that the private key is locked with: one line, readable
    /// for its owner only; else the environment variable DRYHOLD_PASSPHRASE_FILE names
    /// it, else it is asked for
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

impl KeyOptions {
    /// What was chosen.
    pub(crate) fn choice(&self) -> KeyChoice {
        KeyChoice {
            key: self.key.clone(),
            passphrase_file: self.passphrase_file.clone(),
        }
    }
}
