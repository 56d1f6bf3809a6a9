//! The normal distribution: cumulative probability and quantiles of mixtures.

/// Φ(x), the standard normal cumulative probability.
pub(crate) fn cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// Quantile `q` of a mixture of normals given as (weight, mean, standard
/// deviation); a deviation of zero is a point. `None` when there is no weight.
pub(crate) fn quantile_of_mixture(q: f64, parts: &[(f64, f64, f64)]) -> Option<f64> {
    let total: f64 = parts.iter().map(|p| p.0).sum();
    if total <= 0.0 {
        return None;
    }
    let mut low = parts
        .iter()
        .map(|(_, m, s)| m - 8.0 * s)
        .fold(f64::INFINITY, f64::min);
    let mut high = parts
        .iter()
        .map(|(_, m, s)| m + 8.0 * s)
        .fold(f64::NEG_INFINITY, f64::max);
    let below = |x: f64| -> f64 {
        parts
            .iter()
            .map(|(w, m, s)| {
                w * if *s > 0.0 {
                    cdf((x - m) / s)
                } else {
                    f64::from(u8::from(x >= *m))
                }
            })
            .sum::<f64>()
            / total
    };
    // to a millionth of the spread
    for _ in 0..36 {
        let middle = 0.5 * (low + high);
        if below(middle) < q {
            low = middle
        } else {
            high = middle
        }
    }
    Some(0.5 * (low + high))
}
