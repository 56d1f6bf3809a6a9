//! One window of a curve and the broken curves that may explain it.
//!
//! With the valve shut at t₀, u = t − t₀ and L = min(u, 0), R = max(u, 0), the
//! pressure is the continuous curve
//!
//! p = c₀ + c₁·L + Σ dⱼ·exp(−(min(t, t₀) − A)/θⱼ) + a·ℓ(R) + b·g(R; τ) + J·g(R; τⱼ)
//!
//! Before: a line and two decays counted from the start A of the window (a pump
//! approaching its floor). After: a straight rise, one that bends over (b ≥ 0), and a
//! jump J of either sign as gauge and system equalise. A gauge with lag λ answers a
//! ramp with ℓ(u) = u − λ·(1 − e^(−u/λ)) and what settles with τ with
//! g(u; τ) = 1 − (τ·e^(−u/τ) − λ·e^(−u/λ))/(τ − λ): the first-order lag (textbook
//! form). All terms but the time constants are linear. How they are solved for all
//! instants and onsets at once is in `scan`.

mod scan;

pub(crate) use scan::Broken;

/// One way the pressure may move in the first seconds after the valve is shut.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Onset {
    /// Time constant of the jump, s; `None` for a mere change of slope.
    pub(crate) jump_s: Option<f64>,
    /// Lag of the gauge, s.
    pub(crate) lag_s: f64,
    /// Natural logarithm of its prior weight.
    pub(crate) weight: f64,
}

const fn onset(jump_s: Option<f64>, lag_s: f64, weight: f64) -> Onset {
    Onset {
        jump_s,
        lag_s,
        weight,
    }
}

/// The onsets tried: lags of gauges from none to some 10 s, jumps as fast as a
/// hose and as slow as a choked one. Weights by judgement, no source.
pub(crate) const ONSETS: [Onset; 16] = [
    onset(None, 0.0, -1.3),
    onset(None, 1.0, -1.5),
    onset(None, 2.5, -2.0),
    onset(None, 5.0, -2.7),
    onset(None, 9.0, -3.6),
    onset(Some(1.3), 0.0, -3.0),
    onset(Some(4.0), 0.0, -3.0),
    onset(Some(12.0), 0.0, -3.0),
    onset(Some(35.0), 0.0, -3.3),
    onset(Some(1.3), 2.0, -3.2),
    onset(Some(4.0), 2.2, -3.2),
    onset(Some(12.0), 2.0, -3.2),
    onset(Some(1.3), 6.0, -3.8),
    onset(Some(4.0), 6.0, -3.8),
    onset(Some(12.0), 6.0, -3.8),
    onset(Some(35.0), 6.0, -4.0),
];

/// Longest jump downwards, s: what falls for longer is the pump's doing.
pub(crate) const LONGEST_FALL_S: f64 = 20.0;
/// Natural logarithm of the weight of a jump downwards over one upwards.
pub(crate) const DOWN: f64 = -2.0;

/// The data of one scale.
pub(crate) struct Window {
    /// Times, s.
    pub(crate) t: Vec<f64>,
    /// Height over the bottom, in units of the bottom.
    y: Vec<f64>,
    w: Vec<f64>,
    /// Smallest believable variance of a point: the gauge's step.
    floor: f64,
    /// Time constants of the decays before the break, counted from the window's start.
    before_s: [f64; 2],
    /// Indices of the onsets that can be told apart here.
    onsets: Vec<usize>,
    /// Time constant of the rise that bends over.
    bend_s: f64,
    /// Unit of the straight rise.
    length_s: f64,
}

impl Window {
    /// Takes times, heights over the bottom in units of it, and weights; `latest_s` is
    /// the latest break that will be asked for, `onsets` the indices of the onsets.
    pub(crate) fn new(
        (t, y, w): (Vec<f64>, Vec<f64>, Vec<f64>),
        floor: f64,
        latest_s: f64,
        onsets: Vec<usize>,
    ) -> Self {
        let start = t[0];
        let end = t[t.len() - 1];
        let pre_s = (latest_s - start).max(1e-6);
        let length_s = (end - latest_s).max(0.2 * (end - start));
        Self {
            t,
            y,
            w,
            floor,
            before_s: [0.1 * pre_s, 0.4 * pre_s],
            onsets,
            bend_s: 0.35 * length_s,
            length_s,
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
        let rss =
            crate::linear::least_squares(&columns, &weighted).map_or(f64::INFINITY, |f| f.rss);
        (rss / self.t.len() as f64 + self.floor).ln()
    }

    /// The same for a curve without a break: a cubic and two decays.
    pub(crate) fn without_break(&self) -> f64 {
        self.plain(&[
            &|_| 1.0,
            &|u| u,
            &|u| u * u,
            &|u| u * u * u,
            &|u| (-u / 0.06).exp(),
            &|u| (-u / 0.2).exp(),
        ])
    }

    /// The same for a curve that was isolated before it began: a line, a slow bend and
    /// the best of some fast ones.
    pub(crate) fn isolated_before(&self) -> f64 {
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
