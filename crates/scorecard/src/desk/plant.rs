//! What is planted in claims.

/// What is done to a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Plant {
    Nothing,
    /// The same appliance model, on the same rig, on another day: innocent.
    Alike,
    CopyExact,
    CopyShifted,
    CopyThinned,
    CopyResampled,
    CopyScaled,
    SameSerial,
    SerialSlip,
    SoftCriteria,
    Tampered,
    ForeignKey,
    Unsealed,
    SealedLater,
    Torn,
    Zipped,
    Hostile,
    ClockSet,
    Implausible,
    CalibrationOver,
    WrongRepair,
    OtherFindings,
    FixedFloor,
}

pub(crate) fn is_copy(plant: Plant) -> bool {
    matches!(
        plant,
        Plant::CopyExact
            | Plant::CopyShifted
            | Plant::CopyThinned
            | Plant::CopyResampled
            | Plant::CopyScaled
    )
}
