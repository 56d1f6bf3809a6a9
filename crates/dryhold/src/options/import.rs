//! How to read a CSV that does not say it itself.

use clap::Args;
use foreign_csv::{ImportOptions, TimeUnit};

use crate::outcome::Failure;

/// How to read a CSV that does not say it itself.
#[derive(Debug, Args)]
pub(crate) struct ImportArguments {
    /// Name or number (from 1) of the time column
    #[arg(long, value_name = "COLUMN")]
    time_column: Option<String>,
    /// Unit of plain numbers in the time column: s, ms, min, h
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<String>,
    /// Name or number (from 1) of the pressure column
    #[arg(long, value_name = "COLUMN")]
    pressure_column: Option<String>,
    /// Unit of the pressure column: micron, Torr, Pa, kPa, mbar, "bar abs", "inHg abs",
    /// psia; the sheet says that it was given here
    #[arg(long, value_name = "UNIT")]
    pressure_unit: Option<String>,
}

impl ImportArguments {
    pub(crate) fn options(&self) -> Result<ImportOptions, Failure> {
        let time_unit = match self.time_unit.as_deref() {
            None => None,
            Some(name) => Some(TimeUnit::from_name(name).ok_or_else(|| {
                Failure::usage(format!("--time-unit {name}: give s, ms, min, h or d"))
            })?),
        };
        let pressure_unit = self
            .pressure_unit
            .as_deref()
            .map(foreign_csv::parse_pressure_unit)
            .transpose()
            .map_err(|e| Failure::usage(format!("--pressure-unit: {e}")))?;
        Ok(ImportOptions {
            time_column: self.time_column.clone(),
            time_unit,
            pressure_column: self.pressure_column.clone(),
            pressure_unit,
        })
    }
}
