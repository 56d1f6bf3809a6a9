//! Highs and lows that are larger than noise.

/// A turning point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Index in the series.
    pub i: usize,
    /// True for a high point.
    pub high: bool,
}

/// Turning points of `value` along `series`, with legs of at least `least` between them;
/// the first and the last extreme are included.
///
/// ```
/// use statistics::turning_points::turns;
///
/// let found = turns(&[5.0, 1.0, 1.2, 1.1, 8.0], |y| *y, 0.5);
/// let shown: Vec<(usize, bool)> = found.iter().map(|t| (t.i, t.high)).collect();
/// assert_eq!(shown, [(0, true), (1, false), (4, true)]);
/// ```
pub fn turns<T>(series: &[T], value: impl Fn(&T) -> f64, least: f64) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    let Some(first) = series.first() else {
        return out;
    };
    let turn = |(i, _): (usize, f64), high: bool| Turn { i, high };
    let (mut low, mut high) = ((0, value(first)), (0, value(first)));
    // +1 rising, −1 falling, 0 undecided
    let mut direction = 0;
    for (i, item) in series.iter().enumerate() {
        let y = value(item);
        if y < low.1 {
            low = (i, y);
        }
        if y > high.1 {
            high = (i, y);
        }
        if direction >= 0 && y < high.1 - least {
            if direction == 0 && low.0 < high.0 {
                out.push(turn(low, false));
            }
            out.push(turn(high, true));
            direction = -1;
            low = (i, y);
        } else if direction <= 0 && y > low.1 + least {
            if direction == 0 && high.0 < low.0 {
                out.push(turn(high, true));
            }
            out.push(turn(low, false));
            direction = 1;
            high = (i, y);
        }
    }
    match direction {
        1 => out.push(turn(high, true)),
        -1 => out.push(turn(low, false)),
        _ => {}
    }
    out
}
