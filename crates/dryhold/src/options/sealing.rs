//! Whether and by which key a recorded run is sealed.

use clap::Args;
use custody::{CustodyError, Sealer};

use super::key::KeyOptions;
use crate::made_by::MADE_BY;

/// Whether and by which key a recorded run is sealed.
#[derive(Debug, Args)]
pub(crate) struct SealingArguments {
    #[command(flatten)]
    pub(crate) choice: KeyOptions,
    /// Leaves the record without a seal
    #[arg(long, conflicts_with_all = ["key", "passphrase_file"])]
    pub(crate) no_seal: bool,
}

impl SealingArguments {
    /// Opens the key before recording begins; whoever sits at the terminal is asked for its
    /// passphrase.
    pub(crate) fn sealer(&self) -> Result<Sealer, CustodyError> {
        Sealer::prepare(&self.choice.choice(), !self.no_seal, MADE_BY)
    }

    /// The same where nobody is there to type a passphrase.
    pub(crate) fn unattended_sealer(&self) -> Result<Sealer, CustodyError> {
        Sealer::prepare_unattended(&self.choice.choice(), !self.no_seal, MADE_BY)
    }
}
