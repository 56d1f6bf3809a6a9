//! Linear models whose coefficients cannot be negative.
//!
//! The coefficients have half-normal priors, or mixtures of them. With a Gaussian likelihood the posterior is a normal cut off at
//! zero in every direction, whose integral has no closed form beyond two dimensions. It
//! is computed by expectation propagation (T. Minka, UAI 2001, 362–369; for cut-off normals
//! J. Cunningham, P. Hennig and S. Lacoste-Julien, arXiv:1111.6832): every prior is
//! replaced in turn by the normal that gives the same mean and variance. The test beside
//! this module compares the evidence with numerical integration.

use crate::truncated_normal::{MAX_PARTS, TruncatedNormal, moments_of_mixture};

/// Rounds over all terms (common practice, no source: the means settle within them).
const SWEEPS: usize = 8;
/// Change of a mean, in standard deviations, at which the rounds end (common
/// practice, no source: far below what a standard deviation is good for).
const SETTLED: f64 = 3e-3;

/// A mixture of half-normals: the prior of one coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Weight and standard deviation of the parent normal.
    parts: [(f64, f64); MAX_PARTS],
    n: usize,
}

impl Prior {
    /// Equal shares of half-normals of these widths, each above 0; at most
    /// [`MAX_PARTS`] count.
    #[must_use]
    pub fn equal_shares(widths: &[f64]) -> Self {
        let n = widths.len().clamp(1, MAX_PARTS);
        let mut parts = [(0.0, 1.0); MAX_PARTS];
        for (part, width) in parts.iter_mut().zip(widths) {
            *part = (1.0 / n as f64, width.max(1e-9));
        }
        Self { parts, n }
    }

    fn parts(&self) -> &[(f64, f64)] {
        &self.parts[..self.n]
    }

    fn mean_square(&self) -> f64 {
        self.parts().iter().map(|(w, s)| w * s * s).sum()
    }
}

/// The Gaussian likelihood of the coefficients.
#[derive(Debug, Clone, Copy)]
pub struct Likelihood<const N: usize> {
    /// How many of the `N` places are used.
    pub n: usize,
    /// Precision, symmetric: inner products of the columns over the noise variance.
    pub precision: [[f64; N]; N],
    /// Precision times mean: inner products of columns and data over the noise variance.
    pub shift: [f64; N],
}

/// What the coefficients are, given the data.
#[derive(Debug, Clone, Copy)]
pub struct Posterior<const N: usize> {
    /// Logarithm of the evidence, up to what all models of the same data share.
    pub ln_evidence: f64,
    /// Means.
    pub mean: [f64; N],
    /// Covariances.
    pub covariance: [[f64; N]; N],
    /// Each coefficient without its own prior: mean and variance.
    cavity: [(f64, f64); N],
}

/// Integrates the priors against the likelihood, one prior for each coefficient in use.
/// `None` when a matrix is not positive definite in floating point.
///
/// ```
/// use statistics::non_negative::{Likelihood, Prior, integrate};
///
/// // data that say "about 2, give or take 0.1", and a wide prior
/// let likelihood = Likelihood::<1> { n: 1, precision: [[100.0]], shift: [200.0] };
/// let found = integrate(&likelihood, &[Prior::equal_shares(&[50.0])]).expect("well posed");
/// assert!((found.mean[0] - 2.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn integrate<const N: usize>(
    likelihood: &Likelihood<N>,
    priors: &[Prior],
) -> Option<Posterior<N>> {
    let n = likelihood.n;
    let mut state = State::new(likelihood, priors)?;
    for _ in 0..SWEEPS {
        let mut moved: f64 = 0.0;
        for (k, prior) in priors.iter().enumerate().take(n) {
            moved = moved.max(state.update(k, prior)?);
        }
        if moved < SETTLED {
            break;
        }
    }
    state.finish(likelihood, priors)
}

struct State<const N: usize> {
    n: usize,
    /// Precision and shift of the normal that stands for each prior.
    site: [(f64, f64); N],
    covariance: [[f64; N]; N],
    mean: [f64; N],
}

impl<const N: usize> State<N> {
    fn new(likelihood: &Likelihood<N>, priors: &[Prior]) -> Option<Self> {
        let n = likelihood.n;
        let mut site = [(0.0, 0.0); N];
        let mut m = likelihood.precision;
        for k in 0..n {
            site[k].0 = 1.0 / priors[k].mean_square();
            m[k][k] += site[k].0;
        }
        let covariance = inverse(&m, n)?.0;
        let mean = times(&covariance, &likelihood.shift, n);
        Some(Self {
            n,
            site,
            covariance,
            mean,
        })
    }

    fn cavity(&self, k: usize) -> Option<(f64, f64)> {
        let (v, m) = (self.covariance[k][k], self.mean[k]);
        let precision = 1.0 / v - self.site[k].0;
        if precision <= 1e-12 / v {
            return None;
        }
        let variance = 1.0 / precision;
        Some((variance * (m / v - self.site[k].1), variance))
    }

    /// Replaces one prior by the normal of the same moments; how far the mean moved,
    /// in standard deviations.
    fn update(&mut self, k: usize, prior: &Prior) -> Option<f64> {
        let Some((m, v)) = self.cavity(k) else {
            return Some(0.0);
        };
        let cut = moments_of_mixture(m, v, prior.parts());
        let precision = (1.0 / cut.variance - 1.0 / v).max(1e-12 / v);
        let shift = cut.mean / cut.variance - m / v;
        let (old_precision, old_shift) = std::mem::replace(&mut self.site[k], (precision, shift));
        let (dp, ds) = (precision - old_precision, shift - old_shift);
        // rank-one update (Sherman and Morrison)
        let column: [f64; N] = std::array::from_fn(|i| self.covariance[i][k]);
        let moved = (cut.mean - self.mean[k]).abs() / cut.variance.sqrt();
        let factor = dp / (1.0 + dp * column[k]);
        if !factor.is_finite() {
            return None;
        }
        let step = ds - factor * (self.mean[k] + ds * column[k]);
        for i in 0..self.n {
            for j in 0..self.n {
                self.covariance[i][j] -= factor * column[i] * column[j];
            }
        }
        for (mean, c) in self.mean.iter_mut().zip(&column).take(self.n) {
            *mean += step * c;
        }
        Some(moved)
    }

    fn finish(&self, likelihood: &Likelihood<N>, priors: &[Prior]) -> Option<Posterior<N>> {
        let n = self.n;
        let mut m = likelihood.precision;
        let mut shift = likelihood.shift;
        let mut cavity = [(0.0, 1.0); N];
        let mut ln_evidence = 0.0;
        for k in 0..n {
            let (precision, own) = self.site[k];
            m[k][k] += precision;
            shift[k] += own;
            let (mean, variance) = self.cavity(k)?;
            cavity[k] = (mean, variance);
            let cut = moments_of_mixture(mean, variance, priors[k].parts());
            let joined = variance / (1.0 + precision * variance);
            let together = mean / variance + own;
            ln_evidence += cut.ln_weight + 0.5 * (precision * variance).ln_1p()
                - 0.5 * (together * together * joined - mean * mean / variance);
        }
        let (covariance, ln_det) = inverse(&m, n)?;
        let mean = times(&covariance, &shift, n);
        let explained: f64 = (0..n).map(|k| mean[k] * shift[k]).sum();
        ln_evidence += 0.5 * explained - 0.5 * ln_det;
        ln_evidence += 0.5 * n as f64 * std::f64::consts::TAU.ln();
        ln_evidence.is_finite().then_some(Posterior {
            ln_evidence,
            mean,
            covariance,
            cavity,
        })
    }
}

impl<const N: usize> Posterior<N> {
    /// The distribution of coefficient `k`, whose prior is `prior`: shares and truncated
    /// normals. `k` is below the number of coefficients in use.
    pub fn parts(&self, k: usize, prior: &Prior) -> impl Iterator<Item = (f64, TruncatedNormal)> {
        let (m, v) = self.cavity[k];
        let cuts: Vec<TruncatedNormal> = prior
            .parts()
            .iter()
            .map(|part| TruncatedNormal::new(m, v, *part))
            .collect();
        let top = cuts
            .iter()
            .map(|c| c.ln_weight)
            .fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = cuts.iter().map(|c| (c.ln_weight - top).exp()).sum();
        cuts.into_iter()
            .map(move |c| ((c.ln_weight - top).exp() / sum, c))
    }

    /// Variance of a weighted sum of the first `n` coefficients.
    #[must_use]
    pub fn variance_of(&self, weights: &[f64; N], n: usize) -> f64 {
        let along = times(&self.covariance, weights, n);
        (0..n).map(|i| along[i] * weights[i]).sum::<f64>().max(0.0)
    }
}

fn times<const N: usize>(m: &[[f64; N]; N], v: &[f64; N], n: usize) -> [f64; N] {
    let mut out = [0.0; N];
    for i in 0..n {
        out[i] = (0..n).map(|j| m[i][j] * v[j]).sum();
    }
    out
}

/// Inverse of a positive definite matrix by Cholesky, and ln of its determinant.
fn inverse<const N: usize>(m: &[[f64; N]; N], n: usize) -> Option<([[f64; N]; N], f64)> {
    let mut l = [[0.0; N]; N];
    let mut ln_det = 0.0;
    for i in 0..n {
        for j in 0..=i {
            let sum: f64 = m[i][j] - (0..j).map(|k| l[i][k] * l[j][k]).sum::<f64>();
            if i == j {
                if sum <= 0.0 || !sum.is_finite() {
                    return None;
                }
                l[i][i] = sum.sqrt();
                ln_det += sum.ln();
            } else {
                l[i][j] = sum / l[j][j];
            }
        }
    }
    // inverse of the factor, then its square
    let mut w = [[0.0; N]; N];
    for j in 0..n {
        w[j][j] = 1.0 / l[j][j];
        for i in j + 1..n {
            let sum: f64 = (j..i).map(|k| l[i][k] * w[k][j]).sum();
            w[i][j] = -sum / l[i][i];
        }
    }
    let mut out = [[0.0; N]; N];
    for i in 0..n {
        for j in 0..=i {
            let sum: f64 = (i..n).map(|k| w[k][i] * w[k][j]).sum();
            out[i][j] = sum;
            out[j][i] = sum;
        }
    }
    Some((out, ln_det))
}

/// ln Σ e^w: the logarithm of a sum of evidences that are given as logarithms; negative
/// infinity for none.
///
/// ```
/// use statistics::non_negative::ln_sum_exp;
///
/// // e^1000 overflows, its logarithm does not
/// assert!((ln_sum_exp([1000.0, 1000.0].into_iter()) - 1000.693_147).abs() < 1e-6);
/// ```
#[must_use]
pub fn ln_sum_exp(weights: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = weights.clone().fold(f64::NEG_INFINITY, f64::max);
    top + weights.map(|w| (w - top).exp()).sum::<f64>().ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two correlated coefficients, one with a mixture of priors, against numerical
    /// integration (SciPy 1.17, `scipy.integrate.dblquad` over the density itself).
    #[test]
    fn evidence_and_mean_agree_with_numerical_integration() {
        let likelihood = Likelihood::<2> {
            n: 2,
            precision: [[4.0, 2.5], [2.5, 3.0]],
            shift: [2.0, -1.0],
        };
        let priors = [
            Prior::equal_shares(&[0.5, 2.0]),
            Prior::equal_shares(&[1.0]),
        ];
        let found = integrate(&likelihood, &priors).expect("a proper problem");
        assert!(
            (found.ln_evidence - -1.336_194).abs() < 0.02,
            "{}",
            found.ln_evidence
        );
        assert!((found.mean[0] - 0.406_587).abs() < 0.01, "{:?}", found.mean);
    }
}
