//! What a recorder publishes, and what is asked of it in return.

use std::time::Instant;

use run_record::DiskHealth;
use vacuum::{Entry, Mark};
use watch::{Act, DiskNow, EventKind, Follow, LineHealth, Watch};

use super::Recorder;
use crate::{asked::Asked, disk_room::free_bytes, error::RecorderError};

impl Recorder {
    /// What a view shows. Whoever wants one asks before recording begins, and says how
    /// closely it follows: that decides whether a curve is kept in memory.
    pub fn watch(&mut self, follow: Follow) -> Watch {
        self.feed.watch(follow)
    }

    pub(super) fn show(&mut self) {
        self.judge.tidy();
        if !self.feed.is_watched() {
            return;
        }
        let beside = self.companions.latest();
        self.judge.show(&mut self.feed, &beside);
        let unreadable = self.quality.unreadable + self.pump_quality.unreadable;
        self.feed.health(
            LineHealth {
                unreadable: self.quality.unreadable,
                lost: self.quality.missing,
            },
            unreadable,
            self.disk(),
        );
        self.feed.publish(Instant::now());
    }

    /// How the record stands with its disk.
    fn disk(&self) -> DiskNow {
        let (takes_rows, trouble, warning) = match self.writer.health() {
            DiskHealth::Fine => (true, String::new(), None),
            DiskHealth::Continued { file, why } => {
                let trouble = format!("a file failed ({why}); goes on in {file}");
                (true, trouble, None)
            }
            DiskHealth::InMemory { rows, why } => {
                let warning = format!("NOT ON DISK: {rows} rows");
                (false, format!("{warning} ({why})"), Some(warning))
            }
            _ => (true, String::new(), None),
        };
        DiskNow {
            takes_rows,
            trouble,
            rows: self.writer.rows(),
            rows_waiting: self.writer.rows_waiting(),
            free_bytes: free_bytes(self.writer.folder()),
            warning,
        }
    }

    /// Does what a person asks for.
    pub(super) fn act(&mut self, act: Act) -> Result<Asked, RecorderError> {
        let elapsed_s = self.time.of_act(Instant::now());
        match act {
            Act::Stop => return Ok(Asked::Stop),
            Act::Tell(what) => self.feed.event(EventKind::Told, what),
            Act::Mark(kind, note) => self.mark(elapsed_s, kind, note)?,
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
    ) -> Result<(), RecorderError> {
        let Some(mut mark) = self.feed.marks().withdrawal(id, elapsed_s) else {
            self.feed
                .event(EventKind::Told, "There is no mark to take back.");
            return Ok(());
        };
        if let Some(device) = device {
            mark.note = Mark::noted_by(&mark.note, device);
        }
        self.write(Entry::Mark(mark))
    }
}
