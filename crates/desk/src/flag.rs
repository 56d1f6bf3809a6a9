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

impl FlagCode {
    /// Every code, the gravest first.
    pub const ALL: [Self; 16] = [
        Self::SealBroken,
        Self::CurveCopied,
        Self::UnknownKey,
        Self::Unsealed,
        Self::VerdictDiffers,
        Self::CriteriaBelowRule,
        Self::Invented,
        Self::ClockStepped,
        Self::SealedLater,
        Self::CauseDisagreesWithRepair,
        Self::SameSerialAgain,
        Self::SerialAlmostAnother,
        Self::SameFloorAlways,
        Self::CalibrationOverdue,
        Self::ImplausibleJob,
        Self::IsolationNotMarked,
    ];

    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SealBroken => "seal_broken",
            Self::UnknownKey => "unknown_key",
            Self::Unsealed => "unsealed",
            Self::SealedLater => "sealed_later",
            Self::CurveCopied => "curve_copied",
            Self::Invented => "invented",
            Self::VerdictDiffers => "verdict_differs",
            Self::CriteriaBelowRule => "criteria_below_rule",
            Self::CalibrationOverdue => "calibration_overdue",
            Self::IsolationNotMarked => "isolation_not_marked",
            Self::SameSerialAgain => "same_serial_again",
            Self::SerialAlmostAnother => "serial_almost_another",
            Self::ClockStepped => "clock_stepped",
            Self::ImplausibleJob => "implausible_job",
            Self::CauseDisagreesWithRepair => "cause_disagrees_with_repair",
            Self::SameFloorAlways => "same_floor_always",
        }
    }

    /// True for what only several records together show.
    #[must_use]
    pub const fn needs_others(self) -> bool {
        matches!(
            self,
            Self::CurveCopied
                | Self::SameSerialAgain
                | Self::SerialAlmostAnother
                | Self::SameFloorAlways
        )
    }

    /// Place among [`FlagCode::ALL`], the gravest 0.
    #[must_use]
    pub fn rank(self) -> usize {
        let place = Self::ALL.iter().position(|code| *code == self);
        place.unwrap_or(Self::ALL.len())
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_ranked_once_and_its_word_is_that_of_the_json() {
        for (rank, code) in FlagCode::ALL.into_iter().enumerate() {
            assert_eq!(code.rank(), rank);
            let json = serde_json::to_string(&code).expect("a word");
            assert_eq!(json, format!("\"{}\"", code.word()));
        }
    }
}
