//! `job.toml`: what was known about the job when the run began.

mod criteria;
mod sheet;
mod wire;

use std::path::Path;

use chrono::{DateTime, Utc};
use plain_file::Links;
use vacuum::{Criteria, GaugeIdentity, Job, PressureUnit, RecordUnit, UnitBasis};

use self::wire::WireRun;
use crate::error::{AtPath, Problem, RecordError};

/// File name of the header inside a run folder.
pub(crate) const JOB_NAME: &str = "job.toml";

/// What the file name of a [`Companion`] begins with.
pub(crate) const BESIDE_PREFIX: &str = "beside-";

/// Largest `job.toml` that is read, bytes.
pub(crate) const LARGEST: u64 = 1 << 20;

/// What was known when a run began: the contents of `job.toml`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RunHeader {
    /// The system and paperwork data, with the gauge's identity.
    pub job: Job,
    /// What the run is to be judged against, if it was said.
    pub criteria: Option<Criteria>,
    /// Name of the gauge dialect used.
    pub dialect: Option<String>,
    /// The unit that the dialect says, where the gauge sends numbers without one.
    pub assumed_unit: Option<PressureUnit>,
    /// Where the gauge was connected, as given.
    pub port: Option<String>,
    /// Name and version of the program that recorded.
    pub software: String,
    /// When the run began. [`RunWriter`](crate::RunWriter) fills it.
    pub started: Option<DateTime<Utc>>,
    /// Gauges and channels recorded beside the judged one, each in a file of
    /// its own.
    pub beside: Vec<Companion>,
}

/// A gauge, or a further channel of one, recorded beside the judged gauge:
/// a table `[[beside]]` of `job.toml`, and a file `beside-<name>.csv` whose rows
/// have the columns of `trace.csv`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Companion {
    /// Short name, a part of the file's name: letters, digits, `-` and `_`
    /// ("pump-side", "channel-2"). [`Companion::file_name`] makes it fit.
    pub name: String,
    /// Where it sits, in words for a person ("pump side").
    pub place: String,
    /// Name of its dialect.
    pub dialect: Option<String>,
    /// Where it was connected, as given.
    pub port: Option<String>,
    /// Which gauge it is.
    pub gauge: GaugeIdentity,
}

impl Companion {
    /// The file its rows are in; never a path out of the folder.
    #[must_use]
    pub fn file_name(&self) -> String {
        let keep = |c: char| {
            if c.is_ascii_alphanumeric() || c == '_' {
                c
            } else {
                '-'
            }
        };
        let name: String = self.name.chars().take(40).map(keep).collect();
        format!("{BESIDE_PREFIX}{name}.csv")
    }
}

/// A job file a technician wrote: `dryhold log --job FILE`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct JobFile {
    /// The system and paperwork data.
    pub job: Job,
    /// Criteria, if the file has a `[criteria]` table.
    pub criteria: Option<Criteria>,
    /// The gauge at the pump, where a second one is read.
    pub pump_gauge: GaugeIdentity,
    /// Times are to be printed in the zone of the computer that records
    /// (`zone = "local"`): whoever records puts that zone into the run, so that it
    /// prints the same anywhere.
    pub zone_is_local: bool,
    /// Keys that mean nothing here, for instance misspelt ones.
    pub unknown_keys: Vec<String>,
}

impl JobFile {
    /// Reads a job file. `samples/job.toml` shows every key.
    ///
    /// # Errors
    /// When it cannot be read, is not TOML, or a number in it cannot be right.
    pub fn read(path: &Path) -> Result<Self, RecordError> {
        Self::from_bytes(path, &read_small(path, Links::Follow)?)
    }

    /// The same of what would be in the file `path`, which errors name.
    ///
    /// # Errors
    /// As [`JobFile::read`].
    pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Self, RecordError> {
        let wire = parse(path, bytes)?;
        wire.check_sheet(path)?;
        let zone_is_local = wire.zone_is_local();
        let unknown_keys = wire.unknown_keys();
        let pump_gauge = wire.pump_gauge();
        let header = wire.into_header(path)?;
        Ok(Self {
            job: header.job,
            criteria: header.criteria,
            pump_gauge,
            zone_is_local,
            unknown_keys,
        })
    }
}

impl RunHeader {
    /// In which unit the gauge sent its readings, where the dialect says it.
    #[must_use]
    pub fn record_unit(&self) -> Option<RecordUnit> {
        self.assumed_unit.map(|unit| RecordUnit {
            unit,
            basis: UnitBasis::Dialect,
        })
    }

    /// Reads the `job.toml` of a run folder. Keys of later versions are passed over.
    ///
    /// # Errors
    /// As [`JobFile::read`]; also for a link, which may lead anywhere.
    pub fn read(path: &Path) -> Result<Self, RecordError> {
        Self::from_bytes(path, &read_small(path, Links::Refuse)?)
    }

    pub(crate) fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Self, RecordError> {
        parse(path, bytes)?.into_header(path)
    }

    pub(crate) fn to_toml(&self, path: &Path) -> Result<String, RecordError> {
        let wire = WireRun::from(self);
        toml::to_string(&wire).map_err(|e| {
            RecordError::new(
                path,
                Problem::Toml {
                    row: None,
                    message: e.to_string().replace('\n', " "),
                },
            )
        })
    }
}

/// Reads a file of job data.
pub(crate) fn read_small(path: &Path, links: Links) -> Result<Vec<u8>, RecordError> {
    plain_file::read(path, LARGEST, links).reading(path)
}

fn parse(path: &Path, bytes: &[u8]) -> Result<WireRun, RecordError> {
    let toml_error = |row, message| RecordError::new(path, Problem::Toml { row, message });
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes)
        .map_err(|_| toml_error(None, "this is not UTF-8 text: save it as UTF-8".into()))?;
    toml::from_str(text).map_err(|e| {
        let row = e
            .span()
            .map(|s| 1 + text.bytes().take(s.start).filter(|b| *b == b'\n').count() as u64);
        toml_error(row, e.message().replace('\n', " "))
    })
}
