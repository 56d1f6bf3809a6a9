//! The χ² distribution.

/// Median of χ² with one degree of freedom (tables; SciPy `chi2.median(1)` is 0.45494).
/// A mean of squares is this many times smaller when it is taken as a median.
pub const MEDIAN_ONE_DEGREE: f64 = 0.455;

/// 95 % point of χ² with one degree of freedom (tables; SciPy `chi2.ppf(0.95, 1)` is
/// 3.8415): how far twice a log-likelihood may fall inside a 95 % interval.
pub const POINT_95_ONE_DEGREE: f64 = 3.84;

/// χ²/ν for ν = `dof` degrees of freedom at the normal quantile `z`, by Wilson and
/// Hilferty: (1 − 2/9ν + z·√(2/9ν))³ (Proc. Natl. Acad. Sci. 17 (1931) 684–688; from
/// memory). Good to a few per cent from two degrees of freedom up. The cube root is at
/// least 0.3, so that the ratio stays above zero far out in the lower tail.
///
/// ```
/// use statistics::chi_square::ratio_at;
///
/// // upper 5 % point of χ² with ten degrees of freedom: 18.307 (tables)
/// assert!((10.0 * ratio_at(10.0, 1.645) - 18.307).abs() < 0.05);
/// ```
#[must_use]
pub fn ratio_at(dof: f64, z: f64) -> f64 {
    let k = 2.0 / (9.0 * dof);
    (1.0 - k + z * k.sqrt()).max(0.3).powi(3)
}
