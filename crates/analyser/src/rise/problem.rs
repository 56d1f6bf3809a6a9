//! One explanation as a small linear problem, solved exactly.

use super::{
    Component,
    basis::{Basis, FIRST_FAST, SLOW},
};
use crate::{
    linear::{Cholesky, MAX_TERMS},
    normal::cdf,
};

/// Prior width of the straight part, in units of the observed range.
const PRIOR_STRAIGHT: f64 = 2.0;
/// Which terms an explanation has.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Setup {
    /// A straight part.
    pub(super) line: bool,
    /// Column of the fast term.
    pub(super) fast: Option<usize>,
    /// Columns of the slow terms.
    pub(super) slow: [Option<usize>; 2],
    /// Prior width of the heights, in observed ranges.
    pub(super) height: f64,
}

/// What a column of the linear problem stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Role {
    Constant,
    Straight,
    Fast,
    Slow(usize),
    /// Shift of ln τ of a slow term, times its height.
    Shift(usize),
}

#[derive(Debug, Clone, Copy)]
struct Term {
    column: usize,
    role: Role,
    /// Prior standard deviation, micron; infinite: none.
    width: f64,
}

/// What every explanation of one hold shares.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// Number of bins.
    pub(super) n: usize,
    /// Noise of a whitened bin, micron.
    pub(super) noise: f64,
    /// Observed range, micron.
    pub(super) range: f64,
    pub(super) span_s: f64,
}

impl Shape {
    pub(super) fn problem(self, basis: &Basis) -> Problem<'_> {
        Problem { basis, shape: self }
    }
}

/// The linear problem behind every explanation.
pub(super) struct Problem<'a> {
    pub(super) basis: &'a Basis,
    pub(super) shape: Shape,
}

impl Problem<'_> {
    fn terms(&self, setup: Setup, around: Option<&Component>) -> ([Term; MAX_TERMS], usize) {
        let constant = Term {
            column: 0,
            role: Role::Constant,
            width: f64::INFINITY,
        };
        let mut terms = [constant; MAX_TERMS];
        let mut k = 1;
        let mut push = |column, role, width| {
            terms[k] = Term {
                column,
                role,
                width,
            };
            k += 1;
        };
        if setup.line {
            push(1, Role::Straight, PRIOR_STRAIGHT * self.shape.range);
        }
        if let Some(f) = setup.fast {
            push(f, Role::Fast, self.shape.range);
        }
        for (slot, slow) in setup.slow.iter().enumerate() {
            if let Some(s) = slow {
                push(*s, Role::Slow(slot), setup.height * self.shape.range);
                if let Some(coarse) = around {
                    // evenly within a grid step: step/√12
                    let step = self.basis.grid_step / 12.0_f64.sqrt();
                    let width =
                        (coarse.coefficients[3 + slot].abs() * step).max(1e-3 * self.shape.noise);
                    push(*s + SLOW, Role::Shift(slot), width);
                }
            }
        }
        (terms, k)
    }

    /// Solves one combination; `weight` of the result is the log evidence.
    pub(super) fn solve(&self, setup: Setup, around: Option<&Component>) -> Option<Component> {
        let (terms, k) = self.terms(setup, around);
        let noise_sq = self.shape.noise * self.shape.noise;
        let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
        let mut c = [0.0; MAX_TERMS];
        let mut ln_prior_det = 0.0;
        for i in 0..k {
            for j in 0..=i {
                m[i][j] = self.basis.inner(terms[i].column, terms[j].column) / noise_sq;
                m[j][i] = m[i][j];
            }
            if terms[i].width.is_finite() {
                m[i][i] += 1.0 / (terms[i].width * terms[i].width);
                ln_prior_det += 2.0 * terms[i].width.ln();
            }
            c[i] = self.basis.with_y[terms[i].column] / noise_sq;
        }
        let factor = Cholesky::new(&m, k)?;
        let x = factor.solve(&c);
        let explained: f64 = (0..k).map(|i| x[i] * c[i]).sum();
        let rss = (self.basis.yy / noise_sq - explained).max(1e-9);
        let dof = (self.shape.n - 1) as f64;
        // noise scale unknown within reason: Student form around the estimate
        let variance = (rss + 4.0) / (dof + 4.0);
        let ln_evidence =
            -0.5 * (dof + 4.0) * variance.ln() - 0.5 * factor.ln_det() - 0.5 * ln_prior_det;
        let solved = Solved {
            terms: &terms[..k],
            x,
            factor,
            scale: variance.sqrt().max(0.7),
        };
        Some(Component {
            chi_sq: rss,
            ..self.component(setup, ln_evidence, &solved)
        })
    }

    /// Turns coefficients into what is asked of an explanation.
    fn component(&self, setup: Setup, ln_evidence: f64, solved: &Solved<'_>) -> Component {
        let fast_tau = setup.fast.map_or(0.0, |f| self.basis.taus[f - FIRST_FAST]);
        let mut out = Component {
            setup,
            weight: ln_evidence,
            fast_tau,
            ..Component::default()
        };
        out.has_line = setup.line;
        let (mut total, mut plateau) = ([0.0; MAX_TERMS], [0.0; MAX_TERMS]);
        plateau[0] = 1.0;
        for (i, term) in solved.terms.iter().enumerate() {
            let tau = self
                .basis
                .taus
                .get(term.column.wrapping_sub(FIRST_FAST))
                .copied();
            match term.role {
                Role::Constant => out.coefficients[0] = solved.x[i],
                Role::Straight => {
                    total[i] = 1.0;
                    out.coefficients[1] = solved.x[i];
                    out.straight = (solved.x[i], solved.sd_of_one(i));
                    // air leaks in: a rise is believed up to twice as much as a fall
                    let share = cdf(solved.x[i] / solved.sd_of_one(i).max(1e-12));
                    out.weight += (2.0 * share).max(1.0).ln();
                }
                Role::Fast => {
                    plateau[i] = 1.0;
                    out.coefficients[2] = solved.x[i];
                }
                Role::Slow(slot) => {
                    // half-normal prior: keep only the share of it that is positive
                    let share = cdf(solved.x[i] / solved.sd_of_one(i).max(1e-12));
                    out.weight += (2.0 * share).max(1e-12).ln();
                    out.coefficients[3 + slot] = solved.x[i];
                    out.taus[slot] = tau.unwrap_or(0.0);
                    out.contribution[slot] = -(-self.shape.span_s / out.taus[slot]).exp_m1();
                    total[i] = out.contribution[slot];
                    plateau[i] = 1.0;
                }
                Role::Shift(slot) => {
                    let u = self.shape.span_s / out.taus[slot];
                    total[i] = -u * (-u).exp();
                    let height = out.coefficients[3 + slot];
                    if height.abs() > 1e-9 {
                        out.ln_tau_sd[slot] = (solved.sd_of_one(i) / height).abs();
                        out.ln_tau_shift[slot] = solved.x[i] / height;
                    }
                }
            }
        }
        out.total = (solved.dot(&total), solved.sd(&total));
        out.plateau = (solved.dot(&plateau), solved.sd(&plateau));
        // only now: the gradients above belong to the grid's time constants
        for slot in 0..2 {
            out.taus[slot] *= out.ln_tau_shift[slot].clamp(-0.5, 0.5).exp();
        }
        out
    }
}

/// A solved linear problem.
struct Solved<'a> {
    terms: &'a [Term],
    x: [f64; MAX_TERMS],
    factor: Cholesky,
    /// Residual scale over the assumed noise.
    scale: f64,
}

impl Solved<'_> {
    fn sd(&self, g: &[f64; MAX_TERMS]) -> f64 {
        self.scale * self.factor.quadratic(g).sqrt()
    }

    fn sd_of_one(&self, i: usize) -> f64 {
        let mut unit = [0.0; MAX_TERMS];
        unit[i] = 1.0;
        self.sd(&unit)
    }

    fn dot(&self, g: &[f64; MAX_TERMS]) -> f64 {
        self.x.iter().zip(g).map(|(x, g)| x * g).sum()
    }
}
