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
pub(crate) struct Design {
    times: Vec<f64>,
    sigma: Vec<f64>,
    correlation: f64,
}

/// A curve whose amplitude is not known; `sd` bounds it where something is known.
pub(crate) struct Nuisance {
    curve: Vec<f64>,
    sd: Option<f64>,
}

impl Design {
    pub(crate) fn new(times: Vec<f64>, sigma: Vec<f64>, correlation: f64) -> Self {
        Self {
            times,
            sigma,
            correlation,
        }
    }

    /// Number of readings.
    pub(crate) fn len(&self) -> usize {
        self.times.len()
    }

    /// A curve of the readings' times.
    pub(crate) fn curve(&self, f: impl Fn(f64) -> f64) -> Vec<f64> {
        self.times.iter().map(|t| f(*t)).collect()
    }

    /// A curve with a free amplitude.
    pub(crate) fn free(&self, f: impl Fn(f64) -> f64) -> Nuisance {
        Nuisance {
            curve: self.curve(f),
            sd: None,
        }
    }

    /// A curve given by its values, with a free amplitude.
    pub(crate) fn given(curve: Vec<f64>) -> Nuisance {
        Nuisance { curve, sd: None }
    }

    /// A curve known to have amplitude 0 give or take `sd`.
    pub(crate) fn bounded(&self, sd: f64, f: impl Fn(f64) -> f64) -> Nuisance {
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
    pub(crate) fn significance(&self, part: &[f64], others: &[Nuisance]) -> f64 {
        norm(&Plane::of(self, others).rest(part))
    }

    /// Root of the least expected χ² by which `whole` misses everything that `others`
    /// and one or two of `positive`, with amplitudes of at least 0, can add up to.
    pub(crate) fn misfit(&self, whole: &[f64], others: &[Nuisance], positive: &[Vec<f64>]) -> f64 {
        let plane = Plane::of(self, others);
        let target = plane.rest(whole);
        let columns: Vec<Vec<f64>> = positive.iter().map(|c| plane.rest(c)).collect();
        let along: Vec<f64> = columns.iter().map(|c| inner(c, &target)).collect();
        let mut explained = 0.0f64;
        for (i, a) in columns.iter().enumerate() {
            let aa = inner(a, a).max(f64::MIN_POSITIVE);
            explained = explained.max(along[i].max(0.0).powi(2) / aa);
            for (j, b) in columns.iter().enumerate().skip(i + 1) {
                let (ab, bb) = (inner(a, b), inner(b, b));
                let det = aa * bb - ab * ab;
                let x = (bb * along[i] - ab * along[j]) / det;
                let y = (aa * along[j] - ab * along[i]) / det;
                if det > 1e-9 * aa * bb && x >= 0.0 && y >= 0.0 {
                    explained = explained.max(x * along[i] + y * along[j]);
                }
            }
        }
        (inner(&target, &target) - explained).max(0.0).sqrt()
    }
}

/// What curves of unknown amplitude span, whitened; bounds are rows below.
struct Plane<'a> {
    design: &'a Design,
    bounds: usize,
    basis: Vec<Vec<f64>>,
}

impl<'a> Plane<'a> {
    fn of(design: &'a Design, others: &[Nuisance]) -> Self {
        let bounds = others.iter().filter(|o| o.sd.is_some()).count();
        let mut basis: Vec<Vec<f64>> = Vec::with_capacity(others.len());
        let mut row = 0;
        for other in others {
            let mut column = design.white(&other.curve);
            let mut bound = vec![0.0; bounds];
            if let Some(sd) = other.sd {
                bound[row] = 1.0 / sd;
                row += 1;
            }
            column.extend(bound);
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
        Self {
            design,
            bounds,
            basis,
        }
    }

    /// What of a curve lies outside.
    fn rest(&self, curve: &[f64]) -> Vec<f64> {
        let mut z = self.design.white(curve);
        z.extend(vec![0.0; self.bounds]);
        remove(&mut z, &self.basis);
        remove(&mut z, &self.basis);
        z
    }
}

fn inner(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn norm(v: &[f64]) -> f64 {
    inner(v, v).sqrt()
}

fn remove(v: &mut [f64], basis: &[Vec<f64>]) {
    for b in basis {
        let along = inner(v, b);
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

    #[test]
    fn a_misfit_allows_no_negative_store() {
        let d = plain(600, 1.0, 0.0);
        let level = [d.free(|_| 1.0)];
        let store = |tau_s: f64| d.curve(|t| -100.0 * (-t / tau_s).exp_m1());
        let stores: Vec<Vec<f64>> = [60.0, 120.0, 240.0].map(store).to_vec();
        // what is made of two stores is found again
        let sum: Vec<f64> = stores[0]
            .iter()
            .zip(&stores[2])
            .map(|(a, b)| a + b)
            .collect();
        assert!(d.misfit(&sum, &level, &stores) < 1e-3);
        // a line is not, though with a negative store it nearly would be
        let line = d.curve(|t| t / 6.0);
        let free: Vec<Nuisance> = stores.iter().map(|s| Design::given(s.clone())).collect();
        let others: Vec<Nuisance> = free.into_iter().chain([d.free(|_| 1.0)]).collect();
        let signed = d.significance(&line, &others);
        let honest = d.misfit(&line, &level, &stores);
        assert!(honest > 4.0 * signed, "{honest} {signed}");
    }
}
