//! What was read from a CSV: its rows counted, those left out, and how it was
//! understood.

use std::fmt;

use table_rows::RejectedRow;
use vacuum::RecordUnit;

/// A pressure column and the unit in which its plain numbers were read.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnUnit {
    /// Name of the column, as it can be shown.
    pub column: String,
    /// Its unit, and who says so.
    pub unit: RecordUnit,
}

impl fmt::Display for ColumnUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { column, unit } = self;
        write!(f, "pressure column \"{column}\" read as {}", unit.unit)
    }
}

/// What was read from a CSV.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportSummary {
    /// Rows below the header.
    pub rows: u64,
    /// Rows that gave a reading or a mark.
    pub used: u64,
    /// Rows left out.
    pub rejected: u64,
    /// The first 50 of them.
    pub rejected_rows: Vec<RejectedRow>,
    /// The unit in which the pressures came, and who says so.
    pub unit: Option<RecordUnit>,
    /// The pressure column and its unit; `None` where its cells or a column beside it
    /// state the unit row by row.
    pub column_unit: Option<ColumnUnit>,
    /// True where the pressures counted from the air around the gauge and were made absolute
    /// with [`ImportOptions::barometer_pa`](crate::ImportOptions::barometer_pa).
    pub counts_from_air: bool,
    /// What else a person should confirm of how the file was understood.
    pub notes: Vec<String>,
}
