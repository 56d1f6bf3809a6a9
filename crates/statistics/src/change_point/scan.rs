//! Every broken curve of a window, all instants and responses at once.
//!
//! Before the break the columns do not depend on the instant t₀: sums over the points
//! up to it are taken from running sums. After it every column is a sum of 1, R and
//! e^(−R/τ); their sums of products over the points from t₀ on follow from those of a
//! later t₀ by one multiplication for each time constant, because
//! e^(−(u + δ)/τ) = e^(−δ/τ)·e^(−u/τ). So a window costs one exponential for each
//! point and time constant, however many instants are tried.
//!
//! The curve is continuous: what comes after stands on the level v·c that the curve
//! before has at t₀. With K = N + A·vvᵀ (N: before, A: weight after), m the sums of
//! the columns after and S their products, the columns after are solved from the Schur
//! complement S − (vᵀK⁻¹v)·mmᵀ: three unknowns at most for each response.

use super::{
    broken_curve::{AFTER, BEFORE, BrokenCurve},
    window::Window,
};
use crate::linear::{Cholesky, MAX_TERMS};

/// The rise after the break is steeper than any drift before it by this factor
/// at least (common practice, no source: what was shut rises at once, a drift grows).
const STEEPENS: f64 = 2.0;
/// Readings of the common noise that steady the noise levels before and after (common
/// practice, no source: little beside the fewest points of a window).
const STEADY: f64 = 0.5;
/// The columns after the break.
const LINE: usize = 0;
const BEND: usize = 1;
const JUMP: usize = 2;
/// What the columns after are made of: 1, R, and e^(−R/τ) of bend, jump and lag.
const PARTS: usize = 5;

/// One column after the break as a sum of the parts.
type Column = [f64; PARTS];

/// A response with its time constants as indices into the table of rates.
struct ResponseColumns {
    index: usize,
    columns: [Column; AFTER],
    /// Rates of bend, jump and lag, and of the products of each two of them.
    single: [usize; 3],
    product: [[usize; 3]; 3],
    jumps: bool,
    /// Time after which it has settled.
    settles: f64,
}

/// Sums over the points after an instant, u counted from it.
#[derive(Clone, Default)]
struct After {
    /// Σw², Σw²u, Σw²u².
    a: [f64; 3],
    /// Σw²y, Σw²uy, Σw²y².
    y: [f64; 3],
    /// By rate: Σw²e, Σw²ue, Σw²ye with e = e^(−u·rate).
    e: Vec<[f64; 3]>,
}

impl After {
    /// Counts u from an instant `by` earlier.
    fn earlier(&mut self, by: f64, rates: &[f64]) {
        let [a0, a1, a2] = self.a;
        self.a = [a0, a1 + by * a0, a2 + by * (2.0 * a1 + by * a0)];
        self.y[1] += by * self.y[0];
        for (e, rate) in self.e.iter_mut().zip(rates) {
            let fades = (-by * rate).exp();
            *e = [fades * e[0], fades * (e[1] + by * e[0]), fades * e[2]];
        }
    }

    fn add(&mut self, u: f64, y: f64, weight: f64, rates: &[f64]) {
        let w = weight * weight;
        for (sums, v) in [(&mut self.a, 1.0), (&mut self.y, y)] {
            sums[0] += w * v;
            sums[1] += w * v * u;
        }
        self.a[2] += w * u * u;
        self.y[2] += w * y * y;
        for (e, rate) in self.e.iter_mut().zip(rates) {
            let value = w * (-u * rate).exp();
            e[0] += value;
            e[1] += u * value;
            e[2] += y * value;
        }
    }
}

/// Sums over the points before an instant.
#[derive(Clone, Copy, Default)]
struct Before {
    normal: [[f64; BEFORE]; BEFORE],
    right: [f64; BEFORE],
    yy: f64,
}

impl Window<'_> {
    /// Every admissible fit at each of the instants, which ascend: after the break the
    /// pressure turns upwards and bends over, if it bends.
    pub(super) fn scan(&self, instants: &[f64]) -> Vec<Vec<BrokenCurve>> {
        let (answers, rates) = self.answers();
        let before = self.sums_before();
        let mut after = After {
            e: vec![[0.0; 3]; rates.len()],
            ..After::default()
        };
        let mut rows = Vec::with_capacity(instants.len());
        let mut from = self.t.len();
        let mut last = f64::INFINITY;
        for &at in instants.iter().rev() {
            if from < self.t.len() {
                after.earlier(last - at, &rates);
            }
            last = at;
            let k = self.t.partition_point(|t| *t < at);
            for i in k..from {
                after.add(self.t[i] - at, self.y[i], self.w[i], &rates);
            }
            from = k;
            let solver = Solver::new(self, at, k, &before[k], &after);
            let each = answers.iter();
            rows.push(solver.map_or_else(Vec::new, |s| {
                each.filter_map(|answer| s.fit(answer)).collect()
            }));
        }
        rows.reverse();
        rows
    }

    /// What the fit leaves, weighted.
    pub(super) fn residuals(&self, fit: &BrokenCurve) -> Vec<f64> {
        let answer = self.answer(fit.response, &mut Vec::new());
        let v = self.before_at(fit.at);
        let level = dot(&v, &fit.before);
        let value = |t: f64| {
            if t < fit.at {
                dot(&self.before_at(t), &fit.before)
            } else {
                level + self.rise(&answer, fit, t - fit.at)
            }
        };
        let each = self.t.iter().zip(self.y.iter().zip(&self.w));
        each.map(|(t, (y, w))| w * (y - value(*t))).collect()
    }

    /// The columns before the break, at one time.
    fn before_at(&self, t: f64) -> [f64; BEFORE] {
        let (start, end) = (self.t[0], self.t[self.t.len() - 1]);
        let decay = |j: usize| (-(t - start) / self.before[j]).exp();
        [1.0, (t - start) / (end - start), decay(0), decay(1)]
    }

    /// What the fitted columns after add, `u` after the break.
    fn rise(&self, answer: &ResponseColumns, fit: &BrokenCurve, u: f64) -> f64 {
        let o = self.responses.all[answer.index];
        let fades = |tau: f64| {
            if tau > 0.0 { (-u / tau).exp() } else { 0.0 }
        };
        let parts = [
            1.0,
            u,
            fades(self.bend_of(o.lag_s)),
            fades(o.jump_s.unwrap_or(0.0)),
            fades(o.lag_s),
        ];
        let each = answer.columns.iter().zip(&fit.after);
        each.map(|(column, c)| c * dot(column, &parts)).sum()
    }

    /// Time constant of the bend, apart from that of the lag.
    fn bend_of(&self, lag: f64) -> f64 {
        if (self.bend - lag).abs() < 0.1 * lag {
            1.2 * lag
        } else {
            self.bend
        }
    }

    /// Running sums before each point, and one more for all.
    fn sums_before(&self) -> Vec<Before> {
        let mut sums = Before::default();
        let mut out = Vec::with_capacity(self.t.len() + 1);
        out.push(sums);
        for i in 0..self.t.len() {
            let f = self.before_at(self.t[i]);
            let w = self.w[i] * self.w[i];
            for a in 0..BEFORE {
                for b in 0..BEFORE {
                    sums.normal[a][b] += w * f[a] * f[b];
                }
                sums.right[a] += w * f[a] * self.y[i];
            }
            sums.yy += w * self.y[i] * self.y[i];
            out.push(sums);
        }
        out
    }

    /// The responses of this window, and every rate 1/τ that they need.
    fn answers(&self) -> (Vec<ResponseColumns>, Vec<f64>) {
        let mut rates = Vec::new();
        let answers = self.usable.iter().map(|i| self.answer(*i, &mut rates));
        (answers.collect(), rates)
    }

    fn answer(&self, index: usize, rates: &mut Vec<f64>) -> ResponseColumns {
        let o = self.responses.all[index];
        let lag = o.lag_s;
        let bend = self.bend_of(lag);
        let mut find = |rate: f64| {
            let known = rates.iter().position(|r| *r == rate);
            known.unwrap_or_else(|| {
                rates.push(rate);
                rates.len() - 1
            })
        };
        let rate = |tau: f64| if tau > 0.0 { 1.0 / tau } else { 0.0 };
        let each = [rate(bend), rate(o.jump_s.unwrap_or(0.0)), rate(lag)];
        let single = each.map(&mut find);
        let mut product = [[0; 3]; 3];
        for a in 0..3 {
            for b in a..3 {
                product[a][b] = find(each[a] + each[b]);
                product[b][a] = product[a][b];
            }
        }
        // what settles with τ as a gauge with lag shows it
        let settles = |tau: f64| (tau / (tau - lag), lag / (tau - lag));
        let mut columns = [[0.0; PARTS]; AFTER];
        let unit = 1.0 / self.length;
        columns[LINE] = [-lag * unit, unit, 0.0, 0.0, lag * unit];
        let (own, late) = settles(bend);
        columns[BEND] = [1.0, 0.0, -own, 0.0, late];
        if let Some(jump) = o.jump_s {
            let (own, late) = settles(jump);
            columns[JUMP] = [1.0, 0.0, 0.0, -own, late];
        }
        ResponseColumns {
            index,
            columns,
            single,
            product,
            jumps: o.jump_s.is_some(),
            settles: 3.0 * (lag + o.jump_s.unwrap_or(0.0)),
        }
    }
}

/// The sums at one instant, solved for what comes before.
struct Solver<'a> {
    data: &'a Window<'a>,
    at: f64,
    /// First point after the break.
    k: usize,
    before: &'a Before,
    after: &'a After,
    /// Columns before, at the break.
    v: [f64; BEFORE],
    /// K⁻¹·(right-hand side) and K⁻¹·v.
    alpha: [f64; BEFORE],
    beta: [f64; BEFORE],
}

impl<'a> Solver<'a> {
    fn new(
        data: &'a Window<'a>,
        at: f64,
        k: usize,
        before: &'a Before,
        after: &'a After,
    ) -> Option<Self> {
        if k < BEFORE || k + 2 > data.t.len() {
            return None;
        }
        let v = data.before_at(at);
        let mut normal = [[0.0; MAX_TERMS]; MAX_TERMS];
        let (mut right, mut level) = ([0.0; MAX_TERMS], [0.0; MAX_TERMS]);
        for i in 0..BEFORE {
            for j in 0..BEFORE {
                normal[i][j] = before.normal[i][j] + after.a[0] * v[i] * v[j];
            }
            // a decay that is over before the window ends is all but a constant
            normal[i][i] += 1e-9 * (1.0 + normal[i][i]);
            right[i] = before.right[i] + after.y[0] * v[i];
            level[i] = v[i];
        }
        let factor = Cholesky::new(&normal, BEFORE)?;
        let four = |x: [f64; MAX_TERMS]| [x[0], x[1], x[2], x[3]];
        Some(Self {
            data,
            at,
            k,
            before,
            after,
            v,
            alpha: four(factor.solve(&right)),
            beta: four(factor.solve(&level)),
        })
    }

    /// Products of the parts over the points after: 1, R, three exponentials.
    fn parts(&self, answer: &ResponseColumns) -> ([Column; PARTS], Column) {
        let (a, e) = (&self.after.a, &self.after.e);
        let mut gram = [[0.0; PARTS]; PARTS];
        let mut set = |i: usize, j: usize, value: f64| {
            gram[i][j] = value;
            gram[j][i] = value;
        };
        set(0, 0, a[0]);
        set(0, 1, a[1]);
        set(1, 1, a[2]);
        let mut right = [self.after.y[0], self.after.y[1], 0.0, 0.0, 0.0];
        for i in 0..3 {
            let single = e[answer.single[i]];
            set(0, 2 + i, single[0]);
            set(1, 2 + i, single[1]);
            right[2 + i] = single[2];
            for j in i..3 {
                set(2 + i, 2 + j, e[answer.product[i][j]][0]);
            }
        }
        (gram, right)
    }

    fn fit(&self, answer: &ResponseColumns) -> Option<BrokenCurve> {
        let (gram, right) = self.parts(answer);
        let mut normal = [[0.0; AFTER]; AFTER];
        let (mut sums, mut rights) = ([0.0; AFTER], [0.0; AFTER]);
        for i in 0..AFTER {
            let column = &answer.columns[i];
            let by = gram.map(|row| dot(&row, column));
            normal[i] = answer.columns.map(|other| dot(&by, &other));
            sums[i] = by[0];
            rights[i] = dot(column, &right);
        }
        let full: &[usize] = if answer.jumps {
            &[LINE, BEND, JUMP]
        } else {
            &[LINE, BEND]
        };
        let straight: &[usize] = if answer.jumps { &[LINE, JUMP] } else { &[LINE] };
        let mut after = self.solve(full, &normal, &sums, &rights)?;
        if after[BEND] < 0.0 {
            after = self.solve(straight, &normal, &sums, &rights)?;
        }
        self.broken(answer, after, (&normal, &sums, &rights))
    }

    /// Coefficients of the columns named; the others are zero.
    fn solve(
        &self,
        columns: &[usize],
        normal: &[[f64; AFTER]; AFTER],
        sums: &[f64; AFTER],
        rights: &[f64; AFTER],
    ) -> Option<[f64; AFTER]> {
        let (spread, level) = (dot(&self.v, &self.beta), dot(&self.v, &self.alpha));
        let mut n = [[0.0; MAX_TERMS]; MAX_TERMS];
        let mut r = [0.0; MAX_TERMS];
        for (i, a) in columns.iter().enumerate() {
            for (j, b) in columns.iter().enumerate() {
                n[i][j] = normal[*a][*b] - spread * sums[*a] * sums[*b];
            }
            n[i][i] += 1e-9 * (1.0 + normal[*a][*a]);
            r[i] = rights[*a] - level * sums[*a];
        }
        let x = Cholesky::new(&n, columns.len())?.solve(&r);
        let mut out = [0.0; AFTER];
        for (i, a) in columns.iter().enumerate() {
            out[*a] = x[i];
        }
        Some(out)
    }

    fn broken(
        &self,
        answer: &ResponseColumns,
        after: [f64; AFTER],
        (normal, sums, rights): (&[[f64; AFTER]; AFTER], &[f64; AFTER], &[f64; AFTER]),
    ) -> Option<BrokenCurve> {
        let data = self.data;
        let raised = dot(sums, &after);
        let mut before = self.alpha;
        for (c, beta) in before.iter_mut().zip(&self.beta) {
            *c -= beta * raised;
        }
        let level = dot(&self.v, &before);
        let left = |yy: f64, explained: f64, square: f64| (yy - 2.0 * explained + square).max(0.0);
        let rss_before = left(
            self.before.yy,
            dot(&before, &self.before.right),
            quadratic(&self.before.normal, &before),
        );
        let [a0, ..] = self.after.a;
        let rss_after = left(
            self.after.y[2],
            level * self.after.y[0] + dot(&after, rights),
            level * level * a0 + 2.0 * level * raised + quadratic(normal, &after),
        );
        let n = data.t.len() as f64;
        let all = (rss_before + rss_after) / n + data.floor;
        // half a reading's worth of the common noise steadies the two levels
        let part = |rss: f64, n: f64| n * ((rss + STEADY * all) / (n + STEADY) + data.floor).ln();
        let fit = BrokenCurve {
            at: self.at,
            response: answer.index,
            deviance: part(rss_before, self.k as f64) + part(rss_after, n - self.k as f64),
            ln_variance: all.ln(),
            falls: after[JUMP] < 0.0,
            before,
            after,
        };
        let responses = data.responses;
        let too_long = fit.falls
            && responses.all[answer.index]
                .jump_s
                .is_some_and(|s| s > responses.longest_fall_s);
        (!too_long && self.turns_up(answer, &fit)).then_some(fit)
    }

    /// True when the curve over a short stretch after the break is steeper than over
    /// one before it; after a jump downwards, the curve from there on.
    fn turns_up(&self, answer: &ResponseColumns, fit: &BrokenCurve) -> bool {
        let (data, k) = (self.data, self.k);
        let (t, n) = (&data.t, data.t.len());
        let from = k - (k / 6).max(2).min(k);
        let level = |t: f64| dot(&data.before_at(t), &fit.before);
        let fall = (level(t[k - 1]) - level(t[from])) / (t[k - 1] - t[from]).max(1e-9);
        let risen = |u: f64| data.rise(answer, fit, u);
        let rise = if fit.falls {
            let settled = answer.settles.min(0.5 * (t[n - 1] - self.at));
            let rest = t[n - 1] - self.at - settled;
            (risen(t[n - 1] - self.at) - risen(settled)) / rest.max(1e-9)
        } else {
            let to = (k + ((n - k) / 6).max(2)).min(n - 1);
            let here = level(self.at) + risen(t[to] - self.at);
            (here - level(t[k - 1])) / (t[to] - t[k - 1]).max(1e-9)
        };
        rise > fall.max(STEEPENS * fall)
    }
}

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn quadratic<const N: usize>(matrix: &[[f64; N]; N], c: &[f64; N]) -> f64 {
    let rows = matrix.iter().zip(c);
    rows.map(|(row, c_row)| c_row * dot(row, c)).sum()
}
