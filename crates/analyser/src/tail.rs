//! Exponential tails of a pull-down: p = F + B·exp(−t/τ).

use crate::linear::solve;

/// A fitted tail.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tail {
    /// F, micron.
    pub(crate) floor_micron: f64,
    /// B, micron.
    pub(crate) amplitude: f64,
    /// τ, s.
    pub(crate) tau_s: f64,
    rss: f64,
}

/// Time constants tried, a geometric grid as shares of the span.
const GRID: [f64; 14] = [
    0.05, 0.08, 0.12, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 3.0, 5.0, 8.0,
];

/// Least squares with weights 1/p (gauge noise grows with the pressure); for each
/// τ the problem is linear in F and B. `t` starts at 0.
pub(crate) fn exponential(t: &[f64], p: &[f64]) -> Option<Tail> {
    let span = *t.last()?;
    let mut best: Option<Tail> = None;
    for share in GRID {
        let tau_s = share * span;
        let weigh = |f: &dyn Fn(f64) -> f64| -> Vec<f64> {
            t.iter().zip(p).map(|(t, p)| f(*t) / p).collect()
        };
        let columns = vec![weigh(&|_| 1.0), weigh(&|t| (-t / tau_s).exp())];
        let Some(fit) = solve(columns, vec![1.0; t.len()]) else {
            continue;
        };
        if best.is_none_or(|b| fit.rss < b.rss) {
            best = Some(Tail {
                floor_micron: fit.coefficients[0],
                amplitude: fit.coefficients[1],
                tau_s,
                rss: fit.rss,
            });
        }
    }
    best
}
