//! Time to target as a range, or the news that it will not be reached at this
//! rate.
//!
//! # Method
//! Three things are measured on the curve as it is now, all free of units:
//!
//! * Δ = ln(p/target), what is left to do;
//! * u = ln(T_bent/T_straight) ≥ 0, how much the curve bends: T_straight = Δ/r takes
//!   ln p to go on falling at the rate r of the last minute, T_bent takes the power
//!   law p ∝ (t − t₀)^−α fitted to the last factor e of pressure (at least 90 s).
//!   Outgassing falls like 1/t^α with α near 1 (common in vacuum practice, no
//!   source), and so does viscous flow through a choke;
//! * w = ln(r·t), t the time since the pump got hold of the system: an exponential
//!   fall has a large w, a 1/t tail has w near 0;
//! * v = 1 where a pool of water may be boiling away: between the saturation
//!   pressures at −5 °C and 27 °C, falling more slowly than a pump makes it.
//!
//! The time to target is T = (T_straight + 5 s)·exp(q₀ + q·(Δ, u, w, u·w, v)) − 5 s with
//! one set of coefficients for each of three quantiles
//! ([`QUANTILES`]): linear quantile regression (Koenker and Bassett, Econometrica 46
//! (1978) 33–50; from memory) of the residual ln T − ln T_straight on the even
//! seeds of both families of the rehearsal's random runs, equal in weight, which hold
//! stalls to come, valve blips, tired pumps, leaks and every kind of gauge. The residual model is therefore
//! empirical: it says how pull-downs went on that looked like this one. The odd
//! seeds check that the range holds the truth in 80 % of cases. The early end is
//! never later than T_straight: a fall that stays straight cannot be ruled out.
//!
//! While oil foams or water boils there is no forecast: the time until that ends is
//! not in the curve.
//!
//! *Not at this rate* is said when even the straight line, which is early in nine
//! cases of ten, needs more than [`HOPELESS_S`] at both ends of its error and for
//! [`STANDS_LONG_S`] already; or, below the pressures at which water boils, when it
//! needs more than [`SLOW_S`] and the power law more than [`BENT_SLOW_S`]. It is not
//! said when the pressure went up of late beyond its noise: foam or a valve, after
//! which the fall may go on. The level it will end at is the asymptote of the
//! exponential tail where the curve carries one, else the present level. Ice that
//! sublimes for half an hour at a steady level is taken for such an end: from the
//! pressure alone nobody can tell.

use findings::{Forecast, NotAtThisRate};
use run_memory::{Block, LogBin, log_bins, noise_of};
use statistics::{
    exponential_decay,
    linear::{least_squares, straight_line},
    robust::{median, median_of},
};
use vacuum::Mark;

/// What can be said about the time to target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Outlook {
    /// A range.
    Target(Forecast),
    /// Levels off above the target.
    Not(NotAtThisRate),
    /// Too little to go on.
    Unknown,
}

/// Length of a cell, s (common practice, no source).
const CELL_S: f64 = 3.0;
/// Fewest cells (common practice, no source).
const FEWEST: usize = 5;
/// Length over which the present rate is taken, s (common practice, no source).
const RATE_S: f64 = 60.0;
/// Shortest and longest stretch for the bend, s (common practice, no source).
const BEND_S: [f64; 2] = [90.0, 1_200.0];
/// After an act the curve settles so long, s (common practice, no source).
const SETTLES_S: f64 = 10.0;
/// A straight line that needs longer than this leads nowhere, s (common practice, no
/// source).
const HOPELESS_S: f64 = 5_400.0;
/// The same where the curve bends as well: straight line and power law, s (common practice,
/// no source).
const SLOW_S: f64 = 2_000.0;
const BENT_SLOW_S: f64 = 3_600.0;
/// Pressures at which a pool of water may boil, −5 °C to 27 °C, micron (saturation
/// pressures, IAPWS-IF97 and R14-08).
const WET_MICRON: [f64; 2] = [3_000.0, 26_700.0];
/// A pump without water in its way falls faster there, 1/s (common practice, no source).
const WET_RATE: f64 = 0.004;
/// For this long the rate must have been hopeless, s (common practice, no source).
pub(crate) const STANDS_LONG_S: f64 = 240.0;
/// Largest Δ and u and w that the coefficients were found for (derived: the range of the
/// even seeds that the coefficients were fitted on).
const MOST: [f64; 3] = [2.5, 1.2, 2.5];
/// Coefficients of (1, Δ up to 2.5, Δ beyond, u, w, u·w, v) for 12 %, 50 % and 90 %: with
/// the straight line as a bound the early end comes to 10 % (tuned on even seeds of the
/// random runs: times to target).
const QUANTILES: [[f64; 7]; 3] = [
    [-0.131, 0.096, -0.006, -0.132, -0.035, 0.16, -1.921],
    [0.102, 0.15, -0.106, 0.135, -0.073, 0.202, -1.386],
    [0.7, 0.384, -0.162, 0.047, -0.142, 0.296, -1.346],
];

/// How well the present rate is known where a fall stays straight (common practice, no
/// source).
const STRAIGHT_SLACK: f64 = 0.95;

/// The pump got hold when ln p was last so near its highest (common practice, no source).
const NEAR_HIGHEST: f64 = 0.1;
/// One-sided 90 % point of the standard normal distribution (tables).
const ONE_SIDED_90: f64 = 1.28;
/// Keeps the ratio of two short times finite, s, and the least of r·t (common practice, no
/// source).
const SHORT_S: f64 = 3.0;
const LEAST_PACE: f64 = 0.05;
/// Least exponent of a power law over what is left to do: less never gets there (common
/// practice, no source).
const LEAST_EXPONENT: f64 = 0.05;
/// Rise of ln p above now at which the recent stretch begins, and the stretch that shows
/// the bend (derived: half a factor of e, and a factor of e).
const RECENT: f64 = 0.5;
const BENT: f64 = 1.0;

/// Looks ahead from the end of `blocks`, which begin with the pull-down.
pub(crate) fn look_ahead(blocks: &[Block], marks: &[Mark], target_micron: f64) -> Outlook {
    let cells = unbroken(log_bins(blocks, CELL_S, 1));
    if cells.len() < FEWEST {
        return Outlook::Unknown;
    }
    let Some(pace) = Pace::of(&cells, marks, target_micron) else {
        return Outlook::Unknown;
    };
    let fastest = pace.rate + 2.0 * pace.rate_se;
    let hopeless = fastest * HOPELESS_S < pace.left;
    if hopeless || pace.levels_off(fastest) {
        let standing = pace.stands_long(&cells) || !hopeless;
        if !standing || hunts(&cells) {
            return Outlook::Unknown;
        }
        return Outlook::Not(NotAtThisRate {
            floor_micron: floor(pace.bend, target_micron),
        });
    }
    if pace.rate < 2.0 * pace.rate_se || pace.rate <= 0.0 {
        return Outlook::Unknown;
    }
    Outlook::Target(pace.forecast())
}

/// True when the pressure went up lately by more than the noise of its cells: foam
/// or a valve, after which a fall may go on.
fn hunts(cells: &[LogBin]) -> bool {
    /// How far back it is looked, s; the smallest rise of ln p that counts, and the
    /// smallest in standard deviations of its cells (common practice, no source).
    const LATELY_S: f64 = 300.0;
    const RISES: f64 = 0.12;
    const NOISES: f64 = 10.0;
    let end_s = cells.last().map_or(0.0, |c| c.t);
    let lately = &cells[cells.partition_point(|c| c.t < end_s - LATELY_S)..];
    let limit = RISES.max(NOISES * noise_of(lately));
    let mut lowest = f64::INFINITY;
    lately.iter().any(|c| {
        lowest = lowest.min(c.y);
        c.y - lowest > limit
    })
}

/// True when a stretch of blocks hunts, see `hunts`.
pub(crate) fn restless(blocks: &[Block]) -> bool {
    hunts(&unbroken(log_bins(blocks, CELL_S, 1)))
}

/// The last part without a pause.
fn unbroken(mut cells: Vec<LogBin>) -> Vec<LogBin> {
    /// A pause this long parts a curve, s (common practice, no source).
    const PAUSE_S: f64 = 60.0;
    let from = cells
        .windows(2)
        .rposition(|w| w[1].t - w[0].t > PAUSE_S)
        .map_or(0, |i| i + 1);
    cells.drain(..from);
    cells
}

/// The curve as it goes now.
struct Pace<'a> {
    /// ln p now.
    now: f64,
    /// Δ.
    left: f64,
    /// Rate of fall of ln p over the last minute or half factor of e, 1/s, and its standard error.
    rate: f64,
    rate_se: f64,
    /// Time since the pump got hold, s.
    pumped_s: f64,
    /// The stretch that shows the bend.
    bend: &'a [LogBin],
}

impl<'a> Pace<'a> {
    fn of(cells: &'a [LogBin], marks: &[Mark], target_micron: f64) -> Option<Self> {
        let end_s = cells.last()?.t;
        let last = &cells[cells.len().saturating_sub(3)..];
        let now = median_of(last.iter().map(|c| c.y));
        let left = now - target_micron.ln();
        // a steep fall bends within a minute: half a factor of e is enough there
        let steep = cells.iter().rposition(|c| c.y > now + RECENT);
        let from_s = steep.map_or(cells[0].t, |i| cells[i].t);
        let from = cells.partition_point(|c| c.t < from_s.max(end_s - RATE_S));
        let recent = &cells[from.min(cells.len() - FEWEST)..];
        let (t, y): (Vec<f64>, Vec<f64>) = recent.iter().map(|c| (c.t - end_s, c.y)).unzip();
        let line = straight_line(t, y)?;
        if left <= 0.0 {
            return None;
        }
        let highest = cells.iter().map(|c| c.y).fold(f64::NEG_INFINITY, f64::max);
        let held = cells.iter().rposition(|c| c.y > highest - NEAR_HIGHEST)?;
        let acts = marks.iter().filter(|m| m.elapsed_s < end_s);
        let act_s = acts.map(|m| m.elapsed_s).fold(f64::NEG_INFINITY, f64::max);
        let bend = bend(cells, act_s + SETTLES_S);
        Some(Self {
            now,
            left,
            rate: -line.coefficients[1],
            rate_se: line.standard_errors.get(1).copied().unwrap_or(0.0),
            pumped_s: end_s - cells[held].t,
            bend: if bend.len() < FEWEST { recent } else { bend },
        })
    }

    /// True when the curve bends so much that neither the straight line nor the
    /// power law leads to the target in reasonable time, below the pressures at
    /// which water boils: what a boiling pool holds up may fall at any moment.
    fn levels_off(&self, fastest: f64) -> bool {
        let (first, last) = (self.bend.first(), self.bend.last());
        let span_s = first.zip(last).map_or(0.0, |(a, b)| b.t - a.t);
        self.now < WET_MICRON[0].ln()
            && span_s >= STANDS_LONG_S
            && fastest * SLOW_S < self.left
            && bent_s(self.bend, self.left).is_none_or(|s| s > BENT_SLOW_S)
    }

    /// True when the rate has been hopeless for long: half a minute of foam or a
    /// valve just turned is not the end of a pull-down.
    fn stands_long(&self, cells: &[LogBin]) -> bool {
        let end_s = cells.last().map_or(0.0, |c| c.t);
        let from = cells.partition_point(|c| c.t < end_s - STANDS_LONG_S);
        if from == 0 {
            return false;
        }
        let (t, y): (Vec<f64>, Vec<f64>) = cells[from..].iter().map(|c| (c.t - end_s, c.y)).unzip();
        straight_line(t, y).is_some_and(|line| -line.coefficients[1] * HOPELESS_S < self.left)
    }

    /// True where a pool of water may hold the pressure up: it may be gone at any
    /// moment.
    fn may_boil(&self) -> bool {
        let [low, high] = WET_MICRON.map(f64::ln);
        self.rate < WET_RATE && (low..high).contains(&self.now)
    }

    fn forecast(&self) -> Forecast {
        /// Keeps the logarithm of a short time finite, s (common practice, no source).
        const OFFSET_S: f64 = 5.0;
        let straight_s = self.left / self.rate;
        let straight_early_s =
            self.left / (self.rate + ONE_SIDED_90 * self.rate_se) * STRAIGHT_SLACK;
        let bent = bent_s(self.bend, self.left);
        let u = bent.map_or(MOST[1], |s| ((s + SHORT_S) / (straight_s + SHORT_S)).ln());
        let w = (self.rate * self.pumped_s).max(LEAST_PACE).ln();
        let (u, w) = (u.clamp(0.0, MOST[1]), w.min(MOST[2]));
        let x = [
            1.0,
            self.left.min(MOST[0]),
            (self.left - MOST[0]).max(0.0),
            u,
            w,
            u * w,
            if self.may_boil() { 1.0 } else { 0.0 },
        ];
        let [early, likely, late] = QUANTILES.map(|q| {
            let residual: f64 = q.iter().zip(x).map(|(q, x)| q * x).sum();
            ((straight_s + OFFSET_S) * residual.exp() - OFFSET_S).max(0.0)
        });
        Forecast {
            // a fall that stays straight is always possible
            early_s: early.min(likely).min(straight_early_s),
            likely_s: likely,
            late_s: late.max(likely),
        }
    }
}

/// The stretch over which the pressure fell by its last factor of e, not before
/// `settled_s`.
fn bend(cells: &[LogBin], settled_s: f64) -> &[LogBin] {
    let end_s = cells[cells.len() - 1].t;
    let mut last: Vec<f64> = cells[cells.len() - 3..].iter().map(|c| c.y).collect();
    let now = median(&mut last);
    let above = cells.iter().rposition(|c| c.y > now + BENT);
    let from_s = above
        .map_or(cells[0].t, |i| cells[i].t)
        .min(end_s - BEND_S[0])
        .max(end_s - BEND_S[1])
        .max(settled_s);
    &cells[cells.partition_point(|c| c.t < from_s)..]
}

/// Time to target if ln p goes on along the best power law, s.
fn bent_s(cells: &[LogBin], left: f64) -> Option<f64> {
    /// Origins tried, as shares of the span before its start (common practice, no source).
    const ORIGINS: [f64; 9] = [0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6, 3.0, 6.0];
    let (first, last) = (cells.first()?, cells.last()?);
    let span = last.t - first.t;
    let y: Vec<f64> = cells.iter().map(|c| c.y).collect();
    let mut best: Option<(f64, f64, f64)> = None;
    for share in ORIGINS {
        let age = |t: f64| t - first.t + share * span;
        let x: Vec<f64> = cells.iter().map(|c| -age(c.t).max(1e-3).ln()).collect();
        let Some(fit) = least_squares(&[vec![1.0; x.len()], x], &y) else {
            continue;
        };
        if best.is_none_or(|b| fit.rss < b.0) {
            best = Some((fit.rss, fit.coefficients[1], age(last.t)));
        }
    }
    let (_, alpha, age_s) = best?;
    (alpha > LEAST_EXPONENT * left).then(|| age_s * (left / alpha).exp_m1())
}

fn floor(cells: &[LogBin], target_micron: f64) -> f64 {
    let t0 = cells.first().map_or(0.0, |c| c.t);
    let (t, p): (Vec<f64>, Vec<f64>) = cells.iter().map(|c| (c.t - t0, c.y.exp())).unzip();
    let now = median(&mut p[p.len().saturating_sub(5)..].to_vec());
    let carried = exponential_decay::fit(&t, &p)
        .filter(|f| f.amplitude > 0.0 && t.last().is_some_and(|span| f.tau < *span));
    carried.map_or(now, |f| {
        f.floor.clamp(target_micron, now.max(target_micron))
    })
}
