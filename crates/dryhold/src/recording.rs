//! What commands that record share: the runtime, the person at the
//! terminal, the page, and what happens once a run is over.

pub(crate) mod close;
pub(crate) mod operator;
pub(crate) mod page;
#[cfg_attr(not(unix), path = "recording/no_visits.rs")]
pub(crate) mod visits;

use crate::outcome::Failure;

/// The runtime that recording happens on.
pub(crate) fn runtime() -> Result<tokio::runtime::Runtime, Failure> {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(Failure::other)
}
