//! What to judge against, and what is known besides the readings.

use std::path::Path;

use analyser::Settings;
use clap::{Args, ValueEnum};
use run_record::{ImportOptions, RunHeader};
use run_review::{Advice, Draw, Judged, Record};
use vacuum::{AccessSides, Criteria, Job, Refrigerant};

use super::ranges;
use crate::{option_advice, outcome::Failure};

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Sides {
    One,
    Both,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum YesNo {
    Yes,
    No,
}

/// What to judge against, and what is known besides the readings. Options win
/// over the job file.
#[derive(Debug, Default, Args)]
pub(crate) struct JudgingArguments {
    /// Pull-down target, micron [default: 500]
    #[arg(long, value_name = "P", value_parser = ranges::micron)]
    target_micron: Option<f64>,
    /// Shortest hold, minutes [default: 10]
    #[arg(long, value_name = "MIN", value_parser = ranges::minutes)]
    hold_min: Option<f64>,
    /// Pressure the hold must not exceed, micron [default: 500]
    #[arg(long, value_name = "P", value_parser = ranges::micron)]
    ceiling_micron: Option<f64>,
    /// Ambient temperature, °C
    #[arg(long, value_name = "T", allow_negative_numbers = true, value_parser = ranges::ambient_c)]
    ambient_c: Option<f64>,
    /// Temperature of the coldest part of the system, °C: ice stands there below 0
    #[arg(long, value_name = "T", allow_negative_numbers = true, value_parser = ranges::ambient_c)]
    coldest_part_c: Option<f64>,
    /// Volume of the system, L
    #[arg(long, value_name = "V", value_parser = ranges::litres)]
    volume_l: Option<f64>,
    /// When the pump-side valve was shut, seconds of the record
    #[arg(long, value_name = "S", value_parser = ranges::seconds)]
    isolated_at: Option<f64>,
    /// Refrigerant by its ISO 817 designation, for instance R-600a
    #[arg(long, value_name = "NAME")]
    refrigerant: Option<String>,
    /// Sides evacuated
    #[arg(long, value_name = "SIDES")]
    access_sides: Option<Sides>,
    /// Whether the gauge stays open to the system when the manifold valves are shut
    #[arg(long, value_name = "YES|NO")]
    gauge_open_to_system: Option<YesNo>,
    /// The unit of the readings was compared with the gauge's display: a record that
    /// begins like the air outside in another unit is believed
    #[arg(long)]
    unit_checked: bool,
}

impl JudgingArguments {
    /// Settings from options, then the record's own job and criteria.
    pub(crate) fn settings(
        &self,
        job: Option<&Job>,
        recorded: Option<&Criteria>,
    ) -> Result<Settings, Failure> {
        let base = recorded.cloned().unwrap_or_default();
        let changed = [self.target_micron, self.hold_min, self.ceiling_micron];
        let mut criteria = Criteria {
            target_micron: self.target_micron.unwrap_or(base.target_micron),
            hold_min: self.hold_min.unwrap_or(base.hold_min),
            ceiling_micron: self.ceiling_micron.unwrap_or(base.ceiling_micron),
            ..base
        };
        if self.ceiling_micron.is_none() {
            criteria.ceiling_micron = criteria.ceiling_micron.max(criteria.target_micron);
        }
        if changed.iter().any(Option::is_some) {
            criteria.name = "as given".into();
            criteria.source = "given on the command line".into();
        }
        let refrigerant = match self.refrigerant.as_deref() {
            None => None,
            Some(name) => Some(Refrigerant::named(name).ok_or_else(|| {
                let near = Refrigerant::near(name);
                let near = near.first().map_or("R-600a", |r| r.designation);
                Failure::usage(format!(
                    "--refrigerant {name} is not known; write for instance {near}"
                ))
            })?),
        };
        let settings = Settings {
            criteria: criteria.checked().map_err(Failure::usage)?,
            ambient_c: self.ambient_c,
            coldest_part_c: self.coldest_part_c,
            volume_l: self.volume_l,
            isolated_at_s: self.isolated_at,
            refrigerant,
            access_sides: self.access_sides.map(|s| match s {
                Sides::One => AccessSides::One,
                Sides::Both => AccessSides::Both,
            }),
            charge_g: None,
            gauge_open_to_system: self.gauge_open_to_system.map(|answer| answer == YesNo::Yes),
            record_unit: None,
            unit_checked: self.unit_checked,
        };
        Ok(match job {
            Some(job) => settings.with_job(job),
            None => settings,
        })
    }

    /// Settings for a record that says this of itself.
    pub(crate) fn settings_for(&self, header: Option<&RunHeader>) -> Result<Settings, Failure> {
        let criteria = header.and_then(|h| h.criteria.as_ref());
        self.settings(header.map(|h| &h.job), criteria)
    }

    /// Reads and judges the record at `path`.
    pub(crate) fn judge(
        &self,
        path: &Path,
        import: &ImportOptions,
        draw: Draw,
    ) -> Result<Judged, Failure> {
        let record = Record::open(path, import)?;
        let settings = self.settings_for(record.header())?;
        let advice = Advice {
            error: option_advice::record_error,
            notes: option_advice::notes,
        };
        Ok(record.judge(settings, draw, &advice)?)
    }
}
