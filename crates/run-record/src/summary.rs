//! What was read from a record: its rows counted, and those left out.

use foreign_csv::{ColumnUnit, ImportSummary};
use table_rows::{RejectedRow, Tally};
use vacuum::RecordUnit;

use crate::{chain::ChainStatus, clock_steps::ClockStep, parts::TornTail};

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
    /// The pressure column of a foreign CSV, and the unit it was read in.
    pub column_unit: Option<ColumnUnit>,
    /// Whether the pressures of a foreign CSV counted from the air around the gauge.
    pub counts_from_air: bool,
    /// Where the clock of the computer was set during a run, the first few.
    pub clock_steps: Vec<ClockStep>,
    /// What else there is to say of how the record was read, for a person to confirm.
    pub notes: Vec<String>,
}

impl Summary {
    /// Of a run folder.
    pub(crate) fn of_run(tally: &Tally, notes: Vec<String>) -> Self {
        Self {
            rows: tally.rows(),
            used: tally.used_rows(),
            rejected: tally.rejected(),
            rejected_rows: tally.rejected_rows(),
            torn_tail: None,
            chain: ChainStatus::NotChecked,
            unit: None,
            column_unit: None,
            counts_from_air: false,
            clock_steps: Vec::new(),
            notes,
        }
    }
}

impl From<ImportSummary> for Summary {
    fn from(import: ImportSummary) -> Self {
        Self {
            rows: import.rows,
            used: import.used,
            rejected: import.rejected,
            rejected_rows: import.rejected_rows,
            torn_tail: None,
            chain: ChainStatus::NotChecked,
            unit: import.unit,
            column_unit: import.column_unit,
            counts_from_air: import.counts_from_air,
            clock_steps: Vec::new(),
            notes: import.notes,
        }
    }
}
