//! Which views are up.

use std::{sync::Arc, time::Duration};

/// One of those a view holds while it has the screen.
pub(crate) type Up = Arc<()>;

/// The views of a recording, counted by whoever started them.
#[derive(Debug, Default)]
pub struct Views {
    up: Up,
}

impl Views {
    /// For a view that is started.
    pub(crate) fn up(&self) -> Up {
        Arc::clone(&self.up)
    }

    /// Waits until every view has let go of the screen, but not for long: one may be stuck.
    pub async fn gone(&self) {
        const LONGEST: Duration = Duration::from_millis(500);
        let gone = async {
            while Arc::strong_count(&self.up) > 1 {
                tokio::time::sleep(Duration::from_millis(5)).await;
            }
        };
        let _ = tokio::time::timeout(LONGEST, gone).await;
    }
}
