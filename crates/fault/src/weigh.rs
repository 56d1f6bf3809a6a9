//! From observations to how likely each fault is.

use crate::{
    code::FaultCode,
    observed::{Observation, Sign},
    weights::{Row, Source, row},
};

/// Signs of one machine hang together, so that each tells less than if it stood alone: the
/// logarithm of its likelihood is taken by this share. Chosen on the simulated appliances of
/// even seeds so that support keeps its promise ([`METHOD.md`](../METHOD.md)).
pub(crate) const SHARE: f64 = 0.9;

/// Share of the appliances that are like nothing in the tables: what nobody can be surer than.
const UNHEARD_OF: f64 = 0.02;

/// Likelihood of one observation with every fault, in the order of [`FaultCode::ALL`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Likelihood {
    /// 0 to 1.
    pub(crate) with: [f64; 9],
    /// Where the figures are from.
    pub(crate) source: Source,
}

/// Which row of the table stands for a fault.
///
/// What leaks out leaves too little behind, wherever it leaves: on instruments a short
/// charge, a leak in the high side, and one in a low side that runs above the air outside
/// are one and the same. Only a trace of the leak itself tells its place.
fn stands_for(code: FaultCode, sign: Sign, low_side_draws_air: bool) -> FaultCode {
    match code {
        FaultCode::ShortCharge if sign != Sign::Trace => FaultCode::HighSideLeak,
        FaultCode::LowSideLeak if sign != Sign::Trace && !low_side_draws_air => {
            FaultCode::HighSideLeak
        }
        _ => code,
    }
}

/// How likely an observation is with each fault; `None` for a sign without figures.
pub(crate) fn likelihood(seen: &Observation, low_side_draws_air: bool) -> Option<Likelihood> {
    let found: &Row = row(seen.sign)?;
    let with = FaultCode::ALL.map(|code| {
        let code = stands_for(code, seen.sign, low_side_draws_air);
        found.likelihood(code, seen.level)
    });
    Some(Likelihood {
        with,
        source: found.source,
    })
}

/// Support of every fault, in the order of [`FaultCode::ALL`]; sums to 1. Each is as likely
/// as the others before anything is seen.
pub(crate) fn support(likelihoods: &[Likelihood]) -> [f64; 9] {
    let logarithms: [f64; 9] = std::array::from_fn(|i| {
        let of = likelihoods.iter().map(|l| l.with[i].max(1e-3).ln());
        SHARE * of.sum::<f64>()
    });
    let most = logarithms.iter().copied().fold(f64::MIN, f64::max);
    let weights = logarithms.map(|x| (x - most).exp());
    let sum: f64 = weights.iter().sum();
    weights.map(|w| (1.0 - UNHEARD_OF) * w / sum + UNHEARD_OF / 9.0)
}

/// How much worse the observations fit a fault than those of an appliance that has it, in
/// standard deviations of that.
pub(crate) fn misfit(code: FaultCode, seen: &[Observation], low_side_draws_air: bool) -> f64 {
    let (mut short, mut variance) = (0.0, 0.0);
    for observation in seen {
        let Some(found) = row(observation.sign) else {
            continue;
        };
        let of = stands_for(code, observation.sign, low_side_draws_air);
        let levels = observation.sign.levels().len();
        let p: Vec<f64> = (0..levels).map(|i| found.likelihood(of, i)).collect();
        let mean: f64 = p.iter().filter(|p| **p > 0.0).map(|p| p * p.ln()).sum();
        let square: f64 = p
            .iter()
            .filter(|p| **p > 0.0)
            .map(|p| p * p.ln().powi(2))
            .sum();
        short += mean - p[observation.level].max(1e-3).ln();
        variance += square - mean * mean;
    }
    short / variance.max(1e-9).sqrt()
}
