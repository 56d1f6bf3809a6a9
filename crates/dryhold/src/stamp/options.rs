//! Options of `seal` for a time stamp.

use std::path::PathBuf;

use clap::Args;

/// Whether and how the seal gets a time stamp.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub(crate) struct StampArguments {
    /// Asks this time-stamp authority (http://...) to confirm that the seal exists now; a run
    /// that is sealed already gets the time stamp only
    #[arg(long, value_name = "URL")]
    pub(super) timestamp: Option<String>,
    /// Writes the request for a time stamp into a file, to be sent from another computer
    #[arg(long, value_name = "FILE")]
    pub(super) timestamp_request: Option<PathBuf>,
    /// Takes the answer of a time-stamp authority from a file
    #[arg(long, value_name = "FILE")]
    pub(super) timestamp_answer: Option<PathBuf>,
}
