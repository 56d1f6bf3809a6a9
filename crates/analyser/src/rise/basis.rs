//! Bins of a hold as whitened columns: time constants, weights, correlation.

use super::{FitContext, HoldBin};
use crate::{
    linear::{Cholesky, MAX_TERMS, least_squares},
    noise::lag_one,
    smooth::median,
};

/// Number of slow time constants on the grid.
pub(super) const SLOW: usize = 26;
/// Fast time constants (end of equalisation).
pub(super) const FAST: usize = 4;
/// Longest slow time constant, in lengths of the fit: beyond it a saturating
/// curve and a straight line are the same thing to any gauge.
const LONGEST: f64 = 6.0;

pub(super) struct Basis {
    pub(super) taus: Vec<f64>,
    /// Step of the slow grid in ln τ.
    pub(super) grid_step: f64,
    /// Inner products of the whitened columns: constant, straight, fast…, slow…, and
    /// the derivatives of the slow ones with respect to ln τ.
    pub(super) gram: Vec<Vec<f64>>,
    pub(super) with_y: Vec<f64>,
    pub(super) yy: f64,
    /// Logarithm of the evidence's factor for the oddities taken out.
    pub(super) ln_odd: f64,
}

pub(super) const FIRST_FAST: usize = 2;
pub(super) const FIRST_SLOW: usize = FIRST_FAST + FAST;

pub(super) fn time_constants(span_s: f64, bin_s: f64) -> Vec<f64> {
    let limit = (0.05 * span_s)
        .clamp(20.0, 60.0)
        .min(0.2 * span_s)
        .max(1.5 * bin_s);
    let mut taus: Vec<f64> = (0..FAST).map(|i| limit * [0.2, 0.4, 0.7, 1.0][i]).collect();
    let (low, high) = (1.3 * limit, LONGEST * span_s);
    taus.extend((0..SLOW).map(|i| low * (high / low).powf(i as f64 / (SLOW - 1) as f64)));
    taus
}

pub(super) fn raw_columns(bins: &[HoldBin], span_s: f64, taus: &[f64]) -> Vec<Vec<f64>> {
    let t0 = bins[0].t;
    let mut columns = vec![
        vec![1.0; bins.len()],
        bins.iter()
            .map(|b| (b.t - t0) / span_s)
            .collect::<Vec<f64>>(),
    ];
    columns.extend(taus.iter().map(|tau| {
        bins.iter()
            .map(|b| -(-(b.t - t0) / tau).exp_m1())
            .collect::<Vec<f64>>()
    }));
    // d(1 − exp(−t/τ))/d(ln τ) = −(t/τ)·exp(−t/τ)
    columns.extend(taus[FAST..].iter().map(|tau| {
        bins.iter()
            .map(|b| {
                let u = (b.t - t0) / tau;
                -u * (-u).exp()
            })
            .collect::<Vec<f64>>()
    }));
    columns
}

/// Noise is relative to pressure with an absolute floor from the gauge's step;
/// weights are scaled to one at the mean level.
pub(super) fn relative_weights(bins: &[HoldBin], level: f64, context: FitContext) -> Vec<f64> {
    let relative = context.reading_micron.max(1e-6 * level) / level;
    let sd = |p: f64, step: f64| (relative * p).hypot(step / 12.0_f64.sqrt());
    let at_level = sd(level, typical_step(bins));
    bins.iter()
        .map(|b| at_level / sd(b.p.max(0.2 * level), b.step))
        .collect()
}

/// Median of the gauge's steps over the bins, micron; zero when it has none.
fn typical_step(bins: &[HoldBin]) -> f64 {
    median(&mut bins.iter().map(|b| b.step).collect::<Vec<f64>>())
}

/// How many steps of the gauge the bins pass through.
fn steps_passed(bins: &[HoldBin]) -> f64 {
    let mut sorted: Vec<(f64, f64)> = bins.iter().map(|b| (b.p, b.step)).collect();
    sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let passed = |w: &[(f64, f64)]| (w[1].0 - w[0].0) / w[1].1;
    sorted.windows(2).map(passed).sum::<f64>().floor() + 1.0
}

/// Correlation and noise of the bins from the residuals of a flexible curve;
/// bins far off it (bursts) lose their weight.
pub(super) fn wander(
    bins: &[HoldBin],
    raw: &[Vec<f64>],
    weights: &mut [f64],
    level: f64,
    context: FitContext,
) -> Option<(f64, f64)> {
    // more terms than any explanation: what is left is noise, not misfit
    let picks = [
        0,
        1,
        FIRST_FAST + 1,
        FIRST_SLOW,
        FIRST_SLOW + 4,
        FIRST_SLOW + 8,
        FIRST_SLOW + 12,
        FIRST_SLOW + 16,
    ];
    let step = typical_step(bins);
    let mut residuals = Vec::new();
    for _ in 0..3 {
        let columns: Vec<Vec<f64>> = picks
            .iter()
            .map(|&k| {
                raw[k]
                    .iter()
                    .zip(weights.iter())
                    .map(|(c, w)| c * w)
                    .collect()
            })
            .collect();
        let y: Vec<f64> = bins
            .iter()
            .zip(weights.iter())
            .map(|(b, w)| b.p * w)
            .collect();
        let fit = least_squares(&columns, &y)?;
        residuals = (0..bins.len())
            .map(|i| {
                y[i] - columns
                    .iter()
                    .zip(&fit.coefficients)
                    .map(|(c, b)| c[i] * b)
                    .sum::<f64>()
            })
            .collect();
        let mut size: Vec<f64> = residuals.iter().map(|e| e.abs()).collect();
        let sd = 1.4826 * median(&mut size);
        let cut = 5.0 * sd.max(0.3 * step);
        if sd <= 0.0 || !residuals.iter().any(|e| e.abs() > cut) {
            break;
        }
        for (w, e) in weights.iter_mut().zip(&residuals) {
            if e.abs() > cut {
                *w *= (cut / e.abs()).powi(2);
            }
        }
    }
    let n = bins.len() as f64;
    let p = picks.len() as f64;
    // residuals of a fit with p terms look less correlated than the noise is
    let mut r = (lag_one(&residuals) + p / n) * n / (n - p).max(1.0);
    let mut variance = residuals.iter().map(|e| e * e).sum::<f64>() / (n - p).max(1.0);
    if step > 0.0 {
        let steps = steps_passed(bins);
        let dithered = context.reading_micron > 0.5 * step;
        if !dithered {
            // a staircase: readings between two steps repeat one rounding error
            r = r.max((-2.0 * steps / n).exp());
            variance = variance.max(step * step / 12.0);
        } else {
            variance = variance.max(step * step / 12.0 / context.readings_per_bin.max(1.0));
        }
    }
    let r = r.clamp(0.0, 0.97);
    let floor = 1e-5 * level;
    let sd = (variance.max(floor * floor) * (1.0 - r * r)).sqrt();
    Some((r, sd))
}

pub(super) fn observed_range(bins: &[HoldBin]) -> f64 {
    // medians of short stretches: one burst is not the range
    let k = (bins.len() / 16).max(1);
    let mut low = f64::INFINITY;
    let mut high = f64::NEG_INFINITY;
    for chunk in bins.chunks(k) {
        let mut values: Vec<f64> = chunk.iter().map(|b| b.p).collect();
        let m = median(&mut values);
        low = low.min(m);
        high = high.max(m);
    }
    high - low
}

/// Orders of the oddities: Legendre polynomials 2 to 7.
const ODDITIES: usize = 6;
/// Gas freed from oil and walls by warming, as a share of the level per kelvin, one
/// standard deviation; water over oil gains about 5 % per kelvin (heat of
/// desorption near 40 kJ/mol by Clausius–Clapeyron; common practice, no source).
pub(crate) const FREED_PER_K: f64 = 0.03;

/// Columns and pressures after weighting and first-order prewhitening
/// e′ᵢ = eᵢ − r·eᵢ₋₁, which leaves them white when the noise is AR(1).
pub(super) struct Whitened {
    columns: Vec<Vec<f64>>,
    oddities: Vec<Vec<f64>>,
    warming: Option<Vec<f64>>,
    y: Vec<f64>,
    grid_step: f64,
}

pub(super) fn whiten(
    bins: &[HoldBin],
    raw: &[Vec<f64>],
    weights: &[f64],
    r: f64,
    taus: &[f64],
) -> Whitened {
    let first = (1.0 - r * r).sqrt();
    let white = |column: &[f64]| -> Vec<f64> {
        (0..column.len())
            .map(|i| {
                let here = column[i] * weights[i];
                if i == 0 {
                    first * here
                } else {
                    here - r * column[i - 1] * weights[i - 1]
                }
            })
            .collect()
    };
    let pressures: Vec<f64> = bins.iter().map(|b| b.p).collect();
    Whitened {
        columns: raw.iter().map(|c| white(c)).collect(),
        oddities: oddities(bins).iter().map(|c| white(c)).collect(),
        warming: warming(bins).map(|c| white(&c)),
        y: white(&pressures),
        grid_step: (taus[FAST + 1] / taus[FAST]).ln(),
    }
}

/// Legendre polynomials of order 2 and up over the fit: smooth shapes that are no
/// straight line.
fn oddities(bins: &[HoldBin]) -> Vec<Vec<f64>> {
    let (t0, t1) = (bins[0].t, bins[bins.len() - 1].t);
    let mut out = vec![Vec::new(); ODDITIES];
    for b in bins {
        let x = 2.0 * (b.t - t0) / (t1 - t0) - 1.0;
        let (mut before, mut here) = (1.0, x);
        for (k, column) in out.iter_mut().enumerate() {
            // Bonnet's recursion, NIST DLMF 18.9
            let n = k as f64 + 1.0;
            let next = ((2.0 * n + 1.0) * x * here - n * before) / (n + 1.0);
            (before, here) = (here, next);
            column.push(next);
        }
    }
    out
}

/// Warming since the first bin, K, where it was recorded and moved at all.
fn warming(bins: &[HoldBin]) -> Option<Vec<f64>> {
    let column: Vec<f64> = bins.iter().map(|b| b.warming_k).collect::<Option<_>>()?;
    column.iter().any(|k| k.abs() > 0.05).then_some(column)
}

impl Whitened {
    /// Inner products with the oddities taken out: shapes that no explanation has,
    /// each with a normal prior of `oddity_micron`/(order/2), are integrated away
    /// (Woodbury identity), so that no explanation wins or loses by details finer
    /// than real gas, gauges and rooms follow any formula (the discrepancy term of
    /// M. Kennedy & A. O'Hagan, J. R. Statist. Soc. B 63 (2001) 425).
    pub(super) fn basis(
        &self,
        taus: Vec<f64>,
        noise: f64,
        (oddity_micron, level): (f64, f64),
    ) -> Basis {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        // each nuisance with the width of its prior, micron
        let nuisances: Vec<(&[f64], f64)> = self
            .oddities
            .iter()
            .enumerate()
            .map(|(k, c)| (c.as_slice(), oddity_micron * 2.0 / (k as f64 + 2.0)))
            .chain(
                self.warming
                    .iter()
                    .map(|c| (c.as_slice(), FREED_PER_K * level)),
            )
            .collect();
        let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
        for (i, (a, width)) in nuisances.iter().enumerate() {
            for (j, (b, _)) in nuisances.iter().enumerate() {
                m[i][j] = dot(a, b);
            }
            m[i][i] += (noise / width).powi(2);
        }
        let factor = Cholesky::new(&m, nuisances.len());
        let with_odd = |column: &[f64]| {
            let mut out = [0.0; MAX_TERMS];
            for (o, (odd, _)) in out.iter_mut().zip(&nuisances) {
                *o = dot(odd, column);
            }
            out
        };
        let all: Vec<&[f64]> = self
            .columns
            .iter()
            .map(Vec::as_slice)
            .chain([self.y.as_slice()])
            .collect();
        let odd: Vec<_> = all.iter().map(|c| with_odd(c)).collect();
        let solved: Vec<_> = odd
            .iter()
            .map(|v| factor.map_or([0.0; MAX_TERMS], |f| f.solve(v)))
            .collect();
        let inner = |i: usize, j: usize| dot(all[i], all[j]) - dot(&odd[i], &solved[j]);
        let last = all.len() - 1;
        let shrink: f64 = nuisances
            .iter()
            .map(|(_, width)| (width / noise).ln())
            .sum();
        Basis {
            taus,
            grid_step: self.grid_step,
            gram: (0..last)
                .map(|i| (0..=i).map(|j| inner(i, j)).collect())
                .collect(),
            with_y: (0..last).map(|i| inner(i, last)).collect(),
            yy: inner(last, last),
            ln_odd: factor.map_or(f64::NEG_INFINITY, |f| -0.5 * f.ln_det() - shrink),
        }
    }
}

impl Basis {
    /// Inner product of two whitened columns.
    pub(super) fn inner(&self, i: usize, j: usize) -> f64 {
        if i >= j {
            self.gram[i][j]
        } else {
            self.gram[j][i]
        }
    }
}
