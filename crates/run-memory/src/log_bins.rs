//! Equal-time bins of log pressure, their noise, and turning points.

use statistics::{
    change_point::Point,
    robust::{median, sd_from_second_differences},
    turning_points::{self, Turn},
};

use crate::history::Block;

/// Pressure that stands for zero in a logarithm, micron: below anything that is measured
/// here.
const LOWEST_MICRON: f64 = 1e-3;

/// One bin: mean time, logarithm of the median pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogBin {
    /// Mean time, s.
    pub t: f64,
    /// ln(pressure in micron).
    pub y: f64,
}

/// Bins at least `width_s` wide and at least `fewest` blocks deep; each takes the
/// median block, so single bursts vanish.
///
/// ```
/// use run_memory::{History, log_bins};
///
/// let mut history = History::default();
/// for i in 0..60 {
///     let micron = if i == 30 { 9_000.0 } else { 200.0 };
///     history.push(f64::from(i), micron, None);
/// }
/// let smooth = log_bins(&history.blocks(), 5.0, 3);
/// assert!(smooth.iter().all(|bin| (bin.y - 200.0_f64.ln()).abs() < 1e-12));
/// ```
#[must_use]
pub fn log_bins(blocks: &[Block], width_s: f64, fewest: usize) -> Vec<LogBin> {
    binned(blocks, |b| (b.first_s, b.last_s), Block::p, width_s, fewest)
}

/// The same of points, each standing for one reading or block.
#[must_use]
pub fn log_bins_of_points(points: &[Point], width_s: f64, fewest: usize) -> Vec<LogBin> {
    binned(points, |q| (q.t, q.t), |q| q.y, width_s, fewest)
}

/// Bins of whatever has a first and a last time, s, and a pressure, micron.
fn binned<T>(
    items: &[T],
    ends_s: impl Fn(&T) -> (f64, f64),
    micron: impl Fn(&T) -> f64,
    width_s: f64,
    fewest: usize,
) -> Vec<LogBin> {
    let mut out = Vec::new();
    let mut values: Vec<f64> = Vec::new();
    let mut rest = items;
    while let [first, ..] = rest {
        let begin_s = ends_s(first).0;
        let inside = |item: &&T| ends_s(item).1 < begin_s + width_s;
        let wide = rest.iter().take_while(inside).count();
        let (bin, later) = rest.split_at(wide.max(fewest.max(1)).min(rest.len()));
        rest = later;
        values.clear();
        values.extend(bin.iter().map(&micron));
        let end_s = bin.last().map_or(begin_s, |last| ends_s(last).1);
        out.push(LogBin {
            t: 0.5 * (begin_s + end_s),
            y: median(&mut values).max(LOWEST_MICRON).ln(),
        });
    }
    out
}

/// Standard deviation of the noise in ln p ([`sd_from_second_differences`]).
#[must_use]
pub fn noise_of(bins: &[LogBin]) -> f64 {
    sd_from_second_differences(bins, |b| b.y)
}

/// Turning points of ln p with legs of at least `least`.
#[must_use]
pub fn turns(bins: &[LogBin], least: f64) -> Vec<Turn> {
    turning_points::turns(bins, |b| b.y, least)
}
