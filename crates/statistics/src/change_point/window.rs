//! One window of a curve and the broken curves that may explain it.
//!
//! With the break at t₀, u = t − t₀ and L = min(u, 0), R = max(u, 0), the value is the
//! continuous curve
//!
//! y = c₀ + c₁·L + Σ dⱼ·exp(−(min(t, t₀) − A)/θⱼ) + a·ℓ(R) + b·g(R; τ) + J·g(R; τⱼ)
//!
//! Before: a line and two decays counted from the start A of the window (a fall to a
//! floor). After: a straight rise, one that bends over (b ≥ 0), and a jump J of either sign
//! that settles with τⱼ. An instrument with lag λ answers a ramp with
//! ℓ(u) = u − λ·(1 − e^(−u/λ)) and what settles with τ with
//! g(u; τ) = 1 − (τ·e^(−u/τ) − λ·e^(−u/λ))/(τ − λ): the first-order lag (textbook
//! form). All terms but the time constants are linear. How they are solved for all
//! instants and responses at once is in `scan`, and what the instant then is in `posterior`.

use super::broken_curve::{Response, Responses};
use crate::linear::least_squares;

/// The data of one scale.
#[derive(Debug)]
pub(super) struct Window<'a> {
    /// Times.
    pub(super) t: Vec<f64>,
    /// Heights over the baseline, in units of it.
    pub(super) y: Vec<f64>,
    pub(super) w: Vec<f64>,
    /// Smallest believable variance of a point: the step of the instrument.
    pub(super) floor: f64,
    /// Time constants of the decays before the break, counted from the window's start.
    pub(super) before: [f64; 2],
    pub(super) responses: Responses<'a>,
    /// Indices of the responses that can be told apart here.
    pub(super) usable: Vec<usize>,
    /// Time constant of the rise that bends over.
    pub(super) bend: f64,
    /// Unit of the straight rise.
    pub(super) length: f64,
}

/// Time constants of the decays before the break, as shares of the time before the latest
/// break (common practice, no source).
const DECAYS: [f64; 2] = [0.1, 0.4];
/// Time constant of the rise that bends over, as a share of the time after it (common
/// practice, no source).
const BEND: f64 = 0.35;

impl<'a> Window<'a> {
    /// Takes times, heights over the baseline in units of it, and weights, all as long and
    /// with eight points or more; `floor` is the smallest believable variance of a height,
    /// `latest` the latest break that will be asked for. Responses shorter than 0.4 of
    /// `interval`, the time between points, show as one step and are left out.
    pub(super) fn new(
        (t, y, w): (Vec<f64>, Vec<f64>, Vec<f64>),
        floor: f64,
        latest: f64,
        interval: f64,
        responses: Responses<'a>,
    ) -> Self {
        let shows = |response: &Response| {
            let longest = response.lag_s.max(response.jump_s.unwrap_or(0.0));
            longest == 0.0 || longest > 0.4 * interval
        };
        let each = responses.all.iter().enumerate();
        let usable = each.filter(|(_, r)| shows(r)).map(|(i, _)| i).collect();
        let start = t[0];
        let end = t[t.len() - 1];
        let pre = (latest - start).max(1e-6);
        let length = (end - latest).max(0.2 * (end - start));
        Self {
            t,
            y,
            w,
            floor,
            before: DECAYS.map(|share| share * pre),
            responses,
            usable,
            bend: BEND * length,
            length,
        }
    }

    /// ln of the mean square that weighted plain columns leave.
    fn plain(&self, columns: &[&dyn Fn(f64) -> f64]) -> f64 {
        let span = self.t[self.t.len() - 1] - self.t[0];
        let columns: Vec<Vec<f64>> = columns
            .iter()
            .map(|f| {
                let each = self.t.iter().zip(&self.w);
                each.map(|(t, w)| w * f((t - self.t[0]) / span)).collect()
            })
            .collect();
        let weighted: Vec<f64> = self.y.iter().zip(&self.w).map(|(y, w)| w * y).collect();
        let rss = least_squares(&columns, &weighted).map_or(f64::INFINITY, |f| f.rss);
        (rss / self.t.len() as f64 + self.floor).ln()
    }

    /// The same for a curve without a break: a cubic and two decays.
    pub(super) fn without_break(&self) -> f64 {
        self.plain(&[
            &|_| 1.0,
            &|u| u,
            &|u| u * u,
            &|u| u * u * u,
            &|u| (-u / 0.06).exp(),
            &|u| (-u / 0.2).exp(),
        ])
    }

    /// The same for a curve whose break lies before its first point: a line, a slow bend
    /// and the best of some fast ones.
    pub(super) fn begun_before(&self) -> f64 {
        let with = |fast: f64| {
            self.plain(&[&|_| 1.0, &|u| u, &|u| (-u / 0.35).exp(), &|u| {
                (-u / fast).exp()
            }])
        };
        [0.012, 0.035, 0.1]
            .map(with)
            .into_iter()
            .fold(f64::INFINITY, f64::min)
    }
}
