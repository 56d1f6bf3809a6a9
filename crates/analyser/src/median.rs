//! The median.

/// Median; reorders the slice. NaN when empty.
pub(crate) fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return f64::NAN;
    }
    let (middle, odd) = (values.len() / 2, values.len() % 2 == 1);
    let (low, m, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    let m = *m;
    if odd {
        m
    } else {
        let below = low.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        0.5 * (m + below)
    }
}
