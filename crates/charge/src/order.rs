//! The order of work of charging.

/// What is done, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargingStep {
    /// The hold has passed; gauge valved off, cylinder on the scale, scale at zero.
    Prepare,
    /// The low side of the manifold is shut.
    ShutLowSide,
    /// Liquid goes into the high side, the compressor stands.
    LetLiquidIn,
    /// Cylinder, charging valve and high side are shut, in this order.
    ShutValves,
    /// The compressor is switched on.
    StartCompressor,
    /// What hoses keep is drawn in through the low side.
    DrawResidueIn,
    /// The process tube is pinched, brazed and cut.
    PinchOff,
}

impl ChargingStep {
    /// All, in order.
    pub const ALL: [Self; 7] = [
        Self::Prepare,
        Self::ShutLowSide,
        Self::LetLiquidIn,
        Self::ShutValves,
        Self::StartCompressor,
        Self::DrawResidueIn,
        Self::PinchOff,
    ];

    /// The code in JSON.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Prepare => "prepare",
            Self::ShutLowSide => "shut_low_side",
            Self::LetLiquidIn => "let_liquid_in",
            Self::ShutValves => "shut_valves",
            Self::StartCompressor => "start_compressor",
            Self::DrawResidueIn => "draw_residue_in",
            Self::PinchOff => "pinch_off",
        }
    }
}
