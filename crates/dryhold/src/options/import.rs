//! How to read a CSV that does not say it itself.

use clap::Args;
use foreign_csv::{ImportOptions, TimeUnit, TwoPart};
use vacuum::UnitWord;

use crate::outcome::Failure;

/// How to read a CSV that does not say it itself.
#[derive(Debug, Clone, Args)]
pub(crate) struct ImportArguments {
    /// Name or number (from 1) of the time column
    #[arg(long, value_name = "COLUMN")]
    time_column: Option<String>,
    /// Unit of plain numbers in the time column: s, ms, min, h; mm:ss or hh:mm where it
    /// holds two numbers with a colon
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
        let two_part = self.time_unit.as_deref().and_then(TwoPart::from_name);
        let time_unit = match self.time_unit.as_deref() {
            None => None,
            Some(_) if two_part.is_some() => None,
            Some(name) => Some(TimeUnit::from_name(name).ok_or_else(|| {
                Failure::usage(format!(
                    "--time-unit {name}: give s, ms, min, h or d, or mm:ss or hh:mm"
                ))
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
            two_part,
            pressure_column: self.pressure_column.clone(),
            pressure_unit,
            ..ImportOptions::default()
        })
    }

    /// The same for a test under pressure, whose gauge may count from air of `barometer_pa`.
    pub(crate) fn options_under_pressure(
        &self,
        barometer_pa: f64,
    ) -> Result<ImportOptions, Failure> {
        let word = self.pressure_unit.as_deref().map(UnitWord::read);
        let from_air = match word {
            Some(UnitWord::Relative(unit)) => unit,
            _ => None,
        };
        let mut options = match from_air {
            None => self.options()?,
            // the unit is read here, the rest there
            Some(_) => Self {
                pressure_unit: None,
                ..self.clone()
            }
            .options()?,
        };
        options.pressure_unit = options.pressure_unit.or(from_air);
        options.unit_counts_from_air = from_air.is_some();
        options.barometer_pa = Some(barometer_pa);
        Ok(options)
    }
}
