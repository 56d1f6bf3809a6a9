//! What flags are called on the page.

use desk::FlagCode;

/// A few words.
pub(crate) const fn name(code: FlagCode) -> &'static str {
    match code {
        FlagCode::SealBroken => "seal broken",
        FlagCode::UnknownKey => "sealed by another key",
        FlagCode::Unsealed => "not sealed",
        FlagCode::SealedLater => "sealed later",
        FlagCode::CurveCopied => "curve copied",
        FlagCode::Invented => "invented data",
        FlagCode::VerdictDiffers => "verdict differs",
        FlagCode::CriteriaBelowRule => "criteria softer than the rule",
        FlagCode::CalibrationOverdue => "calibration overdue",
        FlagCode::IsolationNotMarked => "isolation not marked",
        FlagCode::SameSerialAgain => "same serial number again",
        FlagCode::SerialAlmostAnother => "serial number almost another",
        FlagCode::ClockStepped => "clock was set",
        FlagCode::ImplausibleJob => "implausible job",
        FlagCode::CauseDisagreesWithRepair => "repair against cause",
        FlagCode::SameFloorAlways => "always the same lowest pressure",
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_flag_has_a_name_of_its_own() {
        let names: BTreeSet<_> = FlagCode::ALL.into_iter().map(name).collect();
        assert_eq!(names.len(), FlagCode::ALL.len());
    }
}
