//! What to judge against, and what is known besides the readings.

use std::path::Path;

use analyser::Settings;
use clap::{Args, ValueEnum};
use option_ranges as ranges;
use run_record::{ImportOptions, RunHeader};
use run_review::{Advice, Draw, Judged, Moment, Placed, Record, ReviewError};
use vacuum::{AccessSides, Criteria, GaugePrinciple, Job, Refrigerant, Zone};

use crate::{option_advice, outcome::Failure};

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

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

fn gauge_principle(text: &str) -> Result<GaugePrinciple, String> {
    GaugePrinciple::named(text).ok_or_else(|| "write thermal, diaphragm or other".to_owned())
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
    /// Room temperature with its unit: 21C or 70F
    #[arg(long, value_name = "T", allow_hyphen_values = true, value_parser = ranges::with_unit)]
    ambient: Option<f64>,
    /// The same in °C
    #[arg(
        long,
        value_name = "T",
        allow_hyphen_values = true,
        value_parser = ranges::celsius,
        conflicts_with = "ambient"
    )]
    ambient_c: Option<f64>,
    /// Temperature of the coldest part of the system with its unit: ice stands there below
    /// 0 °C
    #[arg(long, value_name = "T", allow_hyphen_values = true, value_parser = ranges::with_unit)]
    coldest_part: Option<f64>,
    /// The same in °C
    #[arg(
        long,
        value_name = "T",
        allow_hyphen_values = true,
        value_parser = ranges::celsius,
        conflicts_with = "coldest_part"
    )]
    coldest_part_c: Option<f64>,
    /// Volume of the system, L
    #[arg(long, value_name = "V", value_parser = ranges::litres)]
    volume_l: Option<f64>,
    /// When the pump-side valve was shut: seconds of the record (1200 or 20m5s), a time of
    /// day (14:05 or 2:05pm), or date and time ("2026-03-14 14:05")
    #[arg(long, value_name = "WHEN", value_parser = Moment::read)]
    isolated_at: Option<Moment>,
    /// Refrigerant by its ISO 817 designation, for instance R-600a
    #[arg(long, value_name = "NAME")]
    refrigerant: Option<String>,
    /// Sides evacuated
    #[arg(long, value_name = "SIDES")]
    access_sides: Option<Sides>,
    /// Whether the gauge stays open to the system when the manifold valves are shut
    #[arg(long, value_name = "YES|NO")]
    gauge_open_to_system: Option<YesNo>,
    /// How the gauge senses the pressure: a thermal one shows water vapour about twice too high
    #[arg(long, value_name = "thermal|diaphragm|other", value_parser = gauge_principle)]
    gauge_principle: Option<GaugePrinciple>,
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
            ambient_c: self.ambient.or(self.ambient_c),
            coldest_part_c: self.coldest_part.or(self.coldest_part_c),
            volume_l: self.volume_l,
            isolated_at_s: None,
            refrigerant,
            access_sides: self.access_sides.map(|s| match s {
                Sides::One => AccessSides::One,
                Sides::Both => AccessSides::Both,
            }),
            charge_g: None,
            gauge_open_to_system: self.gauge_open_to_system.map(|answer| answer == YesNo::Yes),
            gauge_principle: self.gauge_principle,
            record_unit: None,
            unit_checked: self.unit_checked,
        };
        Ok(match job {
            Some(job) => settings.with_job(job),
            None => settings,
        })
    }

    /// The shortest hold, min, where it was given.
    pub(crate) fn hold_min(&self) -> Option<f64> {
        self.hold_min
    }

    /// What is printed of how a record was read, in words of the options.
    pub(crate) const ADVICE: Advice = Advice {
        error: option_advice::record_error,
        notes: option_advice::notes,
    };

    /// Settings for a record that says this of itself.
    pub(crate) fn settings_for(&self, header: Option<&RunHeader>) -> Result<Settings, Failure> {
        let criteria = header.and_then(|h| h.criteria.as_ref());
        self.settings(header.map(|h| &h.job), criteria)
    }

    /// Settings for a recording that begins now: nothing in it has a time of day yet.
    pub(crate) fn settings_live(
        &self,
        job: Option<&Job>,
        recorded: Option<&Criteria>,
    ) -> Result<Settings, Failure> {
        let mut settings = self.settings(job, recorded)?;
        settings.isolated_at_s = match &self.isolated_at {
            None => None,
            Some(Moment::Seconds(at_s)) => Some(*at_s),
            Some(_) => {
                return Err(Failure::usage(
                    "--isolated-at takes seconds while recording; a time of day goes with review \
                     and report. Stamp the valve with the key s when you shut it",
                ));
            }
        };
        Ok(settings)
    }

    /// Reads and judges the record at `path`.
    pub(crate) fn judge(
        &self,
        path: &Path,
        import: &ImportOptions,
        draw: Draw,
    ) -> Result<Judged, Failure> {
        self.judge_in_zone(path, import, draw, None)
    }

    /// The same; times of day are those of `zone`, else of the record itself.
    pub(crate) fn judge_in_zone(
        &self,
        path: &Path,
        import: &ImportOptions,
        draw: Draw,
        zone: Option<Zone>,
    ) -> Result<Judged, Failure> {
        self.judge_record(Record::open(path, import)?, draw, zone)
    }

    /// Where `--isolated-at` lies in the record.
    pub(crate) fn placed(
        &self,
        record: &Record,
        zone: Option<Zone>,
    ) -> Result<Option<Placed>, Failure> {
        let recorded = record.header().and_then(|h| h.job.sheet.zone);
        let zone = zone.or(recorded).unwrap_or_default();
        let placed = self.isolated_at.as_ref().map(|m| record.place(m, zone));
        placed.transpose().map_err(Failure::usage)
    }

    /// The same of a record that is open.
    pub(crate) fn judge_record(
        &self,
        record: Record<'_>,
        draw: Draw,
        zone: Option<Zone>,
    ) -> Result<Judged, Failure> {
        let mut settings = self.settings_for(record.header())?;
        let placed = self.placed(&record, zone)?;
        settings.isolated_at_s = placed.as_ref().map(|p| p.at_s);
        let note = placed.as_ref().and_then(|p| p.note.clone());
        let mut judged = record.judge(settings, draw, &Self::ADVICE).map_err(|e| {
            let outside = matches!(e, ReviewError::IsolatedOutside { .. });
            let failure = Failure::from(e);
            match note.as_ref().filter(|_| outside) {
                Some(note) => Failure::usage(format!("{failure}. Read as: {note}")),
                None => failure,
            }
        })?;
        if let (Some(placed), Some((_, to_s))) = (&placed, judged.span_s)
            && placed.comes_daily
            && placed.at_s + DAY_S <= to_s
        {
            return Err(Failure::usage(format!(
                "{}: this time of day comes more than once in the record: give the date too, \
                 --isolated-at \"2026-03-14 14:05\"",
                judged.origin.source
            )));
        }
        judged.findings.data.notes.extend(note);
        Ok(judged)
    }
}
