//! Values between the knots of a table.

/// Value at `x` on straight lines between `knots`, which are (x, y) with x rising; before
/// the first and after the last the value there. 0 for no knots.
///
/// ```
/// use statistics::interpolation::between_knots;
///
/// let knots = [(0.0, 1.0), (2.0, 5.0)];
/// assert_eq!(between_knots(&knots, 1.0), 3.0);
/// assert_eq!(between_knots(&knots, 9.0), 5.0);
/// ```
#[must_use]
pub fn between_knots(knots: &[(f64, f64)], x: f64) -> f64 {
    let above = knots.partition_point(|(at, _)| *at <= x);
    let below = above.checked_sub(1).and_then(|i| knots.get(i));
    match (below, knots.get(above)) {
        (Some(below), Some(above)) => {
            let share = (x - below.0) / (above.0 - below.0);
            below.1 + share * (above.1 - below.1)
        }
        (Some(end), None) | (None, Some(end)) => end.1,
        (None, None) => 0.0,
    }
}
