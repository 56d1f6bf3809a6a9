//! What a gauge says of itself beside the number.

/// A state of the gauge, the mildest first: where two are told at once, the
/// worse one counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum State {
    /// The value is a measurement.
    Ok,
    /// The value is a measurement, and a scale says that it stands still.
    Stable,
    /// The value is a measurement, and a scale says that it moves.
    Moving,
    /// Below the gauge's range.
    Under,
    /// Above the gauge's range.
    Over,
    /// The gauge has no new value yet; the next line may have one.
    Busy,
    /// The sensor is switched off, so for the record there is no gauge.
    Off,
    /// The gauge is not well.
    Fault,
}

impl State {
    /// The words of a dialect file.
    pub(crate) const WORDS: [(&'static str, Self); 8] = [
        ("ok", Self::Ok),
        ("stable", Self::Stable),
        ("moving", Self::Moving),
        ("over", Self::Over),
        ("under", Self::Under),
        ("fault", Self::Fault),
        ("off", Self::Off),
        ("busy", Self::Busy),
    ];
}
