//! Is the scale fine enough?

/// How many steps of the scale a tolerance should hold: common practice (measuring instruments
/// four times finer than what they judge), no source.
const STEPS_IN_TOLERANCE: f64 = 4.0;

/// A scale against the tolerance of a charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleFit {
    /// Its smallest step, g.
    pub step_g: f64,
    /// Tolerance of the charge, g.
    pub tolerance_g: f64,
    /// What its steps alone leave open, g, 95 %.
    pub uncertainty_95_g: f64,
}

impl ScaleFit {
    pub(crate) fn new(step_g: f64, tolerance_g: f64) -> Self {
        Self {
            step_g,
            tolerance_g,
            uncertainty_95_g: 2.0 * scale_standard_g(step_g),
        }
    }

    /// True when the tolerance holds at least four steps.
    #[must_use]
    pub fn is_fine_enough(&self) -> bool {
        // a step of 0.3 in a tolerance of 1.2 is four times finer, whatever binary says
        self.step_g * STEPS_IN_TOLERANCE <= self.tolerance_g * (1.0 + 1e-9)
    }
}

/// Standard uncertainty of a mass that is the difference of two readings of a scale with this
/// step, g: each reading is rounded to the step (JCGM 100:2008 F.2.2.1: step/√12), so that
/// two make step/√6.
#[must_use]
pub fn scale_standard_g(step_g: f64) -> f64 {
    step_g / 6.0_f64.sqrt()
}
