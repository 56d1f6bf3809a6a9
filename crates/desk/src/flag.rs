//! What a clerk should look at.

use serde::{Deserialize, Serialize};

/// What a flag is about. The words of the JSON are those of the variants in snake case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FlagCode {
    /// The seal does not fit the record.
    SealBroken,
    /// Sealed by a key that is not among the trusted ones.
    UnknownKey,
    /// There is no seal.
    Unsealed,
    /// Sealed long after the record ended.
    SealedLater,
    /// The same readings stand in the record of another job.
    CurveCopied,
    /// Demonstration data, marked as invented.
    Invented,
    /// Today's verdict is not the one the shop's findings say.
    VerdictDiffers,
    /// Judged by criteria softer than the desk's own.
    CriteriaBelowRule,
    /// The calibration of the gauge was overdue on the day.
    CalibrationOverdue,
    /// Nobody marked the isolation: it was found in the curve, or not at all.
    IsolationNotMarked,
    /// The same serial number was repaired within the days asked for.
    SameSerialAgain,
    /// The serial number differs from another in one or two characters.
    SerialAlmostAnother,
    /// The clock of the computer was set during the record.
    ClockStepped,
    /// Ambient temperature or volume cannot be.
    ImplausibleJob,
    /// The repair that was stated does not go with the cause that was found.
    CauseDisagreesWithRepair,
    /// This gauge always ends at the same lowest pressure.
    SameFloorAlways,
}

/// One thing to look at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Flag {
    /// What it is about.
    pub code: FlagCode,
    /// What was seen, one sentence in plain words, with its figures.
    pub words: String,
    /// Paths of other rows that it was seen with.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
}
