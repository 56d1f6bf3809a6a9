//! What is fitted.

/// One bin of the hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HoldBin {
    /// Seconds since the start of the fit.
    pub(crate) t: f64,
    /// Mean pressure, micron; at the first bin's temperature by the gas law where a
    /// temperature was recorded.
    pub(crate) p: f64,
    /// Number of readings.
    pub(crate) n: f64,
    /// Times of the first and the last reading, s.
    pub(crate) ends: (f64, f64),
    /// Smallest step of the gauge at this pressure, micron; zero: none.
    pub(crate) step: f64,
    /// Temperature above that of the first bin, K; `None`: not recorded.
    pub(crate) warming_k: Option<f64>,
}

/// What the fit needs to know about the gauge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FitContext {
    /// Noise of one reading, micron.
    pub(crate) reading_micron: f64,
    /// Readings per bin.
    pub(crate) readings_per_bin: f64,
    /// Time constant of equalisation, s; `None`: none was seen.
    pub(crate) settling_s: Option<f64>,
    /// When equalisation is over, s since the start of the fit: from then on pressure
    /// counts as rise.
    pub(crate) settled_t: f64,
}
