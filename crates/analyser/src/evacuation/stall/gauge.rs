//! What the gauge does by itself, at every level, as roughness of ln p.
//!
//! Roughness is measured the same way everywhere: in windows of [`WINDOWS_S`]
//! (at least [`FEWEST`] cells) ln p is fitted with a parabola; the mean square of
//! what is left, without the largest residual, over its degrees of freedom is the
//! window's variance V. Windows of the whole record are candidates for showing
//! nothing but the gauge: the hold, quiet falls, the floor.
//!
//! The noise of a gauge relative to the pressure, √(a² + b²/p²), never grows with
//! pressure. So V of a quiet window bounds the gauge's variance at every higher
//! level, and with an allowance (2 micron/p)² at lower ones, as long as one sensor
//! speaks (a factor of 10). Of all these bounds the k-th smallest of n is taken,
//! k = max(2, n/20), over what the k-th smallest of n values of χ²/ν is by itself
//! (quantile k/(n + 1)): right when most windows are quiet, still usable when few
//! are. It is never more than a gauge of 2 % makes (common practice, no source),
//! which also stands in where fewer than four windows are there. Rounding to steps
//! d adds d²/12 where the reading sweeps over steps and at most d²/4 where it
//! toggles between two.
//!
//! Degrees of freedom shrink with the lag-1 correlation r of quiet residuals as
//! for the variance of an AR(1) process, ν = n·(1 − r²)/(1 + r²)
//! (Bayley and Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184–197; from memory).

use run_memory::Block;
use statistics::{
    chi_square,
    correlation::lag_one,
    linear::least_squares,
    normal,
    robust::{MAD_TO_SD, median, median_of},
};

/// Lengths of windows, s: hunting has periods from seconds to minutes (common practice, no
/// source).
pub(super) const WINDOWS_S: [f64; 2] = [75.0, 200.0];
/// Fewest cells in a window (common practice, no source).
pub(super) const FEWEST: usize = 10;
/// Width of a cell, s; one reading where the gauge speaks less often (common practice, no
/// source).
const CELL_S: f64 = 3.0;
/// Absolute noise allowed for below the lowest quiet level, micron (common practice, no
/// source).
const ABSOLUTE_MICRON: f64 = 2.0;
/// Assumed relative noise where nothing has shown it (common practice, no source).
const ASSUMED: f64 = 0.02;
/// Largest relative noise of a cell that is believed (common practice, no source).
const MOST: f64 = 0.022;
/// The table of variances: step in ln p, and rows up to the atmosphere (derived: 57 rows
/// reach beyond 760,000 micron).
const TABLE_STEP: f64 = 0.25;
const TABLE_ROWS: usize = 56;
/// Windows up to this much higher in ln p speak for the same sensor (common practice, no
/// source).
const SAME_SENSOR: f64 = std::f64::consts::LN_10;
/// A highest value below this is not taken for the top of a gauge, micron (common practice,
/// no source).
const LOWEST_TOP_MICRON: f64 = 5_000.0;
/// A pause this long parts windows, s (common practice, no source).
pub(super) const PAUSE_S: f64 = 60.0;

/// A burst stands out by so many times the spread of its neighbours (Hampel's identifier),
/// and by this share of the level (common practice, no source).
const BURST_SPREADS: f64 = 6.0;
const BURST_SHARE: f64 = 0.05;
/// Variance over the step squared of a reading that toggles between two steps (derived:
/// that of a fair coin).
const TOGGLES: f64 = 0.25;
/// Largest lag-1 correlation that is believed (common practice, no source).
const MOST_CORRELATED: f64 = 0.9;
/// Windows this much higher in ln p need the allowance for absolute noise (common practice,
/// no source).
const HIGHER: f64 = 0.4;
/// Standard normal quantile of 1 in 100,000 (tables).
const RARE: f64 = 4.26;

/// One cell of a curve.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    /// Mean time, s.
    pub(super) t: f64,
    /// ln(pressure in micron), bursts removed.
    pub(super) y: f64,
    /// Step of the gauge near it as a share of the pressure; 0 when not seen.
    pub(super) step: f64,
}

/// Cuts blocks into cells; parts are separated by pauses and by stretches in which
/// the gauge stands at its `top_micron` and sees nothing.
pub(super) fn cells(blocks: &[Block], top_micron: f64) -> Vec<Vec<Cell>> {
    let pinned = |b: &Block| b.low >= top_micron;
    let mut out = Vec::new();
    let mut from = 0;
    for i in 1..=blocks.len() {
        let ends = i == blocks.len()
            || blocks[i].first_s - blocks[i - 1].last_s > PAUSE_S
            || pinned(&blocks[i]) != pinned(&blocks[i - 1]);
        if ends {
            if !pinned(&blocks[from]) {
                out.push(cells_of(&blocks[from..i]));
            }
            from = i;
        }
    }
    out
}

/// Where the gauge may be at the end of its scale: the highest value of the record.
///
/// A gauge that clips repeats its top exactly, whatever its noise, and never shows
/// more. A plateau that is the highest of a record scatters to both sides and loses
/// only its topmost step.
pub(super) fn top_micron(record: &[Block]) -> f64 {
    let highest = record.iter().map(|b| b.high).fold(0.0, f64::max);
    if highest > LOWEST_TOP_MICRON {
        highest
    } else {
        f64::INFINITY
    }
}

fn cells_of(blocks: &[Block]) -> Vec<Cell> {
    // no cell without a block: growing in steps would hold old and new at once
    let mut out: Vec<Cell> = Vec::with_capacity(blocks.len());
    let mut i = 0;
    while i < blocks.len() {
        let start = i;
        let begin_s = blocks[i].first_s;
        let (mut sum, mut sum_t) = (0.0, 0.0);
        while i == start || (i < blocks.len() && blocks[i].last_s < begin_s + CELL_S) {
            sum += without_burst(blocks, i);
            sum_t += blocks[i].t();
            i += 1;
        }
        let n = (i - start) as f64;
        out.push(Cell {
            t: sum_t / n,
            y: (sum / n).max(1e-3).ln(),
            step: step_near(blocks, start, i) / (sum / n).max(1e-3),
        });
    }
    out
}

/// Pressure of a block; one that stands out from its six neighbours by more than
/// six times their spread is a burst and gives way to their median (Hampel's
/// identifier). Where the curve itself is rough the spread is wide and nothing
/// is taken out.
fn without_burst(blocks: &[Block], i: usize) -> f64 {
    /// Neighbours to each side (common practice, no source).
    const SIDE: usize = 3;
    let near = &blocks[i.saturating_sub(SIDE)..(i + SIDE + 1).min(blocks.len())];
    let mut values = [0.0; 2 * SIDE + 1];
    let values = &mut values[..near.len()];
    for (value, b) in values.iter_mut().zip(near) {
        *value = b.p();
    }
    let middle = median(values);
    for value in values.iter_mut() {
        *value = (*value - middle).abs();
    }
    let spread = MAD_TO_SD * median(values);
    let p = blocks[i].p();
    if (p - middle).abs() > (BURST_SPREADS * spread).max(BURST_SHARE * middle) {
        middle
    } else {
        p
    }
}

/// Smallest step of the readings near blocks `from..to`, micron; 0 when the gauge
/// does not repeat itself there.
fn step_near(blocks: &[Block], from: usize, to: usize) -> f64 {
    /// Blocks looked at to each side (common practice, no source).
    const AROUND: usize = 12;
    let part = &blocks[from.saturating_sub(AROUND)..(to + AROUND).min(blocks.len())];
    let (mut repeats, mut diffs, mut step) = (0, 0, f64::INFINITY);
    for b in part {
        repeats += b.repeats;
        diffs += b.diffs;
        step = step.min(b.min_step);
    }
    if step.is_finite() && repeats * 10 >= diffs {
        step
    } else {
        0.0
    }
}

/// Roughness of one window.
#[derive(Debug, Clone, Copy)]
pub(super) struct WindowRoughness {
    /// ln(pressure).
    pub(super) y: f64,
    /// Variance about the parabola, without the largest residual.
    pub(super) variance: f64,
    /// What rounding alone may make of it.
    pub(super) rounding: f64,
    /// Lag-1 correlation of the residuals.
    pub(super) lag_one: f64,
    /// Cells.
    pub(super) n: usize,
}

/// The window of cells around `i`.
pub(super) fn window(cells: &[Cell], i: usize, length_s: f64) -> &[Cell] {
    let mut from = cells.partition_point(|c| c.t < cells[i].t - 0.5 * length_s);
    let mut to = cells.partition_point(|c| c.t <= cells[i].t + 0.5 * length_s);
    if to - from < FEWEST {
        from = i.saturating_sub(FEWEST / 2);
        to = (from + FEWEST).min(cells.len());
        from = to.saturating_sub(FEWEST);
    }
    &cells[from..to]
}

/// Looks at one window; `None` when it is too short.
pub(super) fn roughness_in(w: &[Cell]) -> Option<WindowRoughness> {
    if w.len() < 7 {
        return None;
    }
    let middle = 0.5 * (w[0].t + w[w.len() - 1].t);
    let half = (0.5 * (w[w.len() - 1].t - w[0].t)).max(1e-3);
    let u: Vec<f64> = w.iter().map(|c| (c.t - middle) / half).collect();
    let y: Vec<f64> = w.iter().map(|c| c.y).collect();
    let squares = u.iter().map(|u| u * u).collect();
    let fit = least_squares(&[vec![1.0; u.len()], u.clone(), squares], &y)?;
    let c = &fit.coefficients;
    let rest: Vec<f64> = u
        .iter()
        .zip(&y)
        .map(|(u, y)| y - c[0] - c[1] * u - c[2] * u * u)
        .collect();
    let largest = rest.iter().map(|r| r * r).fold(0.0, f64::max);
    let sum: f64 = rest.iter().map(|r| r * r).sum();
    let rounding = w.iter().map(|c| c.step * c.step).sum::<f64>() / w.len() as f64;
    Some(WindowRoughness {
        y: c[0],
        variance: (sum - largest).max(0.0) / (w.len() - 4) as f64,
        rounding: TOGGLES * rounding,
        lag_one: lag_one(&rest),
        n: w.len(),
    })
}

/// The gauge's own variance of ln p as a function of level.
#[derive(Debug, Clone)]
pub(super) struct GaugeRoughness {
    /// Variance at ln p = 0, [`TABLE_STEP`], …
    table: Vec<f64>,
    lag_one: f64,
}

impl GaugeRoughness {
    /// Learns from the whole record, pull-downs and holds.
    pub(super) fn learn(parts: &[Vec<Cell>], length_s: f64) -> Self {
        let mut quiet: Vec<WindowRoughness> = Vec::new();
        for part in parts {
            let mut at_s = f64::NEG_INFINITY;
            for i in 0..part.len() {
                if part[i].t - at_s < 0.5 * length_s {
                    continue;
                }
                at_s = part[i].t;
                // readings that never change say nothing about noise below the step
                quiet.extend(roughness_in(window(part, i, length_s)).filter(|l| l.variance > 0.0));
            }
        }
        for l in &mut quiet {
            l.variance += l.rounding / 3.0;
        }
        quiet.sort_by(|a, b| a.variance.total_cmp(&b.variance));
        let lag_one = median_of(quiet[..quiet.len().div_ceil(2)].iter().map(|l| l.lag_one));
        let mut out = Self {
            table: Vec::new(),
            lag_one: if lag_one.is_nan() {
                0.0
            } else {
                lag_one.clamp(0.0, MOST_CORRELATED)
            },
        };
        out.table = (0..=TABLE_ROWS)
            .map(|i| out.estimate(&quiet, TABLE_STEP * i as f64))
            .collect();
        out
    }

    /// Variance of ln p by the gauge alone at a level, without rounding.
    pub(super) fn variance(&self, y: f64) -> f64 {
        let i = (y / TABLE_STEP).round().clamp(0.0, TABLE_ROWS as f64) as usize;
        self.table.get(i).copied().unwrap_or(ASSUMED * ASSUMED)
    }

    fn estimate(&self, quiet: &[WindowRoughness], y: f64) -> f64 {
        let allowance = (ABSOLUTE_MICRON / y.exp()).powi(2);
        let mut bounds: Vec<f64> = quiet
            .iter()
            .filter(|l| l.y < y + SAME_SENSOR)
            .map(|l| l.variance + if l.y > y + HIGHER { allowance } else { 0.0 })
            .collect();
        let n = bounds.len();
        if n < 4 {
            return ASSUMED * ASSUMED;
        }
        let k = n.div_ceil(20).max(2);
        let bound = *bounds.select_nth_unstable_by(k - 1, f64::total_cmp).1;
        let z = normal::quantile(k as f64 / (n as f64 + 1.0));
        let cells = quiet[0].n;
        (bound / self.chi_square_ratio(cells, 1.0, z)).clamp(1e-8, MOST * MOST)
    }

    /// Ratio of variances that pure gauge noise exceeds in `windows` of `n` cells
    /// with a chance of about one in 100,000 (z = 4.26, tables).
    pub(super) fn critical_ratio(&self, n: usize, windows: f64) -> f64 {
        self.chi_square_ratio(n, windows.max(1.0), RARE)
    }

    fn chi_square_ratio(&self, n: usize, windows: f64, z: f64) -> f64 {
        let r2 = self.lag_one * self.lag_one;
        let dof = (windows * (n as f64 - 4.0) * (1.0 - r2) / (1.0 + r2)).max(2.0);
        chi_square::ratio_at(dof, z)
    }
}
