//! An exponential fall to a floor: y = F + B·exp(−t/τ).

use crate::linear::least_squares_in_place;

/// A fitted fall.
#[derive(Debug, Clone, Copy)]
pub struct ExponentialDecay {
    /// F, where it ends.
    pub floor: f64,
    /// B, how far above that it begins; negative for a rise.
    pub amplitude: f64,
    /// τ, in the unit of t.
    pub tau: f64,
    rss: f64,
}

/// Time constants tried, a geometric grid as shares of the span (common practice, no
/// source: each is about 1.4 times the one before, closer than data tell them apart).
const GRID: [f64; 14] = [
    0.05, 0.08, 0.12, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 3.0, 5.0, 8.0,
];

/// Least squares with weights 1/y, for noise that grows with the value; for each τ the
/// problem is linear in F and B. `t` starts at 0 and ascends, `y` is above 0. `None` for
/// fewer than two points.
///
/// ```
/// use statistics::exponential_decay::fit;
///
/// let t: Vec<f64> = (0..60).map(f64::from).collect();
/// let y: Vec<f64> = t.iter().map(|t| 200.0 + 900.0 * (-t / 20.65).exp()).collect();
/// let found = fit(&t, &y).expect("enough points");
/// assert!((found.floor - 200.0).abs() < 1.0 && (found.tau - 20.65).abs() < 0.1);
/// ```
#[must_use]
pub fn fit(t: &[f64], y: &[f64]) -> Option<ExponentialDecay> {
    let span = *t.last()?;
    let mut best: Option<ExponentialDecay> = None;
    for share in GRID {
        let tau = share * span;
        let weigh = |f: &dyn Fn(f64) -> f64| -> Vec<f64> {
            t.iter().zip(y).map(|(t, y)| f(*t) / y).collect()
        };
        let columns = vec![weigh(&|_| 1.0), weigh(&|t| (-t / tau).exp())];
        let Some(fit) = least_squares_in_place(columns, vec![1.0; t.len()]) else {
            continue;
        };
        if best.is_none_or(|b| fit.rss < b.rss) {
            best = Some(ExponentialDecay {
                floor: fit.coefficients[0],
                amplitude: fit.coefficients[1],
                tau,
                rss: fit.rss,
            });
        }
    }
    best
}
