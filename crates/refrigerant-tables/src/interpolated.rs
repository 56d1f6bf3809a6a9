//! Interpolation between neighbours.

/// The value at `x` of the polynomial of lowest degree through the nodes (Lagrange), which are
/// places and values, no place twice.
pub(crate) fn through<const N: usize>(nodes: [(f64, f64); N], x: f64) -> f64 {
    let term = |i: usize| {
        let (at, value) = nodes[i];
        let others = (0..N).filter(|j| *j != i).map(|j| nodes[j].0);
        others.fold(value, |product, other| product * (x - other) / (at - other))
    };
    (0..N).map(term).sum()
}

/// The same through the four nodes around `x`; at an end of the table through the last four.
/// `node` gives the nodes, of which there are `count`; `after` is the first one behind `x`.
/// `None` when there are fewer than four.
pub(crate) fn cubic(
    x: f64,
    after: usize,
    count: usize,
    node: impl Fn(usize) -> (f64, f64),
) -> Option<f64> {
    let first = after.saturating_sub(2).min(count.checked_sub(4)?);
    let nodes: [(f64, f64); 4] = std::array::from_fn(|i| node(first + i));
    Some(through(nodes, x))
}

#[cfg(test)]
mod tests {
    use super::cubic;

    #[test]
    fn a_cubic_is_met_exactly_everywhere() {
        let f = |x: f64| 2.0 - x + 0.5 * x * x - 0.25 * x * x * x;
        let at = [0.0, 1.0, 1.5, 2.5, 4.0, 4.25];
        let node = |i: usize| (at[i], f(at[i]));
        for x in [0.0, 0.3, 1.2, 2.0, 3.9, 4.2, 4.25] {
            let after = at.partition_point(|a| *a < x);
            let found = cubic(x, after, at.len(), node).unwrap();
            assert!((found - f(x)).abs() < 1e-12, "{x}");
        }
        assert_eq!(cubic(1.0, 1, 3, node), None);
    }
}
