//! Every curve that may be part of a rise, as inner products over the hold.
//!
//! All inner products are computed once. The nuisance parameters (start level, end of
//! equalisation, room) are integrated out of them by Woodbury's identity.

use findings::root_growth;
use statistics::linear::{Cholesky, MAX_TERMS};

use super::{bin::HoldBin, noise::BinNoise};

/// Stores on the grid of time constants (common practice, no source).
pub(super) const STORES: usize = 14;
/// Columns of stores for each step of that grid (common practice, no source).
pub(super) const FINER: usize = 3;
/// Columns of stores.
pub(super) const FINE: usize = (STORES - 1) * FINER + 1;
/// Column of the part that grows with the square root of time.
pub(super) const ROOT: usize = FINE;
/// Column of the straight part.
pub(super) const LINE: usize = FINE + 1;
/// First column of depletion: gas that is taken up while air comes in.
pub(super) const DEPLETION: usize = FINE + 2;
/// Time constants of depletion, in lengths of the fit (common practice, no source).
pub(super) const DEPLETION_SPANS: [f64; 3] = [0.6, 2.0, 6.0];
const COLUMNS: usize = DEPLETION + DEPLETION_SPANS.len();
/// Shortest time constant of a store, s; longest, in lengths of the fit. The longest is a
/// judgement and sets how often a leak can be told from slow vapour
/// ([`method::rise`](crate::method::rise), section 6).
const SHORTEST_S: f64 = 3.0;
const LONGEST: f64 = 8.0;

/// Time constants of the end of equalisation where none was seen, s (common practice, no
/// source).
const FADING_S: [f64; 2] = [2.0, 7.0];

/// Legendre polynomials of third and fourth degree: what a parabola leaves of a smooth
/// curve, in the order of size.
const SMOOTH_BENDS: [fn(f64) -> f64; 2] = [
    |x| 0.5 * x * (5.0 * x * x - 3.0),
    |x| 0.125 * ((35.0 * x * x - 30.0) * x * x + 3.0),
];

/// Time constants of the end of equalisation over the one that was seen (common practice,
/// no source).
const FADING: [f64; 2] = [0.6, 1.4];
/// Shortest time constant of a store in a short fit, as a share of it (common practice, no
/// source).
const SHORTEST_SHARE: f64 = 0.05;
/// Prior standard deviation of the start over the highest pressure (common practice, no
/// source: as good as unknown).
const START: f64 = 100.0;

/// Prior standard deviations of the nuisance parameters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Nuisance {
    /// Height of the end of equalisation, micron.
    pub(super) settling_micron: f64,
    /// Drift by the room over the fit, micron: straight, and bent.
    pub(super) room_micron: (f64, f64),
    /// Effect of recorded warming, micron a kelvin.
    pub(super) warming_micron_per_k: f64,
    /// What the gauge's own characteristic and a restless room bend beyond that, micron.
    pub(super) smooth_bend_micron: f64,
}

/// Inner products of all columns with each other and with the pressures.
#[derive(Debug, Clone)]
pub(super) struct Columns {
    /// Time constants of the stores, s.
    pub(super) taus: [f64; FINE],
    pub(super) gram: Vec<[f64; COLUMNS]>,
    pub(super) with_p: [f64; COLUMNS],
    /// Sum of squares of the pressures, nuisances taken out.
    pub(super) pp: f64,
    /// Number of merged bins.
    pub(super) n: usize,
    /// Mean of each column and of the pressure, for the start level.
    pub(super) means: [f64; COLUMNS],
    pub(super) mean_p: f64,
    /// Time constants of the end of equalisation, s.
    pub(super) settling_s: [f64; 2],
    /// Heights of the end of equalisation that fit each column and the pressure best.
    settling: Vec<[f64; 2]>,
}

/// Value of a column at `t` s of a fit of `span` s, scaled to 1 at its end. `t` is 0 or
/// more.
pub(super) fn value(column: usize, taus: &[f64; FINE], t: f64, span: f64) -> f64 {
    let store = |tau: f64| (-t / tau).exp_m1() / (-span / tau).exp_m1();
    match column {
        c if c < FINE => store(taus[c]),
        ROOT => root_growth(t) / root_growth(span),
        LINE => t / span,
        c => -store(DEPLETION_SPANS[c - DEPLETION] * span),
    }
}

/// Time constants of the stores of a fit of `span` s, s.
fn time_constants(span: f64) -> [f64; FINE] {
    let step = ln_step(span);
    std::array::from_fn(|i| shortest(span) * (step * i as f64).exp())
}

fn shortest(span: f64) -> f64 {
    SHORTEST_S.min(SHORTEST_SHARE * span)
}

/// Step of the grid in ln τ.
pub(super) fn ln_step(span: f64) -> f64 {
    (LONGEST * span / shortest(span)).ln() / (FINE - 1) as f64
}

impl Columns {
    /// Columns over `bins`, weighted by `noise`; `settling_s` is the time constant of
    /// equalisation, if it was seen.
    pub(super) fn new(
        bins: &[HoldBin],
        noise: &BinNoise,
        nuisance: &Nuisance,
        settling_s: Option<f64>,
    ) -> Option<Self> {
        let (first, last) = (bins.first()?, bins.last()?);
        let span = last.t - first.t;
        let taus = time_constants(span);
        let n = bins.len();
        // the mean of a curve over a bin, by Simpson's rule
        let over = |b: &HoldBin, f: &dyn Fn(f64) -> f64| {
            let (from, to) = (b.ends.0 - first.t, b.ends.1 - first.t);
            if to - from < 1e-3 * (1.0 + b.t) {
                return f(b.t - first.t);
            }
            (f(from.max(0.0)) + 4.0 * f(b.t - first.t) + f(to)) / 6.0
        };
        let column = |f: &dyn Fn(f64) -> f64| bins.iter().map(|b| over(b, f)).collect::<Vec<f64>>();
        let mut all: Vec<Vec<f64>> = (0..COLUMNS)
            .map(|c| column(&|t| value(c, &taus, t, span)))
            .collect();
        all.push(bins.iter().map(|b| b.p).collect());
        let top = bins.iter().map(|b| b.p.abs()).fold(1.0, f64::max);
        let mut terms: Vec<(Vec<f64>, f64)> = vec![(vec![1.0; n], START * top)];
        let settling = settling_s.map_or(FADING_S, |tau| FADING.map(|share| share * tau));
        let settles = |i: usize| column(&|t| (-t / settling[i]).exp());
        let mut add = |width: f64, shape: Vec<f64>| {
            if width > 0.0 {
                terms.push((shape, width));
            }
        };
        add(nuisance.settling_micron, settles(0));
        add(nuisance.settling_micron, settles(1));
        add(nuisance.room_micron.0, column(&|t| t / span));
        add(nuisance.room_micron.1, column(&|t| (t / span).powi(2)));
        let warming = bins.iter().map(|b| b.warming_k.unwrap_or(0.0)).collect();
        add(nuisance.warming_micron_per_k, warming);
        for shape in SMOOTH_BENDS {
            add(
                nuisance.smooth_bend_micron,
                column(&|t| shape(2.0 * t / span - 1.0)),
            );
        }
        let weights: Vec<f64> = bins.iter().map(|b| noise.weight(b)).collect();
        let mut columns = Self::reduced(&all, &terms, &weights, taus);
        columns.settling_s = settling;
        Some(columns)
    }

    /// Inner products with the nuisances integrated out.
    fn reduced(
        all: &[Vec<f64>],
        terms: &[(Vec<f64>, f64)],
        weights: &[f64],
        taus: [f64; FINE],
    ) -> Self {
        let dot = |a: &[f64], b: &[f64]| -> f64 {
            a.iter()
                .zip(b)
                .zip(weights)
                .map(|((a, b), w)| a * b * w)
                .sum()
        };
        let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
        for (i, (a, width)) in terms.iter().enumerate() {
            for (j, (b, _)) in terms.iter().enumerate() {
                m[i][j] = dot(a, b);
            }
            m[i][i] += 1.0 / (width * width);
        }
        let factor = Cholesky::new(&m, terms.len());
        let with_terms: Vec<[f64; MAX_TERMS]> = all
            .iter()
            .map(|column| {
                let mut out = [0.0; MAX_TERMS];
                for (o, (a, _)) in out.iter_mut().zip(terms) {
                    *o = dot(a, column);
                }
                out
            })
            .collect();
        let solved: Vec<[f64; MAX_TERMS]> = with_terms
            .iter()
            .map(|v| factor.map_or([0.0; MAX_TERMS], |f| f.solve(v)))
            .collect();
        let inner = |i: usize, j: usize| {
            let taken: f64 = with_terms[i]
                .iter()
                .zip(&solved[j])
                .map(|(a, b)| a * b)
                .sum();
            dot(&all[i], &all[j]) - taken
        };
        let weight: f64 = weights.iter().sum();
        let mean = |column: &[f64]| dot(column, &vec![1.0; column.len()]) / weight;
        let gram = (0..COLUMNS)
            .map(|i| std::array::from_fn(|j| inner(i.max(j), i.min(j))))
            .collect();
        Self {
            taus,
            gram,
            with_p: std::array::from_fn(|i| inner(i, COLUMNS)),
            pp: inner(COLUMNS, COLUMNS),
            n: weights.len(),
            means: std::array::from_fn(|i| mean(&all[i])),
            mean_p: mean(&all[COLUMNS]),
            settling_s: FADING_S,
            settling: solved.iter().map(|s| [s[1], s[2]]).collect(),
        }
    }

    /// What is left of equalisation at the start of the fit beside columns of these
    /// heights: height, micron, and time constant, s, of each exponential.
    pub(super) fn settling_beside(
        &self,
        heights: impl Iterator<Item = (usize, f64)>,
    ) -> [(f64, f64); 2] {
        let mut left = self.settling[COLUMNS];
        for (column, height) in heights {
            for (left, takes) in left.iter_mut().zip(self.settling[column]) {
                *left -= height * takes;
            }
        }
        std::array::from_fn(|i| (left[i], self.settling_s[i]))
    }
}
