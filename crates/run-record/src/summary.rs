//! What was read from a record: its rows counted, and those left out.

use std::path::Path;

use vacuum::RecordUnit;

use crate::{
    chain::ChainStatus,
    error::{Problem, RecordError},
    parts::TornTail,
};

/// Most rejected rows that a summary lists one by one.
const REJECTED_LISTED: usize = 50;

/// A row left out, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RejectedRow {
    /// Row, counted from 1 as an editor counts lines.
    pub row: u64,
    /// Why, in words.
    pub reason: String,
}

/// What was read from a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Rows below the header.
    pub rows: u64,
    /// Rows that gave a reading or a mark.
    pub used: u64,
    /// Rows left out.
    pub rejected: u64,
    /// The first 50 of them.
    pub rejected_rows: Vec<RejectedRow>,
    /// What a cut-off recording left at the end, if anything.
    pub torn_tail: Option<TornTail>,
    /// The chain of links, when its check was asked for.
    pub chain: ChainStatus,
    /// In which unit the pressures came and who says so; `None` of a run folder
    /// whose gauge states its unit line by line.
    pub unit: Option<RecordUnit>,
    /// How the file was understood, for a person to confirm ("pressure column
    /// \"P (mbar)\" read as mbar").
    pub notes: Vec<String>,
}

/// Rows after which the share of those not understood is looked at once already.
const EARLY_LOOK: u64 = 10_000;

/// Counts rows while reading.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    rows: u64,
    used: u64,
    rejected: u64,
    /// Of those, rows in which something was not understood.
    doubted: u64,
    first_doubt: Option<RejectedRow>,
    rejected_rows: Vec<RejectedRow>,
    notes: Vec<String>,
}

impl Tally {
    pub(crate) fn with_notes(notes: Vec<String>) -> Self {
        Self {
            notes,
            ..Self::default()
        }
    }

    #[inline]
    pub(crate) fn row(&mut self) {
        self.rows += 1;
    }

    pub(crate) fn rows(&self) -> u64 {
        self.rows
    }

    #[inline]
    pub(crate) fn used(&mut self) {
        self.used += 1;
    }

    pub(crate) fn reject(&mut self, row: u64, reason: impl FnOnce() -> String) {
        self.rejected += 1;
        if self.rejected_rows.len() < REJECTED_LISTED {
            let reason = reason();
            self.rejected_rows.push(RejectedRow { row, reason });
        }
    }

    /// Leaves out `count` rows from `row` on, the first of which was counted
    /// already, because something in it was not understood.
    pub(crate) fn doubt(&mut self, row: u64, count: u64, reason: impl FnOnce() -> String) {
        self.rows += count - 1;
        self.rejected += count - 1;
        self.doubted += count;
        let reason = reason();
        self.first_doubt.get_or_insert_with(|| RejectedRow {
            row,
            reason: reason.clone(),
        });
        self.reject(row, || reason);
    }

    /// Adds a note once.
    pub(crate) fn note(&mut self, note: String) {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// Stops early where hardly anything is understood.
    pub(crate) fn check_so_far(&self, path: &Path) -> Result<(), RecordError> {
        if self.rows >= EARLY_LOOK && self.doubted * 2 > self.rows {
            return self.check_doubts(path);
        }
        Ok(())
    }

    /// Where more than a fifth of the rows was not understood, the rest may not
    /// have been either.
    fn check_doubts(&self, path: &Path) -> Result<(), RecordError> {
        match &self.first_doubt {
            Some(first) if self.doubted * 5 > self.rows => Err(RecordError::new(
                path,
                Problem::Misunderstood {
                    left_out: self.doubted,
                    rows: self.rows,
                    row: first.row,
                    first: first.reason.clone(),
                },
            )),
            _ => Ok(()),
        }
    }

    /// A record without one usable row, or one that was mostly not understood,
    /// is an error, not an empty or a short record.
    pub(crate) fn check_end(&self, path: &Path) -> Result<(), RecordError> {
        if self.used > 0 {
            return self.check_doubts(path);
        }
        let problem = match self.rejected_rows.first() {
            Some(first) => Problem::NothingUsable {
                rows: self.rows,
                first: format!("row {}: {}", first.row, first.reason),
            },
            None => Problem::NoRows,
        };
        Err(RecordError::new(path, problem))
    }

    pub(crate) fn summary(&self) -> Summary {
        let mut rejected_rows = self.rejected_rows.clone();
        // rows held back to be looked at come later than those behind them
        rejected_rows.sort_by_key(|r| r.row);
        Summary {
            rows: self.rows,
            used: self.used,
            rejected: self.rejected,
            rejected_rows,
            torn_tail: None,
            chain: ChainStatus::NotChecked,
            unit: None,
            notes: self.notes.clone(),
        }
    }
}
