//! Equal-time bins of log pressure, their noise, and turning points.

use crate::{history::Block, median::median, profile::Point};

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
            values.push(points[i].p);
            i += 1;
        }
        out.push(Bin {
            t: 0.5 * (points[start].t + points[i - 1].t),
            y: median(&mut values).max(1e-3).ln(),
        });
    }
    out
}

/// Robust standard deviation of the noise in `y` from second differences:
/// a line or a slow bend does not count.
///
/// The larger of 1.4826·median|d₂|/√6 and q₈₀|d₂|/(1.2816·√6): normal consistency of the two quantiles and
/// Var(y₀ − 2y₁ + y₂) = 6σ².
pub(crate) fn noise_of(bins: &[Bin]) -> f64 {
    let mut seconds: Vec<f64> = bins
        .windows(3)
        .map(|w| (w[0].y - 2.0 * w[1].y + w[2].y).abs())
        .collect();
    if seconds.is_empty() {
        return 0.0;
    }
    // many exact repeats (a staircase) would hide the noise from a median
    let at = seconds.len() * 4 / 5;
    let fifth = *seconds.select_nth_unstable_by(at, f64::total_cmp).1;
    (1.4826 * median(&mut seconds)).max(fifth / 1.2816) / 6.0_f64.sqrt()
}

/// A turning point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Turn {
    /// Index of the bin.
    pub(crate) i: usize,
    /// True for a high point.
    pub(crate) high: bool,
}

/// Turning points with legs of at least `h` between them; the first and the last
/// extreme are included.
pub(crate) fn turns(bins: &[Bin], h: f64) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    let Some(first) = bins.first() else {
        return out;
    };
    let (mut low, mut high) = ((0, first.y), (0, first.y));
    // +1 rising, −1 falling, 0 undecided
    let mut direction = 0;
    for (i, bin) in bins.iter().enumerate() {
        if bin.y < low.1 {
            low = (i, bin.y);
        }
        if bin.y > high.1 {
            high = (i, bin.y);
        }
        if direction >= 0 && bin.y < high.1 - h {
            if direction == 0 && low.0 < high.0 {
                out.push(Turn {
                    i: low.0,
                    high: false,
                });
            }
            out.push(Turn {
                i: high.0,
                high: true,
            });
            direction = -1;
            low = (i, bin.y);
        } else if direction <= 0 && bin.y > low.1 + h {
            if direction == 0 && high.0 < low.0 {
                out.push(Turn {
                    i: high.0,
                    high: true,
                });
            }
            out.push(Turn {
                i: low.0,
                high: false,
            });
            direction = 1;
            high = (i, bin.y);
        }
    }
    match direction {
        1 => out.push(Turn {
            i: high.0,
            high: true,
        }),
        -1 => out.push(Turn {
            i: low.0,
            high: false,
        }),
        _ => {}
    }
    out
}
