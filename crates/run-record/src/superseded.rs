//! Rows that a later part of a trace tells anew.
//!
//! A continuation begins with the rows that were not known to be on disk when
//! the file before it failed. That file may hold them as well, whole, torn or
//! not at all: there they count for nothing. Where they are whole they must say
//! the same, else somebody wrote a second history.

use crate::{chain::BreakKind, link::Link, trace::RowParts};

/// The last of the superseded rows of a part that followed from one another.
/// Its link stands for all of them.
#[derive(Debug)]
struct Told {
    seq: u64,
    link: Link,
}

/// Walks along the superseded rows of every part.
#[derive(Debug, Default)]
pub(crate) struct Superseded {
    /// The superseded stretch of this part has begun.
    inside: bool,
    /// The link reached in it, as long as each row followed from the one before.
    reached: Option<Link>,
    told: Vec<Told>,
}

impl Superseded {
    /// True once the superseded stretch of this part has begun.
    pub(crate) fn is_inside(&self) -> bool {
        self.inside
    }

    /// Takes a superseded row; `before` is the link of the last row that counts.
    /// Says so when it was changed.
    pub(crate) fn row(&mut self, before: Option<Link>, row: &RowParts<'_>) -> Option<BreakKind> {
        let first = !self.inside;
        if first {
            self.inside = true;
            self.reached = before;
        }
        let expected = self.reached.take()?.next(row.text);
        if Some(expected) != row.link() {
            return Some(BreakKind::Changed);
        }
        self.reached = Some(expected);
        let seq = row.seq?;
        let told = Told {
            seq,
            link: expected,
        };
        // the link of a row stands for those before it in the same stretch
        match self.told.last_mut().filter(|_| !first) {
            Some(last) => *last = told,
            None => self.told.push(told),
        }
        None
    }

    /// What no longer has the shape of a row ends what can be compared.
    pub(crate) fn damaged(&mut self) {
        self.inside = true;
        self.reached = None;
    }

    /// The next part begins.
    pub(crate) fn next_part(&mut self) {
        self.inside = false;
        self.reached = None;
    }

    /// Compares a row that counts with what an earlier part said under its
    /// number; false when that was something else.
    pub(crate) fn agrees(&mut self, row: &RowParts<'_>) -> bool {
        if self.told.is_empty() {
            return true;
        }
        let mut agrees = true;
        self.told.retain(|told| {
            let same_row = Some(told.seq) == row.seq;
            agrees &= !same_row || Some(told.link) == row.link();
            !same_row
        });
        agrees
    }
}
