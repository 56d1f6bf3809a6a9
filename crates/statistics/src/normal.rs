//! The normal distribution: cumulative probability and quantile.

/// Φ(x), the standard normal cumulative probability, 0 to 1.
///
/// ```
/// use statistics::normal::cdf;
///
/// assert_eq!(cdf(0.0), 0.5);
/// // tables: Φ(1.96) = 0.9750
/// assert!((cdf(1.96) - 0.975).abs() < 1e-4);
/// ```
#[inline]
#[must_use]
pub fn cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// Φ⁻¹(q), the standard normal quantile, for `q` between 0 and 1; between −8 and 8, to
/// 10⁻⁹ by halving.
///
/// ```
/// use statistics::normal::quantile;
///
/// // tables: 1.96 and 1.645
/// assert!((quantile(0.975) - 1.959_964).abs() < 1e-6);
/// assert!((quantile(0.95) - 1.644_854).abs() < 1e-6);
/// ```
#[must_use]
pub fn quantile(q: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..36 {
        let middle = 0.5 * (low + high);
        if cdf(middle) < q {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
