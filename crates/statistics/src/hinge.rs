//! A rise that sets in late: level at first, then up.
//!
//! The continuous hinge y = c + s₀·t + (s₁ − s₀)·max(t − h, 0) over all h is compared with
//! the best curve that is straight or bends over (one saturating exponential), by the drop
//! in the residual sum of squares for one more parameter: an F statistic, in which the
//! effective sample size ([`independent_values`]) stands for the number of values.

use crate::{correlation::independent_values, linear::least_squares};

/// Fewest values that are looked at (common practice, no source).
const FEWEST: usize = 24;
/// Instants tried, the first of them and the stretch that they cover, as shares of the
/// series (common practice, no source: a hinge nearer to an end is not told from noise).
const CANDIDATES: usize = 48;
const FIRST: f64 = 0.08;
const COVERED: f64 = 0.84;
/// F from which a late rise is seen (common practice, no source: far beyond the 0.1 %
/// point of F, about 11, for so many hinges are tried).
const SURE: f64 = 40.0;
/// Slope after the hinge over slope before it, at least (common practice, no source).
const STEEPER: f64 = 3.0;
/// What may have risen before the hinge, as a share of what rises after it (common
/// practice, no source).
const RISEN_BEFORE: f64 = 0.5;
/// Time constants of the curves that bend over, in lengths of the series (common
/// practice, no source: from a bend over at once to one that is nearly straight).
const BENDS: [f64; 6] = [0.05, 0.1, 0.2, 0.4, 0.8, 1.6];

/// When a rise set in that was not there from the beginning, in the unit of `t`, which
/// ascends; `None` where a straight line or a curve that bends over explains the series as
/// well. `least_rise` is the smallest rise worth the name, in the unit of `y`.
///
/// ```
/// use statistics::hinge::late_rise;
///
/// let t: Vec<f64> = (0..100).map(f64::from).collect();
/// let noise = |t: f64| 0.1 * (1.7 * t).sin();
/// let late: Vec<f64> = t.iter().map(|t| (t - 60.0).max(0.0) + noise(*t)).collect();
/// let found = late_rise(&t, &late, 1.0).expect("it sets in late");
/// assert!((found - 60.0).abs() < 3.0);
///
/// let straight: Vec<f64> = t.iter().map(|t| t + noise(*t)).collect();
/// assert!(late_rise(&t, &straight, 1.0).is_none());
/// ```
#[must_use]
pub fn late_rise(t: &[f64], y: &[f64], least_rise: f64) -> Option<f64> {
    let (first, last) = (t.first()?, t.last()?);
    let span = last - first;
    if t.len() < FEWEST || span <= 0.0 {
        return None;
    }
    let u: Vec<f64> = t.iter().map(|t| (t - first) / span).collect();
    let bending_over = bending_over(&u, y)?;
    let hinge = (0..CANDIDATES)
        .filter_map(|i| {
            let h = FIRST + COVERED * i as f64 / (CANDIDATES - 1) as f64;
            Hinge::fit(&u, y, h)
        })
        .min_by(|a, b| a.rss.total_cmp(&b.rss))?;
    let n = t.len() as f64;
    let effective = independent_values(&hinge.residuals).max(6.0);
    let f = (bending_over - hinge.rss) / (hinge.rss / n).max(1e-12) * (effective - 4.0) / n;
    let rises = hinge.after * (1.0 - hinge.at);
    let late = f > SURE
        && hinge.after > STEEPER * hinge.before.abs()
        && rises > least_rise
        && hinge.at * hinge.before < RISEN_BEFORE * rises;
    late.then_some(first + hinge.at * span)
}

/// Residual sum of squares of the best curve that is straight or bends over.
fn bending_over(u: &[f64], y: &[f64]) -> Option<f64> {
    let ones = vec![1.0; u.len()];
    let straight = least_squares(&[ones.clone(), u.to_vec()], y)?.rss;
    let bent = BENDS.into_iter().filter_map(|tau| {
        let saturating = u.iter().map(|u| -(-u / tau).exp_m1()).collect();
        let fit = least_squares(&[ones.clone(), u.to_vec(), saturating], y)?;
        (fit.coefficients[2] >= 0.0).then_some(fit.rss)
    });
    Some(bent.fold(straight, f64::min))
}

/// A line that turns upwards at `at`.
struct Hinge {
    at: f64,
    /// Slope before and after, over the whole series.
    before: f64,
    after: f64,
    rss: f64,
    residuals: Vec<f64>,
}

impl Hinge {
    fn fit(u: &[f64], y: &[f64], at: f64) -> Option<Self> {
        let turn: Vec<f64> = u.iter().map(|u| (u - at).max(0.0)).collect();
        let fit = least_squares(&[vec![1.0; u.len()], u.to_vec(), turn.clone()], y)?;
        let c = &fit.coefficients;
        Some(Self {
            at,
            before: c[1],
            after: c[1] + c[2],
            rss: fit.rss,
            residuals: (0..u.len())
                .map(|i| y[i] - c[0] - c[1] * u[i] - c[2] * turn[i])
                .collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(y: impl Fn(f64) -> f64) -> (Vec<f64>, Vec<f64>) {
        (0..240)
            .map(|i| {
                let t = f64::from(i) * 5.0;
                // a wobble in place of noise: 0.3
                let wobble = 0.3 * (f64::from(i * 7919 % 100) / 50.0 - 1.0);
                (t, y(t) + wobble)
            })
            .unzip()
    }

    #[test]
    fn a_level_that_turns_up_is_found_where_it_turns() {
        let (t, late) = series(|t| 200.0 + 0.05 * (t - 500.0).max(0.0));
        let at = late_rise(&t, &late, 5.0);
        assert!(at.is_some_and(|at| (at - 500.0).abs() < 30.0), "{at:?}");
    }

    #[test]
    fn lines_bends_and_falls_begin_at_once() {
        let curves: [&dyn Fn(f64) -> f64; 5] = [
            &|_| 200.0,
            &|t| 200.0 + 0.05 * t,
            &|t| 200.0 - 300.0 * (-t / 200.0).exp_m1(),
            &|t| 200.0 + 0.02 * t - 80.0 * (-t / 100.0).exp_m1(),
            &|t| 200.0 - 0.01 * t,
        ];
        for (i, curve) in curves.iter().enumerate() {
            let (t, y) = series(curve);
            assert_eq!(late_rise(&t, &y, 5.0), None, "curve {i}");
        }
    }

    #[test]
    fn a_turn_too_small_to_matter_is_none() {
        let (t, late) = series(|t| 200.0 + 0.005 * (t - 500.0).max(0.0));
        assert_eq!(late_rise(&t, &late, 5.0), None);
    }
}
