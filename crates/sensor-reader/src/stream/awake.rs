//! Notices that the reading thread was held up: the program was stopped and went on, the
//! computer had too much to do, or nobody took the events.

use std::time::{Duration, Instant};

/// The thread looks at least so often.
const LOOK: Duration = Duration::from_millis(250);

/// A pause that is told. A shorter one moves the time of a reading by less than this.
pub(super) const PAUSE: Duration = Duration::from_secs(1);

/// When the reading thread was last seen at work.
#[derive(Debug)]
pub(super) struct Awake {
    last: Instant,
}

impl Awake {
    /// It begins to work.
    pub(super) fn new() -> Self {
        Self {
            last: Instant::now(),
        }
    }

    /// When it has to look again.
    pub(super) fn due(&self) -> Instant {
        self.last + LOOK
    }

    /// It is at work now; gives the pause before, if there was one.
    pub(super) fn look(&mut self) -> Option<Pause> {
        let until = Instant::now();
        let since = std::mem::replace(&mut self.last, until);
        (until.saturating_duration_since(since) >= PAUSE).then_some(Pause { since, until })
    }
}

/// From then until then nobody read the port.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pause {
    pub(super) since: Instant,
    pub(super) until: Instant,
}
