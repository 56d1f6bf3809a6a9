//! Checking that a record is what was recorded.

use std::{fmt, path::Path};

use crate::{
    chain::{BreakKind, ChainBreak, ChainStatus, Link},
    error::RecordError,
    parts::{TornTail, file_name},
    run::{RunReader, trace_path},
    trace::TRACE_NAME,
};

/// What a check of a run folder found.
#[derive(Debug, Clone, PartialEq)]
pub struct Verification {
    /// Rows read.
    pub rows: u64,
    /// Whether the chain of links holds.
    pub chain: ChainStatus,
    /// What a cut-off recording left, if anything.
    pub torn_tail: Option<TornTail>,
    /// Link of the last whole row.
    pub last_link: Option<Link>,
}

impl Verification {
    /// True when every row fits and nothing is torn.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.chain.is_intact() && self.torn_tail.is_none()
    }
}

impl fmt::Display for Verification {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.chain.fmt(f)?;
        match &self.torn_tail {
            Some(torn) => write!(f, "; {torn}"),
            None => Ok(()),
        }
    }
}

/// Checks the chain of links of a run folder or its `trace.csv`. Reads only.
///
/// Finds rows changed, dropped, inserted or swapped, and a changed `job.toml`.
/// Rows cut off the very end, or a chain recomputed as a whole, take a seal to
/// find.
///
/// # Errors
/// When it is no run folder or cannot be read.
pub fn verify(path: &Path) -> Result<Verification, RecordError> {
    let trace = trace_path(path)?;
    let is_run_file = path.is_dir() || trace.file_name().is_some_and(|n| n == TRACE_NAME);
    let mut reader = match RunReader::open(&trace, true) {
        Ok(reader) => reader,
        // the folder says it is a run, its header row says otherwise
        Err(e) if e.is_not_a_run() && is_run_file => {
            return Ok(Verification {
                rows: 0,
                chain: ChainStatus::Broken(ChainBreak {
                    file: file_name(&trace),
                    row: 1,
                    kind: BreakKind::Header,
                }),
                torn_tail: None,
                last_link: None,
            });
        }
        Err(e) => return Err(e),
    };
    reader.read_links()?;
    let summary = reader.summary();
    Ok(Verification {
        rows: summary.rows,
        chain: summary.chain,
        torn_tail: summary.torn_tail,
        last_link: reader.last_link(),
    })
}
