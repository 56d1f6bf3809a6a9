//! Waits for what ends a run that is recorded with nobody there.

use std::{path::PathBuf, time::Duration};

use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Watch};

use super::{End, Limits, Retention, Room};

/// Between two looks at the room on the disk.
const LOOK_AGAIN: Duration = Duration::from_secs(10);

/// Completes when a run is over, with the reason.
pub async fn until_over(mut watch: Watch, limits: Limits) -> &'static str {
    let mut end = End::of(limits);
    loop {
        if let Some(why) = end.look(&watch.borrow_and_update().now) {
            return why;
        }
        if watch.changed().await.is_err() {
            return std::future::pending().await;
        }
    }
}

/// Looks after the room on the disk while a run is recorded; completes when hardly any
/// is left, with the reason.
pub async fn until_full(
    retention: Retention,
    run: PathBuf,
    acts: UnboundedSender<Act>,
) -> &'static str {
    let mut told = false;
    loop {
        tokio::time::sleep(LOOK_AGAIN).await;
        let (retention, run) = (retention.clone(), run.clone());
        // deleting a long run from a slow card takes a while: the recording goes on beside it
        let room = tokio::task::spawn_blocking(move || retention.room_for(&run)).await;
        match room {
            Ok(Room::NearlyNone) => return "the disk is nearly full (--keep-free)",
            Ok(Room::Little(why)) => {
                if !std::mem::replace(&mut told, true) {
                    let _ = acts.send(Act::Tell(format!("{why}; this run goes on for now")));
                }
            }
            Ok(Room::Enough) => told = false,
            Err(_) => {}
        }
    }
}
