//! How a measured value answers a break, and a fitted curve with one.

/// Columns before the break: level, line, two decays.
pub(super) const BEFORE: usize = 4;
/// Columns after: line, bend, jump.
pub(super) const AFTER: usize = 3;

/// One way the measured value may move right after the break.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// Time constant of a jump, s, above 0; `None` for a mere change of slope.
    pub jump_s: Option<f64>,
    /// Lag of the instrument (first order), s, 0 or more, and not the time constant of the
    /// jump.
    pub lag_s: f64,
    /// Natural logarithm of its prior weight.
    pub ln_weight: f64,
}

/// The responses that are tried, and what is believed of jumps downwards.
#[derive(Debug, Clone, Copy)]
pub struct Responses<'a> {
    /// Every response.
    pub all: &'a [Response],
    /// Longest time constant of a jump downwards, s.
    pub longest_fall_s: f64,
    /// Natural logarithm of the weight of a jump downwards over one upwards.
    pub ln_weight_of_a_fall: f64,
}

/// A fitted broken curve.
#[derive(Debug, Clone, Copy)]
pub(super) struct BrokenCurve {
    /// When it breaks, s.
    pub(super) at: f64,
    /// Index of its response in [`Responses::all`].
    pub(super) response: usize,
    /// −2·ln(likelihood), noise levels before and after fitted apart: what comes before
    /// may be rougher than what follows.
    pub(super) deviance: f64,
    /// ln of its mean square residual.
    pub(super) ln_variance: f64,
    /// True where the jump goes downwards.
    pub(super) falls: bool,
    pub(super) before: [f64; BEFORE],
    pub(super) after: [f64; AFTER],
}
