//! Was the supply really shut? In a closed system the pressure follows the gas; behind an
//! open valve it follows the regulator.

use statistics::{dense::Symmetric, non_negative::ln_sum_exp};

use crate::{
    closed::{FOR_LATE, FOR_SUPPLY},
    posterior::View,
    series::Series,
};

/// How far a regulator lets the pressure wander, share over an hour.
const WANDERS: [f64; 4] = [1e-5, 1e-4, 1e-3, 1e-2];
/// How often the supply is still open where it was said to be shut.
const OPEN_THOUGH_SAID: f64 = 0.1;
/// How often where nobody said anything.
const OPEN_UNSAID: f64 = 0.3;
/// How often it is shut later than was said.
const SHUT_LATE: f64 = 0.03;
/// Where the pressure may have stopped following the supply, share of the stretch.
const LATE: [f64; 8] = [0.03, 0.06, 0.1, 0.15, 0.22, 0.3, 0.42, 0.55];

/// What the pressure says about the supply.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Supply {
    /// The probability that it stayed open to the end.
    pub(crate) open: f64,
    /// The bin up to which the pressure followed it, where it was shut late.
    pub(crate) late: Option<usize>,
}

/// Looks at a stretch; `stamped` where somebody said that the supply was shut.
pub(crate) fn supply(view: &View, series: &Series, stamped: bool) -> Option<Supply> {
    let n = series.len();
    let before = if stamped {
        OPEN_THOUGH_SAID
    } else {
        OPEN_UNSAID
    };
    let closed = view.ln_evidence_closed(series, &FOR_SUPPLY)? + (1.0 - before - SHUT_LATE).ln();
    let held = held_up(series)? + before.ln();

    let mut late: Vec<(f64, usize)> = Vec::new();
    for share in LATE {
        let at = series
            .time_s
            .iter()
            .position(|t| *t > share * series.length_s())?;
        if at < 4 || n - at < 8 {
            continue;
        }
        let (first, then) = (series.part(0, at), series.part(at, n));
        if let (Some(a), Some(b)) = (held_up(&first), view.ln_evidence_closed(&then, &FOR_LATE)) {
            late.push((a + b + (SHUT_LATE / LATE.len() as f64).ln(), at));
        }
    }
    let best = late.iter().copied().max_by(|a, b| a.0.total_cmp(&b.0));
    let all = late.iter().map(|(w, _)| *w).chain([closed, held]);
    let sum = ln_sum_exp(all.collect::<Vec<_>>().into_iter());
    let late_share = ln_sum_exp(late.iter().map(|(w, _)| *w)) - sum;
    Some(Supply {
        open: (held - sum).exp(),
        late: best
            .filter(|_| !late.is_empty() && late_share.exp() > 0.5)
            .map(|(_, at)| at),
    })
}

/// ln of the probability of the pressures behind an open valve: a level that wanders.
fn held_up(series: &Series) -> Option<f64> {
    let ln_pressure: Vec<f64> = series.pressure_pa.iter().map(|p| p.ln()).collect();
    let own: Vec<f64> = series
        .variance_pa2
        .iter()
        .zip(&series.pressure_pa)
        .map(|(v, p)| v / (p * p) + 1e-16)
        .collect();
    let t = &series.time_s;
    let each = WANDERS.iter().filter_map(|wander| {
        let mut covariance = Symmetric::zeros(series.len());
        covariance.add_own(&own);
        covariance.add(|i, j| wander * wander * t[i].min(t[j]) / 3600.0);
        let factor = covariance.factor()?;
        Some(factor.ln_evidence_of_level(&ln_pressure) - (WANDERS.len() as f64).ln())
    });
    let each: Vec<f64> = each.collect();
    (!each.is_empty()).then(|| ln_sum_exp(each.into_iter()))
}
