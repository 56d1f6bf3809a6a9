//! What flags are called on the page.

use desk::FlagCode;

/// All of them, the gravest first.
pub(crate) const BY_GRAVITY: [FlagCode; 16] = [
    FlagCode::SealBroken,
    FlagCode::UnknownKey,
    FlagCode::Unsealed,
    FlagCode::SealedLater,
    FlagCode::CurveCopied,
    FlagCode::Invented,
    FlagCode::VerdictDiffers,
    FlagCode::CriteriaBelowRule,
    FlagCode::CalibrationOverdue,
    FlagCode::IsolationNotMarked,
    FlagCode::SameSerialAgain,
    FlagCode::SerialAlmostAnother,
    FlagCode::ClockStepped,
    FlagCode::ImplausibleJob,
    FlagCode::CauseDisagreesWithRepair,
    FlagCode::SameFloorAlways,
];

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

/// The place of a flag among all.
pub(crate) fn gravity(code: FlagCode) -> usize {
    let known = BY_GRAVITY.iter().position(|one| *one == code);
    known.unwrap_or(BY_GRAVITY.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gravity_is_the_order_in_which_the_desk_declares_its_flags() {
        assert!(BY_GRAVITY.is_sorted());
        // the last one of the enumeration: a new one after it has to come in here too
        assert_eq!(FlagCode::SameFloorAlways as usize + 1, BY_GRAVITY.len());
        for (place, code) in BY_GRAVITY.into_iter().enumerate() {
            assert_eq!(code as usize, place);
            assert_eq!(gravity(code), place);
        }
    }
}
