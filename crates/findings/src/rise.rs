//! How the pressure moved in a hold.

use super::estimate::Estimate;

/// How the pressure moved in a hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RiseKind {
    /// No rise beyond gauge noise.
    None,
    /// A straight rise: air coming in.
    Leak,
    /// A rise that levels off: water or another volatile boiling out.
    Moisture,
    /// Both.
    LeakAndMoisture,
    /// Too short or too noisy to tell.
    Unclear,
}

impl RiseKind {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Leak => "leak",
            Self::Moisture => "moisture",
            Self::LeakAndMoisture => "leak_and_moisture",
            Self::Unclear => "unclear",
        }
    }
}

/// One saturating term: `amplitude·(1 − exp(−t/τ))`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturating {
    /// Final height, micron.
    pub amplitude_micron: f64,
    /// Time constant, s.
    pub tau_s: f64,
}

/// The likeliest of the fitted sums that agree with what is said, for drawing:
/// p(t) = start + slope·(t−t₀) + root·(√(t−t₀+4 s) − √4 s) + Σ amplitude·(1 − exp(−(t−t₀)/τ)).
/// Formulas and sources: `analyser::method::rise`, section 6.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RiseCurve {
    /// Time origin t₀, s of the run.
    pub origin_s: f64,
    /// End of the fitted stretch, s of the run.
    pub end_s: f64,
    /// Pressure at the origin, micron.
    pub start_micron: f64,
    /// Straight part, micron/s, 0 or more.
    pub slope_micron_per_s: f64,
    /// Part that grows with the square root of time, as gas out of a thick layer does:
    /// its factor, micron/√s, 0 or more.
    pub root_micron: f64,
    /// Saturating parts. Positive amplitudes give gas off; of the others one at most takes
    /// it up, and two are what is left of equalisation.
    pub terms: Vec<Saturating>,
}

impl RiseCurve {
    /// Fitted pressure at `elapsed_s` of the run, micron.
    ///
    /// ```
    /// use findings::{RiseCurve, Saturating};
    ///
    /// let curve = RiseCurve {
    ///     origin_s: 500.0,
    ///     start_micron: 200.0,
    ///     slope_micron_per_s: 0.1,
    ///     terms: vec![Saturating { amplitude_micron: 50.0, tau_s: 10.0 }],
    ///     ..RiseCurve::default()
    /// };
    /// // the saturating part is over after many time constants: 200 + 0.1·1000 + 50
    /// assert!((curve.at_micron(1_500.0) - 350.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn at_micron(&self, elapsed_s: f64) -> f64 {
        let t = elapsed_s - self.origin_s;
        self.terms.iter().fold(
            self.start_micron + self.slope_micron_per_s * t + self.root_micron * root_growth(t),
            |p, term| p - term.amplitude_micron * (-t / term.tau_s).exp_m1(),
        )
    }
}

/// √(t + 4 s) − √4 s: how gas grows that diffuses out of a thick layer (J. Crank, *The
/// Mathematics of Diffusion*, from memory). The 4 s keep the slope at 0 finite (common
/// practice, no source). `t_s` in s; times before 0 count as 0.
///
/// ```
/// assert_eq!(findings::root_growth(0.0), 0.0);
/// assert_eq!(findings::root_growth(12.0), 2.0);
/// ```
#[must_use]
pub fn root_growth(t_s: f64) -> f64 {
    (t_s.max(0.0) + 4.0).sqrt() - 2.0
}

/// How the pressure moved in a hold, with figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Rise {
    /// What the rise is: the name that the probability of a leak and the size of the rise
    /// allow (`analyser::method::rise`, section 7).
    pub kind: RiseKind,
    /// The leak: straight part, micron/min, with its 95 % interval, each 0 or more. The
    /// lower end is 0 where there may be no leak. Where the rise left the range of the
    /// gauge, `value` is the smallest mean rise that explains it (section 8).
    pub leak_micron_per_min: Option<Estimate>,
    /// Pressure at which the saturating part levels off, micron.
    pub plateau_micron: Option<Estimate>,
    /// Time constant of the saturating part, s.
    pub tau_s: Option<Estimate>,
    /// Smallest straight rise that this hold on this gauge could have shown,
    /// micron/min.
    pub detection_limit_micron_per_min: Option<f64>,
    /// How long the hold must last in all (s from isolation) to tell leak and
    /// moisture apart, when it cannot yet.
    pub decide_after_s: Option<f64>,
    /// Probability that air comes in, 0 to 1, by a map that was fitted on simulated holds
    /// whose truth is known (section 7); it stays within the shares that were found there.
    /// `None` where nothing could be fitted and the gauge did not run out of its range.
    pub leak_probability: Option<f64>,
    /// Confidence in `kind`, 0 to 1: how many of 100 statements like this one are right,
    /// over 100, in holds like the simulated ones.
    pub confidence: Option<f64>,
    /// The fit, for drawing.
    pub curve: Option<RiseCurve>,
    /// Figures of which `leak_probability` is made: logarithms of ratios and their
    /// functions, without unit, each within limits of its own; order and limits in
    /// `analyser::method::rise`, section 7. `None` where nothing was fitted.
    /// For measuring the analyser: their number and order may change.
    pub evidence: Option<[f64; EVIDENCE]>,
}

/// Number of figures in [`Rise::evidence`].
pub const EVIDENCE: usize = 15;
