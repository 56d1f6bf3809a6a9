//! Which mark the undo key takes back: exactly the last one that counts, also where the
//! screen does not show it yet.

use watch::{Act, Snapshot};

/// What was asked for and may not be on the screen yet.
#[derive(Debug, Default)]
pub(crate) struct Undo {
    /// The number that the last mark stamped here will have at least; 0 for none.
    expected: u64,
    /// Marks that are on their way out.
    taken_back: Vec<u64>,
}

impl Undo {
    /// A mark is stamped while the screen shows this.
    pub(crate) fn stamped(&mut self, now: &Snapshot) {
        self.expected = self.expected.max(last_id(now)) + 1;
    }

    /// The act of the undo key; `None` where nothing counts that could be taken back.
    pub(crate) fn act(&self, now: &Snapshot) -> Option<Act> {
        if self.expected > last_id(now) {
            return Some(Act::Undo(None));
        }
        let counts = |id: &u64| !self.taken_back.contains(id);
        let last = now.marks.iter().rev().map(|mark| mark.id).find(counts)?;
        Some(Act::Undo(Some(last)))
    }

    /// The undo was passed on.
    pub(crate) fn taken_back(&mut self, id: Option<u64>) {
        match id {
            Some(id) => self.taken_back.push(id),
            None => self.expected = 0,
        }
    }
}

fn last_id(now: &Snapshot) -> u64 {
    now.marks.last().map_or(0, |mark| mark.id)
}
