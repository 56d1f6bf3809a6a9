//! What may be wrong.

/// What may be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaultCode {
    /// Refrigerant is lost through the low side, or air drawn in where that runs below the
    /// air outside.
    LowSideLeak,
    /// Refrigerant is lost through the high side.
    HighSideLeak,
    /// Too little was charged; nothing leaks.
    ShortCharge,
    /// Capillary tube or drier let too little through.
    PartialRestriction,
    /// They let nothing through.
    TotalRestriction,
    /// The compressor pumps too little.
    WeakCompressor,
    /// Too much was charged.
    Overcharge,
    /// Air, or another gas that does not condense, is in the system.
    AirInSystem,
    /// Nothing is wrong with the sealed system.
    OutsideSealedSystem,
}

impl FaultCode {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::LowSideLeak,
        Self::HighSideLeak,
        Self::ShortCharge,
        Self::PartialRestriction,
        Self::TotalRestriction,
        Self::WeakCompressor,
        Self::Overcharge,
        Self::AirInSystem,
        Self::OutsideSealedSystem,
    ];

    /// The stable word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::LowSideLeak => "low_side_leak",
            Self::HighSideLeak => "high_side_leak",
            Self::ShortCharge => "short_charge",
            Self::PartialRestriction => "partial_restriction",
            Self::TotalRestriction => "total_restriction",
            Self::WeakCompressor => "weak_compressor",
            Self::Overcharge => "overcharge",
            Self::AirInSystem => "air_in_system",
            Self::OutsideSealedSystem => "outside_sealed_system",
        }
    }

    /// The fault of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|code| code.word() == word)
    }

    /// Its place in [`Self::ALL`].
    #[must_use]
    pub const fn place(self) -> usize {
        self as usize
    }
}
