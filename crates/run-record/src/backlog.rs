//! Rows not yet known to be on disk.

use std::{ops::Range, time::Duration};

/// How long after a failure a fresh file is tried again.
pub(crate) const RETRY_AFTER: Duration = Duration::from_secs(5);

/// Most rows kept in memory while no file takes them, bytes: a day at ten
/// readings a second. Marks may go a little beyond it.
pub(crate) const MEMORY_BYTES: usize = 64 << 20;

/// Most that is handed to a file at once, bytes: a slow card takes it in a
/// moment.
const CHUNK: usize = 1 << 20;

/// Memory given back only above this, bytes.
const KEEP: usize = 64 << 10;

/// Rows in the order they came, oldest first: first those handed to a file but
/// not yet synced, then those that wait for a file.
#[derive(Debug, Default)]
pub(crate) struct Backlog {
    bytes: Vec<u8>,
    /// So many bytes at the front are on disk and only not yet given up.
    durable: usize,
    /// So many bytes at the front were handed to the file now written.
    handed: usize,
}

impl Backlog {
    /// Adds a row, its line end included.
    pub(crate) fn push(&mut self, row: &[u8]) {
        self.bytes.extend_from_slice(row);
    }

    /// Bytes not known to be on disk.
    pub(crate) fn len(&self) -> usize {
        self.bytes.len() - self.durable
    }

    /// Bytes that no file was given yet.
    pub(crate) fn unhanded(&self) -> usize {
        self.bytes.len() - self.handed
    }

    /// Everything not known to be on disk.
    pub(crate) fn all(&self) -> &[u8] {
        &self.bytes[self.durable..]
    }

    /// The next rows for the file now written.
    pub(crate) fn next(&self) -> &[u8] {
        &self.bytes[self.chunk(self.handed)]
    }

    /// The rows a fresh file begins with: at least all that the file before it
    /// was given and did not sync.
    pub(crate) fn first(&self) -> &[u8] {
        let end = self.chunk(self.durable).end.max(self.handed);
        &self.bytes[self.durable..end]
    }

    fn chunk(&self, from: usize) -> Range<usize> {
        let end = self.bytes.len().min(from + CHUNK);
        let rows = &self.bytes[from..end];
        match rows.iter().rposition(|b| *b == b'\n') {
            Some(last) if end < self.bytes.len() => from..from + last + 1,
            _ => from..end,
        }
    }

    /// The file took [`Backlog::next`].
    pub(crate) fn next_is_handed(&mut self) {
        self.handed = self.chunk(self.handed).end;
    }

    /// A fresh file holds [`Backlog::first`] for certain; gives how many rows.
    pub(crate) fn first_is_durable(&mut self) -> u64 {
        self.handed = self.durable + self.first().len();
        self.handed_is_durable()
    }

    /// Everything handed over is on disk; gives how many rows that were new.
    pub(crate) fn handed_is_durable(&mut self) -> u64 {
        let rows = count(&self.bytes[self.durable..self.handed]);
        self.durable = self.handed;
        if self.durable == self.bytes.len() {
            self.bytes.clear();
            self.bytes.shrink_to(KEEP);
        } else if self.durable >= 8 * CHUNK {
            self.bytes.drain(..self.durable);
        } else {
            return rows;
        }
        (self.durable, self.handed) = (0, 0);
        rows
    }

    /// True when everything is known to be on disk.
    pub(crate) fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

fn count(rows: &[u8]) -> u64 {
    rows.iter().filter(|b| **b == b'\n').count() as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fresh_file_is_given_all_that_the_one_before_did_not_sync() {
        let mut backlog = Backlog::default();
        let row = [&[b'x'; 99][..], b"\n"].concat();
        for _ in 0..30_000 {
            backlog.push(&row);
        }
        assert_eq!(backlog.len(), 3_000_000);
        // whole rows, and about 1 MB of them
        assert_eq!(backlog.next().len(), CHUNK / 100 * 100);
        backlog.next_is_handed();
        backlog.next_is_handed();
        let handed = 2 * (CHUNK / 100 * 100);
        assert_eq!(backlog.first().len(), handed);
        assert_eq!(backlog.first_is_durable(), handed as u64 / 100);
        assert_eq!(backlog.unhanded(), 3_000_000 - handed);
        backlog.next_is_handed();
        assert_eq!(backlog.unhanded(), 0);
        assert!(!backlog.is_empty());
        backlog.handed_is_durable();
        assert!(backlog.is_empty() && backlog.bytes.capacity() <= KEEP);
    }
}
