//! What a hold could tell the best of analysts.
//!
//! Readings y_i = f(t_i) + e_i with e_i of standard deviation σ_i and first-order
//! correlation r between neighbours are made white by
//! z_i = (y_i/σ_i − r·y_{i−1}/σ_{i−1})/√(1 − r²).
//! For a part s(t) of f beside nuisance curves c_1(t)…c_k(t) of free amplitude, the
//! squared length of what is left of z(s) after projection on the z(c_j) is the
//! expected χ² by which a fit without that part is worse; its square root is the
//! size of the part over the standard error of its amplitude (the Fisher
//! information of the linearised problem; time constants count as free by their
//! derivative curves). Projection by modified Gram–Schmidt.

/// The noise of a hold.
#[derive(Debug, Clone)]
pub(super) struct Design {
    times: Vec<f64>,
    sigma: Vec<f64>,
    correlation: f64,
}

/// A curve whose amplitude is not known; `sd` bounds it where something is known.
pub(super) struct Nuisance {
    curve: Vec<f64>,
    sd: Option<f64>,
}

impl Design {
    pub(super) fn new(times: Vec<f64>, sigma: Vec<f64>, correlation: f64) -> Self {
        Self {
            times,
            sigma,
            correlation,
        }
    }

    /// Number of readings.
    pub(super) fn len(&self) -> usize {
        self.times.len()
    }

    /// A curve of the readings' times.
    pub(super) fn curve(&self, f: impl Fn(f64) -> f64) -> Vec<f64> {
        self.times.iter().map(|t| f(*t)).collect()
    }

    /// A curve with a free amplitude.
    pub(super) fn free(&self, f: impl Fn(f64) -> f64) -> Nuisance {
        Nuisance {
            curve: self.curve(f),
            sd: None,
        }
    }

    /// A curve given by its values, with a free amplitude.
    pub(super) fn given(curve: Vec<f64>) -> Nuisance {
        Nuisance { curve, sd: None }
    }

    /// A curve known to have amplitude 0 give or take `sd`.
    pub(super) fn bounded(&self, sd: f64, f: impl Fn(f64) -> f64) -> Nuisance {
        Nuisance {
            curve: self.curve(f),
            sd: Some(sd),
        }
    }

    fn white(&self, curve: &[f64]) -> Vec<f64> {
        let r = self.correlation;
        let scale = 1.0 / (1.0 - r * r).sqrt();
        let mut before = None;
        curve
            .iter()
            .zip(&self.sigma)
            .map(|(y, s)| {
                let now = y / s;
                // the first reading has no predecessor: it counts as it is
                let z = before.map_or(now, |b: f64| (now - r * b) * scale);
                before = Some(now);
                z
            })
            .collect()
    }

    /// Size of `part` over the standard error of its amplitude beside `others`.
    pub(super) fn significance(&self, part: &[f64], others: &[Nuisance]) -> f64 {
        let known = others.iter().filter(|o| o.sd.is_some()).count();
        let mut basis: Vec<Vec<f64>> = Vec::with_capacity(others.len());
        let mut row = 0;
        for other in others {
            let mut column = self.white(&other.curve);
            let mut prior = vec![0.0; known];
            if let Some(sd) = other.sd {
                prior[row] = 1.0 / sd;
                row += 1;
            }
            column.extend(prior);
            let before = norm(&column);
            // twice, as usual, against cancellation
            remove(&mut column, &basis);
            remove(&mut column, &basis);
            let length = norm(&column);
            if length > 1e-9 * before {
                column.iter_mut().for_each(|v| *v /= length);
                basis.push(column);
            }
        }
        let mut z = self.white(part);
        z.extend(vec![0.0; known]);
        remove(&mut z, &basis);
        remove(&mut z, &basis);
        norm(&z)
    }
}

fn norm(v: &[f64]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

fn remove(v: &mut [f64], basis: &[Vec<f64>]) {
    for b in basis {
        let along: f64 = v.iter().zip(b).map(|(x, y)| x * y).sum();
        v.iter_mut().zip(b).for_each(|(x, y)| *x -= along * y);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(n: usize, sigma: f64, r: f64) -> Design {
        Design::new((0..n).map(|i| i as f64).collect(), vec![sigma; n], r)
    }

    #[test]
    fn a_slope_has_the_textbook_standard_error() {
        // σ·√(12/n³) per reading: 5 micron, 600 readings of 1 s, 0.0707 micron/min
        // (checked by simulation in many texts; computed)
        let d = plain(600, 5.0, 0.0);
        let z = d.significance(&d.curve(|t| t / 60.0), &[d.free(|_| 1.0)]);
        assert!((1.0 / z - 0.0707).abs() < 0.0001, "{}", 1.0 / z);
    }

    #[test]
    fn correlation_inflates_by_the_root_of_its_ratio() {
        // √((1 + r)/(1 − r)) = 4.36 at r = 0.9 (Zwiers and von Storch 1995), long records
        let at = |r| {
            let d = plain(20_000, 1.0, r);
            d.significance(&d.curve(|t| t), &[d.free(|_| 1.0)])
        };
        let ratio = at(0.0) / at(0.9);
        assert!((ratio - 4.36).abs() < 0.02, "{ratio}");
    }

    #[test]
    fn a_line_hides_behind_a_slow_curve_and_a_bound_brings_it_back() {
        let d = plain(600, 1.0, 0.0);
        let line = d.curve(|t| t / 10.0);
        let slow = |t: f64| -(-t / 6000.0).exp_m1();
        let beside = d.significance(&line, &[d.free(|_| 1.0), d.free(slow)]);
        let alone = d.significance(&line, &[d.free(|_| 1.0)]);
        let bounded = d.significance(&line, &[d.free(|_| 1.0), d.bounded(0.5, slow)]);
        assert!(beside < 0.02 * alone, "{beside} {alone}");
        assert!((bounded / alone - 1.0).abs() < 0.1, "{bounded} {alone}");
    }
}
