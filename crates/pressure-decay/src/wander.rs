//! Wanders of temperature as covariances, and the middle of a series.

use statistics::dense::Symmetric;

/// A wander without kinks, of temperature about `middle_k`: Matérn covariance of order 3/2.
pub(crate) fn add_wander(to: &mut Symmetric, sizes: &[(f64, f64)], t: &[f64], middle_k: f64) {
    for (size_k, length_s) in sizes {
        let variance = (size_k / middle_k).powi(2);
        to.add(|i, j| {
            let x = 3f64.sqrt() * (t[i] - t[j]).abs() / length_s;
            variance * (1.0 + x) * (-x).exp()
        });
    }
}

/// Mean, 0 for none.
pub(crate) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}
