//! A rise that sets in late: level at first, then up.
//!
//! A leak, boil-out and equalisation all begin the moment the valve is shut and
//! rise fastest then: every one of their curves is straight or bends over. A curve
//! that stays level and then rises has another history (a plug of ice or oil that
//! lets go, gas that first has to find its way to the gauge, a joint that opened),
//! and no mixture of those curves explains it. Then the rise is judged from its
//! onset on.
//!
//! The test: continuous hinge p = c + s₀·t + (s₁ − s₀)·max(t − h, 0) over all h
//! against the best straight or saturating curve, by the drop in the residual sum
//! of squares for one more parameter (F statistic, residuals' correlation taken
//! into account through the effective sample size, NCL `equiv_sample_size`:
//! n·(1 − r₁)/(1 + r₁)).

use crate::{linear::least_squares, noise::lag_one, rise::HoldBin};

/// Instants tried.
const CANDIDATES: usize = 48;
/// F from which a late onset is seen.
const SURE: f64 = 40.0;
/// Slope after the onset over slope before it, at least.
const STEEPER: f64 = 3.0;

/// Where the rise sets in, s on the clock of the bins; `None` when it was there from
/// the beginning. `least_micron` is the smallest rise worth the name.
pub(crate) fn find(bins: &[HoldBin], least_micron: f64) -> Option<f64> {
    let (first, last) = (bins.first()?, bins.last()?);
    let span = last.t - first.t;
    if bins.len() < 24 || span <= 0.0 {
        return None;
    }
    let u: Vec<f64> = bins.iter().map(|b| (b.t - first.t) / span).collect();
    let p: Vec<f64> = bins.iter().map(|b| b.p).collect();
    let bending_over = bending_over(&u, &p)?;
    let hinge = (0..CANDIDATES)
        .filter_map(|i| {
            let h = 0.08 + 0.84 * i as f64 / (CANDIDATES - 1) as f64;
            Hinge::fit(&u, &p, h)
        })
        .min_by(|a, b| a.rss.total_cmp(&b.rss))?;
    let n = bins.len() as f64;
    let r = lag_one(&hinge.residuals).clamp(0.0, 0.95);
    let effective = (n * (1.0 - r) / (1.0 + r)).max(6.0);
    let f = (bending_over - hinge.rss) / (hinge.rss / n).max(1e-12) * (effective - 4.0) / n;
    let rises = hinge.after * (1.0 - hinge.at);
    let late = f > SURE
        && hinge.after > STEEPER * hinge.before.abs()
        && rises > least_micron
        && hinge.at * hinge.before < 0.5 * rises;
    late.then_some(first.t + hinge.at * span)
}

/// Residual sum of squares of the best curve that is straight or bends over.
fn bending_over(u: &[f64], p: &[f64]) -> Option<f64> {
    let ones = vec![1.0; u.len()];
    let straight = least_squares(&[ones.clone(), u.to_vec()], p)?.rss;
    let bent = [0.05, 0.1, 0.2, 0.4, 0.8, 1.6]
        .into_iter()
        .filter_map(|tau| {
            let saturating = u.iter().map(|u| -(-u / tau).exp_m1()).collect();
            let fit = least_squares(&[ones.clone(), u.to_vec(), saturating], p)?;
            (fit.coefficients[2] >= 0.0).then_some(fit.rss)
        });
    Some(bent.fold(straight, f64::min))
}

/// A line that turns upwards at `at`.
struct Hinge {
    at: f64,
    /// Slope before and after, micron over the whole.
    before: f64,
    after: f64,
    rss: f64,
    residuals: Vec<f64>,
}

impl Hinge {
    fn fit(u: &[f64], p: &[f64], at: f64) -> Option<Self> {
        let turn: Vec<f64> = u.iter().map(|u| (u - at).max(0.0)).collect();
        let fit = least_squares(&[vec![1.0; u.len()], u.to_vec(), turn.clone()], p)?;
        let c = &fit.coefficients;
        Some(Self {
            at,
            before: c[1],
            after: c[1] + c[2],
            rss: fit.rss,
            residuals: (0..u.len())
                .map(|i| p[i] - c[0] - c[1] * u[i] - c[2] * turn[i])
                .collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bins(p: impl Fn(f64) -> f64) -> Vec<HoldBin> {
        (0..240)
            .map(|i| {
                let t = f64::from(i) * 5.0;
                // a wobble in place of noise: 0.3 micron
                let wobble = 0.3 * (f64::from(i * 7919 % 100) / 50.0 - 1.0);
                HoldBin {
                    n: 1.0,
                    ends: (0.0, 0.0),
                    t,
                    p: p(t) + wobble,
                    step: 0.0,
                    warming_k: None,
                }
            })
            .collect()
    }

    #[test]
    fn a_level_that_turns_up_is_found_where_it_turns() {
        let late = bins(|t| 200.0 + 0.05 * (t - 500.0).max(0.0));
        let at = find(&late, 5.0);
        assert!(at.is_some_and(|at| (at - 500.0).abs() < 30.0), "{at:?}");
    }

    #[test]
    fn leaks_vapour_and_falls_begin_at_once() {
        let shapes: [&dyn Fn(f64) -> f64; 5] = [
            &|_| 200.0,
            &|t| 200.0 + 0.05 * t,
            &|t| 200.0 - 300.0 * (-t / 200.0).exp_m1(),
            &|t| 200.0 + 0.02 * t - 80.0 * (-t / 100.0).exp_m1(),
            &|t| 200.0 - 0.01 * t,
        ];
        for (i, shape) in shapes.iter().enumerate() {
            assert_eq!(find(&bins(shape), 5.0), None, "shape {i}");
        }
    }

    #[test]
    fn a_turn_too_small_to_matter_is_none() {
        let late = bins(|t| 200.0 + 0.005 * (t - 500.0).max(0.0));
        assert_eq!(find(&late, 5.0), None);
    }
}
