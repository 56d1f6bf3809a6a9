//! Small dense least squares: Householder QR and Cholesky for a handful of
//! columns.

/// Result of a linear least-squares fit.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearFit {
    /// Coefficients, one per column.
    pub coefficients: Vec<f64>,
    /// Their standard errors, scaled with the residuals; empty when there are
    /// no degrees of freedom left.
    pub standard_errors: Vec<f64>,
    /// Residual sum of squares.
    pub rss: f64,
    /// Degrees of freedom.
    pub dof: usize,
}

/// Least squares of `y` on `columns` by Householder QR.
///
/// `None` when there are fewer rows than columns or the columns are linearly
/// dependent to working precision: counted and checked before use.
///
/// ```
/// use statistics::linear::least_squares;
///
/// let line = [vec![1.0; 3], vec![0.0, 1.0, 2.0]];
/// let fit = least_squares(&line, &[0.0, 1.1, 1.9]).expect("three rows, two columns");
/// assert!((fit.coefficients[1] - 0.95).abs() < 1e-12);
/// assert!(least_squares(&[vec![1.0; 3], vec![2.0; 3]], &[0.0; 3]).is_none());
/// ```
#[must_use]
pub fn least_squares(columns: &[Vec<f64>], y: &[f64]) -> Option<LinearFit> {
    least_squares_in_place(columns.to_vec(), y.to_vec())
}

/// [`least_squares`] in the memory of the columns, for those that are long and not needed
/// any more.
#[must_use]
pub fn least_squares_in_place(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Option<LinearFit> {
    let (n, k) = (b.len(), a.len());
    if k == 0 || n < k || a.iter().any(|c| c.len() != n) {
        return None;
    }
    let norms: Vec<f64> = a.iter().map(|c| norm(c)).collect();
    for j in 0..k {
        let length = norm(&a[j][j..]);
        if length.is_nan() || length <= 1e-13 * norms[j] {
            return None;
        }
        let alpha = if a[j][j] > 0.0 { -length } else { length };
        // the column becomes its own reflector; of what the reflection makes of it
        // only the diagonal is needed
        let (done, to_do) = a.split_at_mut(j + 1);
        let v = &mut done[j][j..];
        let diagonal = v[0];
        v[0] -= alpha;
        let vv: f64 = v.iter().map(|x| x * x).sum();
        let mut reflected = diagonal;
        if vv > 0.0 {
            let itself = std::iter::once(&diagonal).chain(&v[1..]);
            let dot: f64 = v.iter().zip(itself).map(|(a, b)| a * b).sum();
            reflected -= 2.0 * dot / vv * v[0];
            for column in to_do {
                reflect(v, vv, &mut column[j..]);
            }
            reflect(v, vv, &mut b[j..]);
        }
        v[0] = reflected;
    }
    let mut x = vec![0.0; k];
    for i in (0..k).rev() {
        let tail: f64 = (i + 1..k).map(|j| a[j][i] * x[j]).sum();
        x[i] = (b[i] - tail) / a[i][i];
    }
    let rss: f64 = b[k..].iter().map(|r| r * r).sum();
    let dof = n - k;
    let standard_errors = if dof == 0 {
        Vec::new()
    } else {
        let scale = rss / dof as f64;
        inverse_upper_row_norms(&a, k)
            .iter()
            .map(|s| (scale * s).sqrt())
            .collect()
    };
    Some(LinearFit {
        coefficients: x,
        standard_errors,
        rss,
        dof,
    })
}

fn norm(v: &[f64]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

fn reflect(v: &[f64], vv: f64, column: &mut [f64]) {
    let dot: f64 = v.iter().zip(column.iter()).map(|(a, b)| a * b).sum();
    let f = 2.0 * dot / vv;
    for (c, v) in column.iter_mut().zip(v) {
        *c -= f * v;
    }
}

/// Squared row norms of R⁻¹, the diagonal of (RᵀR)⁻¹; `a[j][i]` is R(i, j).
fn inverse_upper_row_norms(a: &[Vec<f64>], k: usize) -> Vec<f64> {
    let mut norms = vec![0.0; k];
    for unit in 0..k {
        // one column of the inverse by back substitution
        let mut column = vec![0.0; k];
        for i in (0..=unit).rev() {
            let tail: f64 = (i + 1..=unit).map(|j| a[j][i] * column[j]).sum();
            column[i] = (f64::from(u8::from(i == unit)) - tail) / a[i][i];
            norms[i] += column[i] * column[i];
        }
    }
    norms
}

/// Straight line through `y` over `t`: coefficients are its value at t = 0 and its slope.
/// `None` as for [`least_squares`].
///
/// ```
/// use statistics::linear::straight_line;
///
/// let fit = straight_line(vec![0.0, 1.0, 2.0], vec![5.0, 7.0, 9.0]).expect("three points");
/// assert!((fit.coefficients[1] - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn straight_line(t: Vec<f64>, y: Vec<f64>) -> Option<LinearFit> {
    least_squares_in_place(vec![vec![1.0; t.len()], t], y)
}

/// Largest system that [`Cholesky`] takes.
pub const MAX_TERMS: usize = 8;

/// Cholesky factor of a small symmetric positive definite matrix.
///
/// ```
/// use statistics::linear::{Cholesky, MAX_TERMS};
///
/// let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
/// (m[0][0], m[0][1], m[1][0], m[1][1]) = (4.0, 2.0, 2.0, 3.0);
/// let mut b = [0.0; MAX_TERMS];
/// (b[0], b[1]) = (8.0, 8.0);
/// let x = Cholesky::new(&m, 2).expect("positive definite").solve(&b);
/// assert!((x[0] - 1.0).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Cholesky {
    l: [[f64; MAX_TERMS]; MAX_TERMS],
    n: usize,
}

impl Cholesky {
    /// Factors the leading `n`×`n` part, `n` up to [`MAX_TERMS`]; `None` when it is not
    /// positive definite.
    #[must_use]
    pub fn new(m: &[[f64; MAX_TERMS]; MAX_TERMS], n: usize) -> Option<Self> {
        let mut l = [[0.0; MAX_TERMS]; MAX_TERMS];
        for i in 0..n {
            for j in 0..=i {
                let mut s = m[i][j];
                for (a, b) in l[i][..j].iter().zip(&l[j][..j]) {
                    s -= a * b;
                }
                if i == j {
                    if s.is_nan() || s <= 1e-12 * m[i][i] {
                        return None;
                    }
                    l[i][i] = s.sqrt();
                } else {
                    l[i][j] = s / l[j][j];
                }
            }
        }
        Some(Self { l, n })
    }

    /// Solves M·x = b; places beyond `n` come back as 0.
    #[must_use]
    pub fn solve(&self, b: &[f64; MAX_TERMS]) -> [f64; MAX_TERMS] {
        let mut x = [0.0; MAX_TERMS];
        for i in 0..self.n {
            let s: f64 = (0..i).map(|j| self.l[i][j] * x[j]).sum();
            x[i] = (b[i] - s) / self.l[i][i];
        }
        for i in (0..self.n).rev() {
            let s: f64 = (i + 1..self.n).map(|j| self.l[j][i] * x[j]).sum();
            x[i] = (x[i] - s) / self.l[i][i];
        }
        x
    }
}
