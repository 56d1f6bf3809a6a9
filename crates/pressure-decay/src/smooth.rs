//! The temperature behind a thermometer's noise and steps.
//!
//! Air and metal in a room warm and cool without kinks, while a thermometer shows steps. The
//! temperature is taken as a wander of that kind (Gaussian process, Matérn covariance of
//! order 3/2) seen through the noise: the best value and its covariance are those of
//! C. E. Rasmussen and C. K. I. Williams, *Gaussian Processes for Machine Learning*, 2006,
//! equations 2.23 and 2.24 (from memory).

use statistics::dense::Symmetric;

use crate::wander::{add_wander, mean};

/// Temperatures of a stretch.
#[derive(Debug, Clone)]
pub(crate) struct Kelvin {
    /// Best value, K.
    pub(crate) mean: Vec<f64>,
    /// Covariance of it from noise and steps of the thermometer, K².
    pub(crate) covariance: Symmetric,
}

/// Wanders of a room and of what stands in it: K and s.
const WANDERS: [(f64, f64); 3] = [(0.3, 600.0), (1.5, 3_600.0), (4.0, 14_400.0)];

/// From means of bins and their variances; `None` when they are not sound.
pub(crate) fn smooth(time_s: &[f64], kelvin: &[f64], variance_k2: &[f64]) -> Option<Kelvin> {
    let n = time_s.len();
    let middle = mean(kelvin);
    let mut prior = Symmetric::zeros(n);
    // sizes in K, as they are
    add_wander(&mut prior, &WANDERS, time_s, 1.0);
    let mut seen = prior.clone();
    let own: Vec<f64> = variance_k2.iter().map(|v| v + 1e-8).collect();
    seen.add_own(&own);
    // the level of the room is not known beforehand
    seen.add(|_, _| 100.0);
    prior.add(|_, _| 100.0);
    let factor = seen.factor()?;
    let from_middle: Vec<f64> = kelvin.iter().map(|k| k - middle).collect();
    let white = factor.whiten(&from_middle);
    // rows of L⁻¹·K
    let rows: Vec<Vec<f64>> = (0..n).map(|i| factor.whiten(&prior.row(i))).collect();
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let best = rows.iter().map(|row| middle + dot(row, &white)).collect();
    let mut covariance = prior;
    covariance.add(|i, j| -dot(&rows[i], &rows[j]));
    Some(Kelvin {
        mean: best,
        covariance,
    })
}

#[cfg(test)]
mod tests {
    use super::smooth;

    #[test]
    fn steps_are_seen_through() {
        // a slow wave through a thermometer of half a degree
        let time_s: Vec<f64> = (0..96).map(|i| f64::from(i) * 60.0).collect();
        let truth = |t: f64| 293.0 + 1.2 * (t / 2_000.0).sin();
        let shown: Vec<f64> = time_s
            .iter()
            .map(|t| (truth(*t) * 2.0).round() / 2.0)
            .collect();
        let found = smooth(&time_s, &shown, &[0.5 * 0.5 / 12.0 * 6.0; 96]).expect("sound");
        let worst = time_s
            .iter()
            .zip(&found.mean)
            .map(|(t, k)| (truth(*t) - k).abs())
            .fold(0.0, f64::max);
        assert!(worst < 0.2, "{worst}");
        let sd = found.covariance.at(50, 50).sqrt();
        assert!((0.02..0.2).contains(&sd), "{sd}");
    }
}
