//! The middle and the spread of values, where a few wild ones do not count.

/// Standard deviation over the median absolute deviation of a normal distribution,
/// 1/Φ⁻¹(3/4) (tables).
pub const MAD_TO_SD: f64 = 1.4826;

/// Φ⁻¹(0.9): the 80 % point of absolute values of a standard normal (tables;
/// SciPy `norm.ppf(0.9)` is 1.28155).
const ABSOLUTE_80: f64 = 1.2816;

/// Median; reorders the slice. NaN when empty.
///
/// ```
/// use statistics::robust::median;
///
/// assert_eq!(median(&mut [9.0, 1.0, 2.0]), 2.0);
/// assert_eq!(median(&mut [4.0, 1.0, 2.0, 3.0]), 2.5);
/// assert!(median(&mut []).is_nan());
/// ```
pub fn median(values: &mut [f64]) -> f64 {
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

/// Median of values that are not kept; NaN for none.
///
/// ```
/// use statistics::robust::median_of;
///
/// assert_eq!(median_of([3, 1, 2].map(f64::from)), 2.0);
/// ```
pub fn median_of(values: impl IntoIterator<Item = f64>) -> f64 {
    median(&mut values.into_iter().collect::<Vec<_>>())
}

/// Lower decile: a tenth of the values are below it, so that one odd value does not count.
/// `None` for none. Reorders the slice.
///
/// ```
/// use statistics::robust::lower_decile;
///
/// let mut steps = [1.0; 30];
/// steps[7] = 0.001;
/// assert_eq!(lower_decile(&mut steps), Some(1.0));
/// ```
pub fn lower_decile(values: &mut [f64]) -> Option<f64> {
    let at = values.len() / 10;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(at, f64::total_cmp).1)
}

/// Standard deviation of the noise of `value` along `series`, from second differences: a
/// line or a slow bend does not count. 0 for fewer than three values.
///
/// The larger of 1.4826·median|d₂|/√6 and q₈₀|d₂|/(1.2816·√6): normal consistency of the
/// two quantiles and Var(y₀ − 2y₁ + y₂) = 6σ². The 80 % point is there for staircases,
/// whose many exact repeats would hide the noise from a median.
///
/// ```
/// use statistics::robust::sd_from_second_differences;
///
/// let line: Vec<f64> = (0..50).map(f64::from).collect();
/// assert_eq!(sd_from_second_differences(&line, |y| *y), 0.0);
/// ```
pub fn sd_from_second_differences<T>(series: &[T], value: impl Fn(&T) -> f64) -> f64 {
    let mut seconds: Vec<f64> = series
        .windows(3)
        .map(|w| (value(&w[0]) - 2.0 * value(&w[1]) + value(&w[2])).abs())
        .collect();
    if seconds.is_empty() {
        return 0.0;
    }
    let at = seconds.len() * 4 / 5;
    let fifth = *seconds.select_nth_unstable_by(at, f64::total_cmp).1;
    (MAD_TO_SD * median(&mut seconds)).max(fifth / ABSOLUTE_80) / 6.0_f64.sqrt()
}

/// Quantiles and mean of values that count by their weights: the smallest value up to
/// which `q` of the weight lies. Sorts `values`, which are (value, weight). `None` when
/// empty.
///
/// ```
/// use statistics::robust::weighted_quantile;
///
/// let mut values = [(3.0, 1.0), (1.0, 1.0), (2.0, 8.0)];
/// assert_eq!(weighted_quantile(&mut values, 0.5), Some(2.0));
/// ```
pub fn weighted_quantile(values: &mut [(f64, f64)], q: f64) -> Option<f64> {
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = values.iter().map(|(_, w)| w).sum();
    let mut sum = 0.0;
    let reached = values.iter().find(|(_, w)| {
        sum += w;
        sum >= q * total
    });
    reached.or(values.last()).map(|(value, _)| *value)
}
