//! Normals truncated at zero: weights and moments.

use crate::normal::cdf;

/// Most half-normals in one mixture.
pub const MAX_PARTS: usize = 5;

/// A normal times a half-normal prior: what is left above zero.
///
/// ```
/// use statistics::truncated_normal::TruncatedNormal;
///
/// // a wide prior leaves half of a standard normal: its median is 0.674 (tables)
/// let half = TruncatedNormal::new(0.0, 1.0, (1.0, 1e6));
/// assert!((half.below(0.674_49) - 0.5).abs() < 1e-5);
/// ```
#[derive(Debug, Clone, Copy)]
pub struct TruncatedNormal {
    /// Logarithm of the integral over all that is left.
    pub ln_weight: f64,
    /// Mean before the truncation.
    pub centre: f64,
    /// Standard deviation before the truncation.
    pub sd: f64,
    /// φ(z)/Φ(z) at z = centre/sd.
    hazard: f64,
    /// ln Φ(z).
    ln_left: f64,
}

/// Integral and moments of what is left of a mixture.
#[derive(Debug, Clone, Copy)]
pub struct Moments {
    /// Logarithm of the integral.
    pub ln_weight: f64,
    /// Mean of what is left, above 0.
    pub mean: f64,
    /// Its variance, above 0.
    pub variance: f64,
}

/// ln Φ below which a normal is taken as an exponential: Φ(−7) is e^−27.4, and there
/// 1 − Φ(a)/Φ(b) has lost most of its digits.
const LN_FAR_TAIL: f64 = -27.0;
/// ln 2π.
const LN_TAU: f64 = 1.837_877_066_409_345_3;

impl TruncatedNormal {
    /// The normal of mean `m` and variance `v` times `weight`·2·N(x; 0, `width`²) above 0.
    #[must_use]
    pub fn new(m: f64, v: f64, (weight, width): (f64, f64)) -> Self {
        let wide = width * width;
        let variance = v * wide / (v + wide);
        let (centre, sd) = (m * wide / (v + wide), variance.sqrt());
        let (ln_above, hazard) = ln_cdf_and_hazard(centre / sd);
        // both logarithms at once
        let share = 4.0 * weight * weight / (v + wide);
        let ln_weight = 0.5 * (share.ln() - LN_TAU - m * m / (v + wide));
        Self {
            ln_weight: ln_weight + ln_above,
            centre,
            sd,
            hazard,
            ln_left: ln_above,
        }
    }

    /// Mean of what is left, and its second moment.
    fn moments(&self) -> (f64, f64) {
        let mean = (self.centre + self.sd * self.hazard).max(1e-6 * self.sd);
        (mean, self.sd * self.sd + self.centre * mean)
    }

    /// Probability that a value is below `x`.
    #[inline]
    #[must_use]
    pub fn below(&self, x: f64) -> f64 {
        if x <= 0.0 {
            return 0.0;
        }
        if self.ln_left < LN_FAR_TAIL {
            // far in the tail it falls off like an exponential
            let rate = -self.centre / (self.sd * self.sd);
            return -(-rate * x).exp_m1();
        }
        let beyond = cdf((self.centre - x) / self.sd) / self.ln_left.exp();
        (1.0 - beyond).clamp(0.0, 1.0)
    }
}

/// Moments of the normal (mean `m`, variance `v`) times a mixture of half-normals, given
/// as (weight, standard deviation of the parent normal); at most [`MAX_PARTS`] count.
///
/// ```
/// use statistics::truncated_normal::moments_of_mixture;
///
/// // a half-normal of standard deviation 1 has the mean √(2/π)
/// let found = moments_of_mixture(0.0, 1e9, &[(1.0, 1.0)]);
/// assert!((found.mean - 0.797_885).abs() < 1e-5);
/// ```
#[must_use]
pub fn moments_of_mixture(m: f64, v: f64, parts: &[(f64, f64)]) -> Moments {
    let mut cuts = [TruncatedNormal {
        ln_weight: f64::NEG_INFINITY,
        centre: 0.0,
        sd: 1.0,
        hazard: 0.0,
        ln_left: 0.0,
    }; MAX_PARTS];
    let mut top = f64::NEG_INFINITY;
    for (cut, part) in cuts.iter_mut().zip(parts) {
        *cut = TruncatedNormal::new(m, v, *part);
        top = top.max(cut.ln_weight);
    }
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for cut in cuts.iter().take(parts.len()) {
        let weight = (cut.ln_weight - top).exp();
        if weight > 1e-9 {
            let (mean, square) = cut.moments();
            sum += weight;
            first += weight * mean;
            second += weight * square;
        }
    }
    let mean = first / sum;
    Moments {
        ln_weight: top + sum.ln(),
        mean,
        variance: (second / sum - mean * mean).max(1e-6 * v.min(mean * mean).max(1e-300)),
    }
}

/// ln Φ(z) and φ(z)/Φ(z); below −6 by the asymptotic series (NIST DLMF 7.12.1).
fn ln_cdf_and_hazard(z: f64) -> (f64, f64) {
    if z > -6.0 {
        let p = cdf(z);
        return (p.ln(), (-0.5 * (z * z + LN_TAU)).exp() / p);
    }
    let s = 1.0 / (z * z);
    let series = 1.0 - s * (1.0 - 3.0 * s * (1.0 - 5.0 * s * (1.0 - 7.0 * s)));
    let ln_density = -0.5 * (z * z + LN_TAU);
    (ln_density + (series / -z).ln(), -z / series)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SciPy 1.17, `scipy.stats.norm.logcdf`.
    #[test]
    fn both_forms_of_the_tail_agree_with_a_library() {
        for (z, wanted) in LOGCDF {
            let (ln, _) = ln_cdf_and_hazard(z);
            assert!(
                (ln - wanted).abs() < 1e-6 * (1.0 + wanted.abs()),
                "{z}: {ln}"
            );
        }
    }

    const LOGCDF: [(f64, f64); 6] = [
        (-8.0, -35.013_437_16),
        (-6.5, -23.938_149_50),
        (-5.9, -20.125_799_58),
        (-3.0, -6.607_726_222),
        (0.5, -0.368_946_415_3),
        (4.0, -3.167_174_338e-5),
    ];
}
