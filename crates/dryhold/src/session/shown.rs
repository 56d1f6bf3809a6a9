//! What a session shows, and what is asked of it in return.

use std::time::{Duration, Instant};

use run_record::DiskHealth;
use vacuum::{Entry, Mark};

use super::Session;
use crate::{
    outcome::Failure,
    watch::{Act, EventKind, Watch, feed::Feed},
};

impl Session {
    /// What a view shows; whoever has one says so before recording begins.
    pub(crate) fn watch(&self) -> Watch {
        self.feed.watch()
    }

    /// The same for what shows nothing on this screen: a page, a nudge.
    pub(crate) fn watch_beside(&mut self) -> Watch {
        self.watching_beside += 1;
        self.feed.watch()
    }

    /// Leaves the screen to views, until they are all gone.
    pub(crate) fn leave_screen_to_views(&mut self) {
        self.screen.set_quiet(true);
        self.screen_left = true;
    }

    /// Shows nothing at all while it records.
    pub(crate) fn show_nothing(&mut self) {
        self.screen.set_quiet(true);
    }

    /// Says something that stays, on every screen.
    pub(super) fn tell(&mut self, kind: EventKind, what: &str) {
        self.screen.tell(what);
        self.feed.event(kind, what);
    }

    pub(super) fn show(&mut self) {
        if self.screen_left && self.feed.watchers() <= self.watching_beside {
            self.screen.set_quiet(false);
        }
        self.screen.warn(match self.writer.health() {
            DiskHealth::InMemory { rows, .. } => Some(format!("NOT ON DISK: {rows} rows")),
            _ => None,
        });
        self.analyser.tidy();
        let live = self.analyser.live();
        let unreadable = self.quality.unreadable + self.pump_quality.unreadable;
        let latest = self.beside.latest();
        self.screen.show(&live, &latest, unreadable);
        if self.feed.is_watched() {
            self.feed.beside(&latest);
            self.feed.live(&live);
            self.feed.health(&self.quality, &self.writer);
            self.feed.free(free_bytes(self.writer.folder()));
            self.feed.publish(Instant::now());
        }
    }

    /// Does what a person asks for.
    pub(super) fn act(&mut self, act: Act) -> Result<Asked, Failure> {
        let elapsed_s = self.time.of_act(Instant::now());
        match act {
            Act::Stop => return Ok(Asked::Stop),
            Act::Tell(what) => self.tell(EventKind::Told, &what),
            Act::Mark(kind, note) => {
                self.screen.tell(&format!("marked: {}", kind.label()));
                self.mark(elapsed_s, kind, note)?;
            }
            Act::Undo(id) => self.take_back(id, None, elapsed_s)?,
            Act::UndoFrom(id, device) => self.take_back(Some(id), Some(&device), elapsed_s)?,
        }
        Ok(Asked::Done)
    }

    /// Takes back the mark with this number, or the last; `device` asked for it.
    fn take_back(
        &mut self,
        id: Option<u64>,
        device: Option<&str>,
        elapsed_s: f64,
    ) -> Result<(), Failure> {
        let Some(mut mark) = self.feed.marks().withdrawal(id, elapsed_s) else {
            self.tell(EventKind::Told, "There is no mark to take back.");
            return Ok(());
        };
        if let Some(device) = device {
            mark.note = Mark::noted_by(&mark.note, device);
        }
        self.screen.tell(&format!("marked: {}", mark.note));
        self.keep(Entry::Mark(mark))
    }
}

/// What came of something asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    Done,
    Stop,
}

/// Completes at a moment; never without one.
pub(super) async fn until(moment: Option<Instant>) {
    match moment {
        Some(moment) => tokio::time::sleep_until(moment.into()).await,
        None => std::future::pending().await,
    }
}

/// Free room where the record is, bytes.
pub(crate) fn free_bytes(folder: &std::path::Path) -> Option<u64> {
    #[cfg(unix)]
    return rustix::fs::statvfs(folder)
        .ok()
        .map(|disk| disk.f_bavail.saturating_mul(disk.f_frsize));
    #[cfg(not(unix))]
    {
        let _ = folder;
        None
    }
}

/// Waits until nobody looks any more, but not for long: a view may be stuck.
pub(super) async fn views_gone(feed: &Feed) {
    const LONGEST: Duration = Duration::from_millis(500);
    let gone = async {
        while feed.is_watched() {
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
    };
    let _ = tokio::time::timeout(LONGEST, gone).await;
}
