//! What `job.toml` of a run folder holds.

use chrono::{DateTime, Utc};
use vacuum::{Criteria, Job, PressureUnit, RecordUnit, TestPlan, UnitBasis};

use super::{companion::Companion, scale::ScaleUsed};

/// What was known when a run began: the contents of `job.toml`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RunHeader {
    /// The system and paperwork data, with the gauge's identity.
    pub job: Job,
    /// Which test the run is, and what is known of it.
    pub test: TestPlan,
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
    /// The scale that is recorded too, if there is one.
    pub scale: Option<ScaleUsed>,
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
}
