//! Options of `seal` for a time stamp.

use std::path::PathBuf;

use clap::Args;
use custody::StampChoice;

/// Whether and how the seal gets a time stamp.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub(crate) struct StampArguments {
    /// Asks this time-stamp authority (http://...) to confirm that the seal exists now; a run
    /// that is sealed already gets the time stamp only
    #[arg(long, value_name = "URL")]
    timestamp: Option<String>,
    /// Writes the request for a time stamp into a file, to be sent from another computer
    #[arg(long, value_name = "FILE")]
    timestamp_request: Option<PathBuf>,
    /// Takes the answer of a time-stamp authority from a file
    #[arg(long, value_name = "FILE")]
    timestamp_answer: Option<PathBuf>,
}

impl StampArguments {
    /// What was chosen.
    pub(crate) fn choice(&self) -> StampChoice {
        StampChoice {
            ask: self.timestamp.clone(),
            write_request: self.timestamp_request.clone(),
            take_answer: self.timestamp_answer.clone(),
        }
    }
}
