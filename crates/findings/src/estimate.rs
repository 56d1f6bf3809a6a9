//! A value and how far it may be off.

/// A value with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

impl Estimate {
    /// The same estimate in another unit (multiplied by a positive factor).
    ///
    /// ```
    /// use findings::Estimate;
    ///
    /// let per_min = Estimate { value: 6.0, low: 3.0, high: 9.0 };
    /// let per_s = per_min.scaled(1.0 / 60.0);
    /// assert!((per_s.low - 0.05).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
        }
    }
}
