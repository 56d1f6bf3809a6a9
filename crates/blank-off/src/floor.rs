//! What pressure the pump gets down to, from the end of the pull-down.
//!
//! Pressure = c + Σ hᵢ·fᵢ(t): a floor that stays, and up to three sources of gas that run out.
//! A source falls as exp(−t/τ), with τ on a grid; or as t⁻¹ or t^(−3/2), counted from the
//! beginning of pumping, as walls with sites of all kinds do; or as t^(−1/2), as a thick
//! layer does from which gas diffuses (J. F. O'Hanlon, *A User's Guide to Vacuum
//! Technology*, chapter on gas release, from memory). All sums of them are weighed by how well they
//! explain the readings, under several sizes of the errors; c and h cannot be negative. The
//! floor is what this mixture gives for another 20 minutes of pumping: a source that takes
//! hours to run out is floor to whoever waits so long for it.

use findings::Estimate;
use statistics::{
    dense::Factor,
    non_negative::{Likelihood, Prior, integrate, ln_sum_exp},
    normal,
};

use crate::stretch::{Errors, Stretch};

/// Time constants on the grid, and their ends: the fastest as a share of the stretch, the
/// slowest as a multiple of it and in s (judgements: what is faster has gone at the first
/// bins, what is slower hardly moves in the time that counts).
const STORES: usize = 10;
/// Exponents of the sources that fall as a power of the time of pumping.
const POWERS: [f64; 3] = [0.5, 1.0, 1.5];
/// Sources in all.
const SOURCES: usize = STORES + POWERS.len();
const FASTEST: f64 = 1.0 / 150.0;
const SLOWEST: f64 = 4.0;
const SLOWEST_S: f64 = 7_200.0;
/// Prior probability of no, one, two and three sources.
const SOURCES_BEFOREHAND: [f64; 4] = [0.05, 0.15, 0.3, 0.5];
/// What is extrapolated is known to this share of the fall that is still to come.
const EXTRAPOLATED: f64 = 0.25;
/// Widths of the half-normal prior of the floor, as multiples of the level at the end.
const FLOOR_WIDTHS: [f64; 2] = [0.7, 2.0];
/// The same of a store, as multiples of what the pressure fell in the stretch.
const STORE_WIDTHS: [f64; 3] = [0.05, 0.4, 2.0];
/// Sizes of slow noise and of wander that are tried, each alike likely beforehand.
const SLOW: [f64; 3] = [0.0, 1.0, 3.0];
const WANDER: [f64; 3] = [0.005, 0.03, 0.12];
/// Answers this far below the best are dropped (ln).
const NEGLIGIBLE: f64 = 12.0;
/// A sum of three none of whose pairs comes nearer to the best than this (ln) is not weighed.
const HOPELESS: f64 = 8.0;
/// The further pumping that counts, s (a judgement: who would wait longer for less?).
const LATER_S: f64 = 1_200.0;
/// A pressure this near to the floor is at the floor.
const AT_FLOOR: f64 = 0.05;
/// Longest further pumping that is proposed, s.
const LONGEST_S: f64 = 8.0 * 3_600.0;
/// Terms: the floor and three sources.
const TERMS: usize = 4;

/// One explanation of the stretch.
struct Answer {
    /// ln of prior times evidence.
    weight: f64,
    /// The floor, micron, and its standard deviation.
    floor: (f64, f64),
    /// Level and heights, with their place on the grid.
    level: f64,
    heights: Vec<(usize, f64)>,
}

/// The floor as the stretch shows it.
pub(crate) struct Floor {
    /// The pressure after another 20 minutes, micron.
    pub(crate) micron: Estimate,
    /// When the pressure came near enough to it, s of the record.
    pub(crate) reached_s: Option<f64>,
    /// How much longer to pump, s.
    pub(crate) longer_s: Option<f64>,
}

impl Floor {
    /// What a stretch shows; `None` where nothing could be fitted.
    pub(crate) fn of(stretch: &Stretch) -> Option<Self> {
        let sources = sources(stretch);
        let mut answers = Vec::new();
        for slow in SLOW {
            for wander in WANDER {
                let errors = Errors { slow, wander };
                let Some(factor) = stretch.covariance(errors).factor() else {
                    continue;
                };
                explain(stretch, &sources, (&factor, wander), &mut answers);
            }
        }
        let top = ln_sum_exp(answers.iter().map(|a| a.weight));
        answers.retain(|a| a.weight > top - NEGLIGIBLE);
        let top = ln_sum_exp(answers.iter().map(|a| a.weight));
        if !top.is_finite() {
            return None;
        }
        let shares: Vec<f64> = answers.iter().map(|a| (a.weight - top).exp()).collect();
        let mixture: Vec<(f64, (f64, f64))> = shares
            .iter()
            .zip(&answers)
            .map(|(share, answer)| (*share, answer.floor))
            .collect();
        let most = stretch.highest_micron();
        let at = |q: f64| quantile(&mixture, q, most);
        let micron = Estimate {
            value: at(0.5),
            low: at(0.025),
            high: at(0.975),
        };
        // the mean curve
        let mut curve = Curve {
            level: 0.0,
            heights: vec![0.0; SOURCES],
            sources,
        };
        for (share, answer) in shares.iter().zip(&answers) {
            curve.level += share * answer.level;
            for (at, height) in &answer.heights {
                curve.heights[*at] += share * height;
            }
        }
        let near = micron.value + (AT_FLOOR * micron.value).max(stretch.grain_micron());
        let end_s = stretch.length_s;
        let reached = curve.falls_to(near, 0.0, end_s);
        let longer = match reached {
            Some(_) => None,
            None => curve.falls_to(near, end_s, end_s + LONGEST_S),
        };
        Some(Self {
            micron,
            reached_s: reached.map(|s| stretch.start_s + s),
            longer_s: longer.map(|s| s - end_s),
        })
    }
}

/// How a source falls, 1 at the beginning of the stretch.
#[derive(Debug, Clone, Copy)]
enum Source {
    /// exp(−t/τ), τ in s.
    Store(f64),
    /// A power of the time of pumping: that before the stretch, s, and the exponent.
    Power(f64, f64),
}

impl Source {
    /// What is left after `t` s of the stretch, as a share.
    fn left(self, t: f64) -> f64 {
        match self {
            Self::Store(tau) => (-t / tau).exp(),
            Self::Power(before_s, power) => (1.0 + t / before_s).powf(-power),
        }
    }
}

fn sources(stretch: &Stretch) -> Vec<Source> {
    let length_s = stretch.length_s;
    let (fastest, slowest) = (FASTEST * length_s, (SLOWEST * length_s).max(SLOWEST_S));
    let step = (slowest / fastest).powf(1.0 / (STORES - 1) as f64);
    let stores = (0..STORES).map(|k| Source::Store(fastest * step.powi(k as i32)));
    // the first seconds of a power are no power
    let before_s = stretch.pumped_before_s.max(fastest);
    let powers = POWERS.map(|power| Source::Power(before_s, power));
    stores.chain(powers).collect()
}

/// Adds every sum of sources under one covariance.
fn explain(
    stretch: &Stretch,
    sources: &[Source],
    (factor, wander): (&Factor, f64),
    answers: &mut Vec<Answer>,
) {
    let y = factor.whiten(&stretch.micron);
    let one = factor.whiten(&vec![1.0; y.len()]);
    let column = |source: &Source| -> Vec<f64> {
        let fall: Vec<f64> = stretch.time_s.iter().map(|t| source.left(*t)).collect();
        factor.whiten(&fall)
    };
    let columns: Vec<Vec<f64>> = sources.iter().map(column).collect();
    let base = -0.5 * dot(&y, &y) - factor.half_ln_determinant();
    let later_s = stretch.length_s + LATER_S;
    let level = stretch.level_micron.max(1e-3);
    let fell = stretch.micron.first().map_or(0.0, |first| first - level);
    let floor_prior = Prior::equal_shares(&FLOOR_WIDTHS.map(|w| w * level));
    let scale = fell.max(0.05 * level);
    let store_prior = Prior::equal_shares(&STORE_WIDTHS.map(|w| w * scale));
    // what wandered may wander on as long again
    let onwards = (wander * level * (stretch.length_s.min(LATER_S) / 3_600.0).sqrt())
        .hypot(stretch.hidden_micron());
    let mut weigh = |some: &[usize], ways: usize| {
        let list: Vec<&Vec<f64>> = std::iter::once(&one)
            .chain(some.iter().map(|k| &columns[*k]))
            .collect();
        let mut likelihood = Likelihood::<TERMS> {
            n: list.len(),
            precision: [[0.0; TERMS]; TERMS],
            shift: [0.0; TERMS],
        };
        for (i, a) in list.iter().enumerate() {
            likelihood.shift[i] = dot(a, &y);
            for (j, b) in list.iter().enumerate() {
                likelihood.precision[i][j] = dot(a, b);
            }
        }
        let mut priors = vec![floor_prior];
        priors.resize(list.len(), store_prior);
        let Some(found) = integrate(&likelihood, &priors) else {
            return f64::NEG_INFINITY;
        };
        let at = |t: f64| {
            let mut left = [0.0; TERMS];
            left[0] = 1.0;
            for (at, k) in some.iter().enumerate() {
                left[at + 1] = sources[*k].left(t);
            }
            left
        };
        let (now, later) = (at(stretch.length_s), at(later_s));
        let mean: f64 = (0..list.len()).map(|i| later[i] * found.mean[i]).sum();
        let to_come: f64 = (0..list.len()).map(|i| now[i] * found.mean[i]).sum::<f64>() - mean;
        let own = found.variance_of(&later, list.len()).sqrt();
        let sd = own.hypot(onwards).hypot(EXTRAPOLATED * to_come);
        let beforehand = (SOURCES_BEFOREHAND[some.len()] / ways as f64).ln();
        let weight = base + found.ln_evidence + beforehand;
        answers.push(Answer {
            weight,
            floor: (mean, sd),
            level: found.mean[0],
            heights: some
                .iter()
                .enumerate()
                .map(|(at, k)| (*k, found.mean[at + 1]))
                .collect(),
        });
        weight
    };
    let pairs = SOURCES * (SOURCES - 1) / 2;
    let mut best = weigh(&[], 1);
    let mut of_pairs = [f64::NEG_INFINITY; SOURCES * SOURCES];
    for i in 0..SOURCES {
        best = best.max(weigh(&[i], SOURCES));
        for j in i + 1..SOURCES {
            let weight = weigh(&[i, j], pairs);
            of_pairs[i * SOURCES + j] = weight;
            best = best.max(weight);
        }
    }
    let of_pair = |i: usize, j: usize| of_pairs[i * SOURCES + j];
    // a third source seldom makes good what two leave
    for i in 0..SOURCES {
        for j in i + 1..SOURCES {
            for k in j + 1..SOURCES {
                let promising = of_pair(i, j).max(of_pair(i, k)).max(of_pair(j, k));
                if promising > best - HOPELESS {
                    weigh(&[i, j, k], pairs * (SOURCES - 2) / 3);
                }
            }
        }
    }
}

struct Curve {
    level: f64,
    heights: Vec<f64>,
    sources: Vec<Source>,
}

impl Curve {
    fn at(&self, t: f64) -> f64 {
        let gas = self.heights.iter().zip(&self.sources);
        self.level
            + gas
                .map(|(height, source)| height * source.left(t))
                .sum::<f64>()
    }

    /// When it falls to this level, s; `None` where it does not in this time. It falls all
    /// the way.
    fn falls_to(&self, level: f64, from: f64, to: f64) -> Option<f64> {
        if self.at(to) > level {
            return None;
        }
        let (mut low, mut high) = (from, to);
        if self.at(low) <= level {
            return Some(low);
        }
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if self.at(middle) > level {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
}

/// Quantile of a mixture of normals that is cut off above `most`, not below 0.
fn quantile(mixture: &[(f64, (f64, f64))], q: f64, most: f64) -> f64 {
    let below = |x: f64| -> f64 {
        mixture
            .iter()
            .map(|(share, (mean, sd))| share * normal::cdf((x - mean) / sd.max(1e-12)))
            .sum()
    };
    let ends = mixture.iter().map(|(_, (mean, sd))| mean - 8.0 * sd);
    let (mut low, mut high) = (ends.fold(most, f64::min), most);
    // what lies above is impossible, however much of it there was
    let wanted = q * below(most);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    high.max(0.0)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
