//! Correlation between neighbours, and what it takes off the number of values.

/// Lag-1 autocorrelation of residuals about zero, full-sum form
/// r₁ = Σ eᵢ·eᵢ₊₁ / Σ eᵢ² (NIST StRD univariate definition), −1 to 1; 0 when all
/// residuals are 0.
///
/// ```
/// use statistics::correlation::lag_one;
///
/// assert!(lag_one(&[1.0, -1.0, 1.0, -1.0]) < -0.7);
/// assert_eq!(lag_one(&[0.0, 0.0]), 0.0);
/// ```
#[must_use]
pub fn lag_one(residuals: &[f64]) -> f64 {
    let total: f64 = residuals.iter().map(|e| e * e).sum();
    if total <= 0.0 {
        return 0.0;
    }
    residuals.windows(2).map(|w| w[0] * w[1]).sum::<f64>() / total
}

/// Effective sample size of `n` values with lag-1 autocorrelation `r`:
/// n·(1 − r)/(1 + r) (Zwiers and von Storch, J. Climate 8 (1995) 336–351);
/// `n` when r is not positive. `r` is below 1.
///
/// ```
/// use statistics::correlation::effective_size;
///
/// assert!((effective_size(600.0, 0.5) - 200.0).abs() < 1e-9);
/// assert_eq!(effective_size(600.0, -0.2), 600.0);
/// ```
#[must_use]
pub fn effective_size(n: f64, r: f64) -> f64 {
    if r > 0.0 {
        n * (1.0 - r) / (1.0 + r)
    } else {
        n
    }
}

/// Largest lag-1 correlation that [`independent_values`] believes (common practice, no
/// source: beyond it nothing of the sample size is left).
const MOST_CORRELATED: f64 = 0.95;

/// How many of the residuals of a fit count as independent: their effective sample size by
/// their own lag-1 correlation.
///
/// ```
/// use statistics::correlation::independent_values;
///
/// let white: Vec<f64> = (0..100).map(|i| f64::from(i * 7919 % 101) - 50.0).collect();
/// assert!(independent_values(&white) > 80.0);
/// let slow: Vec<f64> = (0..100).map(|i| (f64::from(i) / 15.0).sin()).collect();
/// assert!(independent_values(&slow) < 10.0);
/// ```
#[must_use]
pub fn independent_values(residuals: &[f64]) -> f64 {
    let r = lag_one(residuals).clamp(0.0, MOST_CORRELATED);
    effective_size(residuals.len() as f64, r)
}
