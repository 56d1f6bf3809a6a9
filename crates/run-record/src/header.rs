//! `job.toml`: what was known about the job when the run began.

mod companion;
mod contents;
mod criteria;
mod scale;
mod sheet;
mod test;
mod text;
mod wire;

use std::path::Path;

use plain_file::Links;
use vacuum::{Criteria, GaugeIdentity, Job, TestPlan};

use self::wire::WireRun;
use crate::error::{AtPath, Problem, RecordError};

pub(crate) use self::companion::BESIDE_PREFIX;

pub use self::{companion::Companion, contents::RunHeader, scale::ScaleUsed};

/// File name of the header inside a run folder.
pub(crate) const JOB_NAME: &str = "job.toml";

/// Largest `job.toml` that is read, bytes.
pub(crate) const LARGEST: u64 = 1 << 20;

/// A job file a technician wrote.
///
/// ```
/// use run_record::JobFile;
///
/// # let place = tempfile::tempdir()?;
/// let path = place.path().join("job.toml");
/// std::fs::write(&path, "[job]\nid = \"INVENTED-7\"\n\n[criteria]\nceiling_micron = 600\n")?;
/// let file = JobFile::read(&path)?;
/// assert_eq!(file.job.id, "INVENTED-7");
/// assert!(file.criteria.is_some());
///
/// // what is wrong is said with the row
/// std::fs::write(&path, "[job]\nid = INVENTED-7\n")?;
/// let error = JobFile::read(&path).unwrap_err();
/// assert_eq!(error.path(), path);
/// assert!(error.to_string().contains("row 2"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct JobFile {
    /// The system and paperwork data.
    pub job: Job,
    /// Which test it is for, and what is known of it.
    pub test: TestPlan,
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
            test: header.test,
            criteria: header.criteria,
            pump_gauge,
            zone_is_local,
            unknown_keys,
        })
    }
}

impl RunHeader {
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
