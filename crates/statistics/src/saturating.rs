//! Nonlinear fit of one saturating term beside linear ones, by variable
//! projection: for every rate the linear part is solved exactly, the rate is
//! scanned over a wide range and then polished.
//!
//! No start value is needed, nothing can overflow, and "converged" is never
//! taken for a verdict: the caller gets standard errors to judge by.
//!
//! G. H. Golub and V. Pereyra, SIAM J. Numer. Anal. 10 (1973) 413–432.

use crate::linear::least_squares;

/// What stands beside the saturating term b·(1 − exp(−k·x)).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinearPart {
    /// Nothing: the curve starts at zero.
    Nothing,
    /// A constant.
    Constant,
    /// A constant and a straight line.
    Line,
}

/// Result of [`fit_saturating`].
#[derive(Debug, Clone, PartialEq)]
pub struct SaturatingFit {
    /// Final height b.
    pub height: f64,
    /// Its standard error.
    pub height_se: f64,
    /// Rate k, one over the time constant.
    pub rate: f64,
    /// Its standard error.
    pub rate_se: f64,
    /// Constant, when there is one.
    pub constant: Option<f64>,
    /// Slope, when there is one.
    pub slope: Option<f64>,
    /// Residual sum of squares.
    pub rss: f64,
    /// Degrees of freedom.
    pub dof: usize,
}

/// Fits y = [constant + slope·x +] b·(1 − exp(−k·x)), unweighted.
///
/// `rates` is the range of k to search, both above zero. `None` when there are
/// not more points than parameters, a value is not finite, or the columns cannot
/// be told apart anywhere in the range.
///
/// ```
/// use statistics::saturating::{LinearPart, fit_saturating};
///
/// let x: Vec<f64> = (0..40).map(f64::from).collect();
/// let y: Vec<f64> = x.iter().map(|x| 5.0 + 80.0 * (1.0 - (-x / 10.0).exp())).collect();
/// let fit = fit_saturating(&x, &y, LinearPart::Constant, (1e-3, 1.0)).expect("enough points");
/// assert!((fit.height - 80.0).abs() < 1e-6 && (fit.rate - 0.1).abs() < 1e-8);
/// ```
#[must_use]
pub fn fit_saturating(
    x: &[f64],
    y: &[f64],
    beside: LinearPart,
    rates: (f64, f64),
) -> Option<SaturatingFit> {
    let parameters = 2 + match beside {
        LinearPart::Nothing => 0,
        LinearPart::Constant => 1,
        LinearPart::Line => 2,
    };
    let finite = x.iter().chain(y).all(|v| v.is_finite());
    if x.len() != y.len()
        || x.len() <= parameters
        || !finite
        || !(0.0 < rates.0 && rates.0 < rates.1)
    {
        return None;
    }
    let rate = polish(x, y, beside, best_rate(x, y, beside, rates)?);
    let (columns, linear) = project(x, y, beside, rate)?;
    // full Jacobian at the solution: linear columns and the rate
    let height = *linear.coefficients.last()?;
    let mut jacobian = columns;
    jacobian.push(x.iter().map(|x| height * x * (-rate * x).exp()).collect());
    let residual: Vec<f64> = residuals(&jacobian[..jacobian.len() - 1], &linear.coefficients, y);
    let step = least_squares(&jacobian, &residual)?;
    let k = jacobian.len();
    let se = |i: usize| {
        step.standard_errors
            .get(i)
            .copied()
            .unwrap_or(f64::INFINITY)
    };
    Some(SaturatingFit {
        height,
        height_se: se(k - 2),
        rate,
        rate_se: se(k - 1),
        constant: (k > 2).then(|| linear.coefficients[0]),
        slope: (k > 3).then(|| linear.coefficients[1]),
        rss: linear.rss,
        dof: step.dof,
    })
}

fn columns_at(x: &[f64], beside: LinearPart, rate: f64) -> Vec<Vec<f64>> {
    let mut columns = Vec::with_capacity(4);
    if beside != LinearPart::Nothing {
        columns.push(vec![1.0; x.len()]);
    }
    if beside == LinearPart::Line {
        columns.push(x.to_vec());
    }
    columns.push(x.iter().map(|x| -(-rate * x).exp_m1()).collect());
    columns
}

fn project(
    x: &[f64],
    y: &[f64],
    beside: LinearPart,
    rate: f64,
) -> Option<(Vec<Vec<f64>>, crate::linear::LinearFit)> {
    let columns = columns_at(x, beside, rate);
    let fit = least_squares(&columns, y)?;
    Some((columns, fit))
}

fn rss_at(x: &[f64], y: &[f64], beside: LinearPart, rate: f64) -> f64 {
    project(x, y, beside, rate).map_or(f64::INFINITY, |(_, fit)| fit.rss)
}

/// Scan on a logarithmic grid, then golden section around the best cell.
fn best_rate(x: &[f64], y: &[f64], beside: LinearPart, (low, high): (f64, f64)) -> Option<f64> {
    const CELLS: usize = 60;
    let at = |i: f64| (low.ln() + (high / low).ln() * i / CELLS as f64).exp();
    let best = (0..=CELLS)
        .map(|i| (i, rss_at(x, y, beside, at(i as f64))))
        .filter(|(_, rss)| rss.is_finite())
        .min_by(|a, b| a.1.total_cmp(&b.1))?
        .0 as f64;
    let (mut a, mut b) = (
        at((best - 1.0).max(0.0)).ln(),
        at((best + 1.0).min(CELLS as f64)).ln(),
    );
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    for _ in 0..40 {
        let (c, d) = (b - golden * (b - a), a + golden * (b - a));
        if rss_at(x, y, beside, c.exp()) < rss_at(x, y, beside, d.exp()) {
            b = d
        } else {
            a = c
        }
    }
    Some((0.5 * (a + b)).exp())
}

/// A few Gauss–Newton steps on the whole problem give the last digits that a
/// search on the sum of squares cannot.
fn polish(x: &[f64], y: &[f64], beside: LinearPart, mut rate: f64) -> f64 {
    for _ in 0..6 {
        let Some((columns, linear)) = project(x, y, beside, rate) else {
            return rate;
        };
        let Some(&height) = linear.coefficients.last() else {
            return rate;
        };
        let residual = residuals(&columns, &linear.coefficients, y);
        let mut jacobian = columns;
        jacobian.push(x.iter().map(|x| height * x * (-rate * x).exp()).collect());
        let Some(step) = least_squares(&jacobian, &residual) else {
            return rate;
        };
        let Some(&delta) = step.coefficients.last() else {
            return rate;
        };
        let next = rate + delta;
        if next.is_nan() || next <= 0.0 || rss_at(x, y, beside, next) > linear.rss * (1.0 + 1e-9) {
            return rate;
        }
        rate = next;
    }
    rate
}

fn residuals(columns: &[Vec<f64>], coefficients: &[f64], y: &[f64]) -> Vec<f64> {
    y.iter()
        .enumerate()
        .map(|(i, y)| {
            y - columns
                .iter()
                .zip(coefficients)
                .map(|(c, b)| c[i] * b)
                .sum::<f64>()
        })
        .collect()
}
