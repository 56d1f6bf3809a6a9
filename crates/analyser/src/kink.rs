//! One window of a curve and the broken curves that may explain it.
//!
//! With the valve shut at t₀, u = t − t₀ and L = min(u, 0), R = max(u, 0), the
//! pressure is the continuous curve
//!
//! p = c₀ + c₁·L + Σ dⱼ·exp(−(min(t, t₀) − A)/θⱼ) + a·R + b·(1 − exp(−R/τ)) + J·g(R)
//!
//! Before: a line and two decays counted from the start A of the window (a pump
//! approaching its floor). After: a straight rise, one that bends over (b ≥ 0),
//! and a jump J ≥ 0 as gauge and system equalise. A gauge with lag λ answers the
//! jump with g(u) = 1 − (τ·e^(−u/τ) − λ·e^(−u/λ))/(τ − λ), and the straight part
//! with u − λ·(1 − e^(−u/λ)): the first-order lag of the unit step and ramp
//! (textbook form). All terms but the time constants are linear.

use crate::linear::{Cholesky, MAX_TERMS};

/// The rise after the break is steeper than any drift before it by this factor
/// at least: a hold rises at once, a pump that warms up drifts.
const STEEPENS: f64 = 2.0;

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
pub(crate) const ONSETS: [Onset; 8] = [
    onset(None, 0.0, -1.2),
    onset(None, 3.0, -1.6),
    onset(None, 8.0, -2.6),
    onset(Some(1.5), 0.0, -2.3),
    onset(Some(5.0), 0.0, -2.3),
    onset(Some(15.0), 0.0, -2.3),
    onset(Some(4.0), 2.0, -2.3),
    onset(Some(8.0), 6.0, -2.6),
];

/// e^(−u/τ) along the points, by recurrence.
struct Fading {
    tau_s: f64,
    /// From one point to the next.
    factor: Vec<f64>,
}

impl Fading {
    fn new(t: &[f64], tau_s: f64) -> Self {
        let factor = t
            .windows(2)
            .map(|w| (-(w[1] - w[0]) / tau_s).exp())
            .chain([1.0])
            .collect();
        Self { tau_s, factor }
    }

    /// Values from point `k` on, counted from `at_s`.
    fn from<'a>(&'a self, t: &[f64], k: usize, at_s: f64) -> impl Iterator<Item = f64> + 'a {
        let first = t.get(k).map_or(1.0, |t| (-(t - at_s) / self.tau_s).exp());
        self.factor[k.min(self.factor.len())..]
            .iter()
            .scan(first, |value, factor| {
                let now = *value;
                *value *= factor;
                Some(now)
            })
    }
}

/// The data of one scale.
pub(crate) struct Window {
    /// Times, s.
    pub(crate) t: Vec<f64>,
    /// Pressure over that of the bottom, times the weight.
    x: Vec<f64>,
    w: Vec<f64>,
    /// Smallest believable variance of a point: the gauge's step.
    floor: f64,
    /// Decays before the break, counted from the window's start.
    before: [Vec<f64>; 2],
    before_s: [f64; 2],
    bend: Fading,
    jumps: Vec<(usize, Option<Fading>, Option<Fading>)>,
    length_s: f64,
}

impl Window {
    /// Takes times, relative pressures and weights; `latest_s` is the latest break
    /// that will be asked for, `onsets` the indices of the onsets.
    pub(crate) fn new(
        (t, x, w): (Vec<f64>, Vec<f64>, Vec<f64>),
        floor: f64,
        latest_s: f64,
        onsets: &[usize],
    ) -> Self {
        let start = t[0];
        let end = t[t.len() - 1];
        let pre_s = (latest_s - start).max(1e-6);
        let before_s = [0.1 * pre_s, 0.4 * pre_s];
        let before = before_s.map(|tau| t.iter().map(|t| (-(t - start) / tau).exp()).collect());
        let jumps = onsets
            .iter()
            .map(|i| {
                let o = ONSETS[*i];
                let fading = |s: f64| Fading::new(&t, s);
                (
                    *i,
                    o.jump_s.map(fading),
                    (o.lag_s > 0.0).then(|| fading(o.lag_s)),
                )
            })
            .collect();
        let length_s = (end - latest_s).max(0.2 * (end - start));
        Self {
            bend: Fading::new(&t, 0.35 * length_s),
            t,
            x,
            w,
            floor,
            before,
            before_s,
            jumps,
            length_s,
        }
    }

    /// Mean square of residuals, not below what the gauge's step allows.
    fn variance(&self, residuals: &[f64]) -> f64 {
        residuals.iter().map(|e| e * e).sum::<f64>() / residuals.len() as f64 + self.floor
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
        let rss = crate::linear::least_squares(&columns, &self.x).map_or(f64::INFINITY, |f| f.rss);
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

    /// The same for a curve that was isolated before it began.
    pub(crate) fn isolated_before(&self) -> f64 {
        self.plain(&[&|_| 1.0, &|u| u, &|u| (-u / 0.35).exp(), &|u| {
            (-u / 0.06).exp()
        }])
    }
}

/// A fitted broken curve.
pub(crate) struct Broken {
    /// Index of its onset.
    pub(crate) onset: usize,
    /// −2·ln(likelihood), noise levels before and after fitted apart: a pump that
    /// hunts is rougher than the hold that follows.
    pub(crate) deviance: f64,
    /// ln of its mean square residual.
    pub(crate) ln_variance: f64,
    /// Its residuals.
    pub(crate) residuals: Vec<f64>,
}

/// Terms of every curve that breaks at one instant.
pub(crate) struct Base<'a> {
    data: &'a Window,
    at_s: f64,
    /// First point after the break.
    k: usize,
    columns: Vec<Vec<f64>>,
    normal: [[f64; MAX_TERMS]; MAX_TERMS],
    right: [f64; MAX_TERMS],
}

/// Level, line and two decays before; line and bend after.
const BEFORE: usize = 4;
const LINE: usize = 4;
const BEND: usize = 5;

impl<'a> Base<'a> {
    pub(crate) fn new(data: &'a Window, at_s: f64) -> Self {
        let t = &data.t;
        let k = t.partition_point(|t| *t < at_s);
        let span = t[t.len() - 1] - t[0];
        let weighted = |f: &dyn Fn(usize) -> f64| -> Vec<f64> {
            data.w.iter().enumerate().map(|(i, w)| w * f(i)).collect()
        };
        let decay = |j: usize| {
            let there = (-(at_s - t[0]) / data.before_s[j]).exp();
            weighted(&|i| if i < k { data.before[j][i] } else { there })
        };
        let mut bend = vec![0.0; t.len()];
        for (slot, (w, e)) in bend[k..]
            .iter_mut()
            .zip(data.w[k..].iter().zip(data.bend.from(t, k, at_s)))
        {
            *slot = w * (1.0 - e);
        }
        let columns = vec![
            data.w.clone(),
            weighted(&|i| (t[i] - at_s).min(0.0) / span),
            decay(0),
            decay(1),
            weighted(&|i| (t[i] - at_s).max(0.0) / data.length_s),
            bend,
        ];
        let mut base = Self {
            data,
            at_s,
            k,
            columns,
            normal: [[0.0; MAX_TERMS]; MAX_TERMS],
            right: [0.0; MAX_TERMS],
        };
        for i in 0..=BEND {
            for j in 0..=i {
                let value = dot(&base.columns[i], &base.columns[j]);
                base.normal[i][j] = value;
                base.normal[j][i] = value;
            }
            base.right[i] = dot(&base.columns[i], &data.x);
        }
        base
    }

    /// Every admissible fit: after the break the pressure turns upwards and bends
    /// over, if it bends.
    pub(crate) fn fits(&self) -> impl Iterator<Item = Broken> + '_ {
        self.data.jumps.iter().filter_map(|(index, jump, lag)| {
            let fitted = self.fit(jump.as_ref(), lag.as_ref())?;
            Some(Broken {
                onset: *index,
                ..fitted
            })
        })
    }

    fn fit(&self, jump: Option<&Fading>, lag: Option<&Fading>) -> Option<Broken> {
        let extra = jump.map(|jump| self.jump(jump, lag));
        let line = lag.filter(|_| jump.is_none()).map(|lag| self.late(lag));
        for bends in [true, false] {
            let mut columns: Vec<&[f64]> =
                self.columns[..BEFORE].iter().map(Vec::as_slice).collect();
            columns.push(line.as_ref().unwrap_or(&self.columns[LINE]));
            if bends {
                columns.push(&self.columns[BEND]);
            }
            columns.extend(extra.as_deref());
            let known = if line.is_some() || !bends {
                BEFORE
            } else {
                BEND + 1
            };
            let c = self.solve(&columns, known)?;
            if bends && c[BEND] < 0.0 {
                continue;
            }
            if extra.is_some() && c[columns.len() - 1] < 0.0 {
                return None;
            }
            return self.broken(&columns, &c);
        }
        None
    }

    /// The jump as a gauge with or without lag shows it.
    fn jump(&self, jump: &Fading, lag: Option<&Fading>) -> Vec<f64> {
        let (t, k, at_s) = (&self.data.t, self.k, self.at_s);
        let mut out = vec![0.0; t.len()];
        let own = jump.from(t, k, at_s);
        match lag {
            None => out[k..].iter_mut().zip(own).for_each(|(o, e)| *o = 1.0 - e),
            Some(lag) => {
                let (tau, lambda) = (jump.tau_s, lag.tau_s);
                let both = own.zip(lag.from(t, k, at_s));
                for (o, (e, l)) in out[k..].iter_mut().zip(both) {
                    *o = 1.0 - (tau * e - lambda * l) / (tau - lambda);
                }
            }
        }
        out.iter_mut().zip(&self.data.w).for_each(|(o, w)| *o *= w);
        out
    }

    /// The straight part as a gauge with lag shows it.
    fn late(&self, lag: &Fading) -> Vec<f64> {
        let (t, k) = (&self.data.t, self.k);
        let mut out = vec![0.0; t.len()];
        let each = t[k..].iter().zip(&self.data.w[k..]);
        for (o, ((t, w), e)) in out[k..].iter_mut().zip(each.zip(lag.from(t, k, self.at_s))) {
            *o = w * (t - self.at_s - lag.tau_s * (1.0 - e)) / self.data.length_s;
        }
        out
    }

    /// Coefficients; the normal equations of the first `known` columns are at hand.
    fn solve(&self, columns: &[&[f64]], known: usize) -> Option<[f64; MAX_TERMS]> {
        let mut normal = self.normal;
        let mut right = self.right;
        for i in 0..columns.len() {
            if i >= known {
                for j in 0..=i {
                    normal[i][j] = dot(columns[i], columns[j]);
                    normal[j][i] = normal[i][j];
                }
                right[i] = dot(columns[i], &self.data.x);
            }
            // a decay that is over before the window ends is all but a constant
            normal[i][i] += 1e-9 * (1.0 + normal[i][i]);
        }
        right[columns.len()..].fill(0.0);
        Some(Cholesky::new(&normal, columns.len())?.solve(&right))
    }

    fn broken(&self, columns: &[&[f64]], c: &[f64; MAX_TERMS]) -> Option<Broken> {
        let data = self.data;
        let mut curve = vec![0.0; data.x.len()];
        for (column, c) in columns.iter().zip(c) {
            curve.iter_mut().zip(*column).for_each(|(v, x)| *v += c * x);
        }
        if !self.turns_up(&curve) {
            return None;
        }
        let residuals: Vec<f64> = data.x.iter().zip(&curve).map(|(x, v)| x - v).collect();
        let all = data.variance(&residuals);
        // four readings' worth of the common noise steady the two levels
        let part = |e: &[f64]| {
            let n = e.len() as f64;
            let own: f64 = e.iter().map(|e| e * e).sum();
            n * ((own + 4.0 * all) / (n + 4.0) + data.floor).ln()
        };
        let deviance = part(&residuals[..self.k]) + part(&residuals[self.k..]);
        Some(Broken {
            onset: 0,
            deviance,
            ln_variance: all.ln(),
            residuals,
        })
    }

    /// True when the curve over a short stretch after the break is steeper than
    /// over one before it.
    fn turns_up(&self, curve: &[f64]) -> bool {
        let (t, k, n) = (&self.data.t, self.k, curve.len());
        if k < 2 || k >= n {
            return false;
        }
        let before = k - (k / 6).max(2).min(k);
        let after = (k + ((n - k) / 6).max(2)).min(n - 1);
        let level = |i: usize| curve[i] / self.data.w[i];
        let slope = |a: usize, b: usize| (level(b) - level(a)) / (t[b] - t[a]).max(1e-9);
        let (fall, rise) = (slope(before, k - 1), slope(k - 1, after));
        rise > fall.max(STEEPENS * fall)
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
