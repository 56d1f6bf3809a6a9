//! What the numbers of a gauge mean.

use vacuum::{MassUnit, Pressure, PressureUnit};

use crate::{number::Written, state::State};

/// Unit of the temperature field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TemperatureUnit {
    Celsius,
    Fahrenheit,
    Kelvin,
}

impl TemperatureUnit {
    pub(crate) fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            // exact by definition of the Fahrenheit scale
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - vacuum::ZERO_CELSIUS_K,
        }
    }
}

/// How the temperature field is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TemperatureStyle {
    pub(crate) unit: TemperatureUnit,
    /// What one count is; 1 where the number is the temperature itself.
    pub(crate) scale: f64,
    pub(crate) written: Written,
}

/// How the power of ten of a value is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ExponentStyle {
    /// Added to the exponent as sent.
    pub(crate) offset: i32,
    /// What stands in the sign's place for minus and for plus.
    pub(crate) minus: String,
    pub(crate) plus: String,
}

/// A state told by bits of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct StateBits {
    pub(crate) mask: u32,
    /// What the masked bits must equal; any bit set, if `None`.
    pub(crate) equals: Option<u32>,
    pub(crate) means: State,
}

impl StateBits {
    pub(crate) fn fit(self, bits: u32) -> bool {
        match self.equals {
            Some(wanted) => bits & self.mask == wanted,
            None => bits & self.mask != 0,
        }
    }
}

/// What the number of one sensor means where the line does not say it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Terms {
    pub(crate) fixed_unit: Option<PressureUnit>,
    /// The fixed unit counts from air of this pressure.
    pub(crate) air: Option<Pressure>,
    /// A unit on the line may count from air of this pressure.
    pub(crate) around: Option<Pressure>,
    /// At and above this it is over range.
    pub(crate) over: Option<Pressure>,
    /// At and below this it is under range.
    pub(crate) under: Option<Pressure>,
}

/// What the numbers of a scale mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Weighs {
    /// The unit where the line does not say it.
    pub(crate) fixed_unit: Option<MassUnit>,
    /// Words of the scale for units, as the dialect lists them.
    pub(crate) units: Vec<(String, MassUnit)>,
}
