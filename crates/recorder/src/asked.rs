//! What a recorder waits for beside its gauges.

use std::time::Instant;

/// What came of something asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    Done,
    Stop,
}

/// Completes at a moment; never without one.
pub(crate) async fn until(moment: Option<Instant>) {
    match moment {
        Some(moment) => tokio::time::sleep_until(moment.into()).await,
        None => std::future::pending().await,
    }
}
