//! Equal-time bins of log pressure, their noise, and turning points.

use statistics::{
    change_point::Point,
    robust::{median, sd_from_second_differences},
    turning_points::{self, Turn},
};

use crate::memory::history::Block;

/// One bin: mean time, logarithm of the median pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bin {
    /// Mean time, s.
    pub(crate) t: f64,
    /// ln(pressure in micron).
    pub(crate) y: f64,
}

/// Bins at least `width_s` wide and at least `fewest` blocks deep; each takes the
/// median block, so single bursts vanish.
pub(crate) fn bins(blocks: &[Block], width_s: f64, fewest: usize) -> Vec<Bin> {
    let mut out = Vec::new();
    let mut i = 0;
    let mut values: Vec<f64> = Vec::new();
    while i < blocks.len() {
        let start = i;
        let begin_s = blocks[i].first_s;
        values.clear();
        while i < blocks.len() && (blocks[i].last_s < begin_s + width_s || i - start < fewest) {
            values.push(blocks[i].p());
            i += 1;
        }
        if i == start {
            values.push(blocks[i].p());
            i += 1;
        }
        let t = 0.5 * (blocks[start].first_s + blocks[i - 1].last_s);
        out.push(Bin {
            t,
            y: median(&mut values).max(1e-3).ln(),
        });
    }
    out
}

/// The same of cleaned points, each standing for one reading or block.
pub(crate) fn bins_of(points: &[Point], width_s: f64, fewest: usize) -> Vec<Bin> {
    let mut out = Vec::new();
    let mut i = 0;
    let mut values: Vec<f64> = Vec::new();
    while i < points.len() {
        let start = i;
        values.clear();
        while i < points.len()
            && (points[i].t < points[start].t + width_s || i - start < fewest.max(1))
        {
            values.push(points[i].y);
            i += 1;
        }
        out.push(Bin {
            t: 0.5 * (points[start].t + points[i - 1].t),
            y: median(&mut values).max(1e-3).ln(),
        });
    }
    out
}

/// Standard deviation of the noise in ln p ([`sd_from_second_differences`]).
pub(crate) fn noise_of(bins: &[Bin]) -> f64 {
    sd_from_second_differences(bins, |b| b.y)
}

/// Turning points of ln p with legs of at least `least`.
pub(crate) fn turns(bins: &[Bin], least: f64) -> Vec<Turn> {
    turning_points::turns(bins, |b| b.y, least)
}
