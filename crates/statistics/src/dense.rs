//! Symmetric positive definite matrices of any size: packed storage, Cholesky factor,
//! generalised least squares with a known covariance.
//!
//! For readings whose errors hang together (drift, staircase, a thermometer that lags).
//! At about a hundred rows a factor costs a third of a million products.

/// A symmetric matrix, kept as its lower triangle, row by row.
#[derive(Debug, Clone)]
pub struct Symmetric {
    n: usize,
    lower: Vec<f64>,
}

impl Symmetric {
    /// All zeros, `n` rows.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        Self {
            n,
            lower: vec![0.0; n * (n + 1) / 2],
        }
    }

    /// How many rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.n
    }

    /// One entry.
    ///
    /// # Panics
    /// When there is no such row or column.
    #[must_use]
    pub fn at(&self, i: usize, j: usize) -> f64 {
        let (i, j) = (i.max(j), i.min(j));
        self.lower[i * (i + 1) / 2 + j]
    }

    /// One row, whole.
    ///
    /// # Panics
    /// When there is no such row.
    #[must_use]
    pub fn row(&self, i: usize) -> Vec<f64> {
        (0..self.n).map(|j| self.at(i, j)).collect()
    }

    /// Rows and columns `from` to `to` alone.
    ///
    /// # Panics
    /// When there are fewer rows than `to`.
    #[must_use]
    pub fn part(&self, from: usize, to: usize) -> Self {
        let mut part = Self::zeros(to - from);
        part.add(|i, j| self.at(from + i, from + j));
        part
    }

    /// Adds `value(i, j)`, which has to be symmetric, to every entry.
    pub fn add(&mut self, value: impl Fn(usize, usize) -> f64) {
        let mut at = 0;
        for i in 0..self.n {
            for j in 0..=i {
                self.lower[at] += value(i, j);
                at += 1;
            }
        }
    }

    /// Adds `variance·v·vᵀ`: errors that all rows share in proportion to `v`.
    ///
    /// # Panics
    /// When `v` has fewer entries than there are rows.
    pub fn add_shared(&mut self, v: &[f64], variance: f64) {
        self.add(|i, j| variance * v[i] * v[j]);
    }

    /// Adds `values` to the diagonal: errors of each row for itself.
    pub fn add_own(&mut self, values: &[f64]) {
        for (i, value) in values.iter().enumerate().take(self.n) {
            self.lower[i * (i + 1) / 2 + i] += value;
        }
    }

    /// Adds `factor` times another matrix of the same size.
    pub fn add_scaled(&mut self, other: &Self, factor: f64) {
        for (mine, theirs) in self.lower.iter_mut().zip(&other.lower) {
            *mine += factor * theirs;
        }
    }

    /// The Cholesky factor L of M = L·Lᵀ; `None` when M is not positive definite.
    #[must_use]
    pub fn factor(mut self) -> Option<Factor> {
        for i in 0..self.n {
            let row = i * (i + 1) / 2;
            for j in 0..=i {
                let other = j * (j + 1) / 2;
                let product = dot(&self.lower[row..row + j], &self.lower[other..other + j]);
                let left = self.lower[row + j] - product;
                if i == j {
                    if left.is_nan() || left <= 0.0 {
                        return None;
                    }
                    self.lower[row + j] = left.sqrt();
                } else {
                    self.lower[row + j] = left / self.lower[other + j];
                }
            }
        }
        Some(Factor(self))
    }
}

/// The Cholesky factor of a covariance.
#[derive(Debug, Clone)]
pub struct Factor(Symmetric);

/// What generalised least squares of one straight dependence gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// The coefficient of the second column.
    pub value: f64,
    /// Its standard deviation, from the covariance alone (not from the residuals).
    pub sd: f64,
    /// Natural logarithm of the probability density of the data, with both coefficients
    /// integrated out over a density of 1. Compares covariances on the same data and
    /// columns.
    pub ln_evidence: f64,
}

impl Factor {
    /// L⁻¹·v: makes the errors independent, each with variance 1.
    ///
    /// # Panics
    /// When `v` has fewer entries than there are rows.
    #[must_use]
    pub fn whiten(&self, v: &[f64]) -> Vec<f64> {
        let mut white: Vec<f64> = Vec::with_capacity(self.0.n);
        for (i, value) in v[..self.0.n].iter().enumerate() {
            let row = i * (i + 1) / 2;
            let product = dot(&self.0.lower[row..row + i], &white);
            white.push((value - product) / self.0.lower[row + i]);
        }
        white
    }

    /// M⁻¹·v.
    ///
    /// # Panics
    /// When `v` has fewer entries than there are rows.
    #[must_use]
    pub fn solve(&self, v: &[f64]) -> Vec<f64> {
        let mut x = self.whiten(v);
        for i in (0..self.0.n).rev() {
            x[i] /= self.0.at(i, i);
            for j in 0..i {
                x[j] -= self.0.at(i, j) * x[i];
            }
        }
        x
    }

    /// Half the natural logarithm of the determinant of the covariance.
    #[must_use]
    pub fn half_ln_determinant(&self) -> f64 {
        (0..self.0.n)
            .map(|i| self.0.lower[i * (i + 1) / 2 + i].ln())
            .sum()
    }

    /// Natural logarithm of the probability density of `y` = a + errors, with a
    /// integrated out over a density of 1.
    #[must_use]
    pub fn ln_evidence_of_level(&self, y: &[f64]) -> f64 {
        let (one, y) = (self.whiten(&vec![1.0; self.0.n]), self.whiten(y));
        let (a11, b1, yy) = (dot(&one, &one), dot(&one, &y), dot(&y, &y));
        let n = self.0.n as f64;
        -0.5 * (yy - b1 * b1 / a11)
            - self.half_ln_determinant()
            - 0.5 * a11.ln()
            - 0.5 * (n - 1.0) * std::f64::consts::TAU.ln()
    }

    /// Generalised least squares of `y` on a level and `column`: `None` when the column
    /// is constant, or shorter than there are rows.
    ///
    /// A. C. Aitken, "On least squares and linear combination of observations", 1935
    /// (from memory).
    ///
    /// ```
    /// use statistics::dense::Symmetric;
    ///
    /// let mut covariance = Symmetric::zeros(3);
    /// covariance.add_own(&[1.0; 3]);
    /// let factor = covariance.factor().expect("positive definite");
    /// let slope = factor.slope(&[0.0, 1.1, 1.9], &[0.0, 1.0, 2.0]).expect("a line");
    /// assert!((slope.value - 0.95).abs() < 1e-12);
    /// assert!((slope.sd - 0.5f64.sqrt()).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn slope(&self, y: &[f64], column: &[f64]) -> Option<Slope> {
        if y.len() != self.0.n || column.len() != self.0.n {
            return None;
        }
        let one = self.whiten(&vec![1.0; self.0.n]);
        let (x, y) = (self.whiten(column), self.whiten(y));
        let (a11, a12, a22) = (dot(&one, &one), dot(&one, &x), dot(&x, &x));
        let (b1, b2, yy) = (dot(&one, &y), dot(&x, &y), dot(&y, &y));
        // what the column has beside the level
        let own = a22 - a12 * a12 / a11;
        if own.is_nan() || own <= 1e-12 * a22 {
            return None;
        }
        let value = (b2 - a12 * b1 / a11) / own;
        let left = yy - b1 * b1 / a11 - value * value * own;
        let n = self.0.n as f64;
        Some(Slope {
            value,
            sd: own.recip().sqrt(),
            ln_evidence: -0.5 * left.max(0.0)
                - self.half_ln_determinant()
                - 0.5 * a11.ln()
                - 0.5 * own.ln()
                - 0.5 * (n - 2.0) * std::f64::consts::TAU.ln(),
        })
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::Symmetric;

    /// With one variance for all rows it has to agree with the ordinary fit of this crate,
    /// which is checked against NIST StRD.
    #[test]
    fn with_equal_variances_it_is_ordinary_least_squares() {
        let x: Vec<f64> = (0..36).map(|i| f64::from(i) * 27.3 + 0.4).collect();
        let y: Vec<f64> = x
            .iter()
            .enumerate()
            .map(|(i, x)| 1.002 * x - 0.26 + 0.9 * ((i * i) as f64).sin())
            .collect();
        let ordinary = crate::linear::straight_line(x.clone(), y.clone()).expect("thirty-six rows");
        let mut covariance = Symmetric::zeros(36);
        covariance.add_own(&[0.5; 36]);
        let slope = covariance
            .factor()
            .and_then(|f| f.slope(&y, &x))
            .expect("a line");
        assert!((slope.value - ordinary.coefficients[1]).abs() < 1e-12);
        let scale = (ordinary.rss / ordinary.dof as f64 / 0.5).sqrt();
        assert!((slope.sd * scale - ordinary.standard_errors[1]).abs() < 1e-12);
    }

    /// Brownian errors: the slope is (last − first)/length, whatever lies between, with
    /// variance σ²/length (the sum of independent increments).
    #[test]
    fn a_random_walk_leaves_only_its_ends() {
        let t: Vec<f64> = (1..=50).map(f64::from).collect();
        let mut covariance = Symmetric::zeros(50);
        covariance.add(|i, j| 0.04 * t[i].min(t[j]));
        let y: Vec<f64> = t.iter().map(|t| 3.0 * t + (t * 12.9898).sin()).collect();
        let slope = covariance
            .factor()
            .and_then(|f| f.slope(&y, &t))
            .expect("a line");
        assert!((slope.value - (y[49] - y[0]) / 49.0).abs() < 1e-9);
        assert!((slope.sd - (0.04f64 / 49.0).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn what_is_solved_gives_back_what_it_was_made_of() {
        let mut covariance = Symmetric::zeros(4);
        covariance.add(|i, j| 1.0 / (1.0 + i as f64 + j as f64));
        covariance.add_own(&[0.5; 4]);
        let wanted = [1.0, -2.0, 0.5, 3.0];
        let v: Vec<f64> = (0..4)
            .map(|i| (0..4).map(|j| covariance.at(i, j) * wanted[j]).sum())
            .collect();
        let found = covariance.factor().expect("positive definite").solve(&v);
        for (found, wanted) in found.iter().zip(wanted) {
            assert!((found - wanted).abs() < 1e-10);
        }
    }

    #[test]
    fn what_is_no_covariance_is_refused() {
        let mut covariance = Symmetric::zeros(2);
        covariance.add_shared(&[1.0, 1.0], 1.0);
        assert!(covariance.factor().is_none());
        let mut one = Symmetric::zeros(2);
        one.add_own(&[1.0, 1.0]);
        let factor = one.factor().expect("the unit matrix");
        assert!(factor.slope(&[1.0, 2.0], &[1.0, 1.0]).is_none());
        assert!(factor.slope(&[1.0], &[1.0]).is_none());
    }
}
