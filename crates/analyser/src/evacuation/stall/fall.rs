//! How fast a part of a pull-down falls, how long it lasts, and at which level it stands.

use statistics::{linear::straight_line, robust::median_of};

use super::gauge::Cell;

/// d ln p/dt of a part as a whole, 1/s.
pub(super) fn slope(part: &[Cell]) -> f64 {
    let t0 = part.first().map_or(0.0, |c| c.t);
    let (t, y): (Vec<f64>, Vec<f64>) = part.iter().map(|c| (c.t - t0, c.y)).unzip();
    straight_line(t, y).map_or(0.0, |f| f.coefficients[1])
}

/// Fall of ln p around every cell over `length_s`, 1/s.
pub(super) fn falls(cells: &[Cell], length_s: f64) -> Vec<f64> {
    (0..cells.len())
        .map(|i| {
            let mut from = cells.partition_point(|c| c.t < cells[i].t - 0.5 * length_s);
            let mut to = cells.partition_point(|c| c.t <= cells[i].t + 0.5 * length_s);
            from = from.min((i + 1).saturating_sub(4));
            to = to.max((i + 4).min(cells.len()));
            -slope(&cells[from..to])
        })
        .collect()
}

pub(super) fn lasts(cells: &[Cell], (from, to): (usize, usize)) -> f64 {
    cells[to].t - cells[from].t
}

/// Median pressure of a part, micron.
pub(super) fn level(part: &[Cell]) -> f64 {
    median_of(part.iter().map(|c| c.y)).exp()
}
