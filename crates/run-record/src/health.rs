//! How a record being written stands with its disk, and when it is told.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use crate::{chained::ChainedTrace, notice::DiskNotice};

/// So often trouble that lasts is told again.
const REMIND_AFTER: Duration = Duration::from_secs(60);

/// Fresh files are told no more often than this.
const CONTINUED_AFTER: Duration = Duration::from_secs(10);

/// How a record being written stands with its disk.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum DiskHealth {
    /// The disk takes every row, and always did.
    Fine,
    /// A file failed; every row goes to a fresh one beside it.
    Continued {
        /// Name of the file written now.
        file: String,
        /// Why the one before failed, in words.
        why: String,
    },
    /// The disk takes no rows: they are kept in memory and would be lost if the
    /// computer were switched off.
    InMemory {
        /// Rows not known to be on disk.
        rows: u64,
        /// Why, in words.
        why: String,
    },
}

/// What was told, so that each thing is told once and lasting trouble now and
/// then.
#[derive(Debug, Default)]
pub(crate) struct Told {
    in_memory_at: Option<Instant>,
    /// Readings lost, as told in this stretch of trouble, and before it.
    not_kept: u64,
    not_kept_before: u64,
    parts: u32,
    continued_at: Option<Instant>,
}

impl Told {
    /// Nothing is to be told of parts that were there before.
    pub(crate) fn of<'a>(traces: impl IntoIterator<Item = &'a ChainedTrace>) -> Self {
        Self {
            parts: traces.into_iter().map(ChainedTrace::number).sum(),
            ..Self::default()
        }
    }

    /// What is new, or due again.
    pub(crate) fn next(
        &mut self,
        traces: &[&ChainedTrace],
        folder: &Path,
        now: Instant,
    ) -> Option<DiskNotice> {
        let troubled = traces.iter().find(|t| t.file().is_none() && t.is_behind());
        let parts = traces.iter().map(|t| t.number()).sum();
        if let Some(troubled) = troubled {
            return self.lasting(traces, troubled, folder, now);
        }
        // the last that had trouble, and where its rows go now
        let (trouble, file) = traces
            .iter()
            .rev()
            .find_map(|t| t.trouble().zip(t.file()))?;
        let file = file.to_owned();
        if self.in_memory_at.is_some() {
            if traces.iter().any(|t| t.is_behind()) {
                return None;
            }
            let not_kept = traces.iter().map(|t| t.not_kept).sum::<u64>() - self.not_kept_before;
            self.not_kept_before += not_kept;
            (self.in_memory_at, self.parts, self.not_kept) = (None, parts, 0);
            return Some(DiskNotice::WrittenOut { file, not_kept });
        }
        let soon = |at: Instant| now.saturating_duration_since(at) < CONTINUED_AFTER;
        if parts == self.parts || self.continued_at.is_some_and(soon) {
            return None;
        }
        (self.parts, self.continued_at) = (parts, Some(now));
        Some(DiskNotice::Continued {
            failed: trouble.file.clone(),
            file,
            why: trouble.why.clone(),
        })
    }

    fn lasting(
        &mut self,
        traces: &[&ChainedTrace],
        troubled: &ChainedTrace,
        folder: &Path,
        now: Instant,
    ) -> Option<DiskNotice> {
        let why = troubled.trouble()?.why.clone();
        let not_kept = traces.iter().map(|t| t.not_kept).sum::<u64>() - self.not_kept_before;
        let recently = |at: Instant| now.saturating_duration_since(at) < REMIND_AFTER;
        let first_lost = not_kept > 0 && self.not_kept == 0;
        if self.in_memory_at.is_some_and(recently) && !first_lost {
            return None;
        }
        self.in_memory_at = Some(now);
        if not_kept > self.not_kept {
            self.not_kept = not_kept;
            let readings = not_kept;
            return Some(DiskNotice::NotKept { readings, why });
        }
        let rows = traces.iter().map(|t| t.rows_waiting()).sum();
        let folder = folder.to_owned();
        Some(DiskNotice::InMemory { rows, why, folder })
    }
}

/// How these traces stand with their disk; the worst of them counts.
pub(crate) fn health(traces: &[&ChainedTrace]) -> DiskHealth {
    let rows = traces.iter().map(|t| t.rows_waiting()).sum();
    let behind = traces.iter().find(|t| t.is_behind());
    if let Some(trouble) = behind.and_then(|t| t.trouble()) {
        let why = trouble.why.clone();
        return DiskHealth::InMemory { rows, why };
    }
    let mut troubles = traces.iter().filter_map(|t| t.trouble().zip(t.file()));
    match troubles.next() {
        Some((trouble, file)) => DiskHealth::Continued {
            file: file.to_owned(),
            why: trouble.why.clone(),
        },
        None => DiskHealth::Fine,
    }
}
