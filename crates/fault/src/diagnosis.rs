//! What the signs say together.

use crate::{
    code::FaultCode,
    observed::{Observation, Sign, low_side_draws_air, observations},
    signs::Signs,
    weigh::{Likelihood, likelihood, misfit, support},
    weights::Source,
};

/// What one sign says of one fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evidence {
    /// The sign.
    pub observation: Observation,
    /// How many times as likely it is with this fault as with the others on average.
    pub times: f64,
    /// Where the figures are from.
    pub source: Source,
}

/// One fault with its support.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The fault.
    pub code: FaultCode,
    /// Share of the belief that it has, 0 to 1; all of them sum to 1.
    pub support: f64,
    /// What speaks for it, the strongest first.
    pub evidence_for: Vec<Evidence>,
    /// What speaks against it, the strongest first.
    pub evidence_against: Vec<Evidence>,
}

/// Why a diagnosis is not to be relied on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Too little was measured or looked at on the sealed system.
    TooFew {
        /// How many signs of the sealed system there are.
        of_the_system: usize,
    },
    /// No fault explains the signs: one of them is wrong, or there are two faults.
    Contradictory {
        /// The sign that fits the first candidate worst.
        worst: Sign,
    },
    /// The best two are nearly equal.
    CloseCall,
}

/// Where to look before the sealed system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FirstCheck {
    /// What to look at.
    pub sign: Sign,
    /// True where it was found not in order; false where nobody looked.
    pub found_bad: bool,
}

/// What the signs say together.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// Every fault, the best supported first.
    pub candidates: Vec<Candidate>,
    /// What was seen.
    pub observations: Vec<Observation>,
    /// Why not to rely on it.
    pub doubts: Vec<Doubt>,
    /// What comes before the sealed system is touched.
    pub first_check: Vec<FirstCheck>,
    /// True when the low side runs below the air outside.
    pub low_side_draws_air: bool,
}

/// Least signs of the sealed system for a diagnosis.
pub const LEAST_SIGNS: usize = 3;
/// From how many times as likely on a sign speaks for a fault (and below its inverse against).
const SPEAKS: f64 = 1.4;
/// Misfit, standard deviations, from which on signs contradict each other.
const CONTRADICTS: f64 = 2.6;
/// Support of the second over that of the first, from which on it is a close call.
const CLOSE: f64 = 0.6;

/// What is looked at before the sealed system, in this order.
const FIRST: [Sign; 5] = [
    Sign::Supply,
    Sign::Condenser,
    Sign::Fans,
    Sign::EvaporatorAir,
    Sign::Door,
];

/// Weighs the signs.
///
/// ```
/// use fault::{Cabinet, FaultCode, Frost, Signs, diagnose};
/// use refrigerant_tables::Substance;
///
/// let mut signs = Signs::new(Substance::named("R-600a")?, Cabinet::Freezer, 24.0);
/// signs.suction_pa = Some(25e3);
/// signs.discharge_pa = Some(400e3);
/// signs.condenser_out_c = Some(29.5);
/// signs.frost = Some(Frost::InletOnly);
/// let found = diagnose(&signs);
/// let support = |code| found.of(code).map(|c| c.support);
/// // gauges do not tell them apart
/// assert_eq!(support(FaultCode::ShortCharge), support(FaultCode::HighSideLeak));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn diagnose(signs: &Signs) -> Diagnosis {
    let seen = observations(signs);
    let draws_air = low_side_draws_air(signs);
    let weighed: Vec<(Observation, Likelihood)> = seen
        .iter()
        .filter_map(|o| Some((*o, likelihood(o, draws_air)?)))
        .collect();
    let likelihoods: Vec<Likelihood> = weighed.iter().map(|(_, l)| *l).collect();
    let support = support(&likelihoods);
    let mut candidates: Vec<Candidate> = FaultCode::ALL
        .into_iter()
        .map(|code| candidate(code, support[code.place()], &weighed))
        .collect();
    // equal ones keep the order of the codes
    candidates.sort_by(|a, b| b.support.total_cmp(&a.support));
    let first_check = first_check(signs, &seen);
    let doubts = doubts(&candidates, &seen, draws_air);
    Diagnosis {
        candidates,
        observations: seen,
        doubts,
        first_check,
        low_side_draws_air: draws_air,
    }
}

fn candidate(code: FaultCode, support: f64, weighed: &[(Observation, Likelihood)]) -> Candidate {
    let mut all: Vec<Evidence> = weighed
        .iter()
        .map(|(observation, likelihood)| {
            let own = likelihood.with[code.place()];
            let sum: f64 = likelihood.with.iter().sum();
            let others = (sum - own) / 8.0;
            Evidence {
                observation: *observation,
                times: own.max(1e-3) / others.max(1e-3),
                source: likelihood.source,
            }
        })
        .collect();
    all.sort_by(|a, b| b.times.total_cmp(&a.times));
    let evidence_for = all.iter().copied().filter(|e| e.times >= SPEAKS).collect();
    all.reverse();
    let evidence_against = all
        .into_iter()
        .filter(|e| e.times <= 1.0 / SPEAKS)
        .collect();
    Candidate {
        code,
        support,
        evidence_for,
        evidence_against,
    }
}

fn first_check(signs: &Signs, seen: &[Observation]) -> Vec<FirstCheck> {
    let has_fans = matches!(
        signs.cabinet,
        crate::Cabinet::FanCooler | crate::Cabinet::FanFreezer
    );
    let level = |sign| seen.iter().find(|o| o.sign == sign).map(|o| o.level);
    let mut checks: Vec<FirstCheck> = FIRST
        .into_iter()
        .filter(|sign| has_fans || *sign != Sign::Fans)
        .filter_map(|sign| match level(sign) {
            Some(0) => Some((sign, true)),
            Some(_) => None,
            None => Some((sign, false)),
        })
        .map(|(sign, found_bad)| FirstCheck { sign, found_bad })
        .collect();
    if level(Sign::Starts) == Some(0) {
        let found_bad = true;
        checks.insert(
            0,
            FirstCheck {
                sign: Sign::Starts,
                found_bad,
            },
        );
    }
    // what was found comes before what nobody looked at
    checks.sort_by_key(|check| !check.found_bad);
    checks
}

fn doubts(candidates: &[Candidate], seen: &[Observation], draws_air: bool) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let of_the_system = seen.iter().filter(|o| o.sign.is_of_the_system()).count();
    let starts = !seen.iter().any(|o| o.sign == Sign::Starts && o.level == 0);
    if starts && of_the_system < LEAST_SIGNS {
        doubts.push(Doubt::TooFew { of_the_system });
    }
    let Some(first) = candidates.first() else {
        return doubts;
    };
    if misfit(first.code, seen, draws_air) > CONTRADICTS {
        let worst = first.evidence_against.first().map(|e| e.observation.sign);
        let fallback = seen.first().map(|o| o.sign);
        if let Some(worst) = worst.or(fallback) {
            doubts.push(Doubt::Contradictory { worst });
        }
    }
    let other = candidates
        .iter()
        .find(|c| !alike(c.code, first.code, draws_air) && c.code != first.code);
    if other.is_some_and(|c| c.support > CLOSE * first.support) {
        doubts.push(Doubt::CloseCall);
    }
    doubts
}

/// Whether two faults are the same on every instrument.
#[must_use]
pub fn alike(a: FaultCode, b: FaultCode, low_side_draws_air: bool) -> bool {
    let loses = |code| {
        matches!(code, FaultCode::ShortCharge | FaultCode::HighSideLeak)
            || code == FaultCode::LowSideLeak && !low_side_draws_air
    };
    a != b && loses(a) && loses(b)
}

impl Diagnosis {
    /// One of the candidates.
    #[must_use]
    pub fn of(&self, code: FaultCode) -> Option<&Candidate> {
        self.candidates.iter().find(|c| c.code == code)
    }

    /// Those among the candidates that stand out and are the same on every instrument as
    /// another one of them.
    #[must_use]
    pub fn not_told_apart(&self) -> Vec<FaultCode> {
        let likely = |c: &&Candidate| c.support >= 0.1;
        let codes: Vec<FaultCode> = self
            .candidates
            .iter()
            .filter(likely)
            .map(|c| c.code)
            .collect();
        let has_twin = |code: &FaultCode| {
            codes
                .iter()
                .any(|other| alike(*code, *other, self.low_side_draws_air))
        };
        codes.iter().copied().filter(has_twin).collect()
    }
}
