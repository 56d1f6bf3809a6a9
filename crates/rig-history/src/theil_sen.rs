//! A straight line that odd values hardly move: the median of the slopes of all pairs.
//!
//! H. Theil, *A rank-invariant method of linear and polynomial regression analysis*, 1950;
//! P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379, with the interval from Kendall's τ (both
//! from memory). The tests compare with SciPy.

/// A straight line through values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Slope: best value, and the ends of its interval.
    pub slope: (f64, f64, f64),
    /// Value at 0: median of the values less slope times median of the places.
    pub at_zero: f64,
}

/// The line through `(x, y)`, with the 95 % interval of its slope. `None` for fewer than two
/// different places.
#[must_use]
pub fn theil_sen(points: &[(f64, f64)]) -> Option<Line> {
    let mut slopes = Vec::new();
    for (i, a) in points.iter().enumerate() {
        for b in &points[i + 1..] {
            let apart = b.0 - a.0;
            if apart != 0.0 {
                slopes.push((b.1 - a.1) / apart);
            }
        }
    }
    if slopes.is_empty() {
        return None;
    }
    slopes.sort_by(f64::total_cmp);
    let slope = middle(&slopes);
    let (low, high) = ends(points, slopes.len());
    let of = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        middle(&values)
    };
    let x = of(points.iter().map(|p| p.0).collect());
    let y = of(points.iter().map(|p| p.1).collect());
    Some(Line {
        slope: (slope, slopes[low], slopes[high]),
        at_zero: y - slope * x,
    })
}

/// Ranks of the ends of the interval among the sorted slopes.
fn ends(points: &[(f64, f64)], count: usize) -> (usize, usize) {
    let ties = |values: Vec<f64>| -> f64 {
        let mut values = values;
        values.sort_by(f64::total_cmp);
        values
            .chunk_by(|a, b| a == b)
            .map(|same| {
                let k = same.len() as f64;
                k * (k - 1.0) * (2.0 * k + 5.0)
            })
            .sum()
    };
    let n = points.len() as f64;
    let tied =
        ties(points.iter().map(|p| p.0).collect()) + ties(points.iter().map(|p| p.1).collect());
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0) - tied) / 18.0;
    // 97.5 % point of the normal distribution
    let reach = 1.959_964 * variance.max(0.0).sqrt();
    let whole = count as f64;
    let high = (((whole + reach) / 2.0).round_ties_even() as usize).min(count - 1);
    let low = ((whole - reach) / 2.0).round_ties_even() - 1.0;
    (low.max(0.0) as usize, high)
}

/// Median of sorted values, at least one.
fn middle(sorted: &[f64]) -> f64 {
    let n = sorted.len();
    0.5 * (sorted[(n - 1) / 2] + sorted[n / 2])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(points: &[(f64, f64)], wanted: (f64, f64, f64, f64)) {
        let line = theil_sen(points).expect("two places");
        let found = (line.slope.0, line.at_zero, line.slope.1, line.slope.2);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * b.abs().max(1.0);
        assert!(
            near(found.0, wanted.0)
                && near(found.1, wanted.1)
                && near(found.2, wanted.2)
                && near(found.3, wanted.3),
            "{found:?} {wanted:?}"
        );
    }

    /// SciPy 1.17, `scipy.stats.theilslopes(y, x, 0.95, method="separate")`: slope,
    /// intercept, low, high; *computed*, by `theil_sen.py` beside this file.
    #[test]
    fn slopes_and_intervals_are_those_of_scipy() {
        check(
            &[
                (0.0, 40.0),
                (2.0, 47.0),
                (5.0, 55.0),
                (9.0, 68.0),
                (12.0, 81.0),
            ],
            (3.325, 38.375, 2.6666666666666665, 4.333333333333333),
        );
        check(
            &[
                (0.5, 31.0),
                (1.0, 30.0),
                (1.5, 33.0),
                (1.5, 30.0),
                (4.0, 32.0),
                (7.0, 95.0),
                (7.5, 33.0),
                (8.0, 31.0),
            ],
            (0.2857142857142857, 30.714285714285715, -0.4, 6.0),
        );
        check(
            &[
                (0.43, 44.8),
                (1.53, 40.9),
                (2.81, 52.4),
                (3.06, 46.0),
                (3.53, 38.5),
                (5.4, 45.1),
                (5.73, 47.2),
                (6.16, 42.8),
                (8.07, 41.0),
                (9.39, 50.2),
                (10.25, 55.4),
                (11.37, 48.6),
                (12.77, 45.5),
                (13.46, 52.3),
                (13.91, 54.3),
                (15.53, 48.2),
                (16.94, 53.3),
                (18.06, 56.3),
                (19.73, 48.8),
                (20.92, 45.1),
            ],
            (
                0.4381088697595698,
                43.39777089896103,
                0.02392344497607604,
                0.8046722907203113,
            ),
        );
    }

    #[test]
    fn one_place_has_no_slope() {
        assert_eq!(theil_sen(&[(1.0, 2.0)]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (1.0, 3.0)]), None);
    }
}
